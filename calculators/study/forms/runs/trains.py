"""Questions on short trains run by the train model: charging, a release too early, a cock closed.

Short, because the next question must not be waited for; what is asked shows on them as well.
"""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "air"
_END = "Head less rear at the end"
# By then a short train stands at what it leaks.
_SETTLED_S = 600.0


def _filling(draws: Draws) -> Drawn:
    return {
        "command": "charge",
        "cars": draws.whole(10, 20, 2),
        "from_pressure": 0.0,
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "seconds": draws.whole(20, 40, 5),
    }


def _leaking(draws: Draws) -> Drawn:
    return {
        "command": "charge",
        "cars": draws.whole(10, 14, 2),
        "from_pressure": 60.0,
        "brake_pipe_setting": draws.pick((80.0, 90.0)),
        "leakage": draws.whole(14, 40, 2),
        "seconds": _SETTLED_S,
        "early": draws.whole(20, 40, 5),
    }


def _early_release(draws: Draws) -> Drawn:
    at = draws.whole(3, 5)
    off = draws.whole(12, 18)
    return {
        "cars": draws.whole(50, 80, 10),
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "moves": f"0 s service {off:g} psi; {at:g} s release",
        "seconds": 30.0,
        "off": off,
        "at": at,
    }


def _closed(draws: Draws) -> Drawn:
    at = draws.whole(3, 5)
    off = draws.whole(14, 20)
    return {
        "cars": draws.whole(30, 60, 10),
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "moves": f"0 s service {off:g} psi; {at:g} s close angle cock 1",
        "seconds": 60.0,
        "off": off,
        "at": at,
    }


def _flow_then(seen: Seen) -> float:
    """What the indicator shows while the cars still charge [cfm]."""
    return float(seen.seen(seconds=seen.early).head_flow)


def _shut_in(seen: Seen) -> str | None:
    """What the last car's brake comes to behind a cock that was closed too early."""
    left = seen.last_car_cylinder
    return "falls" if left is not None and left < 0.5 else None


FORMS = (
    Form(
        id="rear-auxiliary",
        topic=TOPIC,
        calculator="train-run",
        follows=True,
        asks="last_car_auxiliary",
        words=(
            "{cars} empty cars have been charging to {brake_pipe_setting} for {seconds}; the rear gauge reads {rear:psi}. About what does "
            "the last car's auxiliary hold?"
        ),
        draw=_filling,
        slips=(
            Slip(
                mistake="rear-gauge-for-cars",
                step=_END,
                why="while reservoirs fill, the pipe is higher than they are: the rear looks charged before it is.",
                gives=lambda s: s.rear,
            ),
            Slip(
                mistake="head-gauge-for-train",
                step=_END,
                why="the head is up in moments; it tells nothing of the cars behind.",
                gives=lambda s: s.head,
            ),
        ),
    ),
    Form(
        id="flow-once-charged",
        topic=TOPIC,
        calculator="train-run",
        follows=True,
        asks="head_flow",
        also={"flow": _flow_then},
        words=(
            "{cars} cars charge to {brake_pipe_setting}, and {leakage} of it leaks away. After {early:s} the air flow indicator shows "
            "{flow:cfm}. About what does it show after {seconds}?"
        ),
        draw=_leaking,
        slips=(
            Slip(
                mistake="flow-read-early",
                step=_END,
                why="while cars charge the indicator shows that as well; what leaks is read once it is steady.",
                gives=_flow_then,
            ),
            Slip(
                mistake="flow-falls-to-nothing",
                step=_END,
                why="a charged train still takes what it leaks.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="gradient-limit-for-reading",
                step=_END,
                why="that is what the rule allows, not what this train takes.",
                gives=lambda s: 60.0,
            ),
        ),
    ),
    Form(
        id="released-early",
        topic="circuits",
        calculator="train-run",
        follows=True,
        asks="last_car_starts",
        words=(
            "{cars} cars at {brake_pipe_setting}: {off:psi} is taken off, and {at:s} after that began the handle goes to release. When, "
            "counted from the set, does the last car begin to apply?"
        ),
        draw=_early_release,
        slips=(
            Slip(
                mistake="released-before-the-rear",
                step="Speed of the start",
                why="the set is still on its way when the handle goes back, and runs on: the rear applies while the head lets go.",
                gives=lambda s: s.at,
            ),
            Slip(
                mistake="on-with-the-handle",
                step="Sound reaches the last car",
                why="nothing reaches the rear with the handle; the start runs along the train.",
                gives=lambda s: 0.0,
            ),
        ),
    ),
    Form(
        id="cock-closed-early",
        topic="circuits",
        calculator="train-run",
        kind="moves",
        follows=True,
        right=_shut_in,
        options={"falls": "it lets go", "stands": "it holds the set", "rises": "it gets more"},
        words=(
            "{cars} cars at {brake_pipe_setting}: {off:psi} is taken off, and {at:s} later, while the exhaust still blows, the angle cock "
            "behind the first car is closed. What has the last car's brake done {seconds} after the set began?"
        ),
        draw=_closed,
        slips=(
            Slip(
                mistake="cock-closed-while-it-blows",
                step="Cylinders at the end",
                why="the pipe behind the cock has not come down; its air evens out, and that rise lets those cars go.",
                gives=lambda s: "stands",
            ),
            Slip(
                mistake="shut-in-air-applies",
                step="Cylinders at the end",
                why="a brake gets more only while its pipe falls; behind the cock it rises.",
                gives=lambda s: "rises",
            ),
        ),
    ),
)
