"""The train model's part of the `stopping-distance` answer: how the brakes build up."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Generator, Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from calculators.base.results import Axis, Line, Note, Progress, Series, Step, Value, say
from calculators.equipment.force.motion import BuildUp, Stop
from calculators.equipment.train import BANDS, Command, Run, Train, equal_cars
from calculators.questions.shared.spacing import warnings_of_spacing
from calculators.questions.shared.train_model import band_notes, followed

EMERGENCY_RUN = 40.0
SERVICE_RUN, SERVICE_RUN_PER_CAR = 60.0, 1.0
"""How long the train is followed: until every cylinder has what it gets. [s, s for each car]"""

COMPLETE = 0.995
"""Share of the final effort at which the build-up counts as complete. [-]"""

_CURVE_POINTS = 40


@dataclass(frozen=True, slots=True)
class FollowedBuildUp:
    """Build-up as points of time [s] and share of the final effort, 0 to 1, straight between.

    ``slower`` stretches its times.

    Examples
    --------
    >>> FollowedBuildUp(((0.0, 0.0), (4.0, 0.5), (10.0, 1.0))).share(7.0)
    0.75
    """

    points: tuple[tuple[float, float], ...]
    slower: float = 1.0

    def share(self, seconds: float) -> float:
        """Share of the final effort at a time from the command."""
        at = seconds / self.slower
        place = bisect_right(self.points, (at, 2.0))
        if place == 0:
            return 0.0
        if place == len(self.points):
            return self.points[-1][1]
        (t0, s0), (t1, s1) = self.points[place - 1], self.points[place]
        return s0 + (s1 - s0) * (at - t0) / (t1 - t0)

    def ends(self) -> tuple[float, ...]:
        """When the build-up is complete."""
        return (self.points[-1][0] * self.slower,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Modeled:
    """A stop with the train model's build-up; ``band`` [ft] comes from the band of its times."""

    command: Literal["service", "emergency"]
    train: Train
    build_up: FollowedBuildUp
    stop: Stop
    band: float


def seconds_followed(command: Literal["service", "emergency"], *, cars: int) -> float:
    """Length of the run, in s.

    >>> seconds_followed("service", cars=118)
    178.0
    """
    return EMERGENCY_RUN if command == "emergency" else SERVICE_RUN + SERVICE_RUN_PER_CAR * cars


def run_stop(
    *,
    command: Literal["service", "emergency"],
    reduction: float,
    cars: int,
    car_length: float,
    setting: float,
    make: Callable[[BuildUp], Stop],
) -> Generator[Progress, None, Modeled]:
    """Run the application and stop the train with its build-up.

    Parameters
    ----------
    command, reduction
        What is asked for, at the head; the reduction for a service application. [psi]
    cars, car_length, setting
        The train: cars, ft of pipe each, psi.
    make
        Makes the stop with a build-up, all else as in the nominal one.
    """
    train = Train(cars=equal_cars(cars, length=car_length), brake_pipe_setting=setting)
    move = (
        Command(at_seconds=0.0, action="emergency")
        if command == "emergency"
        else Command(at_seconds=0.0, action="service", reduction=reduction)
    )
    run = yield from followed(train, (move,), seconds=seconds_followed(command, cars=cars))
    points = build_up_points(run)
    share = BANDS["cylinder times"].share
    made = make(FollowedBuildUp(points))
    ends = [make(FollowedBuildUp(points, slower)) for slower in (1.0 + share, 1.0 / (1.0 + share))]
    return Modeled(
        command=command,
        train=train,
        build_up=FollowedBuildUp(points),
        stop=made,
        band=max(abs(one.distance - made.distance) for one in ends),
    )


def build_up_points(run: Run) -> tuple[tuple[float, float], ...]:
    """Mean of all cylinders over its most, against time, until it is complete."""
    means = [
        (one.seconds, sum(one.brake_cylinder) / len(one.brake_cylinder)) for one in run.samples
    ]
    most = max(mean for _, mean in means)
    # Cylinders only fill in an application; a lapping valve's ripple is no letting go.
    shares = tuple(accumulate((mean / most for _, mean in means), max))
    filling = sum(share < COMPLETE for share in shares)
    points = tuple((means[place][0], shares[place]) for place in range(filling))
    return (*points, (means[filling][0], 1.0))


def working(found: Modeled) -> Iterator[Step]:
    """The build-up by the model and the stop with it."""
    yield Step(
        label="Build-up by the train model",
        how=say("Mean of all cylinders, from the command until they have what they get"),
        value=Value(
            found.build_up.ends()[0],
            "s",
            band=BANDS["cylinder times"].share * found.build_up.ends()[0],
        ),
    )
    if found.stop.stopped:
        yield Step(
            label="Stop with that build-up",
            shows="model_distance",
            how=say("All else as above; its band is only that of the build-up"),
            value=Value(found.stop.distance, "ft", -1, found.band),
        )


def notes(*, nominal: Stop, found: Modeled) -> Iterator[Note]:
    """What the model's build-up changes, and what it rests on."""
    if found.command == "service":
        yield from warnings_of_spacing(found.train.cars)
    if nominal.stopped and found.stop.stopped:
        more = found.stop.distance - nominal.distance
        yield Note(
            text=say(
                "With the train model's build-up the train runs {more} {than} than with the two "
                "nominal figures. The band above counts the shoes too.",
                more=Value(abs(more), "ft", -1),
                than="farther" if more >= 0.0 else "less far",
            )
        )
    yield from band_notes("cylinder times")


def curve(*, nominal: BuildUp, found: Modeled) -> Series:
    """Share of the full braking effort against time, nominal and by the model."""
    last = max(nominal.ends()[-1], found.build_up.ends()[0])
    times = [last * number / _CURVE_POINTS for number in range(_CURVE_POINTS + 1)]
    return Series(
        title="How the brakes build up, from the command",
        x=Axis(term="Time", unit="s", digits=1),
        y=Axis(term="Of the full effort", unit="%"),
        lines=(
            Line(
                name="by the two nominal figures",
                points=tuple((t, 100.0 * nominal.share(t)) for t in times),
                color="brake_cylinder",
            ),
            Line(
                name="by the train model",
                points=tuple((t, 100.0 * found.build_up.share(t)) for t in times),
                color="brake_pipe",
            ),
        ),
    )
