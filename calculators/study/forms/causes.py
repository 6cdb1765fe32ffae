"""Questions on what is wrong: causes that all look possible, and one reading that only one gives.

Every cause is a change of the calculator's own inputs; none needs the fault finder.
"""

from __future__ import annotations

from collections.abc import Callable

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

# As far apart as two figures of a question are: nearer ones a gauge cannot tell [psi].
_APART = 4.0
_Readings = dict[str, Callable[[Seen], float]]


def _car(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "reduction": draws.whole(16, 20),
        "long": draws.pick((10.0, 11.0)),
        "behind": draws.whole(4, 9),
        "short": draws.whole(2, 8),
        "cause": draws.pick(("travel", "charge")),
    }


_CAR: _Readings = {
    "travel": lambda s: s.again(piston_travel=s.long),
    "charge": lambda s: s.again(
        charged=s.brake_pipe_setting - s.behind, reduction=s.reduction - s.behind
    ),
    "reduction": lambda s: s.again(reduction=s.reduction - s.short),
}


def _locomotive(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": draws.pick((85.0, 90.0, 95.0)),
        "reduction": draws.whole(14, 20),
        "handle": "service",
        "pressed": draws.whole(6, 10),
        "behind": draws.whole(2, 5),
        "other_independent": draws.whole(5, 14),
        "cause": draws.pick(("bailed", "reservoir")),
    }


_LOCOMOTIVE: _Readings = {
    "bailed": lambda s: s.again(bail_off="released", reduction_at_bail_off=s.pressed),
    "reservoir": lambda s: s.again(control_reservoir=s.brake_pipe_setting - s.behind),
    "independent": lambda s: s.again(
        bail_off="released", reduction_at_bail_off=s.reduction, independent=s.other_independent
    ),
}


def _second_valve(draws: Draws) -> Drawn:
    return {
        "circuit": "trailing-unit",
        "wrong": "trailing-cut-in",
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "reduction": draws.whole(8, 12),
        "cars": draws.whole(30, 60, 10),
        "moment": draws.whole(40, 60, 10),
        # It never comes to rest; no longer than the moment asked for has to be followed.
        "follow_for": 1.0,
    }


def _fed(seen: Seen) -> str | None:
    """A second valve that feeds, where a healthy train would have come to rest by this moment."""
    healthy = seen.seen(wrong="nothing")
    if healthy.failed or abs(healthy.rear_brake_pipe - healthy.brake_pipe) > 1:
        return None
    return "fed" if seen.rear_brake_pipe - seen.brake_pipe >= _APART else None


def _cause(readings: _Readings) -> Callable[[Seen], str | None]:
    """The cause that was drawn, where no other gives a reading like its own."""

    def right(seen: Seen) -> str | None:
        cause = str(seen.cause)
        shown = {name: read(seen) for name, read in readings.items()}
        if any(one is None for one in shown.values()):
            return None
        near = [n for n in shown if n != cause and abs(shown[n] - shown[cause]) < _APART]
        return None if near else cause

    return right


def _reading(readings: _Readings) -> Callable[[Seen], float]:
    return lambda seen: readings[str(seen.cause)](seen)


def _other(readings: _Readings, place: int) -> Callable[[Seen], str]:
    """One of the causes that were not drawn."""
    return lambda seen: [name for name in readings if name != seen.cause][place]


def _slips(readings: _Readings, step: str, why: str) -> tuple[Slip, ...]:
    return (
        Slip(mistake="first-cause-taken", step=step, why=why, gives=_other(readings, 0)),
        Slip(mistake="direction-is-enough", step=step, why=why, gives=_other(readings, 1)),
    )


FORMS = (
    Form(
        id="wrong-car",
        topic="cars",
        calculator="car-brake",
        kind="wrong",
        asks="brake_cylinder",
        right=_cause(_CAR),
        also={"expected": lambda s: s.brake_cylinder, "read": _reading(_CAR)},
        options={
            "travel": "its piston travels that far",
            "charge": "it had come back only to that",
            "reduction": "only so much less was taken off",
        },
        words=(
            "A car charged to {brake_pipe_setting}, {reduction} off, piston travel {piston_travel}: the sum says {expected:psi}, a gauge on its "
            "cylinder reads {read:psi}. What fits: a piston travel of {long:in}, a car that had come back only to {behind:psi} under "
            "the setting, or {short:psi} less taken off than was thought?"
        ),
        draw=_car,
        slips=_slips(
            _CAR,
            "Auxiliary's air in the cylinder",
            "all three lower the cylinder; only the amount tells them apart, so each is worked out.",
        ),
    ),
    Form(
        id="wrong-locomotive",
        topic="locomotive",
        calculator="locomotive-brake",
        kind="wrong",
        asks="brake_cylinder",
        right=_cause(_LOCOMOTIVE),
        also={"expected": lambda s: s.brake_cylinder, "read": _reading(_LOCOMOTIVE)},
        options={
            "bailed": "the independent handle was pressed in between and let go",
            "reservoir": "its control reservoir was not charged to the setting",
            "independent": "all of it was bailed off; what is read is the independent",
        },
        words=(
            "{reduction} off {brake_pipe_setting}: the sum says {expected:psi} on the locomotive's cylinder, the gauge reads {read:psi}. What fits: "
            "the independent handle pressed and let go at {pressed:psi} off, a control reservoir that stood {behind:psi} under the "
            "setting, or a bail-off after the whole set with the independent at {other_independent:psi}?"
        ),
        draw=_locomotive,
        slips=_slips(
            _LOCOMOTIVE,
            "*",
            "all three read under the sum; only the amount tells them apart, so each is worked out.",
        ),
    ),
    Form(
        id="wrong-second-valve",
        topic="circuits",
        calculator="circuit",
        kind="wrong",
        right=_fed,
        options={
            "fed": "a second brake valve is cut in behind, and feeds what the lead lets out",
            "on-its-way": "nothing: the set is still on its way to the rear",
            "closed": "the angle cock behind the locomotives is closed",
        },
        words=(
            "The lead takes {reduction} off {brake_pipe_setting}, {cars} cars behind two units. {moment} later its exhaust still blows, the "
            "brake pipe reads {brake_pipe:psi} at the head and {rear_brake_pipe:psi} at the rear, and neither comes down further. What fits?"
        ),
        draw=_second_valve,
        slips=(
            Slip(
                mistake="two-valves-cut-in",
                step="*",
                why="by now a set has long been at the rear; each valve makes good what the other lets out, so the set does not hold.",
                gives=lambda s: "on-its-way",
            ),
            Slip(
                mistake="first-cause-taken",
                step="*",
                why="behind a closed cock the head is down at once and its exhaust stops early.",
                gives=lambda s: "closed",
            ),
        ),
    ),
)
