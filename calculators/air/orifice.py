"""Flow of air through a hole: choked, unchoked, and a smooth form for integrators.

The exact law is that of de Saint-Venant and Wantzel for an ideal gas through a nozzle, times a
discharge coefficient (ISO 9300:2005 gives the choked branch for nozzles with the same critical
flow function). The elliptic form of the unchoked branch is that of ISO 6358-1:2013, 5.5.
SI units, absolute pressures.
"""

from math import exp, log, sqrt

from calculators.air.gas import HEAT_CAPACITY_RATIO, gas_temperature_product

CRITICAL_RATIO: float = (2.0 / (HEAT_CAPACITY_RATIO + 1.0)) ** (
    HEAT_CAPACITY_RATIO / (HEAT_CAPACITY_RATIO - 1.0)
)
"""Downstream over upstream pressure at and below which the flow is choked. [-] 0.5283."""

CRITICAL_FLOW: float = sqrt(HEAT_CAPACITY_RATIO) * (2.0 / (HEAT_CAPACITY_RATIO + 1.0)) ** (
    (HEAT_CAPACITY_RATIO + 1.0) / (2.0 * (HEAT_CAPACITY_RATIO - 1.0))
)
"""Critical flow function C*: choked mass flow times √(R T) over area and pressure. [-] 0.6847."""

LINEAR_ABOVE = 0.98
"""Pressure ratio above which `elliptic_factor` is a straight line through zero. [-]"""


def flow_factor(ratio: float) -> float:
    """Unchoked flow over choked flow at a pressure ratio, exact for an ideal gas nozzle.

    Parameters
    ----------
    ratio
        Downstream over upstream absolute pressure, 0 to 1. [-]

    Returns
    -------
    float
        1 up to the critical ratio, falling to 0 at equal pressures. [-]

    Raises
    ------
    ValueError
        If the ratio is not within 0 and 1.

    Examples
    --------
    >>> flow_factor(0.3)
    1.0
    >>> flow_factor(0.9)
    0.62
    """
    if not 0.0 <= ratio <= 1.0:
        raise ValueError(f"pressure ratio is {ratio}; it must be from 0 to 1")
    if ratio <= CRITICAL_RATIO:
        return 1.0
    k = HEAT_CAPACITY_RATIO
    psi: float = sqrt(2.0 * k / (k - 1.0) * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k)))
    return psi / CRITICAL_FLOW


def elliptic_factor(ratio: float) -> float:
    """`flow_factor` as a quarter ellipse, straight through zero near equal pressures.

    The ellipse (ISO 6358-1:2013) needs no powers and stays within 0.6 percent of the choked
    flow of the exact law. Its slope is infinite at equal pressures; above `LINEAR_ABOVE` it is
    replaced by a chord, so that a solver with finite steps does not chatter.

    Examples
    --------
    >>> elliptic_factor(0.9)
    0.62
    >>> elliptic_factor(1.0)
    0.0
    """
    if ratio <= CRITICAL_RATIO:
        return 1.0
    if ratio >= 1.0:
        return 0.0
    if ratio > LINEAR_ABOVE:
        return elliptic_factor(LINEAR_ABOVE) * (1.0 - ratio) / (1.0 - LINEAR_ABOVE)
    above = (ratio - CRITICAL_RATIO) / (1.0 - CRITICAL_RATIO)
    return sqrt(1.0 - above * above)


def conductance(*, area: float, discharge_coefficient: float, temperature: float) -> float:
    """Choked content flow per unit of upstream pressure, Cd A C* √(R T), in m³/s.

    Parameters
    ----------
    area
        Area of the hole. [m²]
    discharge_coefficient
        Real flow over ideal flow, above 0, at most 1. [-]
    temperature
        Upstream temperature. [K]

    Raises
    ------
    ValueError
        If the area is negative or the coefficient not within (0, 1].

    Examples
    --------
    >>> conductance(area=1e-6, discharge_coefficient=1.0, temperature=293.15) * 1e6
    198.63
    """
    if area < 0.0:
        raise ValueError(f"area is {area} m²; it must not be negative")
    if not 0.0 < discharge_coefficient <= 1.0:
        raise ValueError(
            f"discharge_coefficient is {discharge_coefficient}; it must be above 0 and at most 1"
        )
    return (
        discharge_coefficient
        * area
        * CRITICAL_FLOW
        * sqrt(gas_temperature_product(temperature=temperature))
    )


def content_flow(
    *,
    area: float,
    discharge_coefficient: float,
    upstream_abs: float,
    downstream_abs: float,
    temperature: float,
) -> float:
    """Content flow R T ṁ through a hole, negative if the second pressure is the higher.

    Parameters
    ----------
    area, discharge_coefficient, temperature
        As in `conductance`.
    upstream_abs, downstream_abs
        Absolute pressures on the two sides. [Pa]

    Returns
    -------
    float
        Content flow. [Pa·m³/s]

    Examples
    --------
    >>> content_flow(
    ...     area=1e-6,
    ...     discharge_coefficient=1.0,
    ...     upstream_abs=700e3,
    ...     downstream_abs=100e3,
    ...     temperature=293.15,
    ... )
    139.04
    """
    K = conductance(area=area, discharge_coefficient=discharge_coefficient, temperature=temperature)
    if upstream_abs >= downstream_abs:
        if upstream_abs <= 0.0:
            return 0.0
        return K * upstream_abs * flow_factor(downstream_abs / upstream_abs)
    return -K * downstream_abs * flow_factor(upstream_abs / downstream_abs)


def mass_flow(
    *,
    area: float,
    discharge_coefficient: float,
    upstream_abs: float,
    downstream_abs: float,
    temperature: float,
) -> float:
    """Mass flow through a hole; the same arguments as `content_flow`, in kg/s.

    Examples
    --------
    >>> mass_flow(
    ...     area=1e-6,
    ...     discharge_coefficient=1.0,
    ...     upstream_abs=700e3,
    ...     downstream_abs=100e3,
    ...     temperature=293.15,
    ... )
    0.0016523
    """
    return content_flow(
        area=area,
        discharge_coefficient=discharge_coefficient,
        upstream_abs=upstream_abs,
        downstream_abs=downstream_abs,
        temperature=temperature,
    ) / gas_temperature_product(temperature=temperature)


def area_for_choked_flow(
    *, content_flow: float, discharge_coefficient: float, upstream_abs: float, temperature: float
) -> float:
    """Area of the hole that passes a content flow when choked, in m².

    Raises
    ------
    ValueError
        If the upstream pressure is not above zero or the flow is negative.

    Examples
    --------
    >>> area = area_for_choked_flow(
    ...     content_flow=139.0394,
    ...     discharge_coefficient=1.0,
    ...     upstream_abs=700e3,
    ...     temperature=293.15,
    ... )
    >>> area * 1e6
    1.0000
    """
    if not upstream_abs > 0.0:
        raise ValueError(f"upstream_abs is {upstream_abs} Pa; it must be above zero")
    if content_flow < 0.0:
        raise ValueError(f"content_flow is {content_flow} Pa·m³/s; it must not be negative")
    unit = conductance(
        area=1.0, discharge_coefficient=discharge_coefficient, temperature=temperature
    )
    return content_flow / (unit * upstream_abs)


def choked_blow_down_time(
    *, volume: float, conductance: float, from_abs: float, to_abs: float
) -> float:
    """Time for a volume to fall from one pressure to another through a choked hole.

    Isothermal: p = p₀ e^(−K t / V), so t = (V / K) ln(p₀ / p).

    Parameters
    ----------
    volume
        Volume being emptied. [m³]
    conductance
        Choked content flow per unit of pressure, from `conductance`. [m³/s]
    from_abs, to_abs
        Absolute pressures, ``from_abs >= to_abs > 0``; the hole stays choked while the lower one
        is above about 1.9 times the pressure outside. [Pa]

    Returns
    -------
    float
        Time. [s]

    Raises
    ------
    ValueError
        If the pressures are not in that order or the conductance is not above zero.

    Examples
    --------
    >>> choked_blow_down_time(volume=1.0, conductance=0.1, from_abs=2.0, to_abs=1.0)
    6.93
    """
    if not from_abs >= to_abs > 0.0:
        raise ValueError(f"pressures are {from_abs} to {to_abs} Pa; they must fall, above zero")
    if not conductance > 0.0:
        raise ValueError(f"conductance is {conductance} m³/s; it must be above zero")
    return volume / conductance * log(from_abs / to_abs)


def choked_blow_down_pressure(
    *, volume: float, conductance: float, from_abs: float, seconds: float
) -> float:
    """Pressure left after so many seconds, in Pa; undoes `choked_blow_down_time`.

    Examples
    --------
    >>> choked_blow_down_pressure(volume=1.0, conductance=0.1, from_abs=2.0, seconds=6.93)
    1.000
    """
    return from_abs * exp(-conductance * seconds / volume)
