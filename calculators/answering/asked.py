"""What was asked, in words, and the line of settings that it was asked with."""

from __future__ import annotations

from collections.abc import Mapping
from string import Formatter

from calculators.answering.answer import Answer, Input, says_the_same
from calculators.answering.links import text_of
from calculators.base.errors import InputError
from calculators.base.fields import typed
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Display, Value, rounded
from calculators.base.units import convert
from calculators.declaring.first_screen import FirstScreen

# Of the last decimal shown; what is nearer than this to its figure needs no further decimal.
_HAIR = 0.04
_BARE = "bare"


def asked_words(answer: Answer, first: FirstScreen) -> str:
    """What was asked: "12 off 85 psi, independent 20 psi"."""
    inputs = {item.name: item for item in answer.inputs}
    chosen = str(inputs[first.asked_by].value) if first.asked_by else ""
    template = first.asked.get(chosen, first.asked.get("", ""))
    said = [_filled(template, inputs, answer.display)]
    for name, words in first.besides.items():
        item = inputs[name]
        if item.value is not None and item.value != answer.calculator.defaults()[name]:
            said.append(_filled(words, inputs, answer.display))
    return ", ".join(said)


def line_words(answer: Answer, first: FirstScreen, own: Mapping[str, str]) -> str:
    """The settings in one line, the railroad's own marked: "85 psi (yours), limit 58 psi".

    Parameters
    ----------
    answer
        The answer on the page.
    first
        The first screen of its calculator.
    own
        The device's own settings by the calculator's fields.
    """
    inputs = {item.name: item for item in answer.inputs}
    said = []
    for name, words in first.line.items():
        item = inputs[name]
        yours = " (yours)" if _is_own(item, own.get(name, "")) else ""
        said.append(f"{words} {input_text(item, answer.display)}{yours}".strip())
    return ", ".join(said)


def read_as(answer: Answer) -> dict[str, str]:
    """How fields were read whose text could be taken another way, by name.

    Said of a figure in another unit than the one on show, and of a comma in a figure.
    """
    notes = {}
    for item in answer.inputs:
        description = item.description
        if item.origin != "typed" or not isinstance(description, Quantity) or description.many:
            continue
        if not isinstance(item.value, float):
            continue
        try:
            unit = typed(item.name, description, item.text).unit
        except InputError:
            continue
        if unit != answer.display.unit_for(description.unit) or "," in item.text:
            notes[item.name] = f"Read as {_figure(item.value, description, answer.display)}."
    return notes


def input_text(item: Input, display: Display, *, bare: bool = False) -> str:
    """An input as it is said in a sentence: its figure and unit, or the short words of a choice."""
    description, value = item.description, item.value
    if isinstance(description, Choice) and isinstance(value, str):
        return short(description.words_of(value))
    if isinstance(description, Quantity):
        if value is None:
            return description.blank or "not given"
        if isinstance(value, tuple):
            return ", ".join(_figure(n, description, display, bare=bare) for n in value)
        if isinstance(value, float | int):
            return _figure(float(value), description, display, bare=bare)
    return text_of(description, value)


def short(words: str) -> str:
    """The first part of an option's words: its name; what follows a colon explains it."""
    return words.partition(":")[0]


def _filled(template: str, inputs: Mapping[str, Input], display: Display) -> str:
    made = []
    for text, name, form, _ in Formatter().parse(template):
        made.append(text)
        if name is not None:
            made.append(input_text(inputs[name], display, bare=form == _BARE))
    return "".join(made)


def _figure(value: float, description: Quantity, display: Display, *, bare: bool = False) -> str:
    unit = display.unit_for(description.unit)
    shown = convert(value, description.unit, unit)
    digits = description.digits
    if unit == description.unit:
        # As it was given: 8 in, 7.5 in, 85.6 psi.
        digits = next((n for n in range(digits + 1) if _shows(shown, n)), digits + 1)
    if bare:
        return display.amount(value, description.unit, digits)
    return display.value(Value(value, description.unit, digits))


def _shows(amount: float, digits: int) -> bool:
    return abs(amount - float(rounded(amount, digits).replace(",", ""))) <= _HAIR * 10.0**-digits


def _is_own(item: Input, text: str) -> bool:
    if not text.strip() or item.value is None:
        return False
    return says_the_same(item.description, item.name, text, item.value)
