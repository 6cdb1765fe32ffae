"""A running brake: told things at any moment, moved on, read and copied."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from calculators.base.errors import InputError
from calculators.base.units import CUBIC_INCH, PSI
from calculators.equipment.locomotive import CutOff, Handle
from calculators.equipment.running.figures import Change, Setup
from calculators.equipment.running.locomotive import Locomotive, build
from calculators.equipment.running.places import PASSAGES, PLACES
from calculators.equipment.train.commands import Command
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import Due, schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import CUT_OUT, EMERGENCY, RELEASED, State

LOOKED_EVERY = 2.0
"""Time between looks at whether all rests. [s]"""
STILL = 0.0005
"""Rate below which a pressure rests: over the minutes of a long train less than a gauge shows.
[psi/s]"""
RECHARGED = 1.0
"""A car's reservoirs this near its pipe are recharged. [psi]"""
PIPE_EMPTY = 0.1
"""[psi]"""

Penalty = Literal["pedal", "overspeed", "alerter", "train-control"]
SUPPRESSED: tuple[Penalty, ...] = ("pedal", "overspeed")
"""What suppression holds off if the unit does not say otherwise. From memory."""


@dataclass(slots=True)
class Brake:
    """A locomotive and its train as they stand; made by `start`."""

    setup: Setup
    locomotive: Locomotive
    simulation: Simulation
    suppressed: tuple[Penalty, ...] = SUPPRESSED

    # --- Telling it --------------------------------------------------------------------------

    def handle(self, place: Handle, *, reduction: float = 0.0) -> None:
        """Put the automatic handle somewhere; ``reduction`` [psi] in the service zone, anywhere.

        A remote unit whose radio link works does the same after the link's delay.
        """
        self.locomotive.put(place, reduction * PSI)
        self._felt()
        remote = self.setup.remote
        if remote is not None and remote.link == "works":
            at = self.simulation.seconds + remote.delay
            self._due(Due(at, partial(_remote_follows, place, self.locomotive.reduction)))

    def independent(self, pressure: float) -> None:
        """Move the independent handle to ask for so much in pipe 20. [psi]."""
        self.locomotive.independent = max(0.0, pressure) * PSI

    def bail_off(self, pressed: bool) -> None:
        """Press the independent handle, or let it go."""
        self.locomotive.bail_off = "held" if pressed else "none"

    def cut_off(self, place: CutOff) -> None:
        """Turn the cut-off selector."""
        self.locomotive.cut_off = place
        self._felt()

    def dynamic(self, on: bool) -> None:
        """Dynamic brake on or off."""
        self.locomotive.dynamic = on

    def regulate(self, setting: float) -> None:
        """Set the regulating valve. [psi]."""
        self.locomotive.regulated = setting * PSI + self.simulation.state.grid.atmosphere

    def penalty(self, source: Penalty) -> bool:
        """A safety device asks for a penalty; returns whether one begins.

        Suppression that stands already holds off what it covers; a penalty that has begun runs on.
        """
        if self.locomotive.stands == "suppression" and source in self.suppressed:
            return False
        self.locomotive.penalty = True
        return True

    def emergency(self, at: Literal["rear"] | int) -> None:
        """Open the pipe at the rear device, or at a car as a parted hose does."""
        self._by_schedule(Command(at_seconds=0.0, action="emergency", at=at))

    def close_cock(self, behind_car: int, *, opening: float = 0.0) -> None:
        """Close an angle cock to a share of its bore."""
        command = Command(
            at_seconds=0.0, action="close-angle-cock", behind_car=behind_car, opening=opening
        )
        self._by_schedule(command)

    def open_cock(self, behind_car: int) -> None:
        """Open an angle cock."""
        self._by_schedule(Command(at_seconds=0.0, action="open-angle-cock", behind_car=behind_car))

    def change(self, change: Change) -> None:
        """Let something be wrong from now on, or right again."""
        setup = replace(self.setup, change=change)
        made = build(setup, self.simulation.state, self.locomotive)
        self.setup = self.locomotive.setup = setup
        self.locomotive.passing = made.passing
        self.locomotive.leaking = made.leaking
        self._felt()

    def _by_schedule(self, command: Command) -> None:
        if not self.setup.cars:
            raise InputError("cars", "A light locomotive has no train in which this could be done.")
        now = self.simulation.seconds
        for due in schedule(self.setup.train(), (command,)):
            self._due(Due(now + due.seconds, due.act))

    def _due(self, due: Due) -> None:
        self.simulation.due.append(due)
        self.simulation.due.sort(key=lambda one: one.seconds)

    def _felt(self) -> None:
        self.simulation.acted()

    # --- Running it --------------------------------------------------------------------------

    @property
    def seconds(self) -> float:
        """Time since it was started."""
        return self.simulation.seconds

    def advance(self, seconds: float) -> None:
        """Let so much time pass, or a little more: a wave step is never cut."""
        self.simulation.run_to(self.simulation.seconds + seconds)

    def copy(self) -> Brake:
        """One that goes on from here by itself."""
        simulation = self.simulation.copy()
        locomotive = simulation.relays[0]
        assert isinstance(locomotive, Locomotive)
        return Brake(self.setup, locomotive, simulation, self.suppressed)

    def to_rest(self, *, longest: float = 7200.0) -> float | None:
        """Run until all rests; gives when that was, in s, or None if something never does.

        Rest is where no pressure of locomotive or train moves any more and every released car's
        reservoirs are within a psi of their pipe; or an empty pipe and still cylinders.
        """
        end = self.simulation.seconds + longest
        before = self._standings()
        rested_since: float | None = None
        while self.simulation.seconds < end:
            at = self.simulation.seconds
            self.advance(LOOKED_EVERY)
            now = self._standings()
            span = self.simulation.seconds - at
            rate = max(abs(a - b) for a, b in zip(now, before, strict=True)) / span
            before = now
            if rate > STILL or self.simulation.due or not self._recharged():
                rested_since = None
                continue
            if rested_since is not None:
                return rested_since
            rested_since = at
        return None

    def _standings(self) -> list[float]:
        """Everything whose movement is no rest, in psi; a compressor's main reservoir apart."""
        state = self.simulation.state
        own = self.locomotive.pressure[1:]
        every = [*own, *state.pressure, *state.auxiliary, *state.emergency, *state.cylinder]
        return [pressure / PSI for pressure in every]

    def _recharged(self) -> bool:
        state = self.simulation.state
        least = RECHARGED * PSI
        for car, cell in enumerate(state.grid.car_cell):
            if state.position[car] != RELEASED:
                continue
            pipe = state.pressure[cell]
            if abs(state.auxiliary[car] - pipe) > least or state.emergency[car] < pipe - least:
                return max(state.pressure) - state.grid.atmosphere < PIPE_EMPTY * PSI
        return True

    # --- Reading it --------------------------------------------------------------------------

    def gauge(self, place: str) -> float:
        """Gauge pressure of a place of the locomotive, or of the ``rear``. [psi]."""
        state = self.simulation.state
        if place == "rear":
            pressure = state.pressure[-1]
        elif place == "brake_pipe":
            pressure = state.pressure[0]
        elif place == "main_reservoir" and self.locomotive.leads:
            pressure = self.locomotive.main
        else:
            pressure = self.locomotive.pressure[PLACES.index(place)]
        return (pressure - state.grid.atmosphere) / PSI

    def gauges(self) -> dict[str, float]:
        """Every place by name, and the rear. [psi]."""
        return {place: self.gauge(place) for place in (*PLACES, "rear")}

    def cylinders(self) -> tuple[float, ...]:
        """Every car's brake cylinder from the head. [psi]."""
        state = self.simulation.state
        return tuple((p - state.grid.atmosphere) / PSI for p in state.cylinder)

    def brake_pipe(self) -> tuple[float, ...]:
        """The pipe at every car from the head. [psi]."""
        state = self.simulation.state
        return tuple(
            (state.pressure[cell] - state.grid.atmosphere) / PSI for cell in state.grid.car_cell
        )

    def applied(self) -> tuple[int, ...]:
        """Cars whose valve stands applied or in emergency, by number from the head."""
        state = self.simulation.state
        return tuple(
            i + 1 for i, where in enumerate(state.position) if where not in (RELEASED, CUT_OUT)
        )

    def in_emergency(self) -> tuple[int, ...]:
        """Cars whose valve stands in emergency."""
        state = self.simulation.state
        return tuple(i + 1 for i, where in enumerate(state.position) if where == EMERGENCY)

    def passed(self) -> dict[str, float]:
        """Air through each passage since this was last asked. [psi cu in]."""
        moved = self.locomotive.moved
        self.locomotive.moved = [0.0] * len(PASSAGES)
        return {n: m / PSI / CUBIC_INCH for n, m in zip(PASSAGES, moved, strict=True)}

    def mass_error(self) -> float:
        """Air made or lost by the arithmetic, over all there was."""
        return self.simulation.check_mass()


def start(setup: Setup) -> Brake:
    """A brake standing charged with its handle in release, or from its starting pressure."""
    train = setup.train()
    state, relays = put_together(train)
    locomotive = build(setup, state, relays[0])
    made: list[Relay] = [locomotive, *relays[1:]]
    for number, source in enumerate(setup.change.sources):
        made.append(_second(source.at_car, source.pressure, number, relays[0], state))
    return Brake(setup, locomotive, Simulation(state, made, []))


def _second(at_car: int, pressure: float, number: int, lead: Relay, state: State) -> Relay:
    """A brake valve that somebody left cut in, in the cell of a car."""
    if not 1 <= at_car <= len(state.grid.car_cell):
        raise InputError("cars", f"Car is {at_car}; this train has {len(state.grid.car_cell)}.")
    absolute = pressure * PSI + state.grid.atmosphere
    return replace(
        lead,
        cell=state.grid.car_cell[at_car - 1],
        detector=-1 - number,
        equalizing=absolute,
        target=absolute,
        figures=replace(lead.figures, setting=absolute),
    )


def _remote_follows(place: Handle, reduction: float, _state: State, relays: list[Relay]) -> None:
    remote = relays[1]
    if place == "emergency":
        remote.handle = "emergency"
    elif place == "release":
        remote.release()
    else:
        lead = relays[0]
        assert isinstance(lead, Locomotive)
        remote.service(lead.regulated - lead.asked(_state.grid.atmosphere))
