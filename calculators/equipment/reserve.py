"""What a car has left after sets, releases and short waits, counted against the user.

The auxiliary gives air at every set, the emergency reservoir at every release (accelerated
release), and both come back only through chokes and a long pipe. How fast is not published for
any train, so every figure that is not known is taken on the side of less air:

- the brake pipe at the car comes back toward its charged pressure in one lag, as slow as the
  rule of five minutes for ten cars (NAVY) if that rule only brings a car within 15 psi (the
  charge that a brake test asks for) and never faster for shorter cars;
- the auxiliary follows the pipe through a second lag, fitted to the slow end of an acceptance
  test: pipe at 90, auxiliary 0 to 70 in 60 s (MCB-06, test 2). A lag is slower at the end than a
  hole of the same mean flow;
- the emergency reservoir follows likewise, slower as it is larger;
- every release draws on the emergency reservoir (accelerated release). Filling the car's own
  length of pipe takes it from 90 to 85 after 26 off; how much more goes on through the pipe into
  the auxiliary is not known. So a car is followed twice, once with all that stops in the pipe and
  is lost (least in the auxiliary), once with emergency reservoir, pipe and auxiliary all meeting
  (least in the emergency reservoir, and the next set spends what it gave); the lesser of each
  reservoir counts, since what it gave may also have gone down the train;
- nothing that a retaining valve keeps is counted.

Less waiting can therefore never give more. Pressures in gauge psi at this car, air in psi abs
times cubic inches, times in minutes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, log

from calculators.air.gas import shared_pressure
from calculators.base.units import ATMOSPHERE, CUBIC_INCHES_PER_CUBIC_FOOT
from calculators.equipment.car import NOMINAL_CAR, CarBrake
from calculators.equipment.exhaust import EXTRA_HEAVY_BORE
from calculators.equipment.leakage import pipe_volume
from calculators.figures import nominal
from calculators.law.limit_list import find_limit

NAVY_MINUTES_PER_TEN_CARS = nominal.CHARGING_MINUTES.value
"""Rule for charging a train. [min] NAVY; a rule with margin, not a measurement."""

RULE_CAR_LENGTH = nominal.RULE_CAR_LENGTH.value
"""Car length that the rule is read for; longer cars take longer in proportion. [ft]"""

RULE_REACHES_WITHIN = find_limit("rear-gradient").figure
"""How near the rule's time is taken to bring a car to its pressure. [psi] 49 CFR 232.205."""

CHOKE_MINUTES = 1.0 / log(90.0 / (90.0 - nominal.CHOKE_REACHES.value))
"""Lag of the auxiliary behind the pipe: 0 to 70 in one minute from 90. [min] MCB-06, test 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recharge:
    """How slowly a car comes back: its charged pressure [psi] and two lags [min]."""

    charged: float
    pipe_minutes: float
    choke_minutes: float = CHOKE_MINUTES


@dataclass(frozen=True, slots=True, kw_only=True)
class CarState:
    """What stands where in one car.

    ``brake_pipe``, ``auxiliary`` and ``emergency_reservoir`` in gauge psi; ``cylinder_air`` is
    the air in the cylinder's whole space, that of the atmosphere included. [psi abs·cu in]
    """

    brake_pipe: float
    auxiliary: float
    emergency_reservoir: float
    cylinder_air: float


def recharge_of_train(
    *,
    charged: float,
    cars: float,
    car_length: float,
    minutes_per_ten_cars: float = NAVY_MINUTES_PER_TEN_CARS,
) -> Recharge:
    """Lags of the last car of a train, from the charging rule.

    Parameters
    ----------
    charged
        Pressure that the car stands at when charged, above 15. [psi]
    cars
        Cars in the train, 1 or more.
    car_length
        Length of pipe of one car, above zero. [ft]
    minutes_per_ten_cars
        Time of the rule, above zero. [min]

    Returns
    -------
    Recharge
        The lags.

    Raises
    ------
    ValueError
        If the charged pressure is not above 15 psi.

    Examples
    --------
    >>> recharge_of_train(charged=90, cars=100, car_length=55).pipe_minutes
    27.9
    """
    if not charged > RULE_REACHES_WITHIN:
        raise ValueError(f"charged is {charged} psi; it must be above {RULE_REACHES_WITHIN}")
    minutes = minutes_per_ten_cars * cars / 10 * max(1.0, car_length / RULE_CAR_LENGTH)
    return Recharge(charged=charged, pipe_minutes=minutes / log(charged / RULE_REACHES_WITHIN))


def charged_car(
    *, charged: float, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> CarState:
    """A released car with everything at one pressure.

    Examples
    --------
    >>> charged_car(charged=90.0).auxiliary
    90.0
    """
    return CarState(
        brake_pipe=charged,
        auxiliary=charged,
        emergency_reservoir=charged,
        cylinder_air=atmosphere * car.unswept,
    )


def pipe_at_rear(
    *, rear: float, setting: float, reduction: float, atmosphere: float = ATMOSPHERE
) -> float:
    """Brake pipe that the last car settles at, with the gradient that leakage makes.

    Leaks pass air in proportion to absolute pressure, and pipe friction keeps the ratio of the
    absolute pressures at its two ends when all of them fall alike, so the gradient shrinks with
    the pressure and a reduction is worth a little less at the rear than at the head.

    Parameters
    ----------
    rear, setting
        Brake pipe at the rear and at the head before the reduction. [psi]
    reduction
        Reduction at the head, zero or more. [psi]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    float
        Brake pipe at the rear, never below zero. [psi]

    Examples
    --------
    >>> pipe_at_rear(rear=90.0, setting=90.0, reduction=10.0)
    80.0
    >>> pipe_at_rear(rear=75.0, setting=90.0, reduction=10.0)
    66.4
    """
    A = atmosphere
    return max(0.0, (rear + A) * (setting - reduction + A) / (setting + A) - A)


def worth(state: CarState, *, brake_pipe: float) -> float:
    """What a reduction to ``brake_pipe`` is worth: its fall below the *auxiliary*, in psi.

    Examples
    --------
    Recharged to 84 while the gauge reads 88, then reduced to 80: 4 psi, not 8.

    >>> state = CarState(
    ...     brake_pipe=88.0, auxiliary=84.0, emergency_reservoir=86.0, cylinder_air=0.0
    ... )
    >>> worth(state, brake_pipe=80.0)
    4.0
    """
    return max(0.0, state.auxiliary - brake_pipe)


def set_brake(
    state: CarState,
    *,
    brake_pipe: float,
    moving_reduction: float,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> CarState:
    """The car after the brake pipe was taken to a pressure and everything has settled.

    Parameters
    ----------
    state
        The car before.
    brake_pipe
        Pressure that the pipe is taken to, zero or more. [psi]
    moving_reduction
        Fall below the auxiliary that moves the valve. A smaller one lets both reservoirs follow
        the pipe down and applies nothing. [psi]
    car, atmosphere
        Volumes, and the pressure of the atmosphere. [psi abs]

    Returns
    -------
    CarState
        Auxiliary, cylinder and pipe after it; the air of the first two is only shared out.

    Examples
    --------
    >>> after = set_brake(charged_car(charged=90.0), brake_pipe=64.0, moving_reduction=2.5)
    >>> after.auxiliary, cylinder_gauge(after)
    (64.0, 64.0)
    """
    # A pipe that counts as lower than it is asked to be is not counted as raised: an emergency
    # needs it. The valve let go before, so its pipe had passed the auxiliary all the same.
    pipe = min(state.brake_pipe, brake_pipe)
    already_set = state.cylinder_air > atmosphere * car.unswept
    if not already_set and state.auxiliary - brake_pipe < moving_reduction:
        # The valve stays in release, where both reservoirs may follow the pipe down.
        return replace(
            state,
            brake_pipe=pipe,
            auxiliary=min(state.auxiliary, brake_pipe),
            emergency_reservoir=min(state.emergency_reservoir, pipe),
        )
    if state.auxiliary <= brake_pipe:
        return replace(state, brake_pipe=pipe)
    lowest = service_left(state, car=car, atmosphere=atmosphere)
    auxiliary = max(brake_pipe, min(lowest, state.auxiliary))
    given = (state.auxiliary - auxiliary) * car.auxiliary_volume
    return replace(
        state, brake_pipe=pipe, auxiliary=auxiliary, cylinder_air=state.cylinder_air + given
    )


def release_brake(
    state: CarState,
    *,
    car_length: float,
    into_auxiliary: bool = False,
    pipe_bore: float = EXTRA_HEAVY_BORE,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> CarState:
    """The car just after a direct release: cylinder empty, emergency reservoir drawn on.

    Parameters
    ----------
    state
        The car before.
    car_length
        Length of the car's own brake pipe, zero or more. [ft]
    into_auxiliary
        Whether the emergency reservoir's air goes on from the pipe into the auxiliary until all
        three meet, or only fills the pipe.
    pipe_bore
        Inside width of the pipe, above zero. [in]
    car, atmosphere
        Volumes, and the pressure of the atmosphere. [psi abs]

    Returns
    -------
    CarState
        The car after it. The pipe is not counted as raised by the air it got.

    Examples
    --------
    >>> after = set_brake(charged_car(charged=90.0), brake_pipe=64.0, moving_reduction=2.5)
    >>> release_brake(after, car_length=55).emergency_reservoir
    84.9
    >>> release_brake(after, car_length=55, into_auxiliary=True).emergency_reservoir
    77.3
    """
    Va, Ve = car.auxiliary_volume, car.emergency_volume
    Vp = pipe_volume(cars=1, car_length=car_length, bore=pipe_bore) * CUBIC_INCHES_PER_CUBIC_FOOT
    joined = [(state.emergency_reservoir, Ve), (state.brake_pipe, Vp)]
    if into_auxiliary:
        joined.append((state.auxiliary, Va))
    met = shared_pressure(joined)
    return replace(
        state,
        auxiliary=max(state.auxiliary, met) if into_auxiliary else state.auxiliary,
        emergency_reservoir=min(state.emergency_reservoir, met),
        cylinder_air=atmosphere * car.unswept,
    )


def recharge(
    state: CarState, *, minutes: float, rate: Recharge, car: CarBrake = NOMINAL_CAR
) -> CarState:
    """The car after some minutes in release.

    Parameters
    ----------
    state
        The car just after the release.
    minutes
        Time in release, zero or more. [min]
    rate
        The lags.
    car
        Volumes.

    Returns
    -------
    CarState
        The car after the wait; the auxiliary never stands above the pipe that fills it.

    Examples
    --------
    >>> low = CarState(brake_pipe=0.0, auxiliary=0.0, emergency_reservoir=0.0, cylinder_air=0.0)
    >>> at_once = Recharge(charged=90.0, pipe_minutes=1e-9)
    >>> recharge(low, minutes=1.0, rate=at_once).auxiliary
    70.0
    """
    ratio = car.emergency_volume / car.auxiliary_volume
    missing = rate.charged - state.brake_pipe
    return replace(
        state,
        brake_pipe=max(
            state.brake_pipe, rate.charged - missing * exp(-minutes / rate.pipe_minutes)
        ),
        auxiliary=_filled(
            state.auxiliary, state.brake_pipe, minutes, rate=rate, lag=rate.choke_minutes
        ),
        emergency_reservoir=_filled(
            state.emergency_reservoir,
            state.brake_pipe,
            minutes,
            rate=rate,
            lag=rate.choke_minutes * max(1.0, ratio),
        ),
    )


def cylinder_gauge(
    state: CarState, *, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> float:
    """Cylinder pressure that the air in it makes, without quick service. [psi]."""
    return max(0.0, state.cylinder_air / car.cylinder - atmosphere)


def service_left(
    state: CarState, *, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> float:
    """Cylinder pressure that a full service would reach from this state. [psi].

    Examples
    --------
    >>> service_left(charged_car(charged=90.0))
    64.0
    """
    air = (state.auxiliary + atmosphere) * car.auxiliary_volume + state.cylinder_air
    return max(0.0, air / (car.auxiliary_volume + car.cylinder) - atmosphere)


def emergency_left(
    state: CarState, *, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> float:
    """Cylinder pressure that an emergency that runs through would reach. [psi].

    Examples
    --------
    >>> emergency_left(charged_car(charged=90.0))
    77.2
    """
    Va, Ve, A = car.auxiliary_volume, car.emergency_volume, atmosphere
    air = (state.auxiliary + A) * Va + (state.emergency_reservoir + A) * Ve + state.cylinder_air
    return max(0.0, air / (Va + Ve + car.cylinder) - A)


def _filled(reservoir: float, pipe: float, minutes: float, *, rate: Recharge, lag: float) -> float:
    """A reservoir that a rising pipe fills through its choke; waits until the pipe is over it."""
    missing = rate.charged - reservoir
    if missing <= 0:
        return reservoir
    pipe_lag = rate.pipe_minutes
    over = pipe_lag * log((rate.charged - pipe) / missing) if pipe < reservoir else 0.0
    time = minutes - over
    if time <= 0:
        return reservoir
    # A pipe that already stands over the reservoir is counted as level with it.
    if abs(pipe_lag - lag) < 1e-6 * lag:
        share = (1 + time / lag) * exp(-time / lag)
    else:
        slow, quick = pipe_lag * exp(-time / pipe_lag), lag * exp(-time / lag)
        share = (slow - quick) / (pipe_lag - lag)
    return rate.charged - missing * share
