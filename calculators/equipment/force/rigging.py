"""From the air in the brake cylinder to the force of the shoes on the wheels."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.base.units import POUNDS_PER_TON


def piston_force(*, brake_cylinder: float, cylinder_bore: float, cylinders: float = 1.0) -> float:
    """Push of the pistons in lb: cylinders x (pi/4) x bore squared x pressure.

    Parameters
    ----------
    brake_cylinder
        Brake cylinder pressure, zero or more. [psi]
    cylinder_bore
        Inside diameter of a cylinder, above zero. [in]
    cylinders
        How many cylinders work the rigging together.

    Returns
    -------
    float
        Force of all pistons together. The release spring is left out; it takes a little of it. [lb]

    Examples
    --------
    >>> piston_force(brake_cylinder=50, cylinder_bore=10)
    3927.0
    """
    return cylinders * pi / 4.0 * cylinder_bore**2 * brake_cylinder


@dataclass(frozen=True, slots=True, kw_only=True)
class LeverForces:
    """The forces at the three pins of one lever, in pounds: the sum of two is the third."""

    pull: float
    other_end: float
    middle: float


def lever(*, pull: float, upper_arm: float, lower_arm: float) -> LeverForces:
    """Work out the forces at the pins of a lever pulled at its top, held at its bottom.

    Moments about the middle pin: pull x upper arm = other end x lower arm; the middle pin takes
    both. On a truck's live lever the pull is the top rod's, the other end is the bottom rod and
    the middle pin is the brake beam.

    Parameters
    ----------
    pull
        Force on the top pin. [lb]
    upper_arm, lower_arm
        Distance of the top and of the bottom pin from the middle pin, above zero. [in]

    Examples
    --------
    >>> lever(pull=1500, upper_arm=21, lower_arm=7)
    LeverForces(pull=1500, other_end=4500.0, middle=6000.0)
    """
    other_end = pull * upper_arm / lower_arm
    return LeverForces(pull=pull, other_end=other_end, middle=pull + other_end)


def truck_lever_ratio(
    *, cylinder_lever: float, upper_arm: float, lower_arm: float, beams: float
) -> float:
    """Shoe force over piston force for a whole car, from its levers, without losses.

    Parameters
    ----------
    cylinder_lever
        Pull of one top rod over the push of the piston.
    upper_arm, lower_arm
        The truck levers' arms from the middle pin, above zero. [in]
    beams
        Brake beams on the car; every one gets the middle pin's force. A usual four-axle car has 4.

    Examples
    --------
    Forces of 1,500 lb on the rod, 6,000 lb a beam, 24,000 lb in all (Ludy, about 1913, p. 101):

    >>> truck_lever_ratio(cylinder_lever=1.0, upper_arm=21, lower_arm=7, beams=4)
    16.0
    """
    return beams * lever(pull=cylinder_lever, upper_arm=upper_arm, lower_arm=lower_arm).middle


def shoe_force(*, piston: float, lever_ratio: float, efficiency: float) -> float:
    """Force of all the shoes on the wheels in lb: piston force x lever ratio x efficiency.

    Parameters
    ----------
    piston
        Force of the pistons. [lb]
    lever_ratio
        Shoe force over piston force by the levers alone.
    efficiency
        Share of the force that pins and slides let through. [%] Standing cars of 1913 with four
        kinds of rigging: 58 to 85 (AB13 p. 294).

    Examples
    --------
    >>> shoe_force(piston=4000, lever_ratio=10, efficiency=75)
    30000.0
    """
    return piston * lever_ratio * efficiency / 100.0


def braking_ratio(*, shoe_force: float, weight: float) -> float:
    """Shoe force in percent of the weight it has to hold.

    Parameters
    ----------
    shoe_force
        Force of all the shoes. [lb]
    weight
        Weight they brake, above zero. [tons]

    Examples
    --------
    >>> braking_ratio(shoe_force=24000, weight=34286 / 2000)
    70.0
    """
    return 100.0 * shoe_force / (weight * POUNDS_PER_TON)


def braking_ratio_at(*, ratio: float, stated_at: float, brake_cylinder: float) -> float:
    """Braking ratio in percent at another cylinder pressure: fixed leverage keeps them in step.

    Parameters
    ----------
    ratio
        The braking ratio as it is stated. [%]
    stated_at
        The cylinder pressure it is stated for, above zero. [psi]
    brake_cylinder
        The cylinder pressure asked about. [psi] The release spring is left out.

    Examples
    --------
    60 psi is 90 %, so 40 psi is 60 % (AB13 p. 73):

    >>> braking_ratio_at(ratio=90, stated_at=60, brake_cylinder=40)
    60.0
    """
    return ratio * brake_cylinder / stated_at


def lightest_weight(*, shoe_force: float, ratio: float) -> float:
    """Weight in tons at which this shoe force makes just this braking ratio.

    Below it the ratio is higher, and the wheels more likely to slide. ``shoe_force`` in lb,
    ``ratio`` in percent, above zero.

    Examples
    --------
    >>> lightest_weight(shoe_force=24000, ratio=70) * 2000
    34285.7
    """
    return shoe_force / (ratio / 100.0) / POUNDS_PER_TON
