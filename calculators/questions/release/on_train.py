"""The train model's part of the `release` answer: when the rise comes to the rear, and who lets go."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass

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
from calculators.equipment.train import Command, Run, Train
from calculators.questions.release.inputs import ReleaseInputs
from calculators.questions.shared.spacing import warnings_of_spacing
from calculators.questions.shared.train_model import (
    HELD,
    HELD_PER_PSI,
    band,
    band_notes,
    followed,
    held,
    like_cars,
    why_car_not_covered,
    why_not_covered,
)

FOLLOWED, FOLLOWED_PER_CAR = 60.0, 1.0
"""How long the release is followed. [s, and s for each car]"""
UNTIL_RELEASED = 600.0
"""How much longer at most, while a car stands applied. [s]"""

_CURVE_POINTS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTrain:
    """What the run gave: times in s from the release, None where it did not come to that."""

    run: Run
    began: float
    rear_rise_time: float | None
    last_car_releases: float | None


def made_train(given: ReleaseInputs) -> Train:
    """The train, tight and charged to the setting."""
    return like_cars(
        cars=given.train.cars,
        car_length=given.train.car_length,
        setting=given.brake_pipe_setting,
        car=given.car.brake(),
        atmosphere=given.car.atmosphere,
    )


def why_not(given: ReleaseInputs) -> Phrase | None:
    """Why the model is not asked; None if it is."""
    if given.release_type != "direct":
        return say("The train model follows trains with direct release only.")
    if given.charged is not None:
        return say("The train model's train is charged to the setting, not to another pressure.")
    if given.reduction < 1.0:
        return say("The train model releases sets of {least} or more.", least=psi(1.0))
    return why_not_covered(
        cars=given.train.cars,
        car_length=given.train.car_length,
        setting=given.brake_pipe_setting,
    ) or why_car_not_covered(given.car.brake())


def seconds(given: ReleaseInputs) -> float:
    """Length of the run, the hold of the set in it. [s]."""
    return held(given.reduction) + FOLLOWED + FOLLOWED_PER_CAR * given.train.cars


def run_release(given: ReleaseInputs) -> Generator[Progress, None, OnTrain]:
    """Set, hold until it has settled, release, and look at the rear."""
    began = held(given.reduction)
    run = yield from followed(
        made_train(given),
        (
            Command(at_seconds=0.0, action="service", reduction=given.reduction),
            Command(at_seconds=began, action="release"),
        ),
        seconds=seconds(given),
        until_released=UNTIL_RELEASED,
    )
    low = min(one.rear for one in run.samples)
    risen = [
        one.seconds - began
        for one in run.samples
        if one.seconds > began and one.rear >= low + given.rise
    ]
    gone = run.last_car_releases
    return OnTrain(
        run=run,
        began=began,
        rear_rise_time=risen[0] if risen else None,
        last_car_releases=None if gone is None or run.cars_still_applied else gone - began,
    )


def bands(found: OnTrain) -> dict[str, float]:
    """Bands in s by the names of the results."""
    times = {
        "rear_rise_time": found.rear_rise_time,
        "last_car_releases": found.last_car_releases,
    }
    return {name: band("release times", at) for name, at in times.items() if at is not None}


def working(given: ReleaseInputs, found: OnTrain) -> Iterator[Step]:
    """The times of the run."""
    if found.rear_rise_time is not None:
        yield Step(
            label="The rear, by the train model",
            shows="rear_rise_time",
            how=say(
                "From the handle's move until the rear reads {rise} over its lowest",
                rise=psi(given.rise, 1),
            ),
            value=_time(found.rear_rise_time),
        )
    if found.last_car_releases is not None:
        yield Step(
            label="The latest car, by the train model",
            shows="last_car_releases",
            how=say("From the handle's move until its valve lets go"),
            value=_time(found.last_car_releases),
        )


def _time(at: float) -> Value:
    return Value(at, "s", band=band("release times", at))


def notes(given: ReleaseInputs, found: OnTrain) -> Iterator[Note]:
    """What stayed applied, and what the times rest on."""
    if found.run.cars_still_applied:
        yield Note(
            kind="warning",
            text=say(
                "By the train model {cars} of {all} cars still stand applied {after} after the "
                "release: a gauge at the head does not show these.",
                cars=len(found.run.cars_still_applied),
                all=int(given.train.cars),
                after=Value(found.run.samples[-1].seconds - found.began, "s"),
            ),
        )
    if found.rear_rise_time is None:
        yield Note(
            text=say(
                "By the train model the rear had not risen by {rise} when the run ended.",
                rise=psi(given.rise, 1),
            )
        )
    yield Note(
        text=say(
            "In the train model the set is held until it has settled: {held} and {more} for each "
            "psi off.",
            held=Value(HELD, "s"),
            more=Value(HELD_PER_PSI, "s"),
        )
    )
    yield from warnings_of_spacing(made_train(given).cars)
    yield from band_notes("release times")


def curve(found: OnTrain) -> Series:
    """Head and rear from the release on."""
    after = [one for one in found.run.samples if one.seconds >= found.began]
    kept = [*after[: -1 : max(1, -(-len(after) // _CURVE_POINTS))], after[-1]]
    return Series(
        title="Brake pipe after the release, by the train model",
        x=Axis(term="Time", unit="s"),
        y=Axis(term="Pressure", unit="psi"),
        lines=(
            Line(
                name="Head",
                points=tuple((one.seconds - found.began, one.head) for one in kept),
                color="main_reservoir",
            ),
            Line(
                name="Rear",
                points=tuple((one.seconds - found.began, one.rear) for one in kept),
                color="brake_pipe",
            ),
        ),
    )
