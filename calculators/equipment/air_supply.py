"""The air supply: pumping up, charging a train, the compressor's settings and its proof.

Pressures are gauge psi, volumes cubic feet, flows cubic feet of free air per minute (cfm),
times minutes. Air is taken at one temperature, so a volume's air is its pressure times itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, log1p, pi

from calculators.air import gas, orifice
from calculators.base.units import ATMOSPHERE, INCH, convert
from calculators.law.limit_list import find_limit

NEGLIGIBLE = 1e-12
"""Share of a delivery below which a leak is none."""


def air_needed(*, volume: float, rise: float, atmosphere: float = ATMOSPHERE) -> float:
    """Free air that raises a volume's pressure, V x rise / A.

    Parameters
    ----------
    volume
        Volume. [cu ft]
    rise
        Rise of pressure. [psi]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Free air. [cu ft]

    Examples
    --------
    >>> air_needed(volume=10, rise=14.7)
    10.0
    """
    return volume * rise / atmosphere


@dataclass(frozen=True, slots=True, kw_only=True)
class Leak:
    """A leak as it was read: a fall at a pressure; it grows with absolute pressure.

    ``fall`` in psi/min, ``pressure`` in psi.
    """

    fall: float
    pressure: float

    def share(self, *, atmosphere: float = ATMOSPHERE) -> float:
        """Share of the absolute pressure lost in a minute, in 1/min."""
        return self.fall / (self.pressure + atmosphere)


NO_LEAK = Leak(fall=0.0, pressure=0.0)


def pump_up_time(
    *,
    volume: float,
    from_pressure: float,
    to_pressure: float,
    delivery: float,
    leak: Leak = NO_LEAK,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Time to raise a volume's pressure against a leak.

    dp/dt = A D / V − k (p + A), with k the leak's share, solved in closed form; without a leak
    it is V x rise / (A D).

    Parameters
    ----------
    volume
        Volume, above zero. [cu ft]
    from_pressure, to_pressure
        Pressures, the second at least the first. [psi]
    delivery
        Free air delivered, zero or more. [cfm]
    leak
        The volume's leak.
    atmosphere
        Pressure A of the atmosphere. [psi abs]

    Returns
    -------
    float
        Time, infinite where the delivery cannot reach the pressure. [min]

    Raises
    ------
    ValueError
        If the volume is not above zero or the pressures fall.

    Examples
    --------
    >>> pump_up_time(volume=30, from_pressure=0, to_pressure=140, delivery=100)
    2.857
    >>> pump_up_time(
    ...     volume=30,
    ...     from_pressure=0,
    ...     to_pressure=140,
    ...     delivery=100,
    ...     leak=Leak(fall=3, pressure=84),
    ... )
    3.018
    """
    if not volume > 0:
        raise ValueError(f"volume is {volume} cu ft; it must be above zero")
    if to_pressure < from_pressure:
        raise ValueError(f"pressures are {from_pressure} to {to_pressure} psi; they must not fall")
    A, D, V = atmosphere, delivery, volume
    if to_pressure == from_pressure:
        return 0.0
    rate = A * D / V
    k = leak.share(atmosphere=A)
    if rate <= k * (to_pressure + A):
        return inf
    # A leak this small changes no digit, and its logarithm would be lost to rounding.
    if k * (to_pressure + A) <= NEGLIGIBLE * rate:
        return (to_pressure - from_pressure) / rate
    return log1p(k * (to_pressure - from_pressure) / (rate - k * (to_pressure + A))) / k


def highest_pressure(
    *, volume: float, delivery: float, leak: Leak, atmosphere: float = ATMOSPHERE
) -> float:
    """Pressure at which a leak takes the whole delivery, A D / (V k) − A.

    Parameters
    ----------
    volume, delivery, leak, atmosphere
        As in `pump_up_time`.

    Returns
    -------
    float
        Pressure, infinite without a leak. [psi]

    Examples
    --------
    >>> highest_pressure(volume=30, delivery=10, leak=Leak(fall=3, pressure=84))
    146.5
    """
    k = leak.share(atmosphere=atmosphere)
    if k == 0.0:
        return inf
    return atmosphere * delivery / (volume * k) - atmosphere


def delivery_of_rise(
    *, volume: float, rise: float, minutes: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Free air delivered, from a volume's rise and the time it took, V x rise / (A t).

    Parameters
    ----------
    volume
        Volume. [cu ft]
    rise
        Rise of pressure. [psi]
    minutes
        Time, above zero. [min]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Free air. [cfm]

    Raises
    ------
    ValueError
        If the time is not above zero.

    Examples
    --------
    A reservoir of 30 cu ft that rises 14.7 psi in half a minute:

    >>> delivery_of_rise(volume=30, rise=14.7, minutes=0.5)
    60.0
    """
    if not minutes > 0:
        raise ValueError(f"minutes is {minutes}; it must be above zero")
    return air_needed(volume=volume, rise=rise, atmosphere=atmosphere) / minutes


def charging_time(
    *,
    volume: float,
    from_pressure: float,
    to_pressure: float,
    delivery: float,
    leakage: float = 0.0,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Least time to charge a train: all the air, none of the chokes.

    The leakage is what the charged train will take. While it charges it is counted in
    proportion to gauge pressure, which is less than holes really pass, so that the time stays
    a lower bound:

    dp/dt = (D − q p / P) A / V, t = (V P / (A q)) ln(1 + q (1 − p₀ / P) / (D − q)).

    Parameters
    ----------
    volume
        Volume to be charged, above zero. [cu ft]
    from_pressure, to_pressure
        Pressures p₀ and P, the second at least the first. [psi]
    delivery
        Free air D delivered to the train, zero or more. [cfm]
    leakage
        Free air q that leaks once the train is charged, zero or more. [cfm]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Time, infinite where the leakage takes the whole delivery. [min]

    Raises
    ------
    ValueError
        If the volume is not above zero or the pressures fall.

    Examples
    --------
    100 cars of 24.26 cu ft free air each at 60 cfm:

    >>> charging_time(volume=396.2, from_pressure=0, to_pressure=90, delivery=60)
    40.4
    """
    if not volume > 0:
        raise ValueError(f"volume is {volume} cu ft; it must be above zero")
    if to_pressure < from_pressure:
        raise ValueError(f"pressures are {from_pressure} to {to_pressure} psi; they must not fall")
    A, D, V, P, p, q = atmosphere, delivery, volume, to_pressure, from_pressure, leakage
    if p == P:
        return 0.0
    if q >= D:
        return inf
    if q <= NEGLIGIBLE * D:
        return V * (P - p) / (A * D)
    return V * P / A * log1p(q * (1 - p / P) / (D - q)) / q


def orifice_delivery(
    *,
    diameter: float,
    pressure: float,
    discharge_coefficient: float,
    temperature: float,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Free air that a test orifice passes from a reservoir to the open, while pressure holds.

    The pump that keeps the pressure steady against the orifice delivers just this much.

    Parameters
    ----------
    diameter
        Diameter of the orifice, above zero. [in]
    pressure
        Pressure held in the reservoir, zero or more. [psi]
    discharge_coefficient
        Real flow over ideal flow; 0.85 to 0.97 for a rounded test orifice. [-]
    temperature
        Temperature of the air. [°F]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Free air at that temperature. [cfm]

    Examples
    --------
    >>> orifice_delivery(diameter=9 / 32, pressure=60, discharge_coefficient=0.97, temperature=68)
    83.2
    """
    outside = convert(atmosphere, "psi", "kPa") * 1e3
    inside = outside + convert(pressure, "psi", "kPa") * 1e3
    content = orifice.content_flow(
        area=pi / 4 * (diameter * INCH) ** 2,
        discharge_coefficient=discharge_coefficient,
        upstream_abs=inside,
        downstream_abs=outside,
        temperature=(temperature - 32) / 1.8 + 273.15,
    )
    return gas.free_air_cfm(content_flow=content, atmosphere=outside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Pressures that follow from a brake pipe setting and a working pressure [psi]."""

    compressor_start: float
    compressor_stop: float
    governor_low: float
    governor_high: float
    safety_valve: float
    leakage_start: float


def settings(*, brake_pipe_setting: float, working_pressure: float) -> Settings:
    """Compressor, governor and safety valve settings by the locomotive rule.

    The figures are the limits of 49 CFR 229.49 (start over the brake pipe, rise before the stop,
    governor, safety valve) and 229.59(a) (start of the leakage test).

    Parameters
    ----------
    brake_pipe_setting
        Greatest brake pipe pressure. [psi]
    working_pressure
        Maximum working pressure of the main reservoir. [psi]

    Returns
    -------
    Settings
        The pressures. [psi]

    Examples
    --------
    >>> chosen = settings(brake_pipe_setting=90, working_pressure=140)
    >>> chosen.compressor_start, chosen.compressor_stop, chosen.safety_valve
    (105, 115, 155)
    """
    start = brake_pipe_setting + find_limit("compressor-start-over-brake-pipe").figure
    governor = find_limit("governor-error").figure
    return Settings(
        compressor_start=start,
        compressor_stop=start + find_limit("compressor-run").figure,
        governor_low=working_pressure - governor,
        governor_high=working_pressure + governor,
        safety_valve=working_pressure + find_limit("safety-valve-over-working").figure,
        leakage_start=working_pressure * find_limit("main-reservoir-leakage-start").figure / 100,
    )
