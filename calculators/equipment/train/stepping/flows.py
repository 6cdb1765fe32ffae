"""Small laws that every valve uses: how much passes a hole, what pressure a cylinder has."""

from __future__ import annotations

from math import sqrt

from calculators.air.orifice import CRITICAL_RATIO, LINEAR_ABOVE, elliptic_factor
from calculators.base.units import PSI
from calculators.equipment.train.stepping.state import PISTON_OUT, PISTON_STARTS, State

_SHARE = 1.0 / (1.0 - CRITICAL_RATIO)
_SLOPE = elliptic_factor(LINEAR_ABOVE) / (1.0 - LINEAR_ABOVE)


def factor(ratio: float) -> float:
    """`calculators.air.orifice.elliptic_factor`, with its constants worked out once.

    The train model calls it some hundred thousand times a run; a test holds the two together.
    """
    if ratio <= CRITICAL_RATIO:
        return 1.0
    if ratio > LINEAR_ABOVE:
        return _SLOPE * (1.0 - ratio) if ratio < 1.0 else 0.0
    above = (ratio - CRITICAL_RATIO) * _SHARE
    return sqrt(1.0 - above * above)


def factor_slope(ratio: float) -> float:
    """How fast `factor` falls with the pressure ratio; never negative.

    Examples
    --------
    >>> step = 1e-6
    >>> (factor(0.8) - factor(0.8 + step)) / step - factor_slope(0.8)
    0.0000
    """
    if ratio <= CRITICAL_RATIO:
        return 0.0
    if ratio > LINEAR_ABOVE:
        return _SLOPE
    above = (ratio - CRITICAL_RATIO) * _SHARE
    return _SHARE * above / sqrt(1.0 - above * above)


def set_cylinder_pressure(state: State, car: int) -> None:
    """Find a cylinder's pressure from its content.

    The piston moves out between two pressures, the volume growing in proportion; there the
    content is p (V₀ + V₁ (p - p₁) / (p₂ - p₁)), a quadratic in p.
    """
    content = state.cylinder_content[car]
    if content >= state.content_out[car]:
        state.cylinder[car] = content / state.volume_out[car]
        return
    V0 = state.clearance[car]
    V1 = state.swept[car]
    p1 = state.grid.atmosphere + PISTON_STARTS * PSI
    p2 = state.grid.atmosphere + PISTON_OUT * PSI
    if content <= p1 * V0:
        state.cylinder[car] = content / V0
    else:
        slope = V1 / (p2 - p1)
        b = V0 - slope * p1
        state.cylinder[car] = (sqrt(b * b + 4.0 * slope * content) - b) / (2.0 * slope)
