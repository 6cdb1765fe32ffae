"""Reading an answer: right, one of the mistakes by name, or another figure; and what to say to it."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.base.errors import InputError
from calculators.base.fields import typed
from calculators.base.quantities import Quantity
from calculators.base.results import Display
from calculators.base.units import convert
from calculators.study.items import Item, Wrong


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What an answer was: right, or a mistake that is known, or another wrong one.

    ``error`` is there for a text that is no answer; nothing is counted then.
    """

    right: bool = False
    mistake: Wrong | None = None
    error: str = ""


def judged(item: Item, text: str, *, display: Display | None = None) -> Judged:
    """Judge what was typed or chosen.

    Parameters
    ----------
    item
        The question as it was drawn.
    text
        A figure as typed, with or without a unit, for a question that asks for one (a bare figure
        is in the unit on show); the words of an option for the others. An option of a question
        that asks for a figure is taken too.
    display
        The unit in which pressures were shown.
    """
    if text == item.right.words:
        return Judged(right=True)
    for wrong in item.wrong:
        if text == wrong.words:
            return Judged(mistake=wrong)
    if item.right.value is None:
        return Judged(error="Choose one of the answers.")
    try:
        given = _figure(item, text, display or Display())
    except InputError as error:
        return Judged(error=error.message)
    if abs(given - item.right.value) <= item.right.tolerance:
        return Judged(right=True)
    near = [
        wrong
        for wrong in item.wrong
        if wrong.value is not None and abs(given - wrong.value) <= _room(item, wrong.value)
    ]
    near.sort(key=lambda wrong: abs(given - (wrong.value or 0.0)))
    return Judged(mistake=near[0] if near else None)


def _room(item: Item, value: float) -> float:
    """How near counts as this figure; as for the right one, by its own size."""
    right = item.right
    assert right.value is not None
    if right.unit == "psi":
        return right.tolerance
    return max(10.0**-right.digits, right.tolerance * abs(value) / max(abs(right.value), 1e-9))


def _figure(item: Item, text: str, display: Display) -> float:
    """The figure typed, in the unit of the answer."""
    shown = display.unit_for(item.right.unit)
    field = Quantity(term="Your answer", unit=shown, digits=item.right.digits)
    return convert(typed("answer", field, text).value, shown, item.right.unit)
