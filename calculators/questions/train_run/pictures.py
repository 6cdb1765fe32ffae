"""Curves and car-by-time pictures of a train's run."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Literal

from calculators.base.results import Axis, Gauge, Grid, Layer, Line, Series
from calculators.equipment.train import Run, Sample, car_series, rise_time
from calculators.questions.train_run.asked import AskedRun
from calculators.questions.train_run.words import first_starts, releases

# Enough for a picture on a phone; the model makes many more.
CURVE_POINTS = 40
COLUMNS = 40

_CYLINDER_HAS_AIR = 1.0
"""Pressure in a cylinder from which a share of it is worth a time. [psi]"""

Place = Literal["brake_pipe", "auxiliary", "emergency_reservoir", "brake_cylinder"]

_TIME = Axis(term="Time", unit="s", digits=1)
_PRESSURE = Axis(term="Pressure", unit="psi")
# Cylinder and pipe first: they are drawn as curves too.
_PLACES: tuple[tuple[Place, str, str], ...] = (
    ("brake_cylinder", "Brake cylinder", "brake_cylinder"),
    ("brake_pipe", "Brake pipe", "brake_pipe"),
    ("auxiliary", "Auxiliary reservoir", "reservoir"),
    ("emergency_reservoir", "Emergency reservoir", "main_reservoir"),
)


def thinned(samples: tuple[Sample, ...], most: int) -> tuple[Sample, ...]:
    """At most so many samples at even distances, and the last one."""
    step = ceil((len(samples) - 1) / (most - 1)) or 1
    kept = samples[::step]
    return kept if kept[-1] is samples[-1] else (*kept, samples[-1])


def curves(asked: AskedRun, run: Run) -> Iterator[Series]:
    """Pressures of the chosen cars over time, the air at the head, and the train along its length."""
    samples = thinned(run.samples, CURVE_POINTS)
    for place, name, color in _PLACES[:2]:
        lines = [
            Line(name=f"Car {car}", points=car_series(samples, car, place), color=color)
            for car in asked.shown
        ]
        if place == "brake_pipe":
            target = tuple((one.seconds, one.equalizing_reservoir) for one in samples)
            lines.append(
                Line(name="Equalizing reservoir", points=target, color="equalizing_reservoir")
            )
        yield Series(title=f"{name} of the chosen cars", x=_TIME, y=_PRESSURE, lines=tuple(lines))
    yield Series(
        title="Air at the head",
        x=_TIME,
        y=Axis(term="Free air", unit="cfm"),
        lines=(
            Line(
                name="Into the train",
                points=tuple((one.seconds, one.supply_flow) for one in samples),
                color="main_reservoir",
            ),
            Line(
                name="Out at the exhaust",
                points=tuple((one.seconds, one.exhaust_flow) for one in samples),
                color="exhaust",
            ),
        ),
        note="Means over the time between two points.",
    )
    yield from _along(run)


def nine_tenths(run: Run) -> dict[int, float]:
    """When each car that applied had nine tenths of the most its cylinder gets, in s."""
    found: dict[int, float] = {}
    for car in first_starts(run):
        series = car_series(run.samples, car, "brake_cylinder")
        most = max(pressure for _, pressure in series)
        if most >= _CYLINDER_HAS_AIR:
            when = rise_time(series, 0.9 * most)
            assert when is not None
            found[car] = when
    return found


def _along(run: Run) -> Iterator[Series]:
    """What each car came to, against its number."""
    cars = Axis(term="Car", unit="")
    starts, lets_go = first_starts(run), releases(run)
    moved = [
        Line(
            name=name,
            points=tuple((float(car), seconds) for car, seconds in sorted(found.items())),
            color=color,
        )
        for name, found, color in (
            ("Starts to apply", starts, "brake_cylinder"),
            ("Nine tenths of its cylinder", nine_tenths(run), "reservoir"),
            ("Lets go", lets_go, "exhaust"),
        )
        if found
    ]
    if moved:
        yield Series(
            title="When each car moves",
            x=cars,
            y=Axis(term="Time", unit="s", digits=1),
            lines=tuple(moved),
        )
    end = run.samples[-1]
    yield Series(
        title="At the end of the run, along the train",
        x=cars,
        y=_PRESSURE,
        lines=tuple(
            Line(
                name=name,
                points=tuple((float(n), p) for n, p in enumerate(getattr(end, place), 1)),
                color=color,
            )
            for place, name, color in _PLACES
        ),
    )


def grid(asked: AskedRun, run: Run) -> Grid:
    """Every car over time: cylinder, pipe, both reservoirs; and the gauges of head and rear."""
    samples = thinned(run.samples, COLUMNS)
    return Grid(
        title="Car by time",
        columns=_TIME,
        at=tuple(one.seconds for one in samples),
        row="Car",
        names=tuple(str(number) for number in range(1, len(asked.train.cars) + 1)),
        layers=tuple(
            Layer(
                name=name,
                unit="psi",
                values=tuple(getattr(one, place) for one in samples),
                color=color,
            )
            for place, name, color in _PLACES
        ),
        gauges=(
            Gauge(name="Head gauge", unit="psi", values=tuple(one.head for one in samples)),
            Gauge(name="Rear gauge", unit="psi", values=tuple(one.rear for one in samples)),
            Gauge(
                name="Equalizing reservoir",
                unit="psi",
                values=tuple(one.equalizing_reservoir for one in samples),
            ),
            Gauge(
                name="Into the train",
                unit="cfm",
                values=tuple(one.supply_flow for one in samples),
            ),
            Gauge(
                name="Out at the exhaust",
                unit="cfm",
                values=tuple(one.exhaust_flow for one in samples),
            ),
        ),
    )
