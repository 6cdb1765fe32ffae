"""What a run gives back, in the trade's units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["applies", "releases", "emergency"]

EXHAUST_HEARD = 5.0
"""Flow at the brake valve's exhaust that still counts as blowing. [cfm] Common practice: by ear."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """The train at one moment; tuples run over the cars from the head. Gauge pressures in psi."""

    seconds: float
    brake_pipe: tuple[float, ...]
    auxiliary: tuple[float, ...]
    emergency_reservoir: tuple[float, ...]
    brake_cylinder: tuple[float, ...]
    head: float
    """Brake pipe at the leading brake valve."""
    rear: float
    """Brake pipe at the rear end of the train."""
    equalizing_reservoir: float
    main_reservoir: float
    supply_flow: float
    """Free air into the pipe at the head, mean since the sample before. [cfm]"""
    exhaust_flow: float
    """Free air out of the pipe at the leading brake valve, mean since the sample before. [cfm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """A control valve moved: when, on which car (1 is the first), to what."""

    seconds: float
    car: int
    kind: Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """All that came of a run. Times are seconds from its start; None where it did not happen."""

    samples: tuple[Sample, ...]
    movements: tuple[Movement, ...]
    undesired_actions: tuple[Movement, ...]
    """Emergencies, releases and applications that no command in force asked for."""
    cars_not_applied: tuple[int, ...]
    """Cars with a working brake that never applied, by number from the head."""
    cars_still_applied: tuple[int, ...]
    """Cars whose control valve stands applied or in emergency at the end of the run."""
    cars_not_in_emergency: tuple[int, ...]
    """Cars with a working brake whose valve never went to emergency in the run."""
    feed_shut: bool
    """The charging cut-off of the leading brake valve stands shut at the end of the run."""
    first_car_starts: float | None
    last_car_starts: float | None
    propagation_speed: float | None
    """Distance between the valves of the first and last working car over the difference of their
    starts. [ft/s]"""
    last_car_90_percent: float | None
    """When the last working car's cylinder reached 90 percent of the most it had in the run."""
    first_car_releases: float | None
    last_car_releases: float | None
    exhaust_ends: float | None
    """When the blow at the leading brake valve's exhaust last fell under `EXHAUST_HEARD`."""
    strongest_detection: float
    """Largest reading of an emergency detector before it fired, over what fires it; below one,
    none fired."""
    mass_error: float
    """Air gained or lost by the arithmetic over all the air in the train."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """A stretch of a run in progress: how far it is, and the samples new since the last slab."""

    seconds: float
    of_seconds: float
    samples: tuple[Sample, ...]
    run: Run | None = None
    """The finished run, in the last slab."""


def car_series(
    samples: tuple[Sample, ...],
    car: int,
    quantity: Literal["brake_pipe", "auxiliary", "emergency_reservoir", "brake_cylinder"],
) -> tuple[tuple[float, float], ...]:
    """Time and pressure of one quantity on one car, 1 the first."""
    return tuple((s.seconds, getattr(s, quantity)[car - 1]) for s in samples)


def rise_time(series: tuple[tuple[float, float], ...], level: float) -> float | None:
    """When a series first reaches a level, interpolated between its points.

    Examples
    --------
    >>> rise_time(((0.0, 0.0), (1.0, 10.0), (2.0, 30.0)), 20.0)
    1.5
    >>> rise_time(((0.0, 0.0), (1.0, 10.0)), 20.0)
    """
    before = None
    for seconds, value in series:
        if value >= level:
            if before is None:
                return seconds
            return before[0] + (level - before[1]) / (value - before[1]) * (seconds - before[0])
        before = (seconds, value)
    return None
