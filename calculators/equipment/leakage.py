"""Brake pipe leakage and air flow: the same holes read in two ways.

A leakage reading watches the pressure fall after the supply is cut off; an air flow reading
watches the air that must go in to hold it. Both are a volume times a fall, but the volume that
falls is the pipe alone when the valves are lapped, and the pressure at which each is read is
another: 20 psi off for leakage, charged for flow.

Pressures are gauge psi, volumes cubic feet, flows cubic feet of free air per minute (cfm).
"""

from __future__ import annotations

from math import pi

from calculators.base.units import ATMOSPHERE, CUBIC_INCHES_PER_CUBIC_FOOT


def pipe_volume(*, cars: float, car_length: float, bore: float) -> float:
    """Volume of the brake pipe of a train's cars, π/4 d² L.

    Parameters
    ----------
    cars
        Number of cars.
    car_length
        Length of pipe for one car. [ft]
    bore
        Inside width of the pipe. [in]

    Returns
    -------
    float
        Volume. [cu ft]

    Examples
    --------
    >>> pipe_volume(cars=100, car_length=55, bore=1.278)
    48.99
    """
    return pi / 4 * (bore / 12) ** 2 * car_length * cars


def falling_volume(*, cars: float, pipe: float, reservoir_volume: float) -> float:
    """Volume that falls with the pipe where a reservoir on every car falls too.

    Parameters
    ----------
    cars
        Number of cars.
    pipe
        Volume of the pipe. [cu ft]
    reservoir_volume
        Reservoir of one car that falls with the pipe; 0 when the valves are lapped. [cu in]

    Returns
    -------
    float
        Volume. [cu ft]

    Examples
    --------
    >>> falling_volume(cars=100, pipe=49.0, reservoir_volume=2500)
    193.7
    """
    return pipe + cars * reservoir_volume / CUBIC_INCHES_PER_CUBIC_FOOT


def flow_of_fall(*, volume: float, fall: float, atmosphere: float = ATMOSPHERE) -> float:
    """Air lost while a volume falls, V x fall / A.

    Parameters
    ----------
    volume
        Volume that falls. [cu ft]
    fall
        Fall of pressure. [psi/min]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Free air. [cfm]

    Examples
    --------
    >>> flow_of_fall(volume=49.0, fall=5)
    16.7
    """
    return volume * fall / atmosphere


def fall_of_flow(*, volume: float, flow: float, atmosphere: float = ATMOSPHERE) -> float:
    """Fall of a volume that loses so much air, flow x A / V; undoes `flow_of_fall`.

    Parameters
    ----------
    volume
        Volume that falls, above zero. [cu ft]
    flow
        Free air lost. [cfm]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Fall of pressure. [psi/min]

    Raises
    ------
    ValueError
        If the volume is not above zero.

    Examples
    --------
    >>> fall_of_flow(volume=49.0, flow=60)
    18.0
    """
    if not volume > 0:
        raise ValueError(f"volume is {volume} cu ft; it must be above zero")
    return flow * atmosphere / volume


def same_holes(
    *, flow: float, pressure: float, other_pressure: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Flow of the same holes at another pressure, in proportion to absolute pressure.

    Holds while the holes are choked, that is down to about 13 psi in the pipe.

    Parameters
    ----------
    flow
        Free air that leaks at ``pressure``. [cfm]
    pressure, other_pressure
        Brake pipe pressures. [psi]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Free air that leaks at ``other_pressure``. [cfm]

    Examples
    --------
    >>> same_holes(flow=16.7, pressure=70, other_pressure=90)
    20.6
    """
    return flow * (other_pressure + atmosphere) / (pressure + atmosphere)


def volume_where_alike(*, fall: float, flow: float, atmosphere: float = ATMOSPHERE) -> float:
    """Volume in which a fall and a flow are the same leak, flow x A / fall.

    Parameters
    ----------
    fall
        Fall of pressure, above zero. [psi/min]
    flow
        Free air lost at that pressure. [cfm]
    atmosphere
        Pressure A at which the air counts as free. [psi abs]

    Returns
    -------
    float
        Volume. [cu ft]

    Raises
    ------
    ValueError
        If the fall is not above zero.

    Examples
    --------
    >>> volume_where_alike(fall=5, flow=60)
    176.4
    """
    if not fall > 0:
        raise ValueError(f"fall is {fall} psi/min; it must be above zero")
    return flow * atmosphere / fall
