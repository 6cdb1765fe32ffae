"""A circuit as it stands in a page: picture, stepping, gauges, steps, handles, settings.

The generator puts it into the page complete; `circuit_reply` gives a script what it needs to show
another move in the same places.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.base.cautions import CAUTION
from calculators.base.results import Display
from calculators.circuits.asking import carried_on, handles_of
from calculators.circuits.catalog import Circuit, find_circuit
from calculators.circuits.sheet.parts import PIPES
from calculators.circuits.story import Story, StoryStep
from calculators.circuits.words import seconds
from calculators.rendering.answers.text import answer_text
from calculators.rendering.circuit.handles import OPERATED, handles_element, tools_element
from calculators.rendering.circuit.moments import (
    gauges_element,
    keyed_moment,
    moments,
    shown_frame,
    status_text,
    story_in,
    value_of,
)
from calculators.rendering.circuit.picture import picture
from calculators.rendering.common import link_remarks
from calculators.rendering.drawing.chart import chart
from calculators.rendering.elements import append, element, html, phrase_element
from calculators.rendering.forms.form import form_html

_FIXED = ("circuit", "stage", "moment", *OPERATED)


def circuit_element(answer: Answer, *, id: str, title: str = "") -> Element:
    """Everything of a circuit but the element's own shell.

    Parameters
    ----------
    answer
        An answer of the ``circuit`` calculator, without errors.
    id
        Keeps the ids on a page apart.
    title
        The question, where the page does not ask it already.
    """
    story, display = story_in(answer), answer.display
    number = shown_frame(answer, story)
    circuit = find_circuit(str(value_of(answer, "circuit")))
    made = element("div", class_="circuit-body")
    append(
        made,
        element("p", title, class_="calculator-title") if title else None,
        element("div", *remarks_and_warnings(answer), class_="circuit-warnings"),
        _figure(circuit, story, display, number, id),
        _stepper(story, display, number, id),
        gauges_element(story, display, number, id),
        element(
            "div", steps_element(story, display, story.frames[number].begun), class_="steps-place"
        ),
        handles_element(answer, story, circuit, stage=float(str(value_of(answer, "stage"))), id=id),
        tools_element(),
        element(
            "details",
            element("summary", "Your locomotive, your train, the state before"),
            element("div", class_="settings-place"),
            class_="circuit-settings more-fields",
        ),
        element("div", *more_elements(answer, id=id), class_="circuit-more"),
        element("p", CAUTION, class_="caution"),
    )
    return made


def circuit_reply(answer: Answer, *, id: str, with_form: bool) -> dict[str, Any]:
    """What a script puts in the places of the page for another move.

    Returns
    -------
    dict
        ``base`` and ``frames`` (see `circuit_moments.moments`), ``shown`` (the frame to begin
        with), ``steps``, ``gauges``, ``warnings`` and ``more`` as HTML, ``go_on`` (entries that
        start the next move from here), ``operated`` (texts of the handles), ``link``, ``text``,
        ``pressure_unit``, ``texts`` by field and, if asked for, ``form``; or only ``errors``.
    """
    form = {"form": settings_form(answer, id=id)} if with_form else {}
    if answer.outcome is None:
        return {"errors": dict(answer.errors), **form}
    story, display = story_in(answer), answer.display
    number = shown_frame(answer, story)
    return {
        "errors": {},
        **moments(story, display),
        "shown": number,
        "steps": html(steps_element(story, display, story.frames[number].begun)),
        "gauges": html(gauges_element(story, display, number, id)),
        "warnings": "".join(html(node) for node in remarks_and_warnings(answer)),
        "more": "".join(html(node) for node in more_elements(answer, id=id)),
        "go_on": carried_on(story, display),
        "operated": handles_of(story, display),
        "link": answer.link_query(),
        "text": answer_text(answer),
        "pressure_unit": display.pressure,
        "texts": {item.name: item.text for item in answer.inputs},
        **form,
    }


def settings_form(answer: Answer, *, id: str) -> str:
    """The fields that are no handles, as a form."""
    kept = tuple(item for item in answer.inputs if item.name not in _FIXED)
    return form_html(replace(answer, inputs=kept), id=id, keys=False)


def _figure(circuit: Circuit, story: Story, display: Display, number: int, id: str) -> Element:
    shown = keyed_moment(story, story.frames[number], display)
    words = (
        "Drawn in flow order from the supply down to the brake cylinder. The table of gauges and "
        "the list of steps say the same in words and figures."
    )
    return element(
        "figure",
        element(
            "div",
            picture(
                story.sheet,
                shown,
                id=id,
                title=f"{circuit.title}: parts, pipes and flow",
                words=words,
            ),
            class_="circuit-view",
            tabindex="0",
            role="group",
            aria_label="The picture",
        ),
        element(
            "figcaption",
            "Heavy square: where a valve is. Heavy line with an arrow: air moves. Thin line: "
            f"no air in it. Pipes: {_pipes(story)}.",
        ),
        class_="circuit-figure",
    )


def _pipes(story: Story) -> str:
    """The pipe numbers of a sheet with their names."""
    printed = {joint.number for joint in story.sheet.joints}
    return ", ".join(f"{number} {name}" for number, name in PIPES.items() if number in printed)


def _stepper(story: Story, display: Display, number: int, id: str) -> Element:
    buttons = [
        element("button", words, type="button", data_do=do)
        for do, words in (("back", "Back"), ("next", "Next"), ("play", "Play"))
    ]
    slider = element(
        "input",
        id=f"{id}-step",
        type="range",
        min="0",
        max=str(len(story.frames) - 1),
        step="1",
        value=str(number),
        autocomplete="off",
        data_step="yes",
    )
    return element(
        "div",
        element(
            "p",
            status_text(story, story.frames[number], display),
            role="status",
            class_="circuit-status",
        ),
        element("p", "", class_="step-now"),
        element(
            "div",
            buttons[0],
            element("label", "Step through the move", for_=f"{id}-step", class_="for-readers"),
            slider,
            buttons[1],
            buttons[2],
            class_="step-buttons",
        ),
        element(
            "div",
            element("button", "Handles", type="button", data_do="sheet", aria_expanded="false"),
            element(
                "button", "Whole picture", type="button", data_do="whole", aria_pressed="false"
            ),
            element("button", "Share", type="button", data_do="share"),
            element("button", "Stop following", type="button", data_do="follow", hidden="hidden"),
            class_="step-tools",
        ),
        class_="stepper",
    )


def steps_element(story: Story, display: Display, begun: int) -> Element:
    """The steps in the order of the run; those that have begun are marked."""
    if not story.events:
        return element("p", "This move opens no valve that passes air.", class_="no-steps")
    items = [
        _step_item(event, display, "begun" if number < begun else "")
        for number, event in enumerate(story.events)
    ]
    return element("ol", *items, class_="circuit-steps")


def _step_item(event: StoryStep, display: Display, state: str) -> Element:
    item = element("li", class_=f"step-{event.kind} {state}".strip())
    time = display.value(seconds(event.seconds))
    append(item, element("span", time, class_="step-time figure"), " ")
    append(item, element("b", event.what + ": "), phrase_element("span", event.why, display))
    if event.value is not None:
        append(item, " → ", element("span", display.value(event.value), class_="figure"))
    return item


def remarks_and_warnings(answer: Answer) -> list[Element]:
    """What a link brought that needs saying, and the warnings, before the figures."""
    assert answer.outcome is not None
    made = [element("p", remark, class_="remark") for remark in link_remarks(answer)]
    made += [
        phrase_element("p", note.text, answer.display, class_="warning")
        for note in answer.outcome.notes
        if note.kind == "warning"
    ]
    return made


def more_elements(answer: Answer, *, id: str) -> list[Element]:
    """How sure it is, quiet notes, and the curve."""
    assert answer.outcome is not None
    made: list[Element] = [element("p", answer.calculator.estimate, class_="estimate")]
    quiet = [note for note in answer.outcome.notes if note.kind == "note"]
    if quiet:
        items = [phrase_element("li", note.text, answer.display) for note in quiet]
        made.append(element("ul", *items))
    made += [
        chart(series, answer.display, id=f"{id}-curve-{number}")
        for number, series in enumerate(answer.outcome.series)
    ]
    return made


def moments_json(answer: Answer, *, id: str) -> str:
    """The moments of the page's own state as JSON, safe inside a script element."""
    data = circuit_reply(answer, id=id, with_form=False)
    kept = ("base", "frames", "shown", "go_on", "operated", "link")
    return json.dumps({name: data[name] for name in kept}, ensure_ascii=False).replace(
        "<", "\\u003c"
    )
