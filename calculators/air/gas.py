"""The gas law as the air brake uses it: ideal air at one constant temperature.

SI units and absolute pressures throughout. Three quantities recur:

content
    Pressure times volume, p V. [Pa·m³] At one temperature the mass of air is proportional to it
    (m = p V / (R T)), so contents are added and shared out where a textbook would add masses.
content flow
    Change of content in time, R T times the mass flow. [Pa·m³/s]
free air
    The same air at atmospheric pressure and the same temperature: content / atmosphere. [m³]

Sources
-------
Gas constant, ratio of specific heats and viscosity law: ISO 2533:1975, Standard Atmosphere
(the same figures stand in the U.S. Standard Atmosphere, 1976).
"""

from collections.abc import Iterable
from math import sqrt

SPECIFIC_GAS_CONSTANT = 287.05287
"""Specific gas constant R of dry air. [J/(kg·K)] ISO 2533:1975, 2.1."""

HEAT_CAPACITY_RATIO = 1.4
"""Ratio of specific heats of air. [-] ISO 2533:1975, 2.1."""

STANDARD_ATMOSPHERE = 101325.0
"""Standard pressure at sea level. [Pa] ISO 2533:1975, 2.1."""

CUBIC_METRE_PER_SECOND_PER_CFM = 0.3048**3 / 60.0
"""One cubic foot per minute. [m³/s] Exact, from the international foot."""


def gas_temperature_product(*, temperature: float) -> float:
    """R T, the content of one kilogram of air, and the square of the isothermal wave speed.

    Parameters
    ----------
    temperature
        Absolute temperature, above zero. [K]

    Returns
    -------
    float
        R T. [J/kg, or m²/s²]

    Raises
    ------
    ValueError
        If the temperature is not above zero.

    Examples
    --------
    >>> gas_temperature_product(temperature=293.15)
    84149.5
    """
    if not temperature > 0.0:
        raise ValueError(f"temperature is {temperature} K; it must be above zero")
    return SPECIFIC_GAS_CONSTANT * temperature


def density(*, pressure_abs: float, temperature: float) -> float:
    """Density of air as an ideal gas, p / (R T), in kg/m³.

    Within 0.7 percent of real air from 0 to 140 psi gauge and 0 to 40 °C (compared with a
    reference equation of state in ``tests/air``).

    Examples
    --------
    >>> density(pressure_abs=101325.0, temperature=288.15)
    1.2250
    """
    return pressure_abs / gas_temperature_product(temperature=temperature)


def dynamic_viscosity(*, temperature: float) -> float:
    """Dynamic viscosity of air by Sutherland's law, in Pa·s.

    ISO 2533:1975, 2.11: β T^(3/2) / (T + S), β = 1.458e-6 kg/(s·m·K^½), S = 110.4 K.

    Examples
    --------
    >>> dynamic_viscosity(temperature=288.15) * 1e6
    17.894
    """
    if not temperature > 0.0:
        raise ValueError(f"temperature is {temperature} K; it must be above zero")
    return 1.458e-6 * temperature * sqrt(temperature) / (temperature + 110.4)


def isothermal_sound_speed(*, temperature: float) -> float:
    """Speed of small pressure waves in air held at one temperature, √(R T), in m/s.

    Air in a long pipe exchanges heat with the wall; a model that keeps the temperature constant
    has this wave speed, 16 percent below the adiabatic one.

    Examples
    --------
    >>> isothermal_sound_speed(temperature=293.15)
    290.09
    """
    return sqrt(gas_temperature_product(temperature=temperature))


def sound_speed(*, temperature: float) -> float:
    """Adiabatic speed of sound in air, √(γ R T). [m/s] ISO 2533:1975, 2.10.

    Examples
    --------
    >>> sound_speed(temperature=288.15)
    340.294
    """
    return sqrt(HEAT_CAPACITY_RATIO * gas_temperature_product(temperature=temperature))


def shared_pressure(volumes: Iterable[tuple[float, float]]) -> float:
    """Pressure after volumes at different pressures are joined at one temperature (Boyle).

    Parameters
    ----------
    volumes
        Pairs of absolute pressure [Pa] and volume [m³]. Any consistent units may be used: the
        result is in the unit of the pressures.

    Returns
    -------
    float
        Σ p V / Σ V. [unit of the pressures]

    Raises
    ------
    ValueError
        If the volumes add up to nothing.

    Examples
    --------
    A reservoir of 2,500 cu in at 104.7 psi abs joined to 500 cu in at 14.7 psi abs:

    >>> shared_pressure([(104.7, 2500.0), (14.7, 500.0)])
    89.7
    """
    content = 0.0
    total = 0.0
    for pressure_abs, volume in volumes:
        content += pressure_abs * volume
        total += volume
    if not total > 0.0:
        raise ValueError(f"the joined volumes add up to {total}; they must be above zero")
    return content / total


def free_air_volume(*, content: float, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """Volume that a content p V fills at atmospheric pressure and the same temperature, in m³.

    Examples
    --------
    One cubic metre at ten atmospheres is ten cubic metres of free air:

    >>> free_air_volume(content=10 * 101325.0)
    10.0
    """
    return content / atmosphere


def free_air_cfm(*, content_flow: float, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """Content flow as cubic feet of free air per minute.

    Parameters
    ----------
    content_flow
        R T times the mass flow. [Pa·m³/s]
    atmosphere
        Pressure at which the air counts as free. [Pa]

    Returns
    -------
    float
        Free air. [cu ft/min]

    Examples
    --------
    >>> free_air_cfm(content_flow=101325.0 * 0.3048**3)
    60.0
    """
    return content_flow / atmosphere / CUBIC_METRE_PER_SECOND_PER_CFM


def content_flow_of_cfm(cfm: float, *, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """Content flow, in Pa·m³/s, of a free-air flow in cu ft/min; undoes `free_air_cfm`.

    Examples
    --------
    >>> content_flow_of_cfm(60.0) / (101325.0 * 0.3048**3)
    1.0
    """
    return cfm * CUBIC_METRE_PER_SECOND_PER_CFM * atmosphere


def mass_flow_of_cfm(
    cfm: float, *, temperature: float, atmosphere: float = STANDARD_ATMOSPHERE
) -> float:
    """Mass flow of so many cubic feet of free air per minute, in kg/s.

    Examples
    --------
    >>> mass_flow_of_cfm(60.0, temperature=288.15)
    0.034688
    """
    return content_flow_of_cfm(cfm, atmosphere=atmosphere) / gas_temperature_product(
        temperature=temperature
    )
