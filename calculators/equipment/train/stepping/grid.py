"""The pipe cut into cells, and where along it everything sits.

The pipe of the whole train is one line from the front of the first locomotive to the rear, cut
from the rear into cells of one length (the first one takes the remainder, so it is longer). Equal cells are what
makes the wave step exact: at a step of one cell per step a wave goes from cell to cell without
being smeared and without running ahead, so nothing in the model is faster than sound. A car acts
on the cell in which its control valve lies; in a train of equal cars every car has its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, pi, sqrt

from calculators.air.gas import dynamic_viscosity, gas_temperature_product
from calculators.base.units import CUBIC_INCH, FOOT, INCH, PSI
from calculators.equipment.train.consist import Train
from calculators.equipment.train.stepping.border import hole, kelvin

COURANT = 0.98
"""Share of a cell that a wave crosses in a wave step. [-]

One would be exact for a pipe without losses; the damping of short waves needs a little room below
it (see `pipe_motion.SHORT_WAVE_DAMPING`). The fastest signal, one cell a step, is 2 percent above
the pipe's wave speed, and still below isothermal sound, which the branch pipes slow by 4.
"""

LONGEST_CELL = 62.5
"""Longest cell: longer cars on average get two cells each. [ft]"""


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells 0 to n - 1 from the head; face i lies between cells i - 1 and i."""

    cells: int
    volume: list[float]
    """Of each cell, branch pipes included. [m³]"""
    pull: list[float]
    """Of each face: flow gained per second and unit of pressure difference. [m³/s²]"""
    turbulent: float
    """Turbulent damping rate is this times flow over pressure. [1/m³]"""
    laminar: float
    """Laminar damping rate is this over pressure. [Pa/s]"""
    area: float
    """Cross-section of the bore. [m²]"""
    wave_step: float
    """Time in which a wave all but crosses one cell. [s]"""
    wave_speed: float
    """Of small waves, branch volumes included. [m/s]"""
    car_cell: list[int]
    car_position: list[float]
    """Of each control valve, from the head. [m]"""
    car_rear_face: list[int]
    """Face at the rear of each car, led by that of the last head locomotive."""
    vent_cells: list[int]
    """Of the vent valves that stand alone: locomotives, then extra ones of long cars."""
    remote_cell: int | None
    remote_vent: int | None
    """Index of the remote locomotive's vent valve in `vent_cells`."""
    vent: float
    """Conductance of such a vent valve. [m³/s]"""
    rear_vent: float
    """Conductance of a rear device's vent. [m³/s]"""
    gas: float
    """R T of the air. [J/kg]"""
    temperature: float
    atmosphere: float


def _vehicles(train: Train) -> list[tuple[str, int, float]]:
    """Kind, car number and length of every vehicle, from the head."""
    order = [("locomotive", 0, train.locomotive_length)] * train.locomotives
    for number, car in enumerate(train.cars, start=1):
        order.append(("car", number, car.length))
        if train.remote is not None and train.remote.after_car == number:
            order += [("remote", 0, train.locomotive_length)] * train.remote.locomotives
    return order


def lay_out(train: Train, *, cells_per_car: int = 1) -> Grid:
    """Cut the pipe; ``cells_per_car`` above one is the fine grid of the convergence tests."""
    temperature = kelvin(train.temperature)
    gas = gas_temperature_product(temperature=temperature)
    bore = train.pipe.bore * INCH
    area = pi / 4.0 * bore * bore
    order = _vehicles(train)
    whole = sum(length for _, _, length in order)
    lengths_of_cars = [car.length for car in train.cars] or [whole / 2.0]
    mean = sum(lengths_of_cars) / len(lengths_of_cars)
    cell_length = mean / (ceil(mean / LONGEST_CELL) * cells_per_car)
    cells = max(2, int(whole / cell_length + 1e-9))
    lengths = [(whole - (cells - 1) * cell_length) * FOOT, *[cell_length * FOOT] * (cells - 1)]
    branch = sum(car.valve.branch_volume for car in train.cars) * CUBIC_INCH / (whole * FOOT)

    def cell_at(position: float) -> int:
        return max(0, cells - 1 - int((whole - position) / cell_length + 1e-9))

    def face_at(position: float) -> int:
        return min(cells - 1, max(1, cells - round((whole - position) / cell_length)))

    car_cell: list[int] = []
    car_position: list[float] = []
    locomotive_vents: list[int] = []
    extra_vents: list[int] = []
    car_rear_face = [1]
    remote_cell = remote_vent = None
    start = 0.0
    for kind, _, length in order:
        middle, end = start + 0.5 * length, start + length
        # A cock sits at the face nearest to the end of its vehicle.
        rear_face = face_at(end)
        if kind == "car":
            car_cell.append(cell_at(middle))
            car_position.append(middle * FOOT)
            car_rear_face.append(rear_face)
            if length >= train.pipe.extra_vent_from:
                extra_vents.append(cell_at(end - 1.0))
        else:
            if kind == "remote" and remote_cell is None:
                remote_cell = cell_at(middle)
                remote_vent = len(locomotive_vents)
            elif kind == "locomotive":
                car_rear_face[0] = rear_face
            locomotive_vents.append(cell_at(middle))
        start = end
    per_length = area + branch
    wave_speed = sqrt(gas * area / per_length)
    return Grid(
        cells=cells,
        volume=[per_length * length for length in lengths],
        pull=[
            0.0,
            *(area * gas / (0.5 * (ahead + behind)) for ahead, behind in pairwise(lengths)),
            0.0,
        ],
        turbulent=train.pipe.friction_factor * train.pipe.length_factor / (2.0 * bore * area),
        laminar=32.0 * dynamic_viscosity(temperature=temperature) * gas / (bore * bore),
        area=area,
        wave_step=COURANT * cell_length * FOOT / wave_speed,
        wave_speed=wave_speed,
        car_cell=car_cell,
        car_position=car_position,
        car_rear_face=car_rear_face,
        vent_cells=locomotive_vents + extra_vents,
        remote_cell=remote_cell,
        remote_vent=remote_vent,
        vent=hole(train.pipe.vent_valve_hole, temperature=temperature),
        rear_vent=hole(train.pipe.rear_vent_hole, temperature=temperature),
        temperature=temperature,
        gas=gas,
        atmosphere=train.atmosphere * PSI,
    )
