"""The inputs of the first screen as big keys."""

from __future__ import annotations

from json import dumps
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, Input
from calculators.answering.asked import short
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import plain
from calculators.declaring.first_screen import Key
from calculators.rendering.elements import append, element
from calculators.rendering.forms.fields import help_parts, number_input, unit_button

# What one press of − or + changes where a unit of its own is on show, near the step in psi.
_STEPS = {"kPa": 5.0, "bar": 0.1}


def key_element(key: Key, item: Input, answer: Answer, *, id: str) -> Element:
    """One input of the first screen with its label, its error and its keys."""
    if isinstance(item.description, Choice):
        made = _choice(key, item, item.description, answer, id)
    else:
        assert isinstance(item.description, Quantity)
        made = _number(key, item, item.description, answer, id)
    if key.only is not None:
        made.set("data-only", key.only[0])
        made.set("data-only-of", " ".join(key.only[1]))
        if _value_of(answer, key.only[0]) not in key.only[1]:
            made.set("hidden", "hidden")
    return made


def _value_of(answer: Answer, name: str) -> object:
    return next(item.value for item in answer.inputs if item.name == name)


def _choice(key: Key, item: Input, description: Choice, answer: Answer, id: str) -> Element:
    error = answer.errors.get(item.name, "")
    keys = {
        option.value: element(
            "label",
            element(
                "input",
                type="radio",
                id=f"{id}-{item.name}-{option.value}",
                name=item.name,
                value=option.value,
                **({"checked": "checked"} if option.value == item.value else {}),
            ),
            element("span", short(option.words)),
            class_="big-key",
        )
        for option in description.options
    }
    often = key.often or _of_one_kin(item, description)
    rarely = [made for value, made in keys.items() if value not in often]
    return element(
        "fieldset",
        element("legend", description.term),
        element("div", *(keys[value] for value in often), class_=f"key-rows key-rows-{len(often)}"),
        element(
            "details",
            element("summary", "Something else"),
            element("div", *rarely, class_="key-rows key-rows-2"),
            class_="more-fields more-keys",
        )
        if rarely
        else None,
        element("p", *help_parts(item), id=f"{id}-{item.name}-help", class_="help for-readers"),
        element("p", error, id=f"{id}-{item.name}-error", class_="field-error"),
        class_="field key-field",
        id=f"{id}-{item.name}",
        aria_describedby=f"{id}-{item.name}-help {id}-{item.name}-error",
    )


def _of_one_kin(item: Input, description: Choice) -> tuple[str, ...]:
    """The options that stand open with the one chosen: those of its kin."""
    kin = next((one.kin for one in description.options if one.value == item.value), "")
    return tuple(one.value for one in description.options if not kin or one.kin == kin)


def _number(key: Key, item: Input, description: Quantity, answer: Answer, id: str) -> Element:
    field_id = f"{id}-{item.name}"
    error = answer.errors.get(item.name, "")
    pressure = description.kind == "pressure"
    steps = {"": key.step} | (_STEPS if pressure else {})
    entry = (
        number_input(item, description, field_id, error=error),
        unit_button(item, description),
    )
    row = (
        # A list has no next figure to step to.
        element("div", *entry, class_="entry")
        if description.many
        else element(
            "div",
            _nudge("−", item.name, -1, f"{description.term}: less"),
            *entry,
            _nudge("+", item.name, 1, f"{description.term}: more"),
            class_="entry stepping",
            data_steps=dumps(steps),
        )
    )
    presets = [
        element(
            "button",
            element("span", f"{description.term} ", class_="for-readers"),
            element("span", plain(value)),
            type="button",
            data_fill=item.name,
            data_value=plain(value),
        )
        for value in key.presets
    ]
    made = element("div", element("label", description.term, for_=field_id), row)
    append(
        made,
        element("div", *presets, class_="presets") if presets else None,
        element("p", *help_parts(item), id=f"{field_id}-help", class_="help for-readers"),
        element("p", error, id=f"{field_id}-error", class_="field-error"),
    )
    made.set(
        "class",
        "field key-field key-number" + (" with-presets" if presets or description.many else ""),
    )
    return made


def _nudge(sign: str, name: str, by: int, words: str) -> Element:
    return element(
        "button", sign, type="button", data_nudge=name, data_by=str(by), aria_label=words
    )
