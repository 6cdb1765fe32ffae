"""The oracle of the train model's steady gradient. Friction of air in a pipe: friction factor, and the pressure-squared law of isothermal flow.

SI units, absolute pressures. "Friction factor" is the Darcy (Moody) factor everywhere.

Sources
-------
Friction factor in all regimes: S. W. Churchill, Chemical Engineering 84 (24), 1977, 91-92.
Isothermal flow: the law as in Crane Technical Paper 410, eq. 1-6, the logarithm (acceleration)
kept or dropped as each function says.
"""

from math import log, pi, sqrt


def bore_area(*, bore: float) -> float:
    """Cross-section of a round bore, in m².

    Examples
    --------
    >>> bore_area(bore=2.0)
    3.14159
    """
    return pi / 4.0 * bore * bore


def reynolds_number(*, mass_flow: float, bore: float, viscosity: float) -> float:
    """Reynolds number of a mass flow in a round pipe, 4 ṁ / (π D μ) (a ratio).

    Examples
    --------
    >>> reynolds_number(mass_flow=0.03, bore=0.0325, viscosity=1.8e-5)
    65294.3
    """
    return 4.0 * abs(mass_flow) / (pi * bore * viscosity)


def friction_factor(*, reynolds: float, relative_roughness: float = 0.0) -> float:
    """Darcy friction factor in laminar, transitional and turbulent flow (Churchill 1977).

    Parameters
    ----------
    reynolds
        Reynolds number, above zero. [-]
    relative_roughness
        Roughness over bore, 0 to 0.05. [-]

    Returns
    -------
    float
        Darcy friction factor. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> friction_factor(reynolds=1000.0)
    0.064
    >>> friction_factor(reynolds=1e5, relative_roughness=0.0014)
    0.02364
    """
    if not reynolds > 0.0:
        raise ValueError(f"reynolds is {reynolds}; it must be above zero")
    if not 0.0 <= relative_roughness <= 0.05:
        raise ValueError(f"relative_roughness is {relative_roughness}; it must be 0 to 0.05")
    A = (-2.457 * log((7.0 / reynolds) ** 0.9 + 0.27 * relative_roughness)) ** 16
    B = (37530.0 / reynolds) ** 16
    return float(8.0 * ((8.0 / reynolds) ** 12 + (A + B) ** -1.5) ** (1.0 / 12.0))


def isothermal_mass_flow(
    *,
    inlet_abs: float,
    outlet_abs: float,
    length: float,
    bore: float,
    friction_factor: float,
    gas_temperature: float,
) -> float:
    """Steady mass flow through a pipe between two pressures, acceleration included.

    ṁ = A √( (p₁² − p₂²) / ( R T (f L / D + 2 ln(p₁ / p₂)) ) )

    Parameters
    ----------
    inlet_abs, outlet_abs
        Absolute pressures, ``inlet_abs >= outlet_abs > 0``. [Pa]
    length, bore
        Length and bore of the pipe. [m]
    friction_factor
        Darcy friction factor. [-]
    gas_temperature
        R T of the air, from `calculators.air.gas.gas_temperature_product`. [J/kg]

    Returns
    -------
    float
        Mass flow. [kg/s]

    Raises
    ------
    ValueError
        If the pressures are not in that order.

    Examples
    --------
    >>> isothermal_mass_flow(
    ...     inlet_abs=700e3,
    ...     outlet_abs=600e3,
    ...     length=1000.0,
    ...     bore=0.0325,
    ...     friction_factor=0.028,
    ...     gas_temperature=84149.5,
    ... )
    0.035123
    """
    if not inlet_abs >= outlet_abs > 0.0:
        raise ValueError(f"pressures are {inlet_abs} to {outlet_abs} Pa; they must fall, above 0")
    resistance = friction_factor * length / bore + 2.0 * log(inlet_abs / outlet_abs)
    squares = inlet_abs**2 - outlet_abs**2
    return bore_area(bore=bore) * sqrt(squares / (gas_temperature * resistance))


def isothermal_outlet_pressure(
    *,
    inlet_abs: float,
    mass_flow: float,
    length: float,
    bore: float,
    friction_factor: float,
    gas_temperature: float,
    side_flow: bool = False,
) -> float:
    """Pressure at the far end of a pipe by the pressure-squared law, acceleration neglected.

    p₂² = p₁² − f (L / D) R T (ṁ / A)²; where the whole flow leaks away evenly along the pipe,
    as in a leaking brake pipe, the mean of ṁ² is a third of its square at the inlet and the
    pressure falls by a third of that.

    Parameters
    ----------
    inlet_abs
        Absolute pressure at the inlet. [Pa]
    mass_flow
        Mass flow at the inlet. [kg/s]
    length, bore, friction_factor, gas_temperature
        As in `isothermal_mass_flow`.
    side_flow
        The flow leaves evenly along the pipe and none is left at the far end.

    Returns
    -------
    float
        Absolute pressure at the far end. [Pa]

    Raises
    ------
    ValueError
        If no pressure at the far end could drive that flow.

    Examples
    --------
    >>> isothermal_outlet_pressure(
    ...     inlet_abs=700e3,
    ...     mass_flow=0.03,
    ...     length=1000.0,
    ...     bore=0.0325,
    ...     friction_factor=0.028,
    ...     gas_temperature=84149.5,
    ... )
    628641.2
    """
    flux = mass_flow / bore_area(bore=bore)
    fall = friction_factor * length / bore * gas_temperature * flux * flux
    if side_flow:
        fall /= 3.0
    square = inlet_abs * inlet_abs - fall
    if not square > 0.0:
        raise ValueError(f"mass_flow is {mass_flow} kg/s; the pipe cannot carry so much")
    return sqrt(square)
