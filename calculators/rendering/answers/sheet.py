"""An answer as one sheet of paper: inputs with the changed ones marked, figures, working, limits, curve.

The page adds what only it knows: the code, the address and the day.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, Input, says_the_same, text_with_unit
from calculators.answering.deciding import deciding_step
from calculators.answering.links import text_of
from calculators.answering.shown import result_rows
from calculators.base.cautions import CAUTION, NOT_CURRENT
from calculators.base.quantities import Choice
from calculators.rendering.answers.comparison import comparison_element
from calculators.rendering.common import decided, link_remarks, verdict_words
from calculators.rendering.drawing.chart import chart
from calculators.rendering.elements import append, element, html, phrase_element
from calculators.version import VERSION

CHANGED = "● "
_ID = "paper"


def sheet_html(answer: Answer) -> str:
    """The sheet as a fragment; what was refused gives the errors alone."""
    return html(sheet_element(answer))


def sheet_element(answer: Answer) -> Element:
    """The sheet as an element tree."""
    made = element("section", class_="paper")
    if answer.outcome is None:
        append(made, element("h1", answer.calculator.title))
        append(made, element("ul", *(element("li", words) for words in answer.errors.values())))
        return made
    outcome, display = answer.outcome, answer.display
    curves = list(_curves(answer))
    # One curve finds room beside the inputs, which are many; several stand side by side below.
    beside, curves = (curves, []) if len(curves) == 1 else ([], curves)
    append(
        made,
        head_element(
            element("h1", answer.calculator.title),
            element("p", answer.calculator.question, class_="paper-asked"),
            phrase_element("p", outcome.headline, display, class_="paper-answer"),
        ),
        *(element("p", words, class_="paper-remark") for words in link_remarks(answer)),
        *(
            phrase_element("p", note.text, display, class_="paper-warning")
            for note in outcome.notes
            if note.kind == "warning"
        ),
        element(
            "div",
            element("div", _inputs(answer), class_="paper-half"),
            element("div", _figures(answer), _working(answer), *beside, class_="paper-half"),
            class_="paper-halves",
        ),
        *(comparison_element(one, display) for one in outcome.compared),
        _limits(answer),
        element("div", *curves, class_="paper-curves") if curves else None,
        element("p", CAUTION, class_="caution"),
    )
    return made


def head_element(*words: Element) -> Element:
    """The head of a sheet, with the code at its side.

    At the foot it could be left alone on a page of its own.
    """
    return element("div", element("div", *words), foot_element(), class_="paper-head")


def foot_element() -> Element:
    """Where the page puts the code, the address and the day; the version stands there already."""
    return element(
        "footer",
        element("div", class_="paper-code"),
        element(
            "p",
            element("span", class_="paper-address"),
            element("span", f"Air brake field reference, version {VERSION}. ", class_="paper-copy"),
            element("span", class_="paper-day"),
        ),
        class_="paper-foot",
    )


def changed(answer: Answer, item: Input) -> bool:
    """Whether an input is another than the calculator starts with by itself."""
    default = answer.calculator.defaults()[item.name]
    if item.value is None or default is None:
        return item.value is not default and item.origin != "example"
    return not says_the_same(
        item.description, item.name, text_of(item.description, default), item.value
    )


def _inputs(answer: Answer) -> Element:
    body = element("tbody")
    for item in answer.inputs:
        if item.value is None and not item.text.strip():
            continue
        mark = CHANGED if changed(answer, item) else ""
        body.append(
            element(
                "tr",
                element("th", f"{mark}{item.description.term}", scope="row"),
                element("td", _said(item)),
                **({"class_": "changed"} if mark else {}),
            )
        )
    caption = element(
        "caption", f"Asked with ({CHANGED.strip()} changed from what the page starts with)"
    )
    return element("table", caption, body, class_="paper-table")


def _said(item: Input) -> str:
    if isinstance(item.description, Choice):
        return item.description.words_of(str(item.value))
    return text_with_unit(item.text, item.description)


def _figures(answer: Answer) -> Element:
    body = element("tbody")
    for row in result_rows(answer):
        body.append(element("tr", element("th", row.term, scope="row"), element("td", row.text)))
    return element("table", element("caption", "Answer"), body, class_="paper-table")


def _working(answer: Answer) -> Element | None:
    assert answer.outcome is not None
    if not answer.outcome.working:
        return None
    steps = element("ol", class_="paper-working")
    deciding = deciding_step(answer)
    for step in answer.outcome.working:
        item = element("li", element("b", f"{step.label}: "))
        append(item, phrase_element("span", step.how, answer.display))
        if step.value is not None:
            append(item, " → ", element("b", answer.display.value(step.value)))
        if step is deciding:
            append(item, " ", element("strong", "(this decided)"))
        steps.append(item)
    return element("div", element("h2", "Working"), steps)


def _limits(answer: Answer) -> Element | None:
    if not answer.verdicts:
        return None
    rows = element("ul", class_="paper-limits")
    for verdict in answer.verdicts:
        read, words = decided(verdict, answer.display)
        line = element("li", element("b", f"{verdict.limit.title}: "))
        if read is not None:
            append(line, f"reads {answer.display.value(read)}; ")
        append(line, phrase_element("span", words, answer.display), ": ")
        append(line, element("strong", verdict.standing), ". ")
        append(line, element("small", verdict_words(verdict)))
        rows.append(line)
    return element("div", element("h2", "Limits"), rows, element("p", NOT_CURRENT))


def _curves(answer: Answer) -> Iterator[Element]:
    assert answer.outcome is not None
    for number, series in enumerate(answer.outcome.series):
        yield chart(series, answer.display, id=f"{_ID}-{number}")
