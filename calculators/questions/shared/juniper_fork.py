"""The invented Juniper Fork Subdivision: its line, its grades, and what was read on a day.

With the two trains beside it (`questions.shared.train`) this is the one record of the examples: the
calculators' defaults and example readings come from here, and the scenario's own page shows it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of the line, from one place to the next as the mileposts rise.

    ``grade`` is in percent, above zero where the line rises with the mileposts.
    """

    start: str
    end: str
    from_mile: float
    to_mile: float
    grade: float


LINE = (
    Stretch(start="Juniper Fork yard", end="Alder Siding", from_mile=0.0, to_mile=6.5, grade=0.0),
    Stretch(start="Alder Siding", end="Larch Summit", from_mile=6.5, to_mile=15.0, grade=0.8),
    Stretch(start="Larch Summit", end="Marl Creek", from_mile=15.0, to_mile=27.0, grade=-1.0),
    Stretch(start="Marl Creek", end="Tamarack yard", from_mile=27.0, to_mile=34.0, grade=0.0),
)
"""The main line, one stretch behind the other."""

YARD_GRADE = LINE[0].grade
"""Level track, where the stop of the examples is made. [%]"""

DOWN_GRADE = -min(stretch.grade for stretch in LINE)
"""The steepest grade that a loaded train runs down. [%]"""

SPUR_GRADE = LINE[1].grade
"""The grade of the siding on the hill where JF-7 leaves its cars. [%]"""

REAR = "82"
"""Read at the rear of JF-3 in the yard's test. [psi]"""
AIR_FLOW = "48"
"""Read at the head of JF-3, brakes released. [cfm]"""
LEAKAGE = "3"
"""Lost by the brake pipe of JF-3 in the minute of the leakage test. [psi]"""
REDUCTION = "20"
"""Made in the yard's test. [psi]"""
PISTON_TRAVELS = "6 1/2, 8 1/4"
"""Measured on two cars of JF-3. [in]"""
OPERATIVE = CONTROL_VALVES = "120"
"""Control valves of JF-3 with its locomotives, and those of them seen to work."""

READINGS = {
    "rear": REAR,
    "air_flow": AIR_FLOW,
    "leakage": LEAKAGE,
    "reduction": REDUCTION,
    "piston_travels": PISTON_TRAVELS,
    "operative": OPERATIVE,
    "control_valves": CONTROL_VALVES,
}
"""By the names of the inputs that take them."""


def readings(*names: str) -> dict[str, str]:
    """Some of the day's readings, by the names of inputs; raises KeyError for another name."""
    return {name: READINGS[name] for name in names}
