"""A train coming to a stop: build-up of the brakes along the train, then the motion step by step.

The slowing at any moment is

    g x (braking effort x share of it that has built up + resistance + grade) / (1 + rotating mass)

with all three in shares of the weight. The brakes build up from the head: the command runs along
the train at a given speed and every car then takes a given time. The train model can put its own
curve in the place of that (any object with ``share`` and ``ends``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from calculators.equipment.force.kinematics import FEET_PER_SECOND_PER_MPH, GRAVITY_FEET

# One second keeps the fourth-order steps within a tenth of a foot of an adaptive solver.
LONGEST_STEP = 1.0
# A train that has not stopped after this long is not being stopped. [s]
LONGEST_STOP = 1800.0
# Beyond this the train has run away and the model with it. [mph]
HIGHEST_SPEED = 150.0
# The average over cars is a quotient by the travel time; below this it says nothing. [s]
_INSTANT = 1e-6
_HALVINGS = 24


class BuildUp(Protocol):
    """How much of the final braking effort the train has, against time from the command."""

    def share(self, seconds: float) -> float:
        """Share of the final effort, 0 to 1, averaged over the train."""
        ...

    def ends(self) -> tuple[float, ...]:
        """Seconds at which the curve bends, rising; at the last of them it is complete."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadBuildUp:
    """Cars that start one after another and each fill at a steady rate.

    ``travel_time`` is when the last car starts, ``fill_time`` how long a car takes, both in
    seconds, zero or more. The share is the average over a train of many like cars.

    Examples
    --------
    >>> SpreadBuildUp(travel_time=8, fill_time=4).share(6)
    0.5
    """

    travel_time: float
    fill_time: float

    def share(self, seconds: float) -> float:
        """Share of the final effort, 0 to 1, averaged over the train."""
        if self.travel_time < _INSTANT:
            if seconds >= self.fill_time:
                return 1.0
            return max(0.0, seconds / self.fill_time) if self.fill_time > 0.0 else 0.0
        done = self._filled(seconds) - self._filled(seconds - self.travel_time)
        return min(1.0, done / self.travel_time)

    def ends(self) -> tuple[float, ...]:
        """Seconds at which the curve bends, rising."""
        whole = self.travel_time + self.fill_time
        return tuple(sorted({self.fill_time, self.travel_time, whole}))

    def _filled(self, seconds: float) -> float:
        """Integral over time of one car's share: seconds of full effort it has given."""
        if seconds <= 0.0:
            return 0.0
        if seconds < self.fill_time:
            return seconds**2 / (2.0 * self.fill_time)
        return seconds - self.fill_time / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A stop, or the failure to make one.

    ``curve`` holds (distance in ft, speed in mph) from the start. ``reaction``, ``build_up`` and
    ``full_brake`` are the feet run in each part. With ``stopped`` false, distance and time are how
    far the model followed the train.
    """

    stopped: bool
    distance: float
    time: float
    reaction: float
    build_up: float
    full_brake: float
    curve: tuple[tuple[float, float], ...]


def stop(
    *,
    speed: float,
    reaction_time: float,
    effort: Callable[[float], float],
    build_up: BuildUp,
    other: Callable[[float], float],
    rotating_mass: float,
) -> Stop:
    """Follow a train from the moment a stop is decided until it stands.

    Parameters
    ----------
    speed
        Speed at the start, above zero. [mph]
    reaction_time
        From the decision to the command. Resistance does not slow the train meanwhile, because
        power may still be on, but a descent does speed it up. [s]
    effort
        Retarding force of the fully built-up brakes in shares of the weight, against speed in mph.
    build_up
        Share of that effort against seconds from the command.
    other
        Resistance and grade in shares of the weight against speed in mph; positive slows.
    rotating_mass
        Addition for turning wheels. [%]

    Returns
    -------
    Stop

    Notes
    -----
    Classical Runge-Kutta steps of at most a second that end where the build-up bends; the
    moment of standing is found by halving the last step.

    Examples
    --------
    Steady slowing by a tenth of the weight from 60 mph: V² / (2 x 0.1 g).

    >>> at_once = SpreadBuildUp(travel_time=0, fill_time=0)
    >>> stop(
    ...     speed=60,
    ...     reaction_time=0,
    ...     effort=lambda speed: 0.1,
    ...     build_up=at_once,
    ...     other=lambda speed: 0.0,
    ...     rotating_mass=0,
    ... ).distance
    1203.45
    """
    gain = GRAVITY_FEET / (1.0 + rotating_mass / 100.0)

    def rolling(v: float, seconds: float) -> float:
        return -gain * min(0.0, other(max(0.0, v) / FEET_PER_SECOND_PER_MPH))

    def braking(v: float, seconds: float) -> float:
        mph = max(0.0, v) / FEET_PER_SECOND_PER_MPH
        return -gain * (effort(mph) * build_up.share(seconds) + other(mph))

    state = _State(time=0.0, distance=0.0, v=speed * FEET_PER_SECOND_PER_MPH)
    curve = [(0.0, speed)]
    if reaction_time > 0.0:
        state = _follow(state, until=reaction_time, since=0.0, rate=rolling, curve=curve)
    reaction = state.distance
    for end in build_up.ends():
        state = _follow(
            state, until=reaction_time + end, since=reaction_time, rate=braking, curve=curve
        )
    built, complete = state.distance, build_up.ends()[-1]
    # With the brakes fully on the slowing hangs on speed alone, so a train that does not slow now
    # never will: it cannot pass back through a speed at which it gained.
    if braking(state.v, complete) < 0.0:
        state = _follow(
            state,
            until=reaction_time + complete + LONGEST_STOP,
            since=reaction_time,
            rate=braking,
            curve=curve,
        )
    return Stop(
        stopped=state.v <= 0.0,
        distance=state.distance,
        time=state.time,
        reaction=reaction,
        build_up=built - reaction,
        full_brake=state.distance - built,
        curve=tuple(curve),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _State:
    time: float
    distance: float
    v: float


_Rate = Callable[[float, float], float]


def _follow(
    state: _State, *, until: float, since: float, rate: _Rate, curve: list[tuple[float, float]]
) -> _State:
    """Step on to a time, or until the train stands or has run away."""
    highest = HIGHEST_SPEED * FEET_PER_SECOND_PER_MPH
    while state.time < until and 0.0 < state.v < highest:
        left = until - state.time
        step = left if left <= LONGEST_STEP else min(LONGEST_STEP, left / 2.0)
        later = _step(state, step=step, since=since, rate=rate)
        if later.v <= 0.0:
            later = _standing(state, step=step, since=since, rate=rate)
        # The end is set, not summed, so that rounding leaves no sliver of a step behind it.
        elif step == left:
            later = _State(time=until, distance=later.distance, v=later.v)
        state = later
        curve.append((state.distance, state.v / FEET_PER_SECOND_PER_MPH))
    return state


def _step(state: _State, *, step: float, since: float, rate: _Rate) -> _State:
    """One classical Runge-Kutta step of speed and distance."""
    t, v, h = state.time - since, state.v, step
    a1 = rate(v, t)
    v2 = v + h / 2.0 * a1
    a2 = rate(v2, t + h / 2.0)
    v3 = v + h / 2.0 * a2
    a3 = rate(v3, t + h / 2.0)
    v4 = v + h * a3
    a4 = rate(v4, t + h)
    return _State(
        time=state.time + h,
        distance=state.distance + h / 6.0 * (v + 2.0 * v2 + 2.0 * v3 + v4),
        v=v + h / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4),
    )


def _standing(state: _State, *, step: float, since: float, rate: _Rate) -> _State:
    """Find the moment within a step at which the train stands."""
    moving, standing = 0.0, step
    for _ in range(_HALVINGS):
        middle = (moving + standing) / 2.0
        if _step(state, step=middle, since=since, rate=rate).v > 0.0:
            moving = middle
        else:
            standing = middle
    last = _step(state, step=standing, since=since, rate=rate)
    return _State(time=last.time, distance=last.distance, v=0.0)
