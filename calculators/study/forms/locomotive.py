"""Questions on the locomotive: handle, independent brake, bail-off, limits, relay."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "locomotive"
_SETTINGS = (80, 85, 90, 95, 100, 105, 110)
_TRAIN_SET = "Brake pipe charged to {brake_pipe_setting}, then {reduction} off"
_ASKS = "What does the locomotive's brake cylinder gauge read when nothing moves any more?"
_DEMAND, _LIMIT, _CHECK = "Control valve asks for", "Service limiting valve", "Double check valve"
_RELAY, _CARS = "Relay valve fills the cylinder to", "The cars"
_ER, _BP = "Equalizing reservoir", "Brake pipe"


def _setting(draws: Draws) -> float:
    return float(draws.pick(_SETTINGS))


PIPE_MULTIPLIED = Slip(
    mistake="pipe-multiplied",
    step=_DEMAND,
    why="the multiplier works on what came off the brake pipe, not on what is left in it.",
    gives=lambda s: s.multiplier * s.brake_pipe,
)
LIMIT_FORGOTTEN = Slip(
    mistake="limit-forgotten",
    step=_LIMIT,
    why="the limiting valve holds pipe 16 at its figure however much more the control valve asks for.",
    gives=lambda s: s.again(service_limit=150),
)
ADDED = Slip(
    mistake="pipes-added",
    step=_CHECK,
    why="the double check valve passes the higher of pipes 16 and 20 and shuts the other; they never add.",
    gives=lambda s: s.pipe_16 + s.pipe_20 if s.pipe_20 else None,
)
INDEPENDENT_FORGOTTEN = Slip(
    mistake="independent-forgotten",
    step=_CHECK,
    why="pipe 20 is the higher one here, so the independent brake decides.",
    gives=lambda s: s.again(independent=0),
)
AUTOMATIC_FORGOTTEN = Slip(
    mistake="automatic-forgotten",
    step=_CHECK,
    why="pipe 16 is the higher one here, so the automatic brake decides and the independent adds nothing.",
    gives=lambda s: s.pipe_20 * s.relay_ratio_independent if s.pipe_20 else None,
)
CARS_FOR_LOCOMOTIVE = Slip(
    mistake="gauge-is-train",
    step=_CARS,
    why="a car fills its cylinder from its own reservoir by volumes; the locomotive has a multiplier and a relay.",
    gives=lambda s: s.car_brake_cylinder,
)


def _cylinder(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(8, 30),
        "independent": draws.whole(0, 45, 5),
        "service_limit": draws.whole(55, 62),
    }


def _with_ratio(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(6, 14),
        "independent": draws.whole(20, 40, 5),
        "relay_ratio_independent": draws.pick((1.2, 1.4, 1.5, 1.6)),
    }


def _bailed(draws: Draws) -> Drawn:
    before = draws.whole(8, 16)
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": before + draws.whole(3, 10),
        "reduction_at_bail_off": before,
        "bail_off": "released",
    }


def _held(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(8, 24),
        "independent": 0.0,
        "bail_off": "held",
    }


def _cut_out(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(8, 24),
        "cut_off": "out",
    }


def _half_way(draws: Draws) -> Drawn:
    earlier = draws.whole(14, 24)
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": earlier - draws.whole(6, 10),
        "earlier_reduction": earlier,
        "cut_off": "freight",
    }


def _emergency(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "emergency",
        "service_limit": draws.whole(55, 60),
        "emergency_limit": draws.whole(66, 74),
    }


def _dynamic(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(8, 20),
        "independent": draws.whole(10, 15),
        "dynamic_brake": "on",
    }


def _decides(seen: Seen) -> str:
    return str(seen.decided_by)


def _deeper(draws: Draws) -> Drawn:
    limit = draws.whole(55, 62)
    reduction = draws.whole(26, 30)
    return {
        "brake_pipe_setting": draws.pick((90.0, 95.0, 100.0, 105.0, 110.0)),
        "handle": "service",
        "reduction": reduction,
        "service_limit": limit,
        "deeper": reduction + draws.whole(4, 8),
    }


def _after(seen: Seen) -> str:
    """What the cylinder does when the set is deepened: by the two answers."""
    then = seen.again(reduction=seen.deeper)
    if then is None or abs(then - seen.brake_cylinder) < 0.5:
        return "stands"
    return "rises" if then > seen.brake_cylinder else "falls"


_MOVES = {"falls": "it falls", "stands": "it holds", "rises": "it rises"}


def _independent_set(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": _setting(draws),
        "handle": "service",
        "reduction": draws.whole(8, 22),
        "independent": 0.0,
    }


def _tells_bail_off(seen: Seen) -> str | None:
    """Which gauge changes with the bail-off: the one that the two answers differ in."""
    then = seen.seen(bail_off="held")
    names = ("brake_pipe", "brake_cylinder", "car_brake_cylinder")
    moved = [n for n in names if abs(float(seen.read(n)) - float(then.read(n))) >= 0.5]  # type: ignore[arg-type]
    return moved[0] if len(moved) == 1 else None


FORMS = (
    Form(
        id="loco-cylinder",
        topic=TOPIC,
        own=4,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        until=_CARS,
        words=f"{_TRAIN_SET}. Independent {{independent}}; the service limiting valve is set at {{service_limit}}. {_ASKS}",
        draw=_cylinder,
        slips=(
            PIPE_MULTIPLIED,
            LIMIT_FORGOTTEN,
            ADDED,
            INDEPENDENT_FORGOTTEN,
            AUTOMATIC_FORGOTTEN,
            CARS_FOR_LOCOMOTIVE,
        ),
    ),
    Form(
        id="loco-ratio",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        until=_RELAY,
        words=(
            f"{_TRAIN_SET}. Independent {{independent}}. The relay valve gives {{relay_ratio_independent}} times the "
            f"independent's pressure, and as much as the automatic's. {_ASKS}"
        ),
        draw=_with_ratio,
        slips=(
            Slip(
                mistake="ratio-forgotten",
                step=_RELAY,
                why="the relay valve fills the cylinder to the pilot pressure times its ratio for that input.",
                gives=lambda s: s.pilot,
            ),
            ADDED,
            INDEPENDENT_FORGOTTEN,
            PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="loco-after-bail-off",
        topic=TOPIC,
        own=2,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        until=_CARS,
        words=(
            "Brake pipe charged to {brake_pipe_setting}. {reduction_at_bail_off} off, then the independent handle is "
            f"pressed and let go, then more, until {{reduction}} is off in all. {_ASKS}"
        ),
        draw=_bailed,
        slips=(
            Slip(
                mistake="bail-off-forgotten",
                step=_DEMAND,
                why="after a bail-off the locomotive counts only what has come off since.",
                gives=lambda s: s.again(bail_off="none", reduction_at_bail_off=""),
            ),
            Slip(
                mistake="bail-off-lasts",
                step=_DEMAND,
                why="a bail-off takes away what is there; it does not keep the next reduction out.",
                gives=lambda s: 0.0,
            ),
            CARS_FOR_LOCOMOTIVE,
            PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="loco-bail-off-cars",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="car_brake_cylinder",
        words=(
            f"{_TRAIN_SET}, and the independent handle is pressed and held. "
            "About what does a car's brake cylinder hold when all has settled?"
        ),
        draw=_held,
        slips=(
            Slip(
                mistake="bail-off-releases-train",
                step=_CARS,
                why="a bail-off touches the locomotive only; the cars follow the brake pipe, which has not moved.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="gauge-is-train",
                step=_CARS,
                why="the multiplier belongs to the locomotive; a car's cylinder comes from its volumes.",
                gives=lambda s: s.again(bail_off="none") and s.seen(bail_off="none").brake_cylinder,
            ),
        ),
    ),
    Form(
        id="loco-train-feels",
        topic=TOPIC,
        own=2,
        calculator="locomotive-brake",
        asks="car_brake_cylinder",
        words=(
            f"{_TRAIN_SET}, independent {{independent}}. "
            "About what does a car's brake cylinder hold when all has settled?"
        ),
        draw=_cylinder,
        slips=(
            Slip(
                mistake="gauge-is-train",
                step=_CARS,
                why="the gauge in the cab shows the locomotive's cylinder; a car's comes from its own volumes.",
                gives=lambda s: s.brake_cylinder,
            ),
            Slip(
                mistake="independent-for-train",
                step=_CHECK,
                why="pipe 20 is on the locomotives only; no car feels the independent.",
                gives=lambda s: s.independent if s.independent else None,
            ),
            Slip(
                mistake="pipe-multiplied",
                step=_CARS,
                why="only what came off counts, on a car too.",
                gives=lambda s: s.brake_pipe,
            ),
        ),
    ),
    Form(
        id="loco-cut-out",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="brake_pipe",
        until=_BP,
        words=(
            "The brake valve's cut-off stands in OUT with the brake pipe at {brake_pipe_setting}, and the handle takes "
            "{reduction} off. Nothing leaks. What does the brake pipe gauge read?"
        ),
        draw=_cut_out,
        slips=(
            Slip(
                mistake="reservoir-for-pipe",
                step=_BP,
                why="cut out, the equalizing reservoir falls and the brake pipe does not follow it.",
                gives=lambda s: s.equalizing_reservoir,
            ),
            Slip(
                mistake="off-for-left",
                step=_ER,
                why="that is what came off, not what is left.",
                gives=lambda s: s.reduction,
            ),
        ),
    ),
    Form(
        id="loco-half-way-back",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        until=_RELAY,
        words=(
            "Brake pipe charged to {brake_pipe_setting}, {earlier_reduction} off; then the handle is moved back to where it "
            f"would have taken {{reduction}} off. Freight cut-off. {_ASKS}"
        ),
        draw=_half_way,
        slips=(
            Slip(
                mistake="graduated-expected",
                step=_ER,
                why="with the freight cut-off the equalizing reservoir rises in release only, so nothing lets go half-way back.",
                gives=lambda s: s.again(earlier_reduction=0),
            ),
            Slip(
                mistake="back-is-release",
                step=_ER,
                why="half-way back is not release: the equalizing reservoir stays where it was.",
                gives=lambda s: 0.0,
            ),
            PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="loco-emergency",
        topic=TOPIC,
        own=2,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        until=_CARS,
        words=(
            "From {brake_pipe_setting} the handle goes to emergency. Service limiting valve {service_limit}, emergency "
            f"limit {{emergency_limit}}. {_ASKS}"
        ),
        draw=_emergency,
        slips=(
            Slip(
                mistake="service-limit-in-emergency",
                step="Control valve asks for",
                why="in emergency main-reservoir air is fed to pipe 16 up to the emergency limit; the service limit is passed by.",
                gives=lambda s: s.service_limit,
            ),
            Slip(
                mistake="locomotive-emergency-for-cars",
                step=_CARS,
                why="that is a car's figure, made by its volumes; on the locomotive a limiting valve decides.",
                gives=lambda s: s.car_brake_cylinder,
            ),
            Slip(
                mistake="emergency-twice",
                step=_DEMAND,
                why="emergency is not the multiplier times the whole pipe; a limit holds it.",
                gives=lambda s: 2 * s.service_limit,
            ),
        ),
    ),
    Form(
        id="loco-dynamic",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        words=f"{_TRAIN_SET}, in dynamic brake with its interlock working, independent {{independent}}. {_ASKS}",
        draw=_dynamic,
        until=_CARS,
        slips=(
            Slip(
                mistake="interlock-forgotten",
                step="Dynamic brake interlock",
                why="while the dynamic is on, the interlock takes the automatic application off the locomotive.",
                gives=lambda s: s.again(dynamic_brake="off"),
            ),
            Slip(
                mistake="pipes-added",
                step=_CHECK,
                why="nothing is left in pipe 16, and the two pipes would not add anyway.",
                gives=lambda s: s.again(dynamic_brake="off") + s.independent,
            ),
            Slip(
                mistake="independent-forgotten",
                step=_CHECK,
                why="the interlock takes off the automatic application only; the independent still counts.",
                gives=lambda s: 0.0,
            ),
        ),
    ),
    Form(
        id="loco-decides",
        topic=TOPIC,
        calculator="locomotive-brake",
        kind="decides",
        right=_decides,
        until=_CHECK,
        options={"pipe 16": "pipe 16", "pipe 20": "pipe 20", "both": "both together"},
        words=f"{_TRAIN_SET}. Independent {{independent}}, service limiting valve {{service_limit}}. Which pipe decides the locomotive's cylinder?",
        draw=lambda d: (
            _cylinder(d) | {"independent": d.whole(20, 45, 5), "reduction": d.whole(6, 26)}
        ),
        slips=(
            Slip(
                mistake="pipes-added",
                step=_CHECK,
                why="the double check valve passes the higher pressure only.",
                gives=lambda s: "both",
            ),
            Slip(
                mistake="independent-forgotten",
                step=_CHECK,
                why="pipe 20 holds more here.",
                gives=lambda s: "pipe 16",
            ),
            Slip(
                mistake="automatic-forgotten",
                step=_CHECK,
                why="pipe 16 holds more here.",
                gives=lambda s: "pipe 20",
            ),
        ),
    ),
    Form(
        id="loco-deeper",
        topic=TOPIC,
        calculator="locomotive-brake",
        asks="brake_cylinder",
        kind="moves",
        right=_after,
        until=_RELAY,
        options=_MOVES,
        words=(
            f"{_TRAIN_SET}; the service limiting valve is set at {{service_limit}}. Now the set is deepened to {{deeper:psi}} off. "
            "What does the locomotive's cylinder gauge do?"
        ),
        draw=_deeper,
        slips=(
            Slip(
                mistake="limit-forgotten",
                step=_LIMIT,
                why="pipe 16 stands at the limit already; asking for more changes nothing.",
                gives=lambda s: "rises",
            ),
            Slip(
                mistake="cylinder-with-pipe",
                step=_DEMAND,
                why="the cylinder works against the brake pipe: as the pipe falls the cylinder rises or, at its limit, stands.",
                gives=lambda s: "falls",
            ),
        ),
    ),
    Form(
        id="loco-bail-off-shows",
        topic=TOPIC,
        calculator="locomotive-brake",
        kind="tells",
        right=_tells_bail_off,
        options={
            "brake_pipe": "the brake pipe gauge",
            "brake_cylinder": "the locomotive's cylinder gauge",
            "car_brake_cylinder": "a gauge on a car's brake cylinder",
        },
        words=f"{_TRAIN_SET}, all at rest. The independent handle is pressed and held. Which of these falls?",
        draw=_independent_set,
        slips=(
            Slip(
                mistake="bail-off-releases-train",
                step=_CARS,
                why="the cars follow the brake pipe, and a bail-off leaves that as it is.",
                gives=lambda s: "car_brake_cylinder",
            ),
            Slip(
                mistake="cylinder-with-pipe",
                step=_BP,
                why="the pressed handle acts on the locomotive's control valve, not on the brake pipe.",
                gives=lambda s: "brake_pipe",
            ),
        ),
    ),
)
