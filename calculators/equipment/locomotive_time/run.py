"""The run from one state at rest to the next: steps in time, and what is kept of them."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.equipment.locomotive import AtRest, Command, at_rest
from calculators.equipment.locomotive_time.figures import Setup
from calculators.equipment.locomotive_time.motion import Motion, start_pressures
from calculators.equipment.locomotive_time.passages import BRAKE_PIPE, NUMBER_OF, PLACES
from calculators.equipment.locomotive_time.train_pipe import TRAIN_STILL

SHORTEST_STEP = 0.005
LONGEST_STEP = 0.25
LONGEST_TRAIN_STEP = 2.0
LONGEST_EMERGENCY_STEP = 0.1
"""While an emergency runs along the train. [s]"""

LONGEST_RUN = 7200.0
"""What is still moving after two hours is not followed further. [s]"""

CHANGE_A_STEP = 0.6
"""Change of the fastest pressure that a step aims at. [psi]"""

STILL = 1e-6
STILL_WITH_LEAK = 5e-5
"""Rate of change under which a leaking pipe counts as steady. [psi/s] 0.003 psi a minute."""
STEADY = 0.5
"""How near the pipe is to what it comes to when it is said to be at rest. [psi] Our own."""
FILLED = 1.0
"""How near a car's reservoirs are to the pipe beside them then. [psi] Our own, as in charging."""
QUIET_STEPS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One moment: pressures by place [psi], rear of the train, air by passage [psi cu in/s]."""

    seconds: float
    pressures: tuple[float, ...]
    rear: float | None
    flows: tuple[float, ...]

    def pressure(self, place: str) -> float:
        """Pressure at a place by its name [psi]."""
        return self.pressures[PLACES.index(place)]

    def flow(self, passage: str) -> float:
        """Air through a passage by its name [psi cu in/s]."""
        return self.flows[NUMBER_OF[passage]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """One passage that air went through: when it first opened, when it last closed."""

    passage: str
    started: float
    stopped: float
    content: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A move from rest to rest.

    ``before`` is None where everything was empty. ``used`` holds the passages in the order in
    which they opened. ``rest_after`` is None where something still moves at the end. The mass
    error is the air that was lost or made, over the air there was.
    """

    before: AtRest | None
    after: AtRest
    samples: tuple[Sample, ...]
    used: tuple[Used, ...]
    rest_after: float | None
    mass_error: float

    def at(self, seconds: float | None) -> Sample:
        """The last moment not after so many seconds; None is the end."""
        if seconds is None:
            return self.samples[-1]
        earlier = [sample for sample in self.samples if sample.seconds <= seconds + 1e-9]
        return earlier[-1] if earlier else self.samples[0]


def start_from_empty(setup: Setup, command: Command) -> Run:
    """Charge a locomotive and train that held no air outside the main reservoir."""
    return _run(setup, None, None, command, LONGEST_RUN)


def run(
    setup: Setup,
    before: Command,
    move: Command,
    *,
    rest: AtRest | None = None,
    longest: float = LONGEST_RUN,
) -> Run:
    """Go from the rest that one command left to the rest that the next one asks for.

    Parameters
    ----------
    setup
        Locomotive, volumes, train.
    before
        The command that has come to rest.
    move
        The command now, with its history filled in (`history.carried_on`).
    rest
        The state that ``before`` left, where the locomotive was set up otherwise then.
    longest
        How long it is followed where something never stops, as a pipe that leaks away. [s]

    Returns
    -------
    Run
        Samples in time, passages in order; the last sample is `at_rest` of ``move``.
    """
    return _run(setup, rest or at_rest(setup.equipment, before), before, move, longest)


def _run(
    setup: Setup, rest: AtRest | None, before: Command | None, move: Command, until: float
) -> Run:
    after = at_rest(setup.equipment, move)
    motion = Motion(setup, rest, before, move)
    at_start = motion.content()
    samples = [_sample(motion, start_pressures(setup, before, rest), 0.0, 1.0)]
    dt = SHORTEST_STEP * 2
    unfilled: list[tuple[float, float]] = []
    quiet = 0
    longest = LONGEST_TRAIN_STEP if setup.cars else LONGEST_STEP
    while motion.seconds < until and quiet < QUIET_STEPS:
        old = list(motion.pressure)
        rear, along = motion.train.rear, motion.train.spaces()
        motion.step(dt)
        changed = max(abs(new - was) for new, was in zip(motion.pressure, old, strict=True))
        if rear is not None:
            changed = max(changed, abs((motion.train.rear or 0.0) - rear))
        behind = max(map(_apart, motion.train.spaces(), along), default=0.0)
        unfilled.append((motion.seconds, motion.train.unfilled()))
        samples.append(_sample(motion, motion.gauges(), motion.seconds, dt))
        # A leak never stops: what counts there is that nothing changes any more, along the train too.
        leaks = motion.setup.leakage > 0.0
        still = max(changed, behind) < STILL_WITH_LEAK * dt if leaks else changed < STILL
        quiet = quiet + 1 if still and not _stirring(motion) else 0
        # Bounded growth: what has just woken a valve must not be stepped over.
        wanted = dt * min(1.5, max(0.3, CHANGE_A_STEP / max(changed, 1e-9)))
        at_most = LONGEST_EMERGENCY_STEP if motion.train.waiting(motion.seconds) else longest
        dt = min(at_most, max(SHORTEST_STEP, wanted), max(SHORTEST_STEP, until - motion.seconds))
    used = tuple(
        Used(passage=name, started=first, stopped=last, content=content)
        for name, first, last, content in motion.passages_used()
    )
    came_to_rest = quiet >= QUIET_STEPS
    # A leak and what makes it good go on without end, and the compressor is not the brake's.
    last_move = max((u.stopped for u in used if u.passage not in motion.endless), default=0.0)
    last_move = max(last_move, _still_moving(samples, unfilled))
    return Run(
        before=rest,
        after=after,
        samples=tuple(samples),
        used=used,
        rest_after=last_move if came_to_rest else None,
        mass_error=(motion.content() + motion.out - motion.brought_in - at_start) / at_start,
    )


def _apart(one: float, other: float) -> float:
    return abs(one - other)


def _still_moving(samples: list[Sample], unfilled: list[tuple[float, float]]) -> float:
    """Last moment at which the pipe was not where it comes to, or a reservoir still filled [s].

    The brake is at rest when head and rear have come to their steady figures, leak
    included, and every car's reservoirs to the pipe beside them.
    """
    end = samples[-1]
    moving = [
        sample.seconds
        for sample in samples
        if _apart(sample.pressures[BRAKE_PIPE], end.pressures[BRAKE_PIPE]) > STEADY
        or _apart(sample.rear or 0.0, end.rear or 0.0) > STEADY
    ]
    filling = [seconds for seconds, below in unfilled if below > FILLED]
    return max([0.0, *moving, *filling])


def _stirring(motion: Motion) -> bool:
    if motion.train.waiting(motion.seconds):
        return True
    if not motion.train.parts or motion.setup.leakage > 0.0:
        return False
    return motion.train.stillness(motion.pressure[BRAKE_PIPE]) > TRAIN_STILL


def _sample(motion: Motion, gauges: tuple[float, ...], seconds: float, dt: float) -> Sample:
    return Sample(
        seconds=seconds,
        pressures=gauges,
        rear=motion.train.rear,
        flows=tuple(moved / dt for moved in motion.moved),
    )
