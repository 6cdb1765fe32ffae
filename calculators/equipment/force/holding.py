"""Holding a train on a grade: by the air brake at steady speed, and by hand brakes at rest."""

from __future__ import annotations

from math import ceil

from calculators.base.units import ATMOSPHERE, POUNDS_PER_TON
from calculators.equipment.car import NOMINAL_CAR, CarBrake, full_service_pressure
from calculators.equipment.force.resistance import GRADE_PER_PERCENT


def grade_force(*, weight: float, grade: float) -> float:
    """Pull of a grade on the whole train, in lb: 20 for each ton and percent.

    ``weight`` in tons, ``grade`` in percent, both zero or more.

    Examples
    --------
    >>> grade_force(weight=8900, grade=2.2)
    391600.0
    """
    return GRADE_PER_PERCENT * weight * grade


def tons_per_operative_brake(*, weight: float, operative_brakes: float) -> float:
    """Weight that each operative brake has to hold, in tons.

    Examples
    --------
    >>> tons_per_operative_brake(weight=8900, operative_brakes=69)
    128.99
    """
    return weight / operative_brakes


def balancing_pressure(
    *,
    needed: float,
    braking_ratio: float,
    ratio_pressure: float,
    friction: float,
    operative_share: float,
) -> float:
    """Brake cylinder pressure in psi whose retarding force balances a pull.

    2,000 lb/ton x ratio x (pressure / ratio pressure) x friction x operative share = needed,
    solved for the pressure.

    Parameters
    ----------
    needed
        Pull left after train resistance. [lb/ton]
    braking_ratio
        Shoe force over weight with every brake working, above zero. [%]
    ratio_pressure
        Cylinder pressure for which that ratio is stated. [psi]
    friction
        Friction of shoe on wheel at the speed held, above zero.
    operative_share
        Share of the brakes that work, above 0 and up to 1.

    Examples
    --------
    >>> balancing_pressure(
    ...     needed=20, braking_ratio=10, ratio_pressure=64, friction=0.25, operative_share=1.0
    ... )
    25.6
    """
    full = POUNDS_PER_TON * braking_ratio / 100.0 * friction * operative_share
    return max(0.0, needed) * ratio_pressure / full


def reduction_for(
    *,
    brake_cylinder: float,
    charged: float,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> float | None:
    """Service reduction in psi that settles at a cylinder pressure; None past full service.

    R = ((p + A)(Vc + Vk) − A Vk) / Va, the car's volumes solved for the reduction.

    Parameters
    ----------
    brake_cylinder
        Cylinder pressure p wanted. [psi] Zero or less needs no reduction.
    charged
        Pressure in the auxiliaries before it. [psi]
    car
        The car's volumes.
    atmosphere
        Pressure A of the atmosphere. [psi abs]

    Examples
    --------
    >>> reduction_for(brake_cylinder=18.1, charged=90)
    10.0
    >>> reduction_for(brake_cylinder=70, charged=90) is None
    True
    """
    if brake_cylinder <= 0.0:
        return 0.0
    if brake_cylinder > full_service_pressure(charged=charged, car=car, atmosphere=atmosphere):
        return None
    p, A = brake_cylinder, atmosphere
    return ((p + A) * car.cylinder - A * car.unswept) / car.auxiliary_volume


def hand_brakes_needed(*, pull: float, holding_force: float, margin: float) -> int:
    """Hand brakes whose holding force covers the pull and the margin, and never under one.

    Parameters
    ----------
    pull
        Pull of the grade, zero or more. [lb]
    holding_force
        What one hand brake holds at the rail, above zero. [lb]
    margin
        Added to the pull. [%]

    Notes
    -----
    A part of a brake counts as a whole one, always. At least one hand brake is set whatever the
    sum says (49 CFR 232.103(n)(1)).

    Examples
    --------
    >>> hand_brakes_needed(pull=10000, holding_force=5000, margin=1)
    3
    >>> hand_brakes_needed(pull=0, holding_force=5000, margin=50)
    1
    """
    wanted = pull * (1.0 + margin / 100.0)
    number = ceil(wanted / holding_force)
    # A quotient can round down onto a whole number; the product shows it.
    if number * holding_force < wanted:
        number += 1
    return max(1, number)
