"""A calculator's form as an HTML fragment, filled as its answer was asked.

What changes from move to move stands open as keys; the rest opens from one line that names it.
"""

from __future__ import annotations

from collections.abc import Mapping
from json import dumps
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.answering.asked import line_words
from calculators.base.quantities import Choice, Quantity, Text
from calculators.base.units import PRESSURE_UNITS
from calculators.declaring.first_screen import FirstScreen
from calculators.declaring.registry import Calculator
from calculators.rendering.elements import append, element, html
from calculators.rendering.forms.fields import field, selected
from calculators.rendering.forms.keys import key_element
from calculators.rendering.forms.readings import readings_element

NO_SETTINGS: Mapping[str, str] = {}
LINE = "line"
"""The name of the group that opens the rest of the form."""


def form_html(
    answer: Answer, *, id: str, own: Mapping[str, str] = NO_SETTINGS, keys: bool = True
) -> str:
    """The calculator's form, filled as the answer was asked.

    Parameters
    ----------
    answer
        The answer whose inputs fill it.
    id
        Keeps the ids on a page apart.
    own
        The device's own settings by field, for the line that names the rest.
    keys
        Whether the inputs of the first screen stand apart as keys.
    """
    calculator = answer.calculator
    form = element("form", class_="asking", action="#", method="get", autocomplete="off")
    first = calculator.first if keys else None
    append(form, _offers(calculator))
    if first is None:
        append(form, *_groups(answer, id, without=()))
        return html(form)
    moved = [
        key_element(key, item, answer, id=id)
        for key in first.keys
        for item in answer.inputs
        if item.name == key.field
    ]
    form.append(element("div", *moved, class_="first-keys"))
    append(form, readings_element(answer, id=id))
    apart = (*(key.field for key in first.keys), *first.readings)
    rest = _groups(answer, id, without=apart)
    if rest:
        form.append(
            element(
                "details",
                element("summary", *_line(answer, first, own)),
                *rest,
                class_="more-fields rest",
                data_group=LINE,
            )
        )
    return html(form)


def _line(answer: Answer, first: FirstScreen, own: Mapping[str, str]) -> list[Element]:
    return [
        element("span", line_words(answer, first, own), class_="line-words"),
        element("span", "Change", class_="line-opens"),
    ]


def _groups(answer: Answer, id: str, *, without: tuple[str, ...]) -> list[Element]:
    """The fields by the parts of the form, those of the first part open."""
    made: list[Element] = []
    for number, group in enumerate(answer.calculator.groups()):
        fields = [
            field(item, answer, id)
            for item in answer.inputs
            if isinstance(item.description, Quantity | Choice | Text)
            and item.description.group == group
            and item.name not in without
        ]
        grid = element("div", *fields, class_="fields")
        if number == 0:
            append(grid, _pressure_unit(answer, id) if _takes_pressures(answer) else None)
            made += [grid] if len(grid) else []
        elif fields:
            made.append(element("details", element("summary", group), grid, class_="more-fields"))
    return made


def _offers(calculator: Calculator) -> Element | None:
    """Buttons that fill in a set of entries."""
    if not calculator.offers:
        return None
    buttons = (
        element("button", words, type="button", data_entries=dumps(dict(entries)))
        for words, entries in calculator.offers.items()
    )
    return element("div", *buttons, class_="tools offers")


def _takes_pressures(answer: Answer) -> bool:
    return any(
        isinstance(item.description, Quantity) and item.description.kind == "pressure"
        for item in answer.inputs
    )


def _pressure_unit(answer: Answer, id: str) -> Element:
    options = [
        element("option", unit, value=unit, **selected(unit == answer.display.pressure))
        for unit in PRESSURE_UNITS
    ]
    return element(
        "div",
        element("label", "Pressures in", for_=f"{id}-pressure_unit"),
        element("select", *options, id=f"{id}-pressure_unit", name="pressure_unit"),
        class_="field",
    )
