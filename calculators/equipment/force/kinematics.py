"""What a measured stop says, whatever did the braking: arithmetic of speed, distance and time."""

from __future__ import annotations

from math import atan, sin

from calculators.base.units import FOOT, GRAVITY, MILE, POUNDS_PER_TON

FEET_PER_SECOND_PER_MPH = MILE / 3600.0 / FOOT
GRAVITY_FEET = GRAVITY / FOOT


def mean_slowing(*, speed: float, end_speed: float, distance: float) -> float:
    """Steady slowing, in ft/s², that takes the speed down within the distance.

    (V1² - V2²) / 2s

    Parameters
    ----------
    speed, end_speed
        Speed at the start and at the end. [mph]
    distance
        Feet run between them, above zero. [ft]

    Examples
    --------
    >>> mean_slowing(speed=60, end_speed=0, distance=1021)
    3.792
    """
    v1, v2 = speed * FEET_PER_SECOND_PER_MPH, end_speed * FEET_PER_SECOND_PER_MPH
    return (v1**2 - v2**2) / (2.0 * distance)


def grade_slowing(*, grade: float) -> float:
    """Slowing by the grade alone in ft/s², g sin(atan(rise/run)); negative downhill.

    ``grade`` is the rise in percent, negative for a descent.

    Examples
    --------
    >>> grade_slowing(grade=-100 / 14)
    -2.292
    """
    return GRAVITY_FEET * sin(atan(grade / 100.0))


def share_of_weight(*, slowing: float) -> float:
    """Say a slowing as the share of the weight that its force amounts to, in percent.

    ``slowing`` in ft/s²; turning wheels not counted.

    Examples
    --------
    >>> share_of_weight(slowing=3.792)
    11.79
    """
    return 100.0 * slowing / GRAVITY_FEET


def kinetic_energy(*, speed: float, rotating_mass: float = 0.0) -> float:
    """Energy of one ton in motion in ft-lb, about 66.9 V² without its wheels' turning.

    Parameters
    ----------
    speed
        V. [mph]
    rotating_mass
        Addition for turning wheels, 3 to 9 percent. [%]

    Notes
    -----
    WEBB, section 120: half the mass of 2,000 lb times the speed in ft/s squared.

    Examples
    --------
    >>> kinetic_energy(speed=10)
    6685.9
    """
    v = speed * FEET_PER_SECOND_PER_MPH
    return (1.0 + rotating_mass / 100.0) * POUNDS_PER_TON * v**2 / (2.0 * GRAVITY_FEET)


def force_per_ton(
    *, speed: float, end_speed: float, distance: float, rotating_mass: float = 0.0
) -> float:
    """Mean force in lb/ton that takes the speed down within the distance.

    Over a mile, without the wheels' turning: 0.01267 (V1² - V2²) (WEBB, section 120). Speeds in
    mph, distance in ft above zero, ``rotating_mass`` in percent.

    Examples
    --------
    >>> force_per_ton(speed=40, end_speed=30, distance=5280)
    8.864
    """
    lost = kinetic_energy(speed=speed, rotating_mass=rotating_mass) - kinetic_energy(
        speed=end_speed, rotating_mass=rotating_mass
    )
    return lost / distance


def dead_time(*, speed: float, distance: float, time: float) -> float:
    """Seconds a train would have coasted before a steady slowing, to stop in this way.

    From distance and time of a stop to standstill: coasting at V for d, then slowing steadily,
    makes s = V (t + d) / 2, so d = 2s/V - t. Friction that rises as speed falls counts as dead
    time too, because most of the braking then comes late.

    Parameters
    ----------
    speed
        Speed at the start, above zero. [mph]
    distance, time
        Feet and seconds to standstill.

    Examples
    --------
    50 cars from 40 mph in 922 ft and 22.5 s (EB11, 1886):

    >>> dead_time(speed=40, distance=922, time=22.5)
    8.93
    """
    return 2.0 * distance / (speed * FEET_PER_SECOND_PER_MPH) - time
