"""Questions on how a test is made: its steps and what proves it, as the calculator words them."""

from __future__ import annotations

from calculators.base.results import Step
from calculators.study.draws import Draws
from calculators.study.forms.law.tests import TOPIC
from calculators.study.model import Drawn, Form, Seen, Slip

_OFF, _OUT = "take it off", "cut the valve out"
_WAIT, _WATCH = "wait", "watch for one minute"
# What the calculator's step on leakage says of each, in its own words.
_TOLD = {_OFF: "off at", _OUT: "cut out", _WAIT: "wait", _WATCH: "watch"}


def _steps(seen: Seen) -> tuple[Step, ...]:
    return seen.answer.outcome.working if seen.answer.outcome else ()


def _order(*parts: str) -> str:
    return " → ".join(parts)


def _leakage_order(seen: Seen) -> str | None:
    """The parts of the leakage reading in the order in which the calculator names them."""
    told = next((one.how.template for one in _steps(seen) if one.label == "Leakage"), "")
    if not all(words in told for words in _TOLD.values()):
        return None
    return _order(*sorted(_TOLD, key=lambda part: told.index(_TOLD[part])))


def _roll_by(seen: Seen) -> str | None:
    """The step that a roll-by may stand for."""
    label = next((one.label for one in _steps(seen) if "roll-by" in one.how.template), None)
    return {"Release": "release", "Look from both sides": "look", "Apply": "apply"}.get(label or "")


def _continuity(seen: Seen) -> str | None:
    """What the step on applying asks to be seen."""
    told = next((one.how.template for one in _steps(seen) if one.label == "Apply"), "")
    return "rear" if "rear car's brake applies" in told else None


def _held_by(seen: Seen) -> str | None:
    """How the calculator's own warning has hand brakes proved."""
    notes = seen.answer.outcome.notes if seen.answer.outcome else ()
    told = any("release the air brakes" in note.text.template for note in notes)
    return "air-off" if told else None


def _made_up(draws: Draws) -> Drawn:
    return {"event": "made-up", "brake_pipe_setting": draws.pick((80.0, 85.0, 90.0, 95.0))}


def _secured(draws: Draws) -> Drawn:
    return {
        "weight": draws.whole(1000, 9000, 500),
        "grade": draws.pick((0.5, 0.8, 1.0, 1.5)),
        "holding_force": draws.pick((4000.0, 4600.0, 5000.0)),
        "margin": draws.pick((25.0, 50.0)),
        "cars": 118.0,
        "more": draws.whole(1, 4),
        "untried": draws.whole(5, 9),
    }


def _that_count(seen: Seen) -> str | None:
    """Whether the hand brakes that were tried are as many as the sum asks for."""
    number = seen.number
    if number is None or number <= seen.untried:
        return None
    return "short" if number + seen.more - seen.untried < number else None


FORMS = (
    Form(
        id="leak-order",
        topic=TOPIC,
        own=2,
        calculator="brake-test",
        kind="order",
        right=_leakage_order,
        words="A Class I test from {brake_pipe_setting}. In which order is the brake pipe's leakage read?",
        draw=_made_up,
        slips=(
            Slip(
                mistake="valve-left-cut-in",
                step="Leakage",
                why="cut in, the valve makes good what leaks, and the gauge holds whatever leaks.",
                gives=lambda s: _order(_OFF, _WAIT, _WATCH, _OUT),
            ),
            Slip(
                mistake="timed-at-once",
                step="Leakage",
                why="right after the exhaust the pipe still falls by itself; the wait comes before the minute.",
                gives=lambda s: _order(_OFF, _OUT, _WATCH, _WAIT),
            ),
        ),
    ),
    Form(
        id="roll-by-shows",
        topic=TOPIC,
        calculator="brake-test",
        kind="tells",
        right=_roll_by,
        options={
            "release": "the look at the release: that every brake lets go",
            "look": "the look at the cars from both sides",
            "apply": "the look at the set: that every brake applies",
        },
        words="A Class I test at {brake_pipe_setting}. What may a roll-by stand for?",
        draw=_made_up,
        slips=(
            Slip(
                mistake="roll-by-for-both-sides",
                step="Look from both sides",
                why="a roll-by shows the release; rigging, cocks, hoses and travel are looked at on both sides, standing.",
                gives=lambda s: "look",
            ),
            Slip(
                mistake="roll-by-for-the-set",
                step="Apply",
                why="a train that rolls by has its brakes released.",
                gives=lambda s: "apply",
            ),
        ),
    ),
    Form(
        id="class-3-proof",
        topic=TOPIC,
        own=2,
        calculator="brake-test",
        kind="tells",
        right=_continuity,
        options={
            "rear": "the rear car's brake is seen to apply and to release, or a gauge or device there shows it",
            "flow": "the air flow at the head falls to nothing",
            "head": "the head gauge falls on the set and comes back",
        },
        words="A Class III test is due: {event}. What proves that the pipe is open to the rear?",
        draw=lambda d: {"event": d.pick(("removed", "locomotive", "defective-removed"))},
        slips=(
            Slip(
                mistake="flow-for-continuity",
                step="Apply",
                why="behind a closed cock the flow falls to nothing just as well; only the rear tells.",
                gives=lambda s: "flow",
            ),
            Slip(
                mistake="head-tells-rear",
                step="Apply",
                why="the head gauge does that behind a closed cock too.",
                gives=lambda s: "head",
            ),
        ),
    ),
    Form(
        id="hand-brakes-proof",
        topic="force",
        own=2,
        calculator="hand-brakes",
        kind="tells",
        right=_held_by,
        options={
            "air-off": "air brakes released, the independent too, and it stays where it is",
            "independent": "the train's brakes released, the independent left on, and it stays where it is",
            "number": "as many are set as the sum asks for",
        },
        words="{weight} on {grade}: hand brakes are set. What shows that they hold?",
        draw=_secured,
        slips=(
            Slip(
                mistake="independent-at-the-proof",
                step="With the margin",
                why="it may be the independent that holds; the proof is made with the air brakes off, this one too.",
                gives=lambda s: "independent",
            ),
            Slip(
                mistake="number-for-proof",
                step="With the margin",
                why="the number is where one begins; only what stays put with the air off has been shown to hold.",
                gives=lambda s: "number",
            ),
        ),
    ),
    Form(
        id="hand-brakes-tried",
        topic="force",
        calculator="hand-brakes",
        kind="tells",
        right=_that_count,
        options={
            "short": "fewer count than the sum asks for",
            "enough": "as many count as the sum asks for",
            "proved": "enough, and nothing more is to be shown",
        },
        also={"set": lambda s: None if s.number is None else float(s.number + s.more)},
        words=(
            "{weight} on {grade}; one hand brake is taken to hold {holding_force}, with a margin of {margin}. {set} are set, {untried} of "
            "them were not tried. How do those that count compare with the sum?"
        ),
        draw=_secured,
        slips=(
            Slip(
                mistake="untried-counted",
                step="With the margin",
                why="a slack chain or a bound lever holds nothing, so one that was not tried does not count.",
                gives=lambda s: "enough",
            ),
            Slip(
                mistake="number-for-proof",
                step="With the margin",
                why="no number proves it; only what stays put with the air off has been shown to hold.",
                gives=lambda s: "proved",
            ),
        ),
    ),
)
