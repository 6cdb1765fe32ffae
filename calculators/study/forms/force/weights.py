"""Questions on what weighs, what holds, and how a stop grows with the speed."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.forms.force.sums import RATIO, TOPIC
from calculators.study.model import DECIDING, Drawn, Form, Seen, Slip


def _on_a_grade(draws: Draws) -> Drawn:
    return RATIO | {
        "weight": draws.whole(4000, 14000, 500),
        "grade": draws.pick((0.7, 0.8, 0.9, 1.0)),
        "speed": draws.whole(15, 25, 5),
        "half_friction_speed": 60.0,
        "cars": 100.0,
        "operative_brakes": 100.0,
    }


def _with_dynamic(draws: Draws) -> Drawn:
    return _on_a_grade(draws) | {
        "weight": draws.whole(4000, 7000, 500),
        "grade": draws.pick((1.0, 1.1, 1.2)),
        "dynamic_axles": 6.0,
        "dynamic_axle_force": draws.pick((6000.0, 8000.0, 9000.0)),
    }


def _reckoned(draws: Draws) -> Drawn:
    cars = draws.whole(60, 120, 2)
    return {
        "cars": cars,
        "reckoned": draws.pick((40.0, 60.0, 80.0)),
        "weight": draws.whole(int(cars) * 95, int(cars) * 130, 100),
        "operative_brakes": cars - draws.whole(6, 16),
        "grade": 1.0,
    }


def _from_slower(draws: Draws) -> Drawn:
    slow = draws.whole(20, 30, 5)
    return RATIO | {
        "half_friction_speed": 20.0,
        "command": "emergency",
        "slow": slow,
        "speed": slow + draws.whole(20, 30, 5),
    }


def _known(seen: Seen) -> float:
    """The stop from the lower speed, all else alike [ft]."""
    return float(seen.again(speed=seen.slow))


FORMS = (
    Form(
        id="balance-cylinder",
        topic=TOPIC,
        own=2,
        calculator="grade-balance",
        asks="brake_cylinder",
        until="Cylinder pressure needed",
        words=(
            "A train of {weight} on {grade} at {speed}, all brakes operative: braking ratio {braking_ratio} at {ratio_pressure}, "
            "friction {friction} at rest, half of it left at {half_friction_speed}. What cylinder pressure balances the grade?"
        ),
        draw=_on_a_grade,
        slips=(
            Slip(
                mistake="shoe-force-for-holding",
                step="Brakes hold back at the stated pressure",
                why="what holds back is the shoes' force times the friction, and that is far less.",
                gives=lambda s: s.brake_cylinder * _friction(s),
            ),
            Slip(
                mistake="friction-at-rest",
                step="Friction at this speed",
                why="shoes hold less at speed than at rest, so more air is needed.",
                gives=lambda s: s.again(friction_law="constant", half_friction_speed=""),
            ),
        ),
    ),
    Form(
        id="weight-on-brake",
        topic=TOPIC,
        calculator="grade-balance",
        asks="tons_per_operative_brake",
        until="Weight on each operative brake",
        words=(
            "The crew reckons {reckoned:tons} a car for {cars} cars; the train's papers say {weight}, and {operative_brakes} brakes are "
            "operative. How much weight really falls to each operative brake?"
        ),
        draw=_reckoned,
        slips=(
            Slip(
                mistake="weighed-by-cars",
                step="Weight on each operative brake",
                why="an empty and a load are both one car; the weight is taken from the papers, not from the number of cars.",
                gives=lambda s: s.again(weight=s.cars * s.reckoned),
            ),
            Slip(
                mistake="all-cars-hold",
                step="Weight on each operative brake",
                why="a car that is cut out holds nothing; its weight falls to the others.",
                gives=lambda s: s.weight / s.cars,
            ),
            Slip(
                mistake="cut-out-left-at-home",
                step="Weight on each operative brake",
                why="the cut-out cars' brakes are gone, their weight is not.",
                gives=lambda s: s.weight * s.operative_brakes / s.cars / s.cars,
            ),
        ),
    ),
    Form(
        id="balance-without-dynamic",
        topic=TOPIC,
        calculator="grade-balance",
        asks="reduction",
        words=(
            "A train of {weight} on {grade} at {speed}: dynamic brakes on {dynamic_axles} axles hold back {dynamic_axle_force} each, and the "
            "air with braking ratio {braking_ratio} at {ratio_pressure}, friction {friction} at rest, half of it left at "
            "{half_friction_speed}. Which reduction must the air have in hand if the dynamic brake drops out?"
        ),
        draw=_with_dynamic,
        slips=(
            Slip(
                mistake="dynamic-counted-on",
                step=DECIDING,
                why="that balances only while the dynamic brake holds, and it may not be there when it matters most.",
                gives=lambda s: s.reduction_with_dynamic,
            ),
            Slip(
                mistake="friction-at-rest",
                step="Friction at this speed",
                why="shoes hold less at speed than at rest, so more air is needed.",
                gives=lambda s: s.again(friction_law="constant", half_friction_speed=""),
            ),
            Slip(
                mistake="shoe-force-for-holding",
                step="Brakes hold back at the stated pressure",
                why="what holds back is the shoes' force times the friction, and that is far less.",
                gives=lambda s: s.again(braking_ratio=s.braking_ratio / _friction(s)),
            ),
        ),
    ),
    Form(
        id="stop-from-faster",
        topic=TOPIC,
        calculator="stopping-distance",
        asks="distance",
        also={"known": _known},
        words=(
            "From {slow:mph} the model stops a train of {cars} cars in {known:ft} in emergency on the level; friction falls with speed, "
            "half of it left at {half_friction_speed}. About how far from {speed}, all else alike?"
        ),
        draw=_from_slower,
        slips=(
            Slip(
                mistake="scaled-by-the-square",
                step="Friction at the start",
                why="the square of the speed is right for a steady slowing; shoes hold less at more speed, so it falls short.",
                gives=lambda s: _known(s) * (s.speed / s.slow) ** 2,
            ),
            Slip(
                mistake="scaled-by-the-speed",
                step="Followed step by step",
                why="with twice the speed there is four times the work to take away, not twice.",
                gives=lambda s: _known(s) * s.speed / s.slow,
            ),
        ),
    ),
)


def _friction(seen: Seen) -> float:
    """Friction at this speed, as it enters the working."""
    return float(seen.friction / (1 + seen.speed / seen.half_friction_speed))
