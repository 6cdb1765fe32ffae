"""How long the moves of the locomotive's standing test take on the running brake."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from calculators.base.errors import InputError
from calculators.equipment.locomotive import Equipment
from calculators.equipment.running.brake import Brake, start
from calculators.equipment.running.figures import EXAMPLE, Setup
from calculators.equipment.standing_test import StandingTest

NEAR = 1.0
"""A gauge this near to where it comes to rest is there: about what can be read. [psi]"""
LOOKED_EVERY = 0.1
LONGEST = 60.0
"""[s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingTimes:
    """Times from the move of a handle [s]; None over a minute, or where the brake is not covered."""

    first_set: float | None
    """Until the cylinder is within a psi of what the first set gives."""
    bailed_off: float | None
    """Until the cylinder is under a psi with the handle pressed."""
    emergency_reservoir: float | None
    """Until the equalizing reservoir is under half a psi in emergency."""


def standing_times(
    equipment: Equipment, found: StandingTest, *, first_reduction: float
) -> StandingTimes:
    """Time three moves of the test on a light locomotive.

    Parameters
    ----------
    equipment
        The locomotive as the test is asked for it.
    found
        Where its gauges come to rest.
    first_reduction
        The first set. [psi]
    """
    # What the test does not ask for is that of the example locomotive.
    whole = replace(
        equipment,
        minimum_reduction=EXAMPLE.minimum_reduction,
        suppression_reduction=EXAMPLE.suppression_reduction,
        emergency_threshold=EXAMPLE.emergency_threshold,
    )
    try:
        brake = start(Setup(equipment=whole))
    except InputError:
        # A setting or a main reservoir that the train model does not go to.
        return StandingTimes(first_set=None, bailed_off=None, emergency_reservoir=None)
    brake.handle("service", reduction=first_reduction)
    set_to = found.first_set.brake_cylinder
    first_set = _until(brake, lambda: brake.gauge("brake_cylinder") >= set_to - NEAR)
    brake.advance(LONGEST)
    brake.bail_off(True)
    bailed_off = _until(brake, lambda: brake.gauge("brake_cylinder") < NEAR)
    other = start(Setup(equipment=whole))
    other.handle("emergency")
    return StandingTimes(
        first_set=first_set,
        bailed_off=bailed_off,
        emergency_reservoir=_until(other, lambda: other.gauge("equalizing_reservoir") < NEAR / 2.0),
    )


def _until(brake: Brake, there: Callable[[], bool]) -> float | None:
    since = brake.seconds
    while brake.seconds - since < LONGEST:
        if there():
            return brake.seconds - since
        brake.advance(LOOKED_EVERY)
    return None
