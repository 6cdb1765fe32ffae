"""The run itself: what is due, how long the next step is, and the samples."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from operator import add, sub

from calculators.air.gas import free_air_cfm
from calculators.base.units import PSI
from calculators.equipment.train.records import Sample
from calculators.equipment.train.schedule import Due
from calculators.equipment.train.stepping.car_valves import (
    act_applied,
    act_emergency,
    act_released,
    leak_cylinders,
    vent,
)
from calculators.equipment.train.stepping.pipe_motion import (
    fill_up,
    long_step,
    longest_settled_step,
    wave_step,
)
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State
from calculators.equipment.train.stepping.triggers import detect_emergency, start_applications

WAVES_LAST = 1.5
"""After a command or a valve's movement the wave step is kept this long. [s]"""
WAVE_RATE = 2000.0
"""Change of pressure anywhere in the pipe above which it is kept too. [Pa/s]"""
FEW_CELLS = 8
"""Below so many, every cell's rate counts for itself. [-]"""
CHANGE_PER_STEP = 500.0
"""Change of pressure that a long step aims at. [Pa]"""
SHORTEST_LONG_STEP = 0.1
LONGEST_STEP = 0.5
THETA_WITH_WAVES = 0.6
THETA_AT_REST = 1.0
"""Weights of a long step's end: nearly even while waves may be about, else fully damped."""
REST_FROM = 0.3
"""Step from which it is fully damped. [s]"""
TIME_ROUNDING = 1e-9


def rate_of_waves(after: list[float], before: list[float], step: float) -> float:
    """How fast the pipe moves where it moves fastest, by the mean of two neighboring cells. [Pa/s].

    Valves that are all but lapped can keep a ripple alive in which every cell moves against the next,
    0.02 psi from cell to cell, wave step after wave step. It carries nothing along the pipe, and a
    long step wears it down; a front, however steep, moves neighbors the same way. In a pipe of a few
    cells two neighbors are much of it, and every cell counts for itself.
    """
    if len(after) < FEW_CELLS:
        return rate_of_change(after, before, step)
    changes = list(map(sub, after, before))
    most: float = max(map(abs, map(add, changes, changes[1:])))
    return 0.5 * most / step


def rate_of_change(after: list[float], before: list[float], step: float) -> float:
    """How fast the pipe's pressure moves in the cell where it moves fastest. [Pa/s]."""
    most: float = max(map(abs, map(sub, after, before)))
    return most / step


@dataclass(slots=True)
class _Snapshot:
    """What a sample is made of, at one step end, still in SI."""

    seconds: float
    pressure: list[float]
    auxiliary: list[float]
    emergency: list[float]
    cylinder: list[float]
    equalizing: float
    main: float
    supplied: float
    exhausted: float


@dataclass(slots=True)
class Simulation:
    """A train under way; `advance` moves it to a time and samples it there."""

    state: State
    relays: list[Relay]
    due: list[Due]
    seconds: float = 0.0
    samples: list[Sample] = field(default_factory=list)
    mass_error: float = 0.0
    longest_step: float = LONGEST_STEP
    """Of a train at rest but for what is slow, a longer one will do. [s]"""
    wave_steps: int = 0
    long_steps: int = 0
    _last_act: float = 0.0
    _rate: float = 0.0
    _content_at_start: float = 0.0
    _at_last_sample: _Snapshot | None = None

    def __post_init__(self) -> None:
        """Weigh the air before anything moves."""
        self._content_at_start = self._content()

    def advance(self, until: float) -> None:
        """Run to a time and take a sample there.

        A wave step is never shortened: steps of changing length would pump the shortest waves. A
        command that falls within one is obeyed at the nearer end, and a sample is interpolated.
        """
        before = self.run_to(until)
        after = self._snapshot()
        if before is None or self.seconds <= until:
            before = after
        self._sample(until, before, after)
        self._check_mass()

    def run_to(self, until: float) -> _Snapshot | None:
        """Run to a time, or past it by part of a wave step; gives what stood before that step."""
        before = None
        while True:
            self._obey()
            if self.seconds >= until - TIME_ROUNDING:
                break
            due_in = self.due[0].seconds - self.seconds if self.due else inf
            left = until - self.seconds
            if self._waves_about():
                step = self.state.grid.wave_step
                if step > left:
                    before = self._snapshot()
                self._wave_step(step)
            else:
                target = CHANGE_PER_STEP / max(self._rate, 1.0)
                longest = self.longest_step
                if longest > LONGEST_STEP:
                    longest = max(LONGEST_STEP, min(longest, longest_settled_step(self.state)))
                step = min(longest, max(SHORTEST_LONG_STEP, target), due_in, left)
                self._long_step(step)
        return before

    @property
    def has_released(self) -> bool:
        """Whether no car's control valve stands applied or in emergency."""
        return not self.state.applied and not self.state.in_emergency

    def _obey(self) -> None:
        """Do what is due; what is a little ahead too, if wave steps are being taken."""
        early = 0.5 * self.state.grid.wave_step if self._waves_about() else TIME_ROUNDING
        while self.due and self.due[0].seconds <= self.seconds + early:
            self.due.pop(0).act(self.state, self.relays)
            self._last_act = self.seconds

    def _waves_about(self) -> bool:
        return (
            self._rate > WAVE_RATE
            or self.seconds - self._last_act < WAVES_LAST
            or self.seconds - self.state.last_event < WAVES_LAST
        )

    def _wave_step(self, step: float) -> None:
        """Pipe, relays, valves in turn."""
        state = self.state
        before = state.pressure[:]
        wave_step(state, step)
        for relay in self.relays:
            relay.move_reservoirs(state, step)
            relay.feed_cell(state, step)
        self.wave_steps += 1
        self._sense(before, step, acts_in_it=True)
        self._act(step)
        self._end_step(before, step, in_waves=True)

    def _long_step(self, step: float) -> None:
        """Valves first, then pipe and relays together.

        In so long a step the valves draw far more than a cell can spare; the pipe makes it good,
        and what the detectors and pistons see is the pressure that is left.
        """
        state = self.state
        before = state.pressure[:]
        sources = {}
        for relay in self.relays:
            relay.move_reservoirs(state, step)
            sources[relay.cell] = relay.lines(
                before[relay.cell], step, atmosphere=state.grid.atmosphere
            )
        self._act(step)
        theta = THETA_WITH_WAVES if step < REST_FROM else THETA_AT_REST
        fed = long_step(state, step, sources, before, theta=theta)
        for relay in self.relays:
            relay.take(state, fed[relay.cell], step)
        self.long_steps += 1
        self._sense(before, step, acts_in_it=False)
        self._end_step(before, step, in_waves=False)

    def _sense(self, before: list[float], step: float, *, acts_in_it: bool) -> None:
        """Let detectors and pistons see the pressures that the pipe's motion has left."""
        state, seconds = self.state, self.seconds
        for relay in self.relays:
            relay.sense(state.pressure[relay.cell])
        for detector in detect_emergency(state, step, seconds, acts_in_it=acts_in_it):
            for relay in self.relays:
                if relay.detector == detector:
                    relay.feel_emergency()
        start_applications(state, before, step, seconds, acts_in_it=acts_in_it)

    def _act(self, step: float) -> None:
        """Let every valve pass what it passes in a step."""
        state, seconds = self.state, self.seconds
        if state.vents:
            vent(state, step)
        if state.moving:
            act_released(state, step)
        if state.applied:
            act_applied(state, step, seconds)
        if state.in_emergency:
            act_emergency(state, step, seconds)
        if state.cylinder_leaks:
            leak_cylinders(state, step)

    def _end_step(self, before: list[float], step: float, *, in_waves: bool) -> None:
        p = self.state.pressure
        if min(p) < self.state.grid.atmosphere:
            fill_up(self.state, step)
        if in_waves:
            self._rate = rate_of_waves(p, before, step)
        else:
            self._rate = rate_of_change(p, before, step)
            if self._rate > WAVE_RATE:
                # What a long step does not settle gets wave steps for more than one.
                self._last_act = self.seconds
        self.seconds += step

    def _content(self) -> float:
        return self.state.content() + sum(relay.content() for relay in self.relays)

    def acted(self) -> None:
        """Take wave steps from now on for a while: something was done to the train."""
        self._last_act = self.seconds

    def copy(self) -> Simulation:
        """A simulation that goes on from here by itself; what is yet due is due in both."""
        other = Simulation(
            self.state.copy(),
            [relay.copy() for relay in self.relays],
            self.due[:],
            self.seconds,
            self.samples[:],
            self.mass_error,
            self.longest_step,
            self.wave_steps,
            self.long_steps,
            self._last_act,
            self._rate,
        )
        other._content_at_start = self._content_at_start
        other._at_last_sample = self._at_last_sample
        return other

    def check_mass(self) -> float:
        """Air made or lost by the arithmetic so far, over all the air there was."""
        self._check_mass()
        return self.mass_error

    def _check_mass(self) -> None:
        pumped = sum(relay.pumped for relay in self.relays)
        expected = self._content_at_start + pumped - self.state.vented
        error = abs(self._content() - expected) / self._content_at_start
        self.mass_error = max(self.mass_error, error)

    def _snapshot(self) -> _Snapshot:
        state = self.state
        lead = self.relays[0]
        return _Snapshot(
            self.seconds,
            state.pressure[:],
            state.auxiliary[:],
            state.emergency[:],
            state.cylinder[:],
            lead.equalizing,
            lead.main,
            lead.supplied,
            lead.exhausted,
        )

    def _sample(self, at: float, before: _Snapshot, after: _Snapshot) -> None:
        """Add the sample at a time between two step ends, in the trade's units."""
        span = after.seconds - before.seconds
        share = (at - before.seconds) / span if span > 0.0 else 1.0
        grid = self.state.grid
        atmosphere = grid.atmosphere

        def blend(one: float, other: float) -> float:
            return one + share * (other - one)

        def gauge(one: float, other: float) -> float:
            return (one + share * (other - one) - atmosphere) / PSI

        def gauges(one: list[float], other: list[float]) -> tuple[float, ...]:
            return tuple(map(gauge, one, other))

        supplied = blend(before.supplied, after.supplied)
        exhausted = blend(before.exhausted, after.exhausted)
        last = self._at_last_sample
        flows = (0.0, 0.0)
        if last is not None and at > last.seconds:
            flows = (
                (supplied - last.supplied) / (at - last.seconds),
                (exhausted - last.exhausted) / (at - last.seconds),
            )
        cells = gauges(before.pressure, after.pressure)
        self.samples.append(
            Sample(
                seconds=at,
                brake_pipe=tuple(cells[cell] for cell in grid.car_cell),
                auxiliary=gauges(before.auxiliary, after.auxiliary),
                emergency_reservoir=gauges(before.emergency, after.emergency),
                brake_cylinder=gauges(before.cylinder, after.cylinder),
                head=cells[0],
                rear=cells[-1],
                equalizing_reservoir=gauge(before.equalizing, after.equalizing),
                main_reservoir=gauge(before.main, after.main),
                supply_flow=free_air_cfm(content_flow=flows[0], atmosphere=atmosphere),
                exhaust_flow=free_air_cfm(content_flow=flows[1], atmosphere=atmosphere),
            )
        )
        after.seconds, after.supplied, after.exhausted = at, supplied, exhausted
        self._at_last_sample = after
