"""Air that leaves one volume through one hole: a leaking brake cylinder, a retaining valve's choke.

Isothermal air, the exact orifice law of `calculators.air.orifice`. With x the pressure in
atmospheres (absolute) and k the share of its air that the hole takes in a unit of time while
the flow is choked,

    dx/dt = −k x                      above the critical pressure (x > 1.893),
    dx/dt = −k x φ(1/x)               below it,

where φ is `flow_factor`. Both have a solution in closed form. For γ = 7/5, put
s = √(x^(2/7) − 1); then below the critical pressure

    k t = √7 C* (S(s₁) − S(s₂)),      S(s) = s + 2 s³/3 + s⁵/5.

So the pressure reaches zero gauge in a finite time. Time is in any unit as long as ``rate`` is
per the same unit.
"""

from __future__ import annotations

from math import log, sqrt

from calculators.air.orifice import CRITICAL_FLOW, CRITICAL_RATIO, flow_factor
from calculators.base.units import ATMOSPHERE

BISECTIONS = 60


def choked_rate(*, pressure: float, fall_per_unit: float, atmosphere: float = ATMOSPHERE) -> float:
    """Rate k of a hole from the fall seen at one pressure.

    Parameters
    ----------
    pressure
        Pressure at which the fall was read, above zero. [psi]
    fall_per_unit
        Fall in a unit of time at that pressure, zero or more. [psi per unit]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        k, the share of its air lost in a unit of time while the flow is choked. [1 per unit]

    Raises
    ------
    ValueError
        If the pressure is not above zero.

    Examples
    --------
    >>> choked_rate(pressure=64, fall_per_unit=0.787)
    0.010
    """
    if not pressure > 0:
        raise ValueError(f"pressure is {pressure} psi; it must be above zero")
    pressure_abs = pressure + atmosphere
    return fall_per_unit / (pressure_abs * flow_factor(atmosphere / pressure_abs))


def time_to_fall(
    *, from_pressure: float, to_pressure: float, rate: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Time in which the pressure falls from one figure to a lower one.

    Parameters
    ----------
    from_pressure, to_pressure
        Gauge pressures, the second zero or more and not above the first. [psi]
    rate
        Rate k of the hole, above zero; see `choked_rate`. [1 per unit of time]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Time. [the unit of the rate]

    Raises
    ------
    ValueError
        If a pressure or the rate is out of range.

    Examples
    --------
    A choked fall is exponential in absolute pressure: to half, ln 2 over k.

    >>> time_to_fall(from_pressure=85.3, to_pressure=35.3, rate=1)
    0.693
    >>> time_to_fall(from_pressure=64, to_pressure=0, rate=1)
    1.96
    """
    if not 0 <= to_pressure <= from_pressure:
        raise ValueError(f"to_pressure is {to_pressure}; it must be from 0 to {from_pressure}")
    if not rate > 0:
        raise ValueError(f"rate is {rate}; it must be above zero")
    high, low = from_pressure / atmosphere + 1, to_pressure / atmosphere + 1
    return (_age(low) - _age(high)) / rate


def pressure_after(
    *, from_pressure: float, time: float, rate: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Pressure that is left after a time; undoes `time_to_fall`.

    Parameters
    ----------
    from_pressure
        Pressure at the start, zero or more. [psi]
    time
        Time since, zero or more. [the unit of the rate]
    rate
        Rate k of the hole, zero or more. [1 per unit of time]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Pressure. [psi]

    Examples
    --------
    >>> pressure_after(from_pressure=85.3, time=0.6931, rate=1)
    35.3
    >>> pressure_after(from_pressure=64, time=9, rate=1)
    0.0
    """
    if rate * time == 0:
        return from_pressure
    low, high = 1.0, from_pressure / atmosphere + 1
    age = _age(high) + rate * time
    if age >= _age(1.0):
        return 0.0
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        if _age(middle) > age:
            low = middle
        else:
            high = middle
    return (low - 1) * atmosphere


def _age(x: float) -> float:
    """Time k t since the critical pressure was passed; grows as the pressure x falls."""
    critical = 1 / CRITICAL_RATIO
    if x > critical:
        return -log(x / critical)
    return sqrt(7) * CRITICAL_FLOW * (_polynomial(critical) - _polynomial(x))


def _polynomial(x: float) -> float:
    s = sqrt(max(0.0, x ** (2 / 7) - 1))
    return s + 2 * s**3 / 3 + s**5 / 5
