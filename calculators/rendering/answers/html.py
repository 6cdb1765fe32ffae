"""The form of a calculator and its answer as HTML fragments.

The generator puts both into the page at build time; in the browser the same functions make the
fragment that takes the old answer's place. Script only moves it in.
"""

from __future__ import annotations

from collections.abc import Iterator
from json import dumps
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, Input
from calculators.base.cautions import CAUTION, NOT_CURRENT
from calculators.base.quantities import MARKS, Choice, Mark, Quantity, Text
from calculators.base.results import plain
from calculators.base.units import PRESSURE_UNITS
from calculators.declaring.registry import Calculator
from calculators.rendering.drawing.chart import chart
from calculators.rendering.common import link_remarks, progress_words, verdict_words
from calculators.answering.shown import result_rows
from calculators.rendering.elements import append, element, html, phrase_element
from calculators.rendering.drawing.train_picture import train_picture

# Text without a unit still fits the number keyboard of a phone; signs and lists do not.
_DECIMAL, _TEXT = "decimal", "text"
# A figure with its band stays on one line; longer words may take several.
LONG_RESULT = 18


def answer_html(answer: Answer, *, id: str) -> str:
    """The whole answer as one fragment; ``id`` keeps the ids on a page apart."""
    return html(answer_element(answer, id=id))


def answer_element(answer: Answer, *, id: str) -> Element:
    """The answer as an element tree, errors as a list when there are any."""
    if answer.outcome is None:
        items = [element("li", message) for message in answer.errors.values()]
        return element("div", element("ul", *items), class_="answer answer-refused")
    outcome, display = answer.outcome, answer.display
    made = element("div", class_="answer")
    if answer.calculator.estimate:
        append(made, element("p", answer.calculator.estimate, class_="estimate"))
    append(made, *(element("p", remark, class_="remark") for remark in link_remarks(answer)))
    append(
        made,
        *(
            phrase_element("p", note.text, display, class_="warning")
            for note in outcome.notes
            if note.kind == "warning"
        ),
        _to_follow(answer),
        _results(answer),
        _working(answer),
        _limits(answer),
        _notes(answer),
    )
    for number, grid in enumerate(outcome.grids):
        made.append(train_picture(grid, display, id=f"{id}-grid-{number}"))
    for number, series in enumerate(outcome.series):
        made.append(chart(series, display, id=f"{id}-curve-{number}"))
    append(made, element("p", CAUTION, class_="caution"))
    return made


def headline_text(answer: Answer) -> str:
    """The answer in one sentence: it stands above the fragment and is spoken when it changes."""
    if answer.outcome is None:
        return "No answer yet: " + " ".join(answer.errors.values())
    return answer.outcome.headline.text(answer.display)


def form_html(answer: Answer, *, id: str) -> str:
    """The calculator's form, filled as the answer was asked."""
    calculator = answer.calculator
    form = element("form", class_="asking", action="#", method="get", autocomplete="off")
    append(form, _offers(calculator))
    for number, group in enumerate(calculator.groups()):
        fields = [
            _field(item, answer, id)
            for item in answer.inputs
            if isinstance(item.description, Quantity | Choice | Text)
            and item.description.group == group
        ]
        grid = element("div", *fields, class_="fields")
        if number == 0:
            append(grid, _pressure_unit(answer, id) if _takes_pressures(answer) else None)
            form.append(grid)
        else:
            form.append(element("details", element("summary", group), grid, class_="more-fields"))
    return html(form)


def _offers(calculator: Calculator) -> Element | None:
    """Buttons that fill in a set of entries."""
    if not calculator.offers:
        return None
    buttons = (
        element("button", words, type="button", data_entries=dumps(dict(entries)))
        for words, entries in calculator.offers.items()
    )
    return element("div", *buttons, class_="tools offers")


def mark_element(mark: Mark) -> Element | None:
    """A mark of sureness with its meaning in words; nothing for an unmarked figure."""
    if not mark:
        return None
    return element("abbr", f"[{mark}]", title=MARKS[mark], class_="mark")


def _takes_pressures(answer: Answer) -> bool:
    return any(
        isinstance(item.description, Quantity) and item.description.kind == "pressure"
        for item in answer.inputs
    )


def _pressure_unit(answer: Answer, id: str) -> Element:
    options = [
        element("option", unit, value=unit, **_selected(unit == answer.display.pressure))
        for unit in PRESSURE_UNITS
    ]
    return element(
        "div",
        element("label", "Pressures in", for_=f"{id}-pressure_unit"),
        element("select", *options, id=f"{id}-pressure_unit", name="pressure_unit"),
        class_="field",
    )


def _selected(chosen: bool) -> dict[str, str]:
    return {"selected": "selected"} if chosen else {}


def _field(item: Input, answer: Answer, id: str) -> Element:
    description = item.description
    field_id = f"{id}-{item.name}"
    error = answer.errors.get(item.name, "")
    described = f"{field_id}-help {field_id}-error"
    label = element("label", description.term, for_=field_id)
    control: Element
    if isinstance(description, Choice):
        control = element(
            "select",
            *(
                element("option", o.words, value=o.value, **_selected(o.value == item.value))
                for o in description.options
            ),
            id=field_id,
            name=item.name,
            aria_describedby=described,
        )
        box = element("div", control, class_="entry")
    elif isinstance(description, Quantity):
        signed = description.low is None or description.low < 0
        control = element(
            "input",
            id=field_id,
            name=item.name,
            type="text",
            value=item.text,
            inputmode=_TEXT if signed or description.many else _DECIMAL,
            aria_describedby=described,
            **({"placeholder": description.blank} if description.blank else {}),
            **({"data_pressure": "yes"} if description.kind == "pressure" else {}),
        )
        box = element("div", control, _unit_label(description), class_="entry")
    else:
        assert isinstance(description, Text)
        control = element(
            "textarea",
            item.text,
            id=field_id,
            name=item.name,
            rows="2",
            spellcheck="false",
            aria_describedby=described,
            **({"placeholder": description.blank} if description.blank else {}),
        )
        box = element("div", control, class_="entry")
    if error:
        control.set("aria-invalid", "true")
    return element(
        "div",
        label,
        box,
        _typicals(item),
        _builder(item, field_id),
        element("p", *_help(item), id=f"{field_id}-help", class_="help"),
        element("p", error, id=f"{field_id}-error", class_="field-error"),
        class_="field",
    )


def _unit_label(description: Quantity) -> Element | None:
    if not description.unit:
        return None
    data = {"data_unit_label": "yes"} if description.kind == "pressure" else {}
    return element("span", description.unit, class_="unit", aria_hidden="true", **data)


def _typicals(item: Input) -> Element | None:
    description = item.description
    if not isinstance(description, Quantity) or not description.typical:
        return None
    buttons = [
        element(
            "button",
            f"{plain(typical.value)}: {typical.words}",
            mark_element(typical.mark),
            type="button",
            class_="typical",
            data_fill=item.name,
            data_value=plain(typical.value),
        )
        for typical in description.typical
    ]
    return element("div", *buttons, class_="typicals")


def _builder(item: Input, field_id: str) -> Element | None:
    """The entries of a text as a list, and what can be added to it by tapping.

    It needs script and stays hidden without; `list-builder.js` brings it to life.
    """
    description = item.description
    if not isinstance(description, Text) or not description.pieces:
        return None
    pieces = [
        element("option", piece.words, value=piece.text, data_figure=piece.figure)
        for piece in description.pieces
    ]
    return element(
        "list-builder",
        element("ol", class_="built-list"),
        element(
            "div",
            _building("Add", element("select", *pieces, id=f"{field_id}-piece"), "piece"),
            _building("At, s", _number_box(f"{field_id}-at", "0"), "at"),
            _building("Figure", _number_box(f"{field_id}-figure", ""), "figure"),
            class_="fields",
        ),
        element("button", "Add to the list", type="button", data_add="yes"),
        data_for=field_id,
        hidden="hidden",
        class_="building",
    )


def _building(words: str, control: Element, part: str) -> Element:
    control.set("data-part", part)
    label = element("label", words, for_=control.get("id", ""))
    return element("div", label, control, class_="field")


def _number_box(id: str, value: str) -> Element:
    return element("input", id=id, type="text", inputmode=_DECIMAL, value=value)


def _help(item: Input) -> Iterator[Element | str]:
    description = item.description
    if isinstance(description, Quantity):
        unit = f" in {description.unit}" if description.unit else ""
        yield element("span", f"{description.term}{unit}. ", class_="for-readers")
    yield f"{description.help} " if description.help else ""
    if isinstance(description, Quantity | Choice):
        mark = mark_element(description.mark)
        # An element without children counts as false.
        if mark is not None:
            yield mark


def _to_follow(answer: Answer) -> Element | None:
    """What is still being worked out; script moves the progress and answers the buttons."""
    assert answer.outcome is not None
    rest = answer.outcome.to_follow
    if rest is None:
        return None
    return element(
        "div",
        element("p", f"Here are the figures that can be had at once; {rest.what} adds to them."),
        element("progress", max=str(rest.of.of), value="0", aria_label=f"Progress of {rest.what}"),
        element("p", progress_words(rest.what, rest.of), class_="progress-words"),
        element("button", "Stop", type="button", data_do="stop"),
        element("button", f"Run {rest.what}", type="button", data_do="run", hidden="hidden"),
        class_="to-follow",
    )


def _results(answer: Answer) -> Element:
    made = element("dl", class_="results")
    for row in result_rows(answer):
        long = {"class_": "long"} if len(row.text) > LONG_RESULT else {}
        cell = element("dd", row.text, **long, data_result=row.name)
        made.append(
            element(
                "div",
                element("dt", row.term, element("small", row.help) if row.help else None),
                cell,
            )
        )
    return made


def _working(answer: Answer) -> Element | None:
    assert answer.outcome is not None
    if not answer.outcome.working:
        return None
    steps = element("ol", class_="working")
    for step in answer.outcome.working:
        item = element("li", element("b", step.label + ": "))
        append(item, phrase_element("span", step.how, answer.display))
        if step.value is not None:
            shown = answer.display.value(step.value)
            append(item, " → ", element("span", shown, class_="figure"))
        if step.decides:
            item.set("class", "decides")
            append(item, " ", element("strong", "this decided"))
        steps.append(item)
    return element("section", element("h2", "Working"), steps)


def _limits(answer: Answer) -> Element | None:
    if not answer.verdicts:
        return None
    display = answer.display
    rows = element("ul", class_="limits")
    for verdict in answer.verdicts:
        line = element("p", element("b", verdict.limit.title + ": "))
        if verdict.reading is not None:
            reads = element("span", display.value(verdict.reading), class_="figure")
            append(line, "reads ", reads, "; ")
        append(line, phrase_element("span", verdict.words, display), ": ")
        append(line, element("strong", verdict.standing, class_="standing"), ".")
        if verdict.why is not None:
            append(line, " ", phrase_element("span", verdict.why, display))
        item = element("li", line, element("small", verdict_words(verdict)))
        item.set("data-standing", verdict.standing)
        if verdict.own:
            item.set("class", "own")
        rows.append(item)
    return element(
        "section", element("h2", "Limits"), rows, element("p", NOT_CURRENT, class_="help")
    )


def _notes(answer: Answer) -> Element | None:
    assert answer.outcome is not None
    quiet = [note for note in answer.outcome.notes if note.kind == "note"]
    if not quiet:
        return None
    items = [phrase_element("li", note.text, answer.display) for note in quiet]
    return element("section", element("h2", "Notes"), element("ul", *items))
