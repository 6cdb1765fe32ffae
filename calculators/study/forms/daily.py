"""Questions on the locomotive's daily test."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "locomotive"


def _daily(draws: Draws) -> Drawn:
    first = draws.whole(8, 14)
    return {
        "brake_pipe_setting": draws.pick((90.0, 95.0, 100.0)),
        "first_reduction": first,
        "second_reduction": first + draws.whole(4, 8),
    }


def _read_off(draws: Draws) -> Drawn:
    first = draws.whole(8, 14)
    return {
        "brake_pipe_setting": draws.pick((90.0, 95.0, 100.0)),
        "first_reduction": first,
        "first_cylinder_read": round(2.5 * first) + draws.pick((-13.0, -3.0, -2.0, 2.0, 3.0, 13.0)),
    }


def _gauges(seen: Seen) -> str:
    """Whether the calculator's comparison finds the reading off by more than the gauges' error."""
    notes = seen.answer.outcome.notes if seen.answer.outcome else ()
    told = any("the gauges account for" in note.text.template for note in notes)
    return "look" if told else "gauges"


FORMS = (
    Form(
        id="daily-second-set",
        topic=TOPIC,
        calculator="daily-brake-test",
        asks="second_cylinder",
        until="Second set",
        words=(
            "Daily test from {brake_pipe_setting}: {first_reduction} off, then bailed off, then on to {second_reduction} in all. "
            "What should the cylinder gauge read?"
        ),
        draw=_daily,
        slips=(
            Slip(
                mistake="bail-off-forgotten",
                step="Second set",
                why="after a bail-off only what follows counts on the locomotive; the cars would have it all.",
                gives=lambda s: min(s.multiplier * s.second_reduction, s.service_limit),
            ),
            Slip(
                mistake="bail-off-lasts",
                step="Bail off",
                why="a bail-off takes away what is there; it does not keep the next reduction out.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="first-set-for-second",
                step="First set",
                why="that was the first set, which the bail-off took away.",
                gives=lambda s: s.first_cylinder,
            ),
        ),
    ),
    Form(
        id="daily-half-way",
        topic=TOPIC,
        calculator="daily-brake-test",
        asks="second_equalizing_reservoir",
        until="Half-way back",
        words=(
            "Daily test from {brake_pipe_setting}, {second_reduction} off in all. Then the handle goes half-way to release. What "
            "should the equalizing reservoir gauge read?"
        ),
        draw=_daily,
        slips=(
            Slip(
                mistake="graduated-expected",
                step="Half-way back",
                why="only release may raise it; a reservoir that creeps up here lets a train go unasked.",
                gives=lambda s: s.brake_pipe_setting - s.second_reduction / 2,
            ),
            Slip(
                mistake="back-is-release",
                step="Half-way back",
                why="half-way back is not release.",
                gives=lambda s: s.brake_pipe_setting,
            ),
        ),
    ),
    Form(
        id="daily-gauge",
        topic=TOPIC,
        calculator="daily-brake-test",
        kind="tells",
        right=_gauges,
        options={
            "gauges": "the gauges alone can account for that",
            "look": "more than the gauges account for: there is something to look at",
            "exact": "the brake gives just that much more or less than it should",
        },
        also={"predicted": lambda s: s.first_cylinder},
        until="First set",
        words=(
            "Daily test from {brake_pipe_setting}, {first_reduction} off: {predicted:psi} is predicted, the cylinder gauge reads "
            "{first_cylinder_read}. What does that show?"
        ),
        draw=_read_off,
        slips=(
            Slip(
                mistake="one-gauge-trusted",
                step="First set",
                why="a cab gauge has its own error, and so has the one that the reduction was read on.",
                gives=lambda s: "exact",
            ),
            Slip(
                mistake="gauges-for-everything",
                step="First set",
                why="lay the difference beside what the gauges account for.",
                gives=lambda s: "look" if _gauges(s) == "gauges" else "gauges",
            ),
        ),
    ),
)
