"""Questions on a car's brake: its cylinder, full service, over-reduction, release, reserve."""

from __future__ import annotations

from calculators.base.units import ATMOSPHERE
from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "cars"
_SETTINGS = (70.0, 80.0, 85.0, 90.0, 95.0, 100.0, 105.0, 110.0)
_CHARGED = "A car is charged to {brake_pipe_setting}"
_ASKS = "About what does its brake cylinder hold?"
_FROM_AUXILIARY = "Auxiliary's air in the cylinder"
_FULL = "Full service, auxiliary and cylinder meet"
_EMERGENCY = "Emergency, both reservoirs and cylinder meet"
# The sea-level atmosphere, for the sum that forgets it [psi].
_A = ATMOSPHERE

_PIPE_MULTIPLIED = Slip(
    mistake="pipe-multiplied",
    step=_FROM_AUXILIARY,
    why="only what came off counts, not what is left in the pipe.",
    gives=lambda s: 2.5 * (s.brake_pipe_setting - s.reduction),
)
_ABSOLUTE = Slip(
    mistake="gauge-and-absolute",
    step=_FROM_AUXILIARY,
    why="the sum is made in absolute pressures: the atmosphere is added before and taken away after.",
    gives=lambda s: s.brake_cylinder + _A,
)


def _light(draws: Draws) -> Drawn:
    return {"brake_pipe_setting": draws.pick(_SETTINGS), "reduction": draws.whole(8, 16)}


def _deep(draws: Draws) -> Drawn:
    setting = draws.pick(_SETTINGS)
    return {"brake_pipe_setting": setting, "reduction": draws.whole(26, 40)}


def _emergency(draws: Draws) -> Drawn:
    return {"brake_pipe_setting": draws.pick(_SETTINGS), "application": "emergency"}


def _behind(draws: Draws) -> Drawn:
    setting, behind, off = (
        draws.pick((80.0, 85.0, 90.0, 95.0, 100.0)),
        draws.whole(4, 9),
        draws.whole(14, 22),
    )
    return {
        "brake_pipe_setting": setting,
        "charged": setting - behind,
        "reduction": off - behind,
        "off": off,
    }


def _overcharged(draws: Draws) -> Drawn:
    setting, over = draws.pick((80.0, 85.0, 90.0)), draws.whole(8, 16)
    return {"brake_pipe_setting": setting, "charged": setting + over, "reduction": over}


def _travel(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": draws.pick(_SETTINGS),
        "reduction": draws.whole(14, 20),
        "piston_travel": draws.pick((6.0, 6.5, 9.0, 10.0)),
    }


def _retained(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": draws.pick(_SETTINGS),
        "reduction": draws.whole(16, 26),
        "retaining_valve": draws.pick(("high-pressure", "low-pressure")),
    }


def _full_service(draws: Draws) -> Drawn:
    return {"brake_pipe_setting": draws.pick((60.0, 65.0, 70.0, 75.0, 105.0, 110.0))}


def _over(draws: Draws) -> Drawn:
    setting = draws.pick((70.0, 75.0, 105.0, 110.0))
    return {"brake_pipe_setting": setting, "reduction": draws.whole(34, 45)}


def _rise(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": draws.pick(_SETTINGS),
        "reduction": draws.whole(12, 22),
        "rise": draws.whole(4, 7),
        "release_type": "direct",
    }


def _cut_in(draws: Draws) -> Drawn:
    setting = draws.pick((90.0, 95.0, 100.0))
    reservoir = setting - draws.whole(14, 20)
    above = draws.whole(4, 6)
    return {
        "brake_pipe_setting": setting,
        "reservoir": reservoir,
        "pipe": reservoir - above,
        "reduction": setting - reservoir + above,
        "rise": above,
        "release_type": "direct",
    }


def _sets(draws: Draws) -> Drawn:
    first = draws.whole(10, 16)
    return {
        "brake_pipe_setting": draws.pick((90.0, 95.0, 100.0)),
        "cars": draws.whole(60, 140, 10),
        "first": first,
        "second": first + draws.whole(0, 6),
    }


def _two_sets(draws: Draws) -> Drawn:
    made = _sets(draws)
    made["reductions"] = f"{made['first']:g}, {made['second']:g}"
    made["waits"] = f"{draws.whole(1, 3):g}"
    made["wait"] = made["waits"]
    return made


def _lets_go(seen: Seen) -> str | None:
    """Whether the cylinder goes to nothing; None where the valve may or may not let go."""
    left = seen.brake_cylinder
    if left is None:
        return None
    return "falls to nothing" if left < 0.5 else "falls part of the way"


def _before_release(seen: Seen) -> float:
    """What the first set of the two leaves, if the train had never been released."""
    return float(
        seen.other(
            "car-brake", charged=seen.brake_pipe_setting - 15, application="emergency"
        ).brake_cylinder
    )


FORMS = (
    Form(
        id="car-light",
        topic=TOPIC,
        until="Quick service",
        own=2,
        calculator="car-brake",
        asks="brake_cylinder",
        words=f"{_CHARGED} and {{reduction}} comes off, piston travel {{piston_travel}}. {_ASKS}",
        draw=_light,
        slips=(
            Slip(
                mistake="rule-for-light",
                step=_FROM_AUXILIARY,
                why="2.5 for each psi off is a rule of thumb for heavier sets; the auxiliary's air has the unswept room to fill first.",
                gives=lambda s: s.rule_of_thumb,
            ),
            _ABSOLUTE,
            _PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="car-deep",
        topic=TOPIC,
        until="Quick service",
        calculator="car-brake",
        asks="brake_cylinder",
        words=f"{_CHARGED} and {{reduction}} comes off, piston travel {{piston_travel}}. {_ASKS}",
        draw=_deep,
        slips=(
            Slip(
                mistake="rule-past-equalization",
                step=_FULL,
                why="where auxiliary and cylinder have met, nothing more flows, whatever the rule of thumb says.",
                gives=lambda s: 2.5 * s.reduction,
            ),
            _PIPE_MULTIPLIED,
            _ABSOLUTE,
        ),
    ),
    Form(
        id="car-emergency",
        topic=TOPIC,
        until=_EMERGENCY,
        calculator="car-brake",
        asks="brake_cylinder",
        words=f"{_CHARGED} and goes to emergency, piston travel {{piston_travel}}. {_ASKS}",
        draw=_emergency,
        slips=(
            Slip(
                mistake="emergency-twice",
                step=_EMERGENCY,
                why="the emergency reservoir joins in and all three meet about a fifth higher; nothing doubles.",
                gives=lambda s: 2 * s.full_service_pressure,
            ),
            Slip(
                mistake="emergency-no-more",
                step=_EMERGENCY,
                why="in emergency the second reservoir joins in, so the cylinder gets more than in full service.",
                gives=lambda s: s.full_service_pressure,
            ),
            Slip(
                mistake="locomotive-emergency-for-cars",
                step=_EMERGENCY,
                why="a limiting valve sets the locomotive's figure; on the car the volumes decide.",
                gives=lambda s: s.other("locomotive-brake", handle="emergency").brake_cylinder,
            ),
        ),
    ),
    Form(
        id="car-not-recharged",
        topic=TOPIC,
        until="Quick service",
        calculator="car-brake",
        asks="brake_cylinder",
        words=(
            "The setting is {brake_pipe_setting}, but a car has only come back to {charged}. From the setting {off:psi} is "
            "taken off. About what does this car's brake cylinder hold?"
        ),
        draw=_behind,
        slips=(
            Slip(
                mistake="not-recharged",
                step=_FROM_AUXILIARY,
                why="the reduction counts only below what this car's auxiliary really holds.",
                gives=lambda s: s.again(charged="", reduction=s.off),
            ),
            Slip(
                mistake="rule-for-light",
                step=_FROM_AUXILIARY,
                why="the rule of thumb counts the whole reduction, and the setting as if it were in the auxiliary.",
                gives=lambda s: min(2.5 * s.off, 0.7 * s.brake_pipe_setting),
            ),
            _PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="car-overcharged",
        topic=TOPIC,
        until="Quick service",
        calculator="car-brake",
        asks="brake_cylinder",
        words=(
            "Yard air charged a car to {charged}. The locomotive that is coupled to it holds {brake_pipe_setting}, and by itself the pipe comes "
            "down to that. No set is made. About what does the car's brake cylinder hold?"
        ),
        draw=_overcharged,
        slips=(
            Slip(
                mistake="yard-charged-higher",
                step=_FROM_AUXILIARY,
                why="the car's auxiliary holds more than the pipe, so its valve applies as on a set, and the locomotive cannot let it go.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="rule-for-light",
                step=_FROM_AUXILIARY,
                why="2.5 for each psi is a rule of thumb for heavier sets.",
                gives=lambda s: s.rule_of_thumb,
            ),
            _PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="car-travel",
        topic=TOPIC,
        until="Quick service",
        calculator="car-brake",
        asks="brake_cylinder",
        words=f"{_CHARGED} and {{reduction}} comes off. Its piston travels {{piston_travel}}. {_ASKS}",
        draw=_travel,
        slips=(
            Slip(
                mistake="travel-left-out",
                step="Room in the cylinder",
                why="travel is room to fill: a long one leaves less pressure, a short one gives more.",
                gives=lambda s: s.again(piston_travel=8),
            ),
            Slip(
                mistake="travel-turned-round",
                step="Room in the cylinder",
                why="more travel is more room, and the same air in more room has less pressure.",
                gives=lambda s: s.again(piston_travel=16 - s.piston_travel),
            ),
            _PIPE_MULTIPLIED,
        ),
    ),
    Form(
        id="car-retained",
        topic=TOPIC,
        calculator="car-brake",
        asks="retained",
        words=(
            f"{_CHARGED}, {{reduction}} comes off, its retaining valve stands at {{retaining_valve}}, and then the train is "
            "released. About what is left in its cylinder while nothing leaks?"
        ),
        draw=_retained,
        slips=(
            Slip(
                mistake="retainer-holds-all",
                step="Retaining valve",
                why="it blows down to its own pressure and holds that, not the set.",
                gives=lambda s: s.brake_cylinder,
            ),
            Slip(
                mistake="retainer-holds-nothing",
                step="Retaining valve",
                why="only the direct position lets everything go at a release.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="retainer-mixed",
                step="Retaining valve",
                why="that is the other position's pressure.",
                gives=lambda s: s.again(
                    retaining_valve="low-pressure"
                    if s.retaining_valve == "high-pressure"
                    else "high-pressure"
                ),
            ),
        ),
    ),
    Form(
        id="full-service",
        topic=TOPIC,
        calculator="full-service-figures",
        asks="full_service_reduction",
        until="Full service reduction",
        words="The brake pipe is set at {brake_pipe_setting}. About how much must come off for full service on the cars?",
        draw=_full_service,
        slips=(
            Slip(
                mistake="one-figure-for-all",
                step="Full service reduction",
                why="that is the figure for 90 psi; each setting has its own.",
                gives=lambda s: s.again(brake_pipe_setting=90),
            ),
            Slip(
                mistake="off-for-left",
                step="Full service reduction",
                why="that is what auxiliary and cylinder meet at, and so what is left in the pipe.",
                gives=lambda s: s.full_service_pressure,
            ),
        ),
    ),
    Form(
        id="over-reduction",
        topic=TOPIC,
        calculator="over-reduction",
        asks="over_reduction",
        until="Past it",
        words="From {brake_pipe_setting} the handle takes {reduction} off. How much of it does nothing for the cars' cylinders?",
        draw=_over,
        slips=(
            Slip(
                mistake="more-helps",
                step="Past it",
                why="past full service auxiliary and cylinder have met, and the rest is let out for nothing.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="one-figure-for-all",
                step="Full service",
                why="it was counted from the full service of 90 psi; this setting has its own.",
                gives=lambda s: (
                    s.reduction
                    - s.other(
                        "over-reduction", brake_pipe_setting=90.0, reduction=32.0
                    ).full_service_reduction
                ),
            ),
            Slip(
                mistake="off-for-left",
                step="Past it",
                why="that is what full service takes; the question is what goes beyond it.",
                gives=lambda s: s.full_service_reduction,
            ),
        ),
    ),
    Form(
        id="over-reduction-release",
        topic=TOPIC,
        calculator="over-reduction",
        asks="rise_before_release",
        until="Past it",
        words=(
            "From {brake_pipe_setting} the handle took {reduction} off. How much must a car's brake pipe rise only to be level "
            "with its auxiliary again, before anything can let go?"
        ),
        draw=_over,
        slips=(
            Slip(
                mistake="over-reduction-forgotten",
                step="Past it",
                why="the pipe went below the auxiliary; the first rise only makes good what was taken too much.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="one-figure-for-all",
                step="Full service",
                why="it was counted from the full service of 90 psi; this setting has its own.",
                gives=lambda s: (
                    s.reduction
                    - s.other(
                        "over-reduction", brake_pipe_setting=90.0, reduction=32.0
                    ).full_service_reduction
                ),
            ),
            Slip(
                mistake="off-for-left",
                step="Past it",
                why="the auxiliary stopped falling at full service, so the pipe need not rise by the whole reduction.",
                gives=lambda s: s.reduction,
            ),
        ),
    ),
    Form(
        id="release-rise",
        topic=TOPIC,
        calculator="release",
        asks="brake_cylinder",
        least=0.0,
        words=(
            "A freight car with direct release is charged to {brake_pipe_setting}; {reduction} came off. Now the pipe at this car "
            "rises {rise}. What does its cylinder come to?"
        ),
        draw=_rise,
        slips=(
            Slip(
                mistake="graduated-expected",
                step="Cylinder after",
                why="a direct-release car lets all of it go on the first sufficient rise.",
                gives=lambda s: s.again(release_type="graduated"),
            ),
            Slip(
                mistake="rise-does-nothing",
                step="Pipe over auxiliary",
                why="the pipe has risen above this car's auxiliary by more than the valve needs to let go.",
                gives=lambda s: s.brake_cylinder_before,
            ),
        ),
    ),
    Form(
        id="release-or-hold",
        topic=TOPIC,
        calculator="release",
        kind="moves",
        right=_lets_go,
        options={"stands": "it holds"}
        | {one: f"it {one}" for one in ("falls to nothing", "falls part of the way")},
        words=(
            "A car's release is {release_type}. It was charged to {brake_pipe_setting}, {reduction} came off, and the pipe at "
            "this car rises {rise}. What does its cylinder do?"
        ),
        draw=lambda d: _rise(d) | {"release_type": d.pick(("direct", "graduated"))},
        slips=(
            Slip(
                mistake="graduated-expected",
                step="Cylinder after",
                why="direct release knows no half: the first sufficient rise lets all go.",
                gives=lambda s: "falls part of the way",
            ),
            Slip(
                mistake="direct-expected",
                step="Cylinder after",
                why="with graduated release the cylinder follows the pipe back step by step.",
                gives=lambda s: "falls to nothing",
            ),
            Slip(
                mistake="rise-does-nothing",
                step="Cylinder after",
                why="the pipe has risen enough to move the valve.",
                gives=lambda s: "stands",
            ),
        ),
    ),
    Form(
        id="cut-in-above",
        topic=TOPIC,
        calculator="release",
        kind="moves",
        right=lambda s: "falls" if _lets_go(s) == "falls to nothing" else None,
        options={"falls": "it lets go", "stands": "it holds", "rises": "it gets more"},
        words=(
            "After a set from {brake_pipe_setting} the brake valve was cut out to read the leakage: the equalizing reservoir reads "
            "{reservoir:psi}, the brake pipe has leaked down to {pipe:psi}. Now the valve is cut in as it is. What does the brake of a "
            "car with direct release do?"
        ),
        draw=_cut_in,
        slips=(
            Slip(
                mistake="cut-in-above-pipe",
                step="Brake pipe at this car",
                why="with the equalizing reservoir above the pipe the valve feeds the pipe, and that rise can let the brakes go.",
                gives=lambda s: "stands",
            ),
            Slip(
                mistake="leak-adds-brake",
                step="Pipe over auxiliary",
                why="the valve now feeds the pipe instead of letting it fall further.",
                gives=lambda s: "rises",
            ),
        ),
    ),
    Form(
        id="second-set",
        topic=TOPIC,
        calculator="repeated-applications",
        asks="last_set_worth",
        least=0.0,
        words=(
            "Brake pipe {brake_pipe_setting}, {cars} cars. {first:psi} off, a release, {wait} min, then {second:psi} off from the "
            "setting. How much of the second set can be counted on at the last car?"
        ),
        draw=_two_sets,
        slips=(
            Slip(
                mistake="not-recharged",
                step="Set 2, cylinder",
                why="the set counts only below what the last car's auxiliary holds by then.",
                gives=lambda s: s.second,
            ),
            Slip(
                mistake="head-tells-rear",
                step="Last car charged to",
                why="the rear never stood at the head's pressure; a test allows it to be lower.",
                gives=lambda s: s.again(rear=s.brake_pipe_setting, waits="30"),
            ),
        ),
    ),
    Form(
        id="reserve-left",
        topic=TOPIC,
        calculator="repeated-applications",
        asks="emergency_left",
        words=(
            "Brake pipe {brake_pipe_setting}, {cars} cars. {first:psi} off, a release, {wait} min, then {second:psi} off from the "
            "setting. About what could an emergency still give the last car?"
        ),
        draw=_two_sets,
        slips=(
            Slip(
                mistake="emergency-as-reserve",
                step="Emergency from here",
                why="every release took air out of the emergency reservoir too.",
                gives=_before_release,
            ),
            Slip(
                mistake="head-tells-rear",
                step="Last car charged to",
                why="that is what a car charged to the setting would get; the last car never was.",
                gives=lambda s: (
                    s.other(
                        "car-brake", charged=s.brake_pipe_setting, application="emergency"
                    ).brake_cylinder
                ),
            ),
            Slip(
                mistake="emergency-no-more",
                step="Emergency from here",
                why="that is what full service would still give; emergency has the second reservoir too.",
                gives=lambda s: s.full_service_left,
            ),
        ),
    ),
)
