"""What slows or drives a train besides its brakes: rolling and air resistance, curves, grade.

All in pounds per ton of 2,000 lb. The formulas are H60 to H63 of the project's published values.
"""

from __future__ import annotations

from calculators.figures import nominal

GRADE_PER_PERCENT = 20.0
"""One percent of a ton of 2,000 lb. [lb/ton]"""

CURVE_PER_DEGREE = nominal.CURVE_PER_DEGREE.value
"""Added resistance for each degree of curve. [lb/ton] University lecture notes."""


def davis_original(
    *, weight_per_axle: float, axles: float, speed: float, frontal_area: float
) -> float:
    """Resistance of freight cars in lb/ton by the formula of 1926.

    1.3 + 29/w + 0.045 V + 0.0005 A V² / (w n)

    Parameters
    ----------
    weight_per_axle
        w, above zero. [tons]
    axles
        n of one car, above zero.
    speed
        V. [mph]
    frontal_area
        A of one car. [sq ft]

    Notes
    -----
    For running on straight level track; a train that starts from rest needs more. Cars with roller
    bearings roll more lightly than the formula says.

    Examples
    --------
    >>> davis_original(weight_per_axle=29, axles=4, speed=0, frontal_area=90)
    2.3
    """
    w, n, V, A = weight_per_axle, axles, speed, frontal_area
    return 1.3 + 29.0 / w + 0.045 * V + 0.0005 * A * V**2 / (w * n)


def davis_modified(*, weight_per_axle: float, axles: float, speed: float, drag: float) -> float:
    """Resistance of freight cars in lb/ton by the later form of the formula.

    0.6 + 20/w + 0.01 V + K V² / (w n)

    Parameters
    ----------
    weight_per_axle
        w, above zero. [tons]
    axles
        n of one car, above zero.
    speed
        V. [mph]
    drag
        K, about 0.07 for ordinary freight cars; that figure is from memory.

    Examples
    --------
    >>> davis_modified(weight_per_axle=20, axles=4, speed=0, drag=0.07)
    1.6
    """
    w, n, V, K = weight_per_axle, axles, speed, drag
    return 0.6 + 20.0 / w + 0.01 * V + K * V**2 / (w * n)


def grade_resistance(*, grade: float) -> float:
    """Pull of the grade in lb/ton: 20 for each percent.

    Parameters
    ----------
    grade
        Rise in feet per hundred feet; positive climbs and resists, negative descends. [%]

    Examples
    --------
    >>> grade_resistance(grade=2.2)
    44.0
    """
    return GRADE_PER_PERCENT * grade


def curve_resistance(*, curve: float) -> float:
    """Resistance that a curve adds, in lb/ton: 0.8 for each degree.

    Examples
    --------
    >>> curve_resistance(curve=5)
    4.0
    """
    return CURVE_PER_DEGREE * curve
