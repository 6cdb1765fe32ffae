"""How long the exhaust at the head blows while the brake pipe comes down.

The train model (`calculators.equipment.train`) follows every car; this is a sum with a band.
Lengths in feet, bores in inches, gauge psi.
"""

from __future__ import annotations

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
