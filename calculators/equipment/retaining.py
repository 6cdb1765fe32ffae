"""The retaining valve: what it keeps in a car's cylinder after the brakes are released.

Positions and figures: ARRC-96, p. 67-12. The high-pressure position holds 20 psi, the
low-pressure one 10, slow direct lets everything out in about 86 s. Between which pressures the
86 s were read is not printed; they are taken here from a full service off 90 psi down to zero.
"""

from __future__ import annotations

from typing import Literal

from calculators.base.units import ATMOSPHERE
from calculators.equipment.car import FIT_FULL_SERVICE
from calculators.equipment.leak_down import pressure_after, time_to_fall
from calculators.figures import nominal

Position = Literal["direct", "high-pressure", "low-pressure", "slow-direct"]

HELD: dict[str, float] = {
    "direct": 0.0,
    "high-pressure": nominal.RETAINED_HIGH.value,
    "low-pressure": nominal.RETAINED_LOW.value,
    "slow-direct": 0.0,
}
"""Pressure that each position holds in the cylinder. [psi] ARRC-96, p. 67-12."""

BLOW_DOWN_SECONDS = nominal.BLOW_DOWN_SECONDS.value
"""Time of the slow-direct position. [s] ARRC-96, p. 67-12."""


def held_pressure(*, position: Position, brake_cylinder: float) -> float:
    """Cylinder pressure that is left when a release has run its course.

    Parameters
    ----------
    position
        Position of the retaining valve.
    brake_cylinder
        Cylinder pressure before the release, zero or more. [psi]

    Returns
    -------
    float
        Cylinder pressure. [psi]

    Examples
    --------
    >>> held_pressure(position="high-pressure", brake_cylinder=64.0)
    20.0
    >>> held_pressure(position="high-pressure", brake_cylinder=12.0)
    12.0
    """
    return min(brake_cylinder, HELD[position])


def slow_direct_pressure(
    *, brake_cylinder: float, seconds: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Cylinder pressure a time after a release with the valve at slow direct.

    Parameters
    ----------
    brake_cylinder
        Cylinder pressure before the release, zero or more. [psi]
    seconds
        Time since the release, zero or more. [s]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Cylinder pressure. [psi]

    Examples
    --------
    >>> slow_direct_pressure(brake_cylinder=64.0, seconds=0)
    64.0
    >>> slow_direct_pressure(brake_cylinder=64.0, seconds=86)
    0.0
    """
    to_zero = time_to_fall(from_pressure=FIT_FULL_SERVICE, to_pressure=0, rate=1.0)
    return pressure_after(
        from_pressure=brake_cylinder,
        time=seconds,
        rate=to_zero / BLOW_DOWN_SECONDS,
        atmosphere=atmosphere,
    )
