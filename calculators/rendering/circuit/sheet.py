"""A circuit's moment as one sheet of paper: picture and gauges side by side, the steps under them."""

from __future__ import annotations

from calculators.answering.answer import Answer
from calculators.base.cautions import CAUTION
from calculators.circuits.catalog import find_circuit
from calculators.rendering.answers.sheet import head_element, sheet_element
from calculators.rendering.circuit.moments import (
    gauges_element,
    keyed_moment,
    shown_frame,
    status_text,
    story_in,
    value_of,
)
from calculators.rendering.circuit.page import remarks_and_warnings, steps_element
from calculators.rendering.circuit.picture import picture
from calculators.rendering.elements import element, html

_ID = "paper"


def sheet_html(answer: Answer) -> str:
    """The sheet as a fragment; what was refused gives the errors alone."""
    if answer.outcome is None:
        return html(sheet_element(answer))
    story, display = story_in(answer), answer.display
    number = shown_frame(answer, story)
    frame = story.frames[number]
    circuit = find_circuit(str(value_of(answer, "circuit")))
    drawn = picture(
        story.sheet,
        keyed_moment(story, frame, display),
        id=_ID,
        title=circuit.title,
        words="The table of gauges and the list of steps say the same in words and figures.",
    )
    return html(
        element(
            "section",
            head_element(
                element("h1", circuit.title),
                element("p", circuit.question, class_="paper-asked"),
                element("p", status_text(story, frame, display), class_="paper-answer"),
            ),
            *remarks_and_warnings(answer),
            element(
                "div",
                element("div", drawn, class_="paper-picture"),
                element("div", gauges_element(story, display, number, _ID), class_="paper-gauges"),
                class_="paper-halves",
            ),
            element("h2", "What moves, in order"),
            steps_element(story, display, frame.begun),
            element("p", CAUTION, class_="caution"),
            class_="paper paper-circuit",
        )
    )
