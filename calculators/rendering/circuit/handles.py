"""The handles of a circuit as a form: what a person moves with a thumb or with the keyboard."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.base.quantities import Choice, Quantity
from calculators.circuits.asking import AS_SHOWN, handles_of
from calculators.circuits.catalog import Circuit
from calculators.circuits.story import Story
from calculators.rendering.elements import element

OPERATED = ("handle", "reduction", "independent", "bail_off", "cut_off", "event", "dynamic_brake")
"""The fields that the handles set."""


def handles_element(
    answer: Answer, story: Story, circuit: Circuit, *, stage: float, id: str
) -> Element:
    """The form with both handles, bail-off, cut-off and the circuit's moves."""
    stands = handles_of(story, answer.display)
    form = element("form", class_="handles", action="#", method="get", autocomplete="off")
    if len(circuit.stages) > 1:
        form.append(_stages(circuit, stage, id))
    for item in answer.inputs:
        if item.name not in OPERATED:
            continue
        description = item.description
        if isinstance(description, Choice) and item.name != "event":
            form.append(_radios(item.name, description, stands[item.name], id))
        elif isinstance(description, Choice):
            form.append(_select(item.name, description, stands[item.name], id))
        else:
            assert isinstance(description, Quantity)
            form.append(_number(item.name, description, stands[item.name], id))
    form.append(
        element(
            "p",
            "A handle that you move changes this move, from the same start. “Go on from here” makes "
            "the state at rest the start of the next.",
            class_="help",
        )
    )
    return element(
        "section",
        element(
            "div",
            element("p", "Move the handles", id=f"{id}-handles", class_="calculator-title"),
            element("button", "Close", type="button", data_do="close-sheet"),
            class_="sheet-head",
        ),
        form,
        class_="operating",
        aria_labelledby=f"{id}-handles",
    )


def tools_element() -> Element:
    """What can be done with a move as a whole."""
    return element(
        "div",
        element("button", "Go on from here", type="button", data_do="go-on"),
        element("button", "Start over", type="button", data_do="start-over"),
        element("button", "Hide what follows", type="button", data_do="veil", aria_pressed="false"),
        element("button", "Copy link", type="button", data_do="link"),
        element("button", "Copy as text", type="button", data_do="text"),
        element("button", "Print", type="button", data_do="print"),
        class_="tools circuit-tools",
    )


def _stages(circuit: Circuit, chosen: object, id: str) -> Element:
    radios = [
        _radio("stage", str(number), f"{number}. {stage.name}", number == chosen, id)
        for number, stage in enumerate(circuit.stages, 1)
    ]
    return element(
        "fieldset",
        element("legend", "Moves of this circuit"),
        element("div", *radios, class_="choices"),
        class_="choice-stage",
    )


def _radios(name: str, description: Choice, chosen: str, id: str) -> Element:
    radios = [
        _radio(name, option.value, _short(option.words), option.value == chosen, id)
        for option in description.options
        if option.value != AS_SHOWN
    ]
    return element(
        "fieldset",
        element("legend", description.term),
        element("div", *radios, class_="choices"),
        class_=f"choice-{name}",
    )


def _short(words: str) -> str:
    """The first part of an option's words: its place; the rest explains."""
    return words.partition(":")[0]


def _radio(name: str, value: str, words: str, checked: bool, id: str) -> Element:
    made = element(
        "input",
        type="radio",
        id=f"{id}-{name}-{value}",
        name=name,
        value=value,
        **({"checked": "checked"} if checked else {}),
    )
    return element("label", made, element("span", words), class_="choice")


def _select(name: str, description: Choice, chosen: str, id: str) -> Element:
    options = [
        element(
            "option",
            option.words,
            value=option.value,
            **({"selected": "selected"} if option.value == chosen else {}),
        )
        for option in description.options
        if option.value != AS_SHOWN
    ]
    return element(
        "div",
        element("label", description.term, for_=f"{id}-{name}"),
        element("div", element("select", *options, id=f"{id}-{name}", name=name), class_="entry"),
        class_="field",
    )


def _number(name: str, description: Quantity, text: str, id: str) -> Element:
    field_id = f"{id}-{name}"
    box = element(
        "div",
        element(
            "button",
            "−",
            type="button",
            data_less=name,
            aria_label=f"{description.term}: less",
        ),
        element(
            "input",
            id=field_id,
            name=name,
            type="text",
            value=text,
            inputmode="decimal",
            data_pressure="yes",
            aria_describedby=f"{field_id}-error",
        ),
        element(
            "button",
            "+",
            type="button",
            data_more=name,
            aria_label=f"{description.term}: more",
        ),
        element("span", description.unit, class_="unit", data_unit_label="yes", aria_hidden="true"),
        class_="entry",
    )
    return element(
        "div",
        element("label", description.term, for_=field_id),
        box,
        element("p", "", id=f"{field_id}-error", class_="field-error"),
        class_=f"field number-{name}",
    )
