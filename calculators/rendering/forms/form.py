"""A calculator's form as an HTML fragment, filled as its answer was asked."""

from __future__ import annotations

from collections.abc import Iterator
from json import dumps
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, Input
from calculators.base.quantities import MARKS, Choice, Mark, Quantity, Text
from calculators.base.results import plain
from calculators.base.units import PRESSURE_UNITS
from calculators.declaring.registry import Calculator
from calculators.rendering.elements import append, element, html

# Text without a unit still fits the number keyboard of a phone; signs and lists do not.
_DECIMAL, _TEXT = "decimal", "text"


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
