"""One thing large, to be read from the last row: a question, and on the next press its answer.

Each view is a fragment of few words; the page gives it the whole window.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.answering.asked import asked_words
from calculators.answering.deciding import deciding_step
from calculators.answering.shown import result_rows
from calculators.base.cautions import CAUTION
from calculators.circuits.catalog import find_circuit
from calculators.rendering.circuit.moments import (
    gauges_element,
    keyed_moment,
    shown_frame,
    status_text,
    story_in,
    value_of,
)
from calculators.rendering.circuit.picture import picture
from calculators.rendering.elements import append, element, html, phrase_element
from calculators.rendering.study import question_picture
from calculators.study.items import Item
from calculators.worksheets.asking import Worksheet

_MOST_FIGURES = 3


def answer_views(answer: Answer) -> list[str]:
    """What was asked; then the figures, what decided and the caution. Errors are one view."""
    asked = element(
        "div",
        element("p", answer.calculator.title, class_="screen-where"),
        element("p", answer.calculator.question, class_="screen-question"),
    )
    if answer.outcome is None:
        return [html(_refused(answer))]
    words = asked_words(answer, answer.calculator.first)
    append(asked, element("p", words, class_="screen-asked") if words else None)
    solved = element("div", element("p", words or answer.calculator.title, class_="screen-where"))
    append(solved, _figures(answer))
    append(
        solved, phrase_element("p", answer.outcome.headline, answer.display, class_="screen-words")
    )
    step = deciding_step(answer)
    if step is not None:
        append(solved, element("p", f"Decided by: {step.label}", class_="screen-words"))
    append(solved, _caution())
    return [html(asked), html(solved)]


def circuit_views(answer: Answer) -> list[str]:
    """The circuit's question with the picture before the move; then the moment of the link."""
    if answer.outcome is None:
        return [html(_refused(answer))]
    story, display = story_in(answer), answer.display
    circuit = find_circuit(str(value_of(answer, "circuit")))
    views = []
    numbers = dict.fromkeys((0, shown_frame(answer, story) or len(story.frames) - 1))
    for number in numbers:
        frame = story.frames[number]
        id = f"screen-{number}"
        drawn = picture(
            story.sheet,
            keyed_moment(story, frame, display),
            id=id,
            title=circuit.title,
            words="The table beside it says the same in figures.",
        )
        words = circuit.question if number == 0 else status_text(story, frame, display)
        views.append(
            html(
                element(
                    "div",
                    element("p", words, class_="screen-asked"),
                    element(
                        "div",
                        element("div", drawn, class_="screen-picture"),
                        gauges_element(story, display, number, id),
                        class_="screen-halves",
                    ),
                    _caution(),
                    class_="screen-circuit",
                )
            )
        )
    return views


def worksheet_views(sheet: Worksheet) -> list[str]:
    """Each question of a worksheet, its answer on the next press."""
    views: list[str] = []
    for number, item in enumerate(sheet.items, 1):
        where = f"Question {number} of {len(sheet.items)}"
        drawn = sheet.pictured(item)
        shown = question_picture(drawn, f"screen-{number}") if drawn is not None else None
        views += [html(_question(item, where, shown)), html(_solution(item, where))]
    return views


def _question(item: Item, where: str, shown: Element | None) -> Element:
    made = element(
        "div",
        element("p", where, class_="screen-where"),
        element("p", item.question, class_="screen-asked"),
        shown,
    )
    if item.right.value is None:
        options = (element("li", words) for words in item.options())
        append(made, element("ul", *options, class_="screen-options"))
    return made


def _solution(item: Item, where: str) -> Element:
    made = element(
        "div",
        element("p", where, class_="screen-where"),
        # A figure keeps its size; an answer in words may shrink with the rest to fit.
        element(
            "p",
            item.right.words,
            class_="screen-asked" if item.right.value is None else "screen-figure",
        ),
    )
    for one in item.wrong:
        append(made, element("p", f"{one.words}: {one.name}", class_="screen-words"))
    append(made, _caution())
    return made


def _figures(answer: Answer) -> Element | None:
    rows = {row.name: row for row in result_rows(answer)}
    first = dict(list(answer.calculator.first.figures.items())[:_MOST_FIGURES])
    if not first:
        return None
    cells = (
        element("div", element("dt", words), element("dd", rows[name].text, class_="screen-figure"))
        for name, words in first.items()
    )
    return element("dl", *cells, class_="screen-figures")


def _refused(answer: Answer) -> Element:
    lines = (element("p", words, class_="screen-asked") for words in answer.errors.values())
    return element("div", *lines)


def _caution() -> Element:
    return element("p", CAUTION, class_="screen-caution")
