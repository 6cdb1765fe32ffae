"""The train model's part of the `repeated-applications` answer: the same moves, car by car."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace

from calculators.base.results import (
    Axis,
    Line,
    Note,
    Phrase,
    Progress,
    Series,
    Step,
    Value,
    psi,
    say,
)
from calculators.equipment.car import CarBrake
from calculators.equipment.reserve import CarState, emergency_left, service_left
from calculators.equipment.train import Command, Leak, Run, Train, steady
from calculators.questions.repeated_applications.inputs import RepeatedApplicationsInputs
from calculators.questions.shared.spacing import warnings_of_spacing
from calculators.questions.shared.train_model import (
    HELD,
    HELD_PER_PSI,
    LONGEST_RUN,
    WHO,
    band,
    band_notes,
    followed,
    held,
    like_cars,
    why_car_not_covered,
    why_not_covered,
)

# Below this a cylinder counts as empty, its piston home. [psi]
EMPTY = 1.0

_SAME_REAR = 0.05
_MOST_LEAK = 150.0
_HALVINGS = 24
_CURVE_POINTS = 40


def commands(given: RepeatedApplicationsInputs) -> tuple[tuple[Command, ...], float]:
    """The moves with their times, and when the last of them has been waited for, in s."""
    made: list[Command] = []
    at = 0.0
    for number, reduction in enumerate(given.reductions):
        if reduction > 0.0:
            made.append(Command(at_seconds=at, action="service", reduction=reduction))
            at += held(reduction)
        if number < len(given.waited):
            made.append(Command(at_seconds=at, action="release"))
            at += 60.0 * given.waited[number]
    return tuple(made), max(at, 1.0)


def made_train(given: RepeatedApplicationsInputs) -> Train:
    """The train, tight; one locomotive."""
    return like_cars(
        cars=given.cars,
        car_length=given.train.car_length,
        setting=given.setting,
        car=given.car.brake(),
        atmosphere=given.car.atmosphere,
        bore=given.pipe_bore,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What the run left on the last car, and what that would give. Pressures in psi."""

    run: Run
    leakage: float | None
    full_service: float
    emergency: float | None


def why_not(given: RepeatedApplicationsInputs) -> Phrase | None:
    """Why the model is not asked; None if it is."""
    reason = why_not_covered(
        cars=given.cars, car_length=given.train.car_length, setting=given.setting
    )
    if reason is not None:
        return reason
    reason = why_car_not_covered(given.car.brake())
    if reason is not None:
        return reason
    if max(given.reductions) > given.setting:
        return say("The train model takes no more off than the setting.")
    if commands(given)[1] > LONGEST_RUN:
        return say(
            "The train model follows at most {most}; these moves take longer.",
            most=Value(LONGEST_RUN / 60.0, "min"),
        )
    return None


def leakage_for(train: Train, *, rear: float) -> float | None:
    """Even leakage with which the rear of the charged train reads so much.

    Parameters
    ----------
    train
        The train; leaks of its own are left out.
    rear
        Gauge at the rear, charged; at or over the setting means no leakage. [psi]

    Returns
    -------
    float or None
        Flow of the leaks with all the pipe at its setting [cfm]; None if it would be more than
        150: a short train has no such gradient by leakage.
    """
    low, high = 0.0, _MOST_LEAK
    if rear >= train.brake_pipe_setting - _SAME_REAR:
        return 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        found = steady(replace(train, leaks=(Leak(flow=middle),))).rear
        if abs(found - rear) < _SAME_REAR:
            return middle
        low, high = (middle, high) if found > rear else (low, middle)
    return None


def run_moves(given: RepeatedApplicationsInputs) -> Generator[Progress, None, Left]:
    """Run the moves and weigh what the last car has left."""
    train, car, atmosphere = made_train(given), given.car.brake(), given.car.atmosphere
    leakage = leakage_for(train, rear=given.charged)
    if leakage:
        train = replace(train, leaks=(Leak(flow=leakage),))
    moves, seconds = commands(given)
    run = yield from followed(train, moves, seconds=seconds)
    state = last_car(run, car=car, atmosphere=atmosphere)
    emergency = None
    if state.brake_pipe >= given.emergency_needs:
        emergency = emergency_left(state, car=car, atmosphere=atmosphere)
    return Left(
        run=run,
        leakage=leakage,
        full_service=service_left(state, car=car, atmosphere=atmosphere),
        emergency=emergency,
    )


def last_car(run: Run, *, car: CarBrake, atmosphere: float) -> CarState:
    """The last car at the end of a run: its pressures, and its cylinder's air from its gauge."""
    end = run.samples[-1]
    gauge = end.brake_cylinder[-1]
    filled = gauge > EMPTY
    space = car.cylinder if filled else car.unswept
    return CarState(
        brake_pipe=end.brake_pipe[-1],
        auxiliary=end.auxiliary[-1],
        emergency_reservoir=end.emergency_reservoir[-1],
        cylinder_air=((gauge if filled else 0.0) + atmosphere) * space,
    )


def bands(left: Left) -> dict[str, float]:
    """Bands in psi by the names of the results."""
    found = {"model_full_service": band("settled pressures", left.full_service)}
    if left.emergency is not None:
        found["model_emergency"] = band("settled pressures", left.emergency)
    return found


def working(left: Left) -> Iterator[Step]:
    """The last car's reservoirs by the model."""
    end = left.run.samples[-1]
    yield Step(
        label="By the train model",
        shows="model_full_service",
        how=say(
            "Last car's auxiliary {auxiliary}, emergency reservoir {emergency}, cylinder {cylinder}; "
            "a full service from there",
            auxiliary=psi(end.auxiliary[-1]),
            emergency=psi(end.emergency_reservoir[-1]),
            cylinder=psi(end.brake_cylinder[-1]),
        ),
        value=psi(left.full_service, band=band("settled pressures", left.full_service)),
    )


def notes(given: RepeatedApplicationsInputs, left: Left) -> Iterator[Note]:
    """What the model's figures are, and that nobody may count on them."""
    yield from warnings_of_spacing(made_train(given).cars)
    yield Note(
        kind="warning",
        text=say(
            "{who} gives the last car {full} from a full service. That is a nominal train with every "
            "valve in order: count on the lower figures, not on these.",
            who=WHO[:1].upper() + WHO[1:],
            full=psi(left.full_service, band=band("settled pressures", left.full_service)),
        ),
    )
    if left.leakage:
        yield Note(
            text=say(
                "In the train model {flow} leak evenly along the train, so that the rear reads "
                "{rear} when charged.",
                flow=Value(left.leakage, "cfm"),
                rear=psi(left.run.samples[0].rear),
            )
        )
    else:
        yield Note(
            text=say(
                "In the train model the train is tight and charged to {setting}: no even leakage of "
                "so short a train brings its rear to {rear}.",
                setting=psi(given.setting),
                rear=psi(given.charged),
            )
            if left.leakage is None
            else say("In the train model the train is tight and charged to the setting.")
        )
    yield Note(
        text=say(
            "In the train model each set is held until it has settled: {held} and {more} for each "
            "psi off.",
            held=Value(HELD, "s"),
            more=Value(HELD_PER_PSI, "s"),
        )
    )
    yield from band_notes("settled pressures", "release times")


def curve(left: Left) -> Series:
    """The last car's reservoirs, pipe and cylinder over the minutes."""
    samples = left.run.samples
    step = max(1, -(-len(samples) // _CURVE_POINTS))
    kept = [*samples[:-1:step], samples[-1]]
    return Series(
        title="The last car by the train model",
        x=Axis(term="Time", unit="min", digits=1),
        y=Axis(term="Pressure", unit="psi"),
        lines=tuple(
            Line(
                name=name,
                points=tuple((one.seconds / 60.0, getattr(one, place)[-1]) for one in kept),
                color=color,
            )
            for name, place, color in (
                ("Auxiliary", "auxiliary", "reservoir"),
                ("Emergency reservoir", "emergency_reservoir", "main_reservoir"),
                ("Brake pipe", "brake_pipe", "brake_pipe"),
                ("Brake cylinder", "brake_cylinder", "brake_cylinder"),
            )
        ),
        note="Times with the sets held; the curve above leaves them out.",
    )
