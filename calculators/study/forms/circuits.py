"""Questions on a move in time: what a gauge reads meanwhile, what moves first, what comes next."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "circuits"
_LEAD = "The handle's valve lets the equalizing reservoir down"
_PIPE, _CARS = "The brake pipe relay opens its exhaust", "Air runs forward along the train"
_CONTROL, _RELAY = "The control valve applies", "The relay valve fills the cylinders"
_BACK = "Air runs back along the train"
_SETTINGS = (85.0, 90.0, 95.0, 100.0)
# A gauge that has moved by less is said to stand [psi].
_MOVED = 1.0


def _set(draws: Draws) -> Drawn:
    return {
        "circuit": "service-application",
        "brake_pipe_setting": draws.pick(_SETTINGS),
        "reduction": draws.whole(12, 22),
        "cars": draws.whole(60, 130, 10),
        "moment": draws.whole(6, 14),
    }


def _early(draws: Draws) -> Drawn:
    return _set(draws) | {"reduction": draws.whole(18, 24), "moment": draws.whole(2, 4)}


def _release(draws: Draws) -> Drawn:
    return {
        "circuit": "release-and-recharge",
        "brake_pipe_setting": draws.pick(_SETTINGS),
        "cars": draws.whole(60, 130, 10),
        "moment": draws.whole(4, 10),
        # A release comes to rest in many minutes; what is asked is over in half a one.
        "follow_for": 1.0,
    }


def _order(*labels: str) -> str:
    return " → ".join(labels)


def _first_three(seen: Seen) -> str | None:
    """The first steps of the story that can be told apart, in the order in which they begin."""
    told = [step.label for step in seen.answer.outcome.working] if seen.answer.outcome else []
    wanted = [label for label in told if label in (_LEAD, _PIPE, _CONTROL, _RELAY)]
    return _order(*wanted) if wanted == [_LEAD, _PIPE, _CONTROL, _RELAY] else None


def _rear_next(seen: Seen) -> str | None:
    """What the rear's pipe does over the next ten seconds."""
    then = seen.seen(moment=seen.moment + 10)
    if then.failed:
        return None
    change = then.rear_brake_pipe - seen.rear_brake_pipe
    if abs(change) < _MOVED:
        return "stands"
    return "rises" if change > 0 else "falls"


_NEXT = {"falls": "it falls", "stands": "it holds", "rises": "it rises"}

FORMS = (
    Form(
        id="rear-meanwhile",
        topic=TOPIC,
        calculator="circuit",
        asks="rear_brake_pipe",
        words=(
            "{cars} cars charged to {brake_pipe_setting}; the handle takes {reduction} off. {moment} later, about what does the "
            "brake pipe hold at the rear?"
        ),
        draw=_set,
        slips=(
            Slip(
                mistake="head-tells-rear",
                step=_CARS,
                why="the air must run to the head against friction, so the rear falls last.",
                gives=lambda s: s.brake_pipe,
            ),
            Slip(
                mistake="read-before-still",
                step=_CARS,
                why="that is where all comes to rest; the air is still on its way.",
                gives=lambda s: s.again(moment=""),
            ),
            Slip(
                mistake="off-for-left",
                step=_LEAD,
                why="that is what came off at the handle, not what is left in the pipe.",
                gives=lambda s: s.reduction,
            ),
        ),
    ),
    Form(
        id="cylinder-meanwhile",
        topic=TOPIC,
        calculator="circuit",
        asks="brake_cylinder",
        words=(
            "{cars} cars charged to {brake_pipe_setting}; the handle takes {reduction} off. Only {moment} later, about what does "
            "the locomotive's cylinder hold?"
        ),
        draw=_early,
        slips=(
            Slip(
                mistake="read-before-still",
                step=_RELAY,
                why="that is where it comes to rest; seconds after the move it is still filling.",
                gives=lambda s: s.again(moment=""),
            ),
            Slip(
                mistake="nothing-yet",
                step=_CONTROL,
                why="the locomotive's control valve moves within a second; the train's length does not hold it back.",
                gives=lambda s: 0.0,
            ),
        ),
    ),
    Form(
        id="release-rear",
        topic=TOPIC,
        calculator="circuit",
        kind="picture",
        right=_rear_next,
        options=_NEXT,
        words=(
            "A release after a set, {cars} cars, {moment} after the move, as drawn. Look at the rear's brake pipe: what does it do over "
            "the next ten seconds?"
        ),
        draw=_release,
        slips=(
            Slip(
                mistake="head-tells-rear",
                step=_BACK,
                why="the head is up already and stands; the rear rises last.",
                gives=lambda s: "stands",
            ),
            Slip(
                mistake="rear-falls-at-release",
                step=_BACK,
                why="the cars' reservoirs take air from the pipe, but it is fed all along and rises.",
                gives=lambda s: "falls",
            ),
            Slip(
                mistake="rear-only-rises",
                step=_BACK,
                why="once the rise has reached it, the cars' reservoirs take air from it, and it gives way again for a while.",
                gives=lambda s: "rises",
            ),
        ),
    ),
    Form(
        id="set-order",
        topic=TOPIC,
        calculator="circuit",
        kind="order",
        right=_first_three,
        words="The handle takes {reduction} off {brake_pipe_setting}. In which order do these begin?",
        draw=_set,
        slips=(
            Slip(
                mistake="cylinder-first",
                step=_RELAY,
                why="the relay waits for its pilot, and that comes from the control valve, which waits for the pipe.",
                gives=lambda s: _order(_LEAD, _RELAY, _PIPE, _CONTROL),
            ),
            Slip(
                mistake="pipe-before-reservoir",
                step=_PIPE,
                why="the handle moves the equalizing reservoir; the brake pipe relay follows that.",
                gives=lambda s: _order(_PIPE, _LEAD, _CONTROL, _RELAY),
            ),
        ),
    ),
)
