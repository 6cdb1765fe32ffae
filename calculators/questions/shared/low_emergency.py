"""The brake pipe below which no emergency is counted on, and the warning where a figure comes from less.

What it takes is one record, `EMERGENCY_NEEDS`; a railroad's own figure stands in for it in every
answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.base.results import Note, Phrase, psi
from calculators.figures.thresholds import EMERGENCY_NEEDS

NOT_ASSURED = " Emergency NOT assured."
"""Behind a headline that names what an emergency gives."""

EMERGENCY_NEEDED = Quantity(
    term="Emergency is not counted on below a brake pipe of",
    setting=EMERGENCY_NEEDS.setting,
    unit=EMERGENCY_NEEDS.unit,
    low=40,
    high=90,
    help="Below this it may not start, or not run through the train.",
    mark="M",
    group="Your equipment",
)

EmergencyNeeds = Annotated[float, EMERGENCY_NEEDED]


def in_group(group: str) -> Quantity:
    """The same input in another part of a form."""
    return replace(EMERGENCY_NEEDED, group=group)


def is_low(brake_pipe: float, needs: float = EMERGENCY_NEEDS.value) -> bool:
    """Whether an emergency from this brake pipe is not counted on; both in psi.

    Examples
    --------
    >>> is_low(44.9), is_low(45.0), is_low(49.9, needs=50.0)
    (True, False, True)
    """
    return brake_pipe < needs


def how_known(needs: float) -> str:
    """Whose figure it is: "nominal and from memory", or the railroad's own."""
    return "nominal and from memory" if needs == EMERGENCY_NEEDS.value else "your own figure"


def warnings_of_low_emergency(brake_pipe: float, needs: float) -> Iterator[Note]:
    """Warn where the figure of an emergency comes from a brake pipe under what it needs; both in psi."""
    if is_low(brake_pipe, needs):
        yield Note(
            kind="warning",
            text=Phrase(
                "Emergency not assured from a brake pipe of {start}: below about {needs}, {known}, "
                "it may not start or not run through the train. Do not count on its figure.",
                {"start": psi(brake_pipe), "needs": psi(needs), "known": how_known(needs)},
            ),
        )
