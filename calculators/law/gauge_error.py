"""How far a gauge may be off and still be within its limit."""

from __future__ import annotations

from calculators.law.limit_list import find_limit


def gauge_error(pressure: float) -> float:
    """Error that a cab gauge may have either way, the lesser of 3 psi and 5 % [psi].

    The figures are the limits of 49 CFR 229.53; the two meet at 60 psi.

    Examples
    --------
    >>> gauge_error(40), gauge_error(60), gauge_error(90)
    (2.0, 3, 3)
    """
    share = find_limit("cab-gauge-error-share").figure / 100
    return min(find_limit("cab-gauge-error").figure, share * pressure)
