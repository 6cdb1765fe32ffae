"""The locomotive's series: what is done at each stage, how long it is waited, what can be read.

The locomotive alone, secured, in control. No stage is an emergency. Which stage can follow which is
data too, so that a check can be made without all those before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.errors import UnknownNameError

Move = Literal[
    "",
    "minimum",
    "ten-off",
    "cut-out",
    "cut-in",
    "half-back",
    "bail-off",
    "thirty-off",
    "release",
    "independent-on",
    "independent-off",
]

GAUGES = ("reservoir", "pipe", "cylinder", "main", "flow")
"""What gauges show, in the order of a stage's readings."""
GAUGE_WORDS = {
    "reservoir": "equalizing reservoir",
    "pipe": "brake pipe",
    "cylinder": "brake cylinder",
    "main": "main reservoir",
    "flow": "air flow",
}
GAUGE_UNITS = dict.fromkeys(GAUGES, "psi") | {"flow": "cfm"}

EXHAUSTS = (
    "reservoir-exhaust",
    "brake-pipe-exhaust",
    "control-valve-exhaust",
    "independent-exhaust",
    "relay-exhaust",
)
"""Where air can blow that a valve lets out, by the names that observations use."""

PLACES = (
    "equalizing-reservoir",
    "brake-pipe",
    "control-reservoir",
    "pipe-16",
    "pipe-20",
    "actuating-pipe",
    "relay-vent",
    "gauge-truck",
    "other-truck",
)
"""Where a leak of its own can be heard."""

SOUNDS = (*EXHAUSTS, *PLACES)
PISTONS = ("gauge-truck", "other-truck")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of the series.

    ``seconds`` are waited after the move until all is read; ``after`` is the stage that it follows
    when it is made for itself; ``does`` says it to a person. ``recharge`` are
    seconds in release before the move, where the stage before left something on.
    """

    id: str
    title: str
    does: str
    move: Move
    seconds: float
    after: str
    recharge: float = 0.0


STAGES: tuple[Stage, ...] = (
    Stage(
        id="charged",
        title="Charged",
        does="Release, independent released, all charged. Read everything.",
        move="",
        seconds=20.0,
        after="",
    ),
    Stage(
        id="charged-60",
        title="Charged, a minute later",
        does="Touch nothing for a minute, then read again.",
        move="",
        seconds=60.0,
        after="charged",
    ),
    Stage(
        id="minimum",
        title="Minimum reduction",
        does="Handle to minimum reduction, wait until the exhaust stops.",
        move="minimum",
        seconds=20.0,
        after="charged",
    ),
    Stage(
        id="ten-off",
        title="10 off",
        does="Go on to 10 off, wait until all stands.",
        move="ten-off",
        seconds=25.0,
        after="charged",
    ),
    Stage(
        id="ten-off-60",
        title="10 off, a minute later",
        does="Touch nothing for a minute, then read again.",
        move="",
        seconds=60.0,
        after="ten-off",
    ),
    Stage(
        id="half-back",
        title="Half-way back",
        does="Handle back toward release until about 4 off, not into release; wait half a minute.",
        move="half-back",
        seconds=30.0,
        after="ten-off",
    ),
    Stage(
        id="cut-out-60",
        title="OUT for a minute",
        does="Cut-off OUT. Touch nothing for a minute, then read.",
        move="cut-out",
        seconds=60.0,
        after="ten-off",
    ),
    Stage(
        id="cut-in",
        title="15 off, then IN",
        does="Still OUT: bring the equalizing reservoir to 15 off, or deeper, until it reads 2 to 5 under "
        "the pipe as it reads now. Only then IN. If that cannot be had, or if the two gauges read more than "
        "2 apart before OUT, do not cut in: this part ends here. "
        "Above the pipe the brakes would let go; far under it the pipe could go to emergency.",
        move="cut-in",
        seconds=30.0,
        after="cut-out-60",
    ),
    Stage(
        id="thirty-off",
        title="30 off",
        does="Release and recharge for 45 seconds, then to 30 off; wait until all stands.",
        move="thirty-off",
        seconds=30.0,
        after="charged",
        recharge=45.0,
    ),
    Stage(
        id="released",
        title="Release",
        does="Handle to release, wait a minute.",
        move="release",
        seconds=60.0,
        after="thirty-off",
    ),
    Stage(
        id="full-again",
        title="30 off again",
        does="Handle to 30 off again, wait until all stands.",
        move="thirty-off",
        seconds=30.0,
        after="released",
    ),
    Stage(
        id="full-60",
        title="30 off, a minute later",
        does="Touch nothing for a minute, then read again.",
        move="",
        seconds=60.0,
        after="thirty-off",
    ),
    Stage(
        id="bail-off",
        title="Bail-off pressed",
        does="Press the independent handle for 15 seconds; read while it is pressed.",
        move="bail-off",
        seconds=15.0,
        after="thirty-off",
    ),
    Stage(
        id="released-again",
        title="Release again",
        does="Let the independent handle go. Handle to release, wait a minute.",
        move="release",
        seconds=60.0,
        after="full-60",
    ),
    Stage(
        id="independent",
        title="Independent full on",
        does="Independent fully on, wait until all stands.",
        move="independent-on",
        seconds=15.0,
        after="charged",
    ),
    Stage(
        id="independent-60",
        title="Independent, a minute later",
        does="Touch nothing for a minute, then read again.",
        move="",
        seconds=60.0,
        after="independent",
    ),
    Stage(
        id="independent-off",
        title="Independent released",
        does="Independent fully released, wait until all stands.",
        move="independent-off",
        seconds=20.0,
        after="independent",
    ),
)

NUMBER = {stage.id: number for number, stage in enumerate(STAGES)}
FULL_SERIES = sum(stage.recharge + stage.seconds for stage in STAGES)
"""All waits together. [s]"""


def find_stage(id: str) -> Stage:
    """The stage of that id; UnknownNameError if there is none."""
    if id not in NUMBER:
        raise UnknownNameError(f'the series has no stage "{id[:60]}"')
    return STAGES[NUMBER[id]]


def way_to(stage: Stage, stands: str) -> tuple[Stage, ...]:
    """The stages to go through to read one, from the last one done; the stage itself is last.

    Standing further along the same way, only the rest of it is to be done.
    """
    way = [stage]
    while way[0].after and way[0].after != stands:
        way.insert(0, find_stage(way[0].after))
    return tuple(way)
