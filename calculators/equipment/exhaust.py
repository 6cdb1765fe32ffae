"""How long the exhaust at the head blows while the brake pipe comes down.

The train model (`calculators.equipment.train`) follows every car; this is a sum with a band.
Lengths in feet, bores in inches, gauge psi.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acosh, sqrt

from calculators.air.gas import isothermal_sound_speed
from calculators.base.units import FOOT, INCH
from calculators.equipment.car import ATMOSPHERE

EXTRA_HEAVY_BORE = 1.278
"""Bore of extra-heavy 1 1/4-in pipe. [in] From memory."""

FRICTION = 0.032
"""Darcy friction factor of the pipe with its hoses and cocks. [-] From memory: 0.028 × 1.15."""

TEMPERATURE = 293.15
"""Temperature of the air. [K]"""

SERVICE_RATE = 20.0 / 5.75
"""Fall of the equalizing reservoir at service rate. [psi/s] RLE: 110 to 90 in 5.5 to 6 s."""

SHORT_SHARE = 0.35
"""Least share of `drain_time` that the head blows: quick service lets out the rest on the cars."""

LONG_SHARE = 1.0
"""Most share of `drain_time` that the head blows: as if no car let anything out."""

MOST_CARS = 400
"""Where the search for a train that fits a blow ends."""


def drain_time(
    *,
    length: float,
    from_pressure: float,
    to_pressure: float,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Time in which the far end of a pipe comes down when only friction holds its air back.

    The head stands at the lower pressure, the far end is closed, and the air comes from the
    whole length, so the flow grows evenly toward the head. Steady friction then gives

        p_far² − p_head² = f L ṁ² c² / (3 D A²),      c² = R T,

    and with the content of the pipe falling as the flow leaves, in absolute pressures,

        t = arcosh(p_start / p_head) · (L / c) · √(f L / (3 D)).

    It grows with the length to the power 3/2. What the cars vent themselves is left out.

    Parameters
    ----------
    length
        Length of the pipe, above zero. [ft]
    from_pressure, to_pressure
        Pressure of the pipe before and after, the second the lower. [psi]
    bore
        Inside width, above zero. [in]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Time. [s]

    Raises
    ------
    ValueError
        If the pressure does not fall.

    Examples
    --------
    >>> drain_time(length=118 * 55, from_pressure=90, to_pressure=80)
    79.2
    """
    if to_pressure > from_pressure:
        raise ValueError(f"to_pressure is {to_pressure} psi; it must not be above {from_pressure}")
    L, D, f = length * FOOT, bore * INCH, FRICTION
    c = isothermal_sound_speed(temperature=TEMPERATURE)
    ratio = (from_pressure + atmosphere) / (to_pressure + atmosphere)
    return acosh(ratio) * L / c * sqrt(f * L / (3 * D))


@dataclass(frozen=True, slots=True, kw_only=True)
class Blow:
    """Shortest and longest time that the head should blow. [s]."""

    shortest: float
    longest: float


def blow(
    *,
    cars: float,
    car_length: float,
    charged: float,
    reduction: float,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> Blow:
    """Band for the blow at the head of a reduction.

    The equalizing reservoir has to come down first, which the head cannot beat; the rest is
    friction along the pipe, less what the cars let out themselves.

    Parameters
    ----------
    cars
        Cars in the train, 1 or more.
    car_length
        Length of pipe of one car, above zero. [ft]
    charged
        Brake pipe before the reduction. [psi]
    reduction
        Reduction, at most the pressure that was there. [psi]
    bore
        Inside width of the pipe, above zero. [in]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    Blow
        The band. [s]

    Examples
    --------
    >>> blow(cars=118, car_length=55, charged=90, reduction=10).longest
    82.1
    >>> blow(cars=2, car_length=55, charged=90, reduction=10).shortest
    2.9
    """
    equalizing = reduction / SERVICE_RATE
    friction = drain_time(
        length=cars * car_length,
        from_pressure=charged,
        to_pressure=charged - reduction,
        bore=bore,
        atmosphere=atmosphere,
    )
    return Blow(
        shortest=max(equalizing, SHORT_SHARE * friction),
        longest=equalizing + LONG_SHARE * friction,
    )


def cars_that_fit(
    *,
    seconds: float,
    car_length: float,
    charged: float,
    reduction: float,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> tuple[int, int] | None:
    """Least and most cars whose band holds a blow of so many seconds.

    Parameters
    ----------
    seconds
        Time that the head was heard to blow, zero or more. [s]
    car_length, charged, reduction, bore, atmosphere
        As in `blow`.

    Returns
    -------
    tuple of int or None
        Least and most cars, 400 standing for any longer train; None if the blow is shorter
        than that of a single car.

    Examples
    --------
    >>> cars_that_fit(seconds=15, car_length=55, charged=90, reduction=10)
    (34, 78)
    """

    def band(cars: int) -> Blow:
        return blow(
            cars=cars,
            car_length=car_length,
            charged=charged,
            reduction=reduction,
            bore=bore,
            atmosphere=atmosphere,
        )

    bands = [band(cars) for cars in range(1, MOST_CARS + 1)]
    if seconds > bands[-1].longest:
        return MOST_CARS, MOST_CARS
    fitting = [cars for cars, its in enumerate(bands, 1) if its.shortest <= seconds <= its.longest]
    return (fitting[0], fitting[-1]) if fitting else None
