"""How long the exhaust at the head blows while the brake pipe comes down.

A sum with a band, for an answer at once; the train model (`calculators.equipment.train`) follows
every car and falls inside the band (compared in ``tests/equipment/test_exhaust.py``). Neither
has been compared with a measured blow. Lengths in feet, bores in inches, gauge psi.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acosh, asinh, sqrt

from calculators.air.gas import isothermal_sound_speed
from calculators.base.units import ATMOSPHERE, FOOT, INCH
from calculators.equipment.leakage import pipe_volume
from calculators.figures import nominal

EXTRA_HEAVY_BORE = nominal.PIPE_BORE.value
"""Bore of extra-heavy 1 1/4-in pipe. [in] From memory."""

FRICTION = nominal.PIPE_FRICTION.value
"""Darcy friction factor of the pipe with its hoses and cocks. [-] From memory: 0.028 × 1.15."""

SECONDS_PER_MINUTE = 60.0

TEMPERATURE = 293.15
"""Temperature of the air. [K]"""

SERVICE_RATE = 20.0 / (sum(nominal.SERVICE_SECONDS.span()) / 2.0)
"""Fall of the equalizing reservoir at service rate. [psi/s] RLE: 110 to 90 in 5.5 to 6 s."""

SHORT_SHARE = nominal.SHORT_SHARE.value
"""Least share of `drain_time` that the head blows: quick service lets out the rest on the cars."""

LONG_SHARE = nominal.LONG_SHARE.value
"""Most share of `drain_time` that the head blows: as if no car let anything out."""

SLOWEST_START, SLOWEST_END = 0.75, 5.0
"""Share of the reservoir's time that must pass, and time that the exhaust may take to shut. [s]"""


def drain_time(
    *,
    length: float,
    from_pressure: float,
    to_pressure: float,
    leakage: float = 0.0,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Time in which air leaves the head of a pipe when only friction holds it back.

    The head stands at the lower pressure p_h, the far end is closed, and the air comes from the
    whole length, so the flow grows evenly toward the head. Steady friction then gives, in
    absolute pressures,

        p_far² − p_h² = f L ṁ² c² / (3 D A²),      c² = R T,

    and with the content of the pipe falling as the flow leaves, p_far = p_h cosh θ with θ falling
    evenly at the rate K = (c / L) √(3 D / (f L)). The blow ends when all that the pipe still
    gives goes out of its leaks, V K p_h sinh θ = Q, so

        t = (arcosh(p_start / p_h) − arsinh(Q / (V K p_h))) / K.

    Without leaks it grows with the length to the power 3/2. What cars vent is left out.

    Parameters
    ----------
    length
        Length of the pipe, above zero. [ft]
    from_pressure, to_pressure
        Pressure of the pipe before and after, the second not the higher. [psi]
    leakage
        Free air that leaks out along the pipe, zero or more. [cfm]
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
        If the pressure rises.

    Examples
    --------
    >>> drain_time(length=118 * 55, from_pressure=90, to_pressure=80)
    79.2
    >>> drain_time(length=118 * 55, from_pressure=90, to_pressure=80, leakage=30)
    39.0
    """
    if to_pressure > from_pressure:
        raise ValueError(f"to_pressure is {to_pressure} psi; it must not be above {from_pressure}")
    L, D, f = length * FOOT, bore * INCH, FRICTION
    c = isothermal_sound_speed(temperature=TEMPERATURE)
    K = c / L * sqrt(3 * D / (f * L))
    p_h = to_pressure + atmosphere
    V = pipe_volume(cars=1, car_length=length, bore=bore)
    Q = leakage * atmosphere / SECONDS_PER_MINUTE
    start, end = acosh((from_pressure + atmosphere) / p_h), asinh(Q / (V * K * p_h))
    return max(0.0, start - end) / K


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
    leakage: float = 0.0,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> Blow:
    """Band for the blow at the head of a reduction.

    The equalizing reservoir has to come down first; the rest is friction along the pipe, less
    what the cars let out themselves.

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
    leakage
        Free air that leaks out of the whole train, zero or more. [cfm]
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
    87.1
    >>> blow(cars=2, car_length=55, charged=90, reduction=10).shortest
    2.2
    """
    equalizing = reduction / SERVICE_RATE
    friction = drain_time(
        length=cars * car_length,
        from_pressure=charged,
        to_pressure=charged - reduction,
        leakage=leakage,
        bore=bore,
        atmosphere=atmosphere,
    )
    return Blow(
        shortest=max(SLOWEST_START * equalizing, SHORT_SHARE * friction),
        longest=equalizing + LONG_SHARE * friction + SLOWEST_END,
    )


def cars_that_fit(
    *,
    seconds: float,
    cars: int,
    car_length: float,
    charged: float,
    reduction: float,
    leakage: float = 0.0,
    bore: float = EXTRA_HEAVY_BORE,
    atmosphere: float = ATMOSPHERE,
) -> tuple[int, int] | None:
    """Least and most of a train's cars, counted from the head, that would blow so long.

    Each car is taken to leak alike, so fewer of them leak less.

    Parameters
    ----------
    seconds
        Time that the head was heard to blow, zero or more. [s]
    cars, leakage
        Cars and leakage of the whole train. [-, cfm]
    car_length, charged, reduction, bore, atmosphere
        As in `blow`.

    Returns
    -------
    tuple of int or None
        Least and most cars; None if no part of the train, nor the whole, would blow so long.

    Examples
    --------
    >>> cars_that_fit(seconds=15, cars=118, car_length=55, charged=90, reduction=10)
    (24, 98)
    """
    fitting = []
    for number in range(1, cars + 1):
        band = blow(
            cars=number,
            car_length=car_length,
            charged=charged,
            reduction=reduction,
            leakage=leakage * number / cars,
            bore=bore,
            atmosphere=atmosphere,
        )
        if band.shortest <= seconds <= band.longest:
            fitting.append(number)
    return (fitting[0], fitting[-1]) if fitting else None
