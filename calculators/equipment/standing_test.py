"""The locomotive's standing brake test, step by step, with every gauge predicted.

The order is that of a standing test in print (ARMY-223, p. 2-7; ARMY-224, p. 2-8), with a full
service and the independent brake added as common practice. Each step is the locomotive at rest
after one move; pressures in gauge psi.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from calculators.equipment.locomotive import AtRest, Equipment, HandleDemand, at_rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Moves:
    """How far the test goes: reductions from the setting and the full independent, in psi."""

    first_reduction: float
    second_reduction: float
    full_reduction: float
    independent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingTest:
    """The locomotive at rest after each move of the test."""

    charged: AtRest
    first_set: AtRest
    bailed_off: AtRest
    second_set: AtRest
    moved_back: AtRest
    full_service: AtRest
    independent: AtRest
    emergency: AtRest
    emergency_held: AtRest
    emergency_let_go: AtRest


RELEASED = HandleDemand(
    handle="release",
    reduction=0.0,
    earlier_reduction=0.0,
    independent=0.0,
    bail_off="none",
    reduction_at_bail_off=None,
    dynamic_brake=False,
    control_reservoir=None,
)


def standing_test(equipment: Equipment, moves: Moves) -> StandingTest:
    """Predict every step of the test for one locomotive.

    Parameters
    ----------
    equipment
        The locomotive as it is set up, in control and cut in.
    moves
        The reductions and the independent of the test; the second reduction is at least the first.

    Returns
    -------
    StandingTest
        All pressures after each move. [psi]
    """
    first, second = moves.first_reduction, moves.second_reduction
    set_once = replace(RELEASED, handle="service", reduction=first)
    bailed = replace(set_once, bail_off="released", reduction_at_bail_off=first)
    set_again = replace(bailed, reduction=second, earlier_reduction=first)
    # Half-way back the handle asks for less, and the equalizing reservoir must not follow it.
    back = replace(set_again, reduction=second / 2, earlier_reduction=second)
    emergency = replace(RELEASED, handle="emergency")
    return StandingTest(
        charged=at_rest(equipment, RELEASED),
        first_set=at_rest(equipment, set_once),
        bailed_off=at_rest(equipment, bailed),
        second_set=at_rest(equipment, set_again),
        moved_back=at_rest(equipment, back),
        full_service=at_rest(equipment, replace(set_once, reduction=moves.full_reduction)),
        independent=at_rest(equipment, replace(RELEASED, independent=moves.independent)),
        emergency=at_rest(equipment, emergency),
        emergency_held=at_rest(equipment, replace(emergency, bail_off="held")),
        emergency_let_go=at_rest(equipment, replace(emergency, bail_off="released")),
    )
