"""Questions on force: braking ratio, grades, hand brakes, resistance, stopping."""

from __future__ import annotations

from math import radians, tan

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "force"
# What the stop and the balance are asked with; the question names them.
RATIO: Drawn = {"braking_ratio": 10.0, "friction": 0.3, "half_friction_speed": 150.0}


def _ratio(draws: Draws) -> Drawn:
    return {
        "brake_cylinder": draws.whole(20, 50, 2),
        "lever_ratio": draws.pick((6.0, 7.0, 8.0, 9.0)),
        "efficiency": draws.whole(55, 75, 5),
        "weight": draws.pick((30.0, 65.0, 100.0, 130.0)),
    }


def _balance(draws: Draws) -> Drawn:
    cars = draws.whole(80, 120, 2)
    return RATIO | {
        "weight": draws.whole(8000, 14000, 500),
        "grade": draws.pick((0.8, 1.0, 1.2, 1.4)),
        "cars": cars,
        "operative_brakes": cars - draws.whole(10, 18),
    }


def _pull(draws: Draws) -> Drawn:
    return {
        "weight": draws.whole(1000, 9000, 500),
        "grade": draws.pick((0.5, 0.8, 1.0, 1.5, 2.0)),
        "holding_force": draws.pick((4000.0, 4600.0, 5000.0)),
        "margin": draws.pick((25.0, 50.0)),
        "cars": 118.0,
    }


def _resistance(draws: Draws) -> Drawn:
    return {
        "grade": draws.pick((0.2, 0.25, 0.3)),
        "curve": draws.whole(7, 12),
        "direction": draws.pick(("down", "up")),
        "speed": draws.whole(10, 40, 10),
    }


def _stop(draws: Draws) -> Drawn:
    return RATIO | {"speed": draws.whole(30, 60, 5), "command": "emergency"}


def _service_stop(draws: Draws) -> Drawn:
    return RATIO | {
        "speed": draws.whole(30, 50, 5),
        "command": "service",
        "reduction": draws.whole(32, 40),
    }


def _measured(draws: Draws) -> Drawn:
    return {
        "speed": draws.whole(30, 60, 5),
        "distance": draws.whole(1200, 3000, 100),
        "grade": draws.pick((1.0, 1.5, 2.0)),
        "direction": draws.pick(("down", "up")),
    }


def _without_margin_and_part(seen: Seen) -> float:
    return float(seen.again(margin=0))


def _less_resistance(seen: Seen) -> float:
    """The number that somebody comes to who lets the resistance hold its part."""
    rolling = float(seen.other("train-resistance", speed=0.0).rolling)
    left = max(0.0, 20 * seen.grade - rolling) * seen.weight * (1 + seen.margin / 100)
    return float(-(-left // seen.holding_force))


FORMS = (
    Form(
        id="ratio",
        topic=TOPIC,
        own=2,
        calculator="brake-force",
        asks="braking_ratio",
        words=(
            "A car of {weight}, one cylinder of {cylinder_bore} bore at {brake_cylinder}, lever ratio {lever_ratio}, efficiency "
            "{efficiency}. What is its braking ratio at this pressure?"
        ),
        draw=_ratio,
        slips=(
            Slip(
                mistake="ratio-at-other-pressure",
                step="Force of the pistons",
                why="that is the ratio at 64 psi; a ratio belongs to the cylinder pressure at which it is stated.",
                gives=lambda s: s.again(brake_cylinder=64),
            ),
            Slip(
                mistake="efficiency-left-out",
                step="Force of all shoes",
                why="part of the pistons' force is lost in the rigging.",
                gives=lambda s: s.again(efficiency=100),
            ),
        ),
    ),
    Form(
        id="tons-a-brake",
        topic=TOPIC,
        calculator="grade-balance",
        asks="tons_per_operative_brake",
        until="Weight on each operative brake",
        words=(
            "A train of {weight} has {cars} cars; {operative_brakes} brakes are operative. How much weight falls to each "
            "operative brake?"
        ),
        draw=_balance,
        slips=(
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
        id="grade-pull",
        topic=TOPIC,
        calculator="hand-brakes",
        asks="grade_force",
        until="Pull of the grade",
        words="{weight} stand on a grade of {grade}. With what force does the grade pull?",
        draw=_pull,
        slips=(
            Slip(
                mistake="percent-as-degrees",
                step="Pull of the grade",
                why="1 % is one foot in a hundred, not one degree.",
                gives=lambda s: 2000 * s.weight * tan(radians(s.grade)),
            ),
            Slip(
                mistake="pounds-a-ton-slipped",
                step="Pull of the grade",
                why="each percent pulls with 20 lb for each ton: a hundredth of 2,000 lb.",
                gives=lambda s: 10 * s.weight * s.grade,
            ),
        ),
    ),
    Form(
        id="hand-brakes",
        topic=TOPIC,
        own=2,
        calculator="hand-brakes",
        asks="number",
        apart=0.0,
        words=(
            "{weight} stand on {grade}. One hand brake is taken to hold {holding_force}, with a margin of {margin}. How many does "
            "the sum ask for? (The railroad's chart decides, and the air off proves.)"
        ),
        draw=_pull,
        slips=(
            Slip(
                mistake="margin-for-hand-brakes",
                step="With the margin",
                why="the margin was left out; it is there for brakes that hold less than they should.",
                gives=_without_margin_and_part,
            ),
            Slip(
                mistake="resistance-holds",
                step="Pull of the grade",
                why="resistance cannot be relied on to hold anything, so nothing is taken off the pull.",
                gives=_less_resistance,
            ),
            Slip(
                mistake="percent-as-degrees",
                step="Pull of the grade",
                why="1 % is one foot in a hundred, not one degree.",
                gives=lambda s: float(
                    -(
                        -2000
                        * s.weight
                        * tan(radians(s.grade))
                        * (1 + s.margin / 100)
                        // s.holding_force
                    )
                ),
            ),
        ),
    ),
    Form(
        id="resistance",
        topic=TOPIC,
        calculator="train-resistance",
        asks="resistance",
        until="Together",
        least=1.0,
        words=(
            "A train runs {direction}, {grade}, in a curve of {curve} at {speed}. How much holds each ton back, rolling, grade and curve "
            "together?"
        ),
        draw=_resistance,
        slips=(
            Slip(
                mistake="grade-and-curve-mixed",
                step="Together",
                why="grade and curve add, but only the grade changes its sign with the direction.",
                gives=lambda s: s.resistance - 2 * s.curve_part if s.direction == "down" else None,
            ),
            Slip(
                mistake="percent-as-degrees",
                step="Grade",
                why="1 % is one foot in a hundred, not one degree.",
                gives=lambda s: (
                    s.rolling
                    + s.curve_part
                    + (1 if s.direction == "up" else -1) * 2000 * tan(radians(s.grade))
                ),
            ),
            Slip(
                mistake="direction-turned-round",
                step="Grade",
                why="up, the grade holds back; down, it drives on.",
                gives=lambda s: s.resistance - 2 * s.grade_part,
            ),
        ),
    ),
    Form(
        id="stop-emergency",
        topic=TOPIC,
        own=2,
        calculator="stopping-distance",
        asks="distance",
        words=(
            "From {speed} a train of {cars} cars and {weight} goes to emergency on the level; braking ratio {braking_ratio} at "
            "{ratio_pressure}, friction {friction} at rest, falling with speed. About how far does the model run it?"
        ),
        draw=_stop,
        slips=(
            Slip(
                mistake="on-with-the-handle",
                step="Build-up",
                why="a good part of the distance is run before the cylinders have their pressure.",
                gives=lambda s: s.parts[2],
            ),
            Slip(
                mistake="friction-at-rest",
                step="Friction at the start",
                why="shoes hold less at speed than at rest, so the stop is longer.",
                gives=lambda s: s.again(friction_law="constant", half_friction_speed=""),
            ),
        ),
    ),
    Form(
        id="stop-past-full-service",
        topic=TOPIC,
        calculator="stopping-distance",
        asks="distance",
        words=(
            "From {speed} a train of {cars} cars and {weight} stops on the level with {reduction} off {brake_pipe_setting}; braking "
            "ratio {braking_ratio} at {ratio_pressure}, friction {friction} at rest. About how far does the model run it?"
        ),
        draw=_service_stop,
        slips=(
            Slip(
                mistake="more-helps",
                step="Brake cylinders",
                why="past full service the cylinders have all they get, so the stop is no shorter.",
                gives=lambda s: s.distance * 26 / s.reduction,
            ),
            Slip(
                mistake="friction-at-rest",
                step="Friction at the start",
                why="shoes hold less at speed than at rest, so the stop is longer.",
                gives=lambda s: s.again(friction_law="constant", half_friction_speed=""),
            ),
        ),
    ),
    Form(
        id="measured-slowing",
        topic=TOPIC,
        calculator="measured-stop",
        asks="brakes_slowing",
        until="By brakes and resistance",
        words=(
            "A stop from {speed} took {distance} running {direction}, {grade}. What slowing did brakes and resistance "
            "make, the grade taken out?"
        ),
        draw=_measured,
        slips=(
            Slip(
                mistake="grade-left-in",
                step="By the grade",
                why="two stops on different grades can be compared only with the grade taken out.",
                gives=lambda s: s.mean_slowing,
            ),
            Slip(
                mistake="direction-turned-round",
                step="By the grade",
                why="down a grade the brakes do more than the slowing shows; up a grade they do less.",
                gives=lambda s: 2 * s.mean_slowing - s.brakes_slowing,
            ),
        ),
    ),
)
