"""Everything that changes while a train runs: plain lists, one number a cell or a car.

Lists and index loops, not an object a car: they are what an interpreter on a phone runs fastest.
SI units, absolute pressures, content flows (see `calculators.air.gas`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from math import pi
from typing import Any

from calculators.base.units import INCH, PSI
from calculators.equipment.retaining import HELD
from calculators.equipment.train.consist import Train
from calculators.equipment.train.stepping.border import ValveFigures, valve_figures
from calculators.equipment.train.stepping.grid import Grid
from calculators.equipment.train.tables import FREIGHT_VALVE, ControlValve

RELEASED, APPLIED, EMERGENCY, CUT_OUT = range(4)

PISTON_STARTS = 2.5
"""Cylinder pressure at which the piston leaves its end. [psi] Nominal, from memory."""
PISTON_OUT = 6.0
"""Cylinder pressure at which it has made its travel. [psi] H5: about 5 gives nothing."""

RETAINED = HELD
"""What a retaining valve holds in the cylinder. [psi] H30, ARRC-96 67-12."""


@dataclass(slots=True)
class Event:
    """A control valve moved: `kind` is applies, releases or emergency; car 0 is the first."""

    seconds: float
    car: int
    kind: str


@dataclass(slots=True)
class Vent:
    """An opening from a cell to atmosphere for so long; `opened_for` is the part of this step."""

    cell: int
    conductance: float
    seconds_left: float
    opened_for: float | None = None
    detector: int | None = None
    """Whose vent valve it is: once shut it can fire again."""


@dataclass(slots=True)
class State:
    """The air in the train and the positions of its valves."""

    grid: Grid
    figures: list[ValveFigures]
    pressure: list[float]
    """Of each cell."""
    flow: list[float]
    """Through each face, positive toward the rear."""
    difference: list[float]
    """Of pressure across each face when the last wave step pushed the flows."""
    auxiliary: list[float]
    emergency: list[float]
    cylinder: list[float]
    cylinder_content: list[float]
    bulb: list[float]

    clearance: list[float]
    swept: list[float]
    volume_out: list[float]
    """Of the cylinder with its piston out: both together."""
    content_out: list[float]
    """Of the cylinder when its piston is just out."""
    retained: list[float]
    """Cylinder pressure below which the retaining valve lets nothing out."""
    retained_content: list[float]
    exhaust: list[float]

    position: list[int]
    opening: list[float]
    """Of the graduating valve, 0 to 1."""
    timer: list[float]
    """Since the quick-service passages opened, or since emergency."""
    bulb_open: list[bool]
    limiting_open: list[bool]
    accelerating: list[bool]

    detector_cell: list[int]
    """Emergency detectors: the cars', then those of the vent valves that stand alone."""
    detector_figures: list[ValveFigures]
    """Whose lag and difference each detector has; those that stand alone are like the first car's."""
    detector_pressure: list[float]
    """Of the pipe at each detector when it was last read."""
    detector_excess: list[float]
    """Of each detector's chamber over the pipe."""
    detector_fired: list[bool]
    detector_least: float
    """The smallest excess that fires any detector. [Pa]"""

    cocks: dict[int, float | None] = field(default_factory=dict)
    """Faces with a cock not fully open: extra damping like `Grid.turbulent`, None if closed."""
    leaks: list[tuple[int, float]] = field(default_factory=list)
    cylinder_leaks: list[tuple[int, float]] = field(default_factory=list)
    """Cars whose cylinder leaks, with the conductance of the leak."""
    vents: list[Vent] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    started: list[float | None] = field(default_factory=list)
    """When each car first applied, service or emergency."""

    resting: list[int] = field(default_factory=list)
    """Cars released with nothing moving; the next three lists hold all others but the cut-out."""
    moving: list[int] = field(default_factory=list)
    applied: list[int] = field(default_factory=list)
    in_emergency: list[int] = field(default_factory=list)

    vented: float = 0.0
    """Content let out to atmosphere so far. [Pa·m³]"""
    last_event: float = -1e9
    detector_step: float = 0.0
    detector_kept: list[float] = field(default_factory=list)
    """Share of its excess over the pipe that each chamber keeps in a step of `detector_step`."""
    detector_lag: list[float] = field(default_factory=list)
    """Excess gained per unit of fall in such a step. [-]"""
    detector_watch: float = 0.0
    """Excess below which no detector needs looking at. [Pa]"""
    strongest_detection: float = 0.0
    """Largest excess of a detector that had not fired, over what fires it. [-]"""

    def content(self) -> float:
        """Content of pipe, reservoirs, cylinders and bulbs, in Pa·m³."""
        total = sum(p * V for p, V in zip(self.pressure, self.grid.volume, strict=True))
        for i, figures in enumerate(self.figures):
            total += self.auxiliary[i] * figures.auxiliary_volume
            total += self.emergency[i] * figures.emergency_volume
            total += self.bulb[i] * figures.bulb_volume
            total += self.cylinder_content[i]
        return total

    def copy(self) -> State:
        """A state that changes by itself; what never changes is shared."""
        kept = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "figures"}
        lists: dict[str, Any] = {
            n: value[:] for n, value in kept.items() if isinstance(value, list)
        }
        other = replace(self, **lists, cocks=dict(self.cocks))
        other.vents = [replace(one) for one in self.vents]
        return other

    def note(self, seconds: float, car: int, kind: str) -> None:
        """Record that a valve moved."""
        self.events.append(Event(seconds, car, kind))
        self.last_event = max(self.last_event, seconds)
        if kind != "releases" and self.started[car] is None:
            self.started[car] = seconds


def initial_state(train: Train, grid: Grid) -> State:
    """All pipes and reservoirs at the starting pressure, cylinders empty, valves in release."""
    atmosphere = grid.atmosphere
    psi = train.brake_pipe_setting if train.starting_pressure is None else train.starting_pressure
    start = psi * PSI + atmosphere
    cars = train.cars
    number = len(cars)
    converted: dict[ControlValve, ValveFigures] = {
        car.valve: valve_figures(car.valve, temperature=grid.temperature, atmosphere=atmosphere)
        for car in cars
    }
    figures = [converted[car.valve] for car in cars]
    alone = (
        figures[0]
        if figures
        else valve_figures(FREIGHT_VALVE, temperature=grid.temperature, atmosphere=atmosphere)
    )
    clearance = [f.cylinder_clearance for f in figures]
    swept = [pi / 4.0 * car.cylinder_bore**2 * car.piston_travel * INCH**3 for car in cars]
    volume_out = [V0 + V1 for V0, V1 in zip(clearance, swept, strict=True)]
    retained = [atmosphere + RETAINED[car.retaining_valve] * PSI for car in cars]
    vents = len(grid.vent_cells)
    return State(
        grid=grid,
        figures=figures,
        pressure=[start] * grid.cells,
        flow=[0.0] * (grid.cells + 1),
        difference=[0.0] * (grid.cells + 1),
        auxiliary=[start] * number,
        emergency=[start] * number,
        cylinder=[atmosphere] * number,
        cylinder_content=[atmosphere * volume for volume in clearance],
        bulb=[atmosphere] * number,
        clearance=clearance,
        swept=swept,
        volume_out=volume_out,
        content_out=[(atmosphere + PISTON_OUT * PSI) * volume for volume in volume_out],
        retained=retained,
        retained_content=[
            pressure * (V0 + V1 * piston_stroke(pressure - atmosphere))
            for pressure, V0, V1 in zip(retained, clearance, swept, strict=True)
        ],
        exhaust=[
            f.slow_direct if car.retaining_valve == "slow-direct" else f.exhaust
            for f, car in zip(figures, cars, strict=True)
        ],
        position=[CUT_OUT if car.cut_out else RELEASED for car in cars],
        opening=[0.0] * number,
        timer=[0.0] * number,
        bulb_open=[True] * number,
        limiting_open=[True] * number,
        accelerating=[False] * number,
        detector_cell=grid.car_cell + grid.vent_cells,
        detector_figures=figures + [alone] * vents,
        detector_pressure=[start] * (number + vents),
        detector_excess=[0.0] * (number + vents),
        detector_fired=[car.cut_out for car in cars] + [False] * vents,
        detector_least=min([alone.detector_difference, *(f.detector_difference for f in figures)]),
        started=[None] * number,
        moving=[i for i, car in enumerate(cars) if not car.cut_out],
    )


def piston_stroke(pressure_gauge: float) -> float:
    """Share of the piston travel made at a gauge pressure in the cylinder."""
    share = (pressure_gauge / PSI - PISTON_STARTS) / (PISTON_OUT - PISTON_STARTS)
    return min(1.0, max(0.0, share))
