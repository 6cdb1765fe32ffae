"""The count against the user: the last car's reservoirs through sets, releases and waits."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from calculators.equipment.reserve import (
    CarState,
    Recharge,
    charged_car,
    cylinder_gauge,
    pipe_at_rear,
    recharge,
    recharge_of_train,
    release_brake,
    set_brake,
    worth,
)
from calculators.questions.repeated_applications.inputs import RepeatedApplicationsInputs

SAMPLES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOrRelease:
    """One set, or one release with its wait: the car before and after.

    ``amount`` is the set's reduction [psi] or the wait [min]; ``worth`` the fall below the
    auxiliary and ``target`` the pipe that the move asks for here [psi]; ``kept`` the emergency
    reservoir if a release only fills the car's own pipe [psi]; ``cylinder`` the pressure after it [psi]; ``samples`` the car along the way,
    by minutes since the first set.
    """

    kind: Literal["set", "release"]
    amount: float
    worth: float
    target: float
    kept: float
    before: CarState
    after: CarState
    cylinder: float
    samples: tuple[tuple[float, CarState], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was worked out. Pressures in psi; emergency None where it is not assured."""

    events: tuple[SetOrRelease, ...]
    full_service: float
    service_left: float
    emergency_left: float | None

    def sets(self) -> list[SetOrRelease]:
        """The sets among the events."""
        return [event for event in self.events if event.kind == "set"]


def recharging(given: RepeatedApplicationsInputs) -> Recharge:
    """How air comes back to the last car, by the slow rule."""
    return recharge_of_train(
        charged=given.charged,
        cars=given.train.cars,
        car_length=given.train.car_length,
        minutes_per_ten_cars=given.minutes_per_ten_cars,
    )


def counted(given: RepeatedApplicationsInputs) -> tuple[SetOrRelease, ...]:
    """Every set and release in turn, each reservoir by the way that leaves less in it."""
    lean = _follow(given, into_auxiliary=False)
    mixed = _follow(given, into_auxiliary=True)
    return tuple(_least(one, other) for one, other in zip(lean, mixed, strict=True))


def _follow(given: RepeatedApplicationsInputs, *, into_auxiliary: bool) -> tuple[SetOrRelease, ...]:
    state = charged_car(
        charged=given.charged, car=given.car.brake(), atmosphere=given.car.atmosphere
    )
    waits = given.waited
    minute = 0.0
    events: list[SetOrRelease] = []
    for number, reduction in enumerate(given.reductions):
        events.append(_set(given, state, reduction, minute))
        if number < len(waits):
            events.append(_release(given, events[-1].after, waits[number], minute, into_auxiliary))
            minute += waits[number]
        state = events[-1].after
    return tuple(events)


def _set(
    given: RepeatedApplicationsInputs, state: CarState, reduction: float, minute: float
) -> SetOrRelease:
    target = pipe_at_rear(
        rear=given.charged,
        setting=given.setting,
        reduction=reduction,
        atmosphere=given.car.atmosphere,
    )
    after = set_brake(
        state,
        brake_pipe=target,
        moving_reduction=given.car.moving_reduction,
        car=given.car.brake(),
        atmosphere=given.car.atmosphere,
    )
    return SetOrRelease(
        kind="set",
        amount=reduction,
        # Past full service the auxiliary stays behind, and so does the worth.
        worth=min(worth(state, brake_pipe=target), state.auxiliary - after.auxiliary),
        target=target,
        kept=after.emergency_reservoir,
        before=state,
        after=after,
        cylinder=cylinder_gauge(after, car=given.car.brake(), atmosphere=given.car.atmosphere),
        samples=((minute, after),),
    )


def _release(
    given: RepeatedApplicationsInputs,
    state: CarState,
    minutes: float,
    minute: float,
    into_auxiliary: bool,
) -> SetOrRelease:
    let_go = release_brake(
        state,
        car_length=given.train.car_length,
        into_auxiliary=into_auxiliary,
        pipe_bore=float(given.pipe_bore),
        car=given.car.brake(),
        atmosphere=given.car.atmosphere,
    )
    rate = recharging(given)
    steps = [minutes * number / SAMPLES for number in range(SAMPLES + 1)]
    samples = tuple(
        (minute + step, recharge(let_go, minutes=step, rate=rate, car=given.car.brake()))
        for step in steps
    )
    return SetOrRelease(
        kind="release",
        amount=minutes,
        worth=0.0,
        target=samples[-1][1].brake_pipe,
        kept=let_go.emergency_reservoir,
        before=let_go,
        after=samples[-1][1],
        cylinder=0.0,
        samples=samples,
    )


def _least(lean: SetOrRelease, mixed: SetOrRelease) -> SetOrRelease:
    """The event with the emergency reservoir of the way that leaves less in it."""

    def least(one: CarState, other: CarState) -> CarState:
        return replace(
            one, emergency_reservoir=min(one.emergency_reservoir, other.emergency_reservoir)
        )

    return replace(
        lean,
        before=least(lean.before, mixed.before),
        after=least(lean.after, mixed.after),
        samples=tuple(
            (minute, least(one, other))
            for (minute, one), (_, other) in zip(lean.samples, mixed.samples, strict=True)
        ),
    )
