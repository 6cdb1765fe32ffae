"""The brake pipe below which no emergency is counted on, and the warning where a figure comes from less."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Note, Phrase, psi

EMERGENCY_NEEDS = 45.0
"""Brake pipe below which an emergency is not counted on. [psi] Nominal, from memory."""

NOT_ASSURED = " Emergency NOT assured."
"""Behind a headline that names what an emergency gives."""


def is_low(brake_pipe: float) -> bool:
    """Whether an emergency from this brake pipe [psi] is not counted on.

    Examples
    --------
    >>> is_low(44.9), is_low(45.0)
    (True, False)
    """
    return brake_pipe < EMERGENCY_NEEDS


def warnings_of_low_emergency(brake_pipe: float) -> Iterator[Note]:
    """Warn where the figure of an emergency comes from this brake pipe [psi], if that is too low."""
    if is_low(brake_pipe):
        yield Note(
            kind="warning",
            text=Phrase(
                "Emergency not assured from a brake pipe of {start}: below about {needs}, nominal and "
                "from memory, it may not start or not run through the train. Do not count on its figure.",
                {"start": psi(brake_pipe), "needs": psi(EMERGENCY_NEEDS)},
            ),
        )
