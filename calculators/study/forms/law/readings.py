"""Questions on a reading that was taken at the wrong time, place or set, beside its limit."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.forms.law.tests import TOPIC, turned
from calculators.study.model import Drawn, Form, Seen, Slip


def _waited(draws: Draws) -> Drawn:
    return {"event": "made-up", "wait": draws.whole(5, 35, 5), "leakage": draws.whole(2, 4)}


def _older(draws: Draws) -> Drawn:
    return {"event": "made-up", "reduction": 15.0, "leakage": draws.whole(2, 4)}


def _other_set(draws: Draws) -> Drawn:
    return {
        "event": "made-up",
        "reduction": draws.pick((10.0, 12.0, 14.0, 16.0, 24.0, 26.0, 28.0)),
        "piston_travels": draws.pick(("6 1/2", "7", "7 1/2", "8")),
    }


def _one_failed(draws: Draws) -> Drawn:
    valves = draws.whole(60, 140, 2)
    return {
        "event": "made-up",
        "control_valves": valves,
        "operative": valves - draws.whole(1, 3),
    }


def _two_indicators(draws: Draws) -> Drawn:
    head, other = draws.whole(46, 58), draws.whole(46, 56)
    return {
        "event": "made-up",
        "air_sources": "two-or-more",
        "head_flow": head,
        "other_flow": other,
        "air_flow": head + other,
    }


def _far_end(draws: Draws) -> Drawn:
    setting = draws.pick((85.0, 90.0, 95.0))
    return {
        "event": "made-up",
        "air": "yard",
        "brake_pipe_setting": setting,
        "rear": setting - draws.whole(17, 23),
    }


def _agreement(draws: Draws) -> Drawn:
    rear = draws.whole(76, 82)
    return {
        "brake_pipe_setting": draws.pick((90.0, 95.0)),
        "rear": rear,
        "second_reading": rear - draws.whole(1, 3),
        "test": "class-1",
    }


def _other_kind(seen: Seen) -> str | None:
    """More for less, and less for more."""
    standing, _, limit = (seen.beside("application-reduction") or "").partition("|")
    other = {"more than named": "less than named", "less than named": "more than named"}
    return f"{other[standing]}|{limit}" if standing in other else None


_KIND_TURNED = Slip(
    mistake="limit-turned-round",
    step="Apply",
    why="lay the figure beside the one that the test names once more.",
    gives=_other_kind,
)

FORMS = (
    Form(
        id="stands-wait",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("leakage-test-wait"),
        words="For the leakage test the minute was begun {wait} after the reduction, with the valve cut out; it showed {leakage}. How does that wait compare?",
        draw=_waited,
        slips=(
            Slip(
                mistake="timed-at-once",
                step="Leakage",
                why="the wait is part of the test: till then the pipe still evens out, and the minute shows that too.",
                gives=lambda s: "within|leakage-test-wait",
            ),
            Slip(
                mistake="wait-of-another-test",
                step="Leakage",
                why="that is how long a retested brake has to stay applied.",
                gives=lambda s: "not within|retest-hold",
            ),
        ),
    ),
    Form(
        id="stands-older-reduction",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("application-reduction"),
        words="A Class I test, leakage {leakage}: {reduction} was taken off, to read it and to look at the applied brakes. How does that reduction compare?",
        draw=_older,
        slips=(
            Slip(
                mistake="older-reduction",
                step="Apply",
                why="15 psi is the figure of the rules before 2001.",
                gives=lambda s: "within|older-leakage-reduction",
            ),
            _KIND_TURNED,
        ),
    ),
    Form(
        id="stands-travel-set",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("application-reduction"),
        words="In a Class I test piston travel of {piston_travels} is measured with {reduction} off. How does the set compare at which it is measured?",
        draw=_other_set,
        slips=(
            Slip(
                mistake="travel-at-other-set",
                step="Apply",
                why="travel grows with pressure, so it is measured on the test's own set.",
                gives=lambda s: "within|application-reduction",
            ),
            _KIND_TURNED,
        ),
    ),
    Form(
        id="stands-operative",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("operative-brakes-class-1"),
        words=(
            "A train made up here has {control_valves} control valves; after the Class I test and a retest {operative} work. The bad "
            "ones are to go along to the next shop. How does that compare?"
        ),
        draw=_one_failed,
        slips=(
            Slip(
                mistake="failed-car-sent-on",
                step="Apply",
                why="85 % is for a train under way; from a Class I test all brakes must work.",
                gives=lambda s: "within|operative-brakes-moving",
            ),
            Slip(
                mistake="limit-turned-round",
                step="Apply",
                why="it is a least.",
                gives=lambda s: turned(s.beside("operative-brakes-class-1")),
            ),
        ),
    ),
    Form(
        id="stands-two-indicators",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("air-flow-two-sources"),
        words=(
            "A Class I test, air from two places: the head's indicator is steady at {head_flow:cfm}, the other's at {other_flow:cfm}. How "
            "does the train's flow compare?"
        ),
        draw=_two_indicators,
        slips=(
            Slip(
                mistake="one-indicator-for-train",
                step="or air flow",
                why="each indicator shows only what its own place feeds; the train takes both.",
                gives=lambda s: s.seen(air_flow=s.head_flow).beside("air-flow-two-sources"),
            ),
            Slip(
                mistake="one-source-for-two",
                step="or air flow",
                why="60 cfm is for air from one place.",
                gives=lambda s: "not within|air-flow",
            ),
        ),
    ),
    Form(
        id="stands-far-end",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("yard-air-gradient"),
        words=(
            "A test on yard air: the device's own gauge reads {brake_pipe_setting}, the pressure to which it charges; at the far end a gauge "
            "reads {rear}. How does the train compare?"
        ),
        draw=_far_end,
        slips=(
            Slip(
                mistake="device-gauge-for-far-end",
                step="Charge",
                why="the device's gauge shows its own end; the far end is read at the far end.",
                gives=lambda s: s.seen(rear=s.brake_pipe_setting).beside("yard-air-gradient"),
            ),
            Slip(
                mistake="one-floor-for-all",
                step="Charge",
                why="that is the floor; the gradient is asked for besides.",
                gives=lambda s: s.beside("rear-floor-yard-air"),
            ),
        ),
    ),
    Form(
        id="stands-agreement",
        topic=TOPIC,
        calculator="rear-pressure",
        kind="within",
        right=lambda s: s.beside("head-rear-agreement"),
        words=(
            "The head reads {brake_pipe_setting}. At the rear a gauge reads {rear}, and the cab's display shows {second_reading} for that "
            "same place. How do the two readings of the rear agree?"
        ),
        draw=_agreement,
        slips=(
            Slip(
                mistake="gradient-for-agreement",
                step="Gradient",
                why="head to rear is the gradient; the two readings of one pressure are what has to agree.",
                gives=lambda s: (
                    None
                    if s.brake_pipe_setting - s.second_reading <= 3
                    else "not within|head-rear-agreement"
                ),
            ),
            Slip(
                mistake="device-error-for-response",
                step="Gradient",
                why="that is how exact the rear unit itself must be, by another section.",
                gives=lambda s: "within|end-of-train-error",
            ),
        ),
    ),
)
