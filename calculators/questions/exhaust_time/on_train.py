"""The train model's part of the `exhaust-time` answer: the blow as the running brake makes it."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace

from calculators.base.results import Note, Phrase, Progress, Step, Value, psi, say
from calculators.equipment.running import follow
from calculators.equipment.train import Car, Command, Leak, Sample, Train
from calculators.equipment.train.records import EXHAUST_HEARD
from calculators.equipment.train.tables import PIPE_LINE
from calculators.questions.exhaust_time.inputs import ExhaustTimeInputs
from calculators.questions.shared.spacing import warnings_of_spacing
from calculators.questions.shared.train_model import (
    away_from_fitted,
    band,
    band_notes,
    why_not_covered,
)

QUIET = 10.0
"""Without a blow for so long it has ended; a valve that laps and opens again is sooner. [s] Ours."""
MORE_TIME = 30.0
"""The run goes on so much longer than the longest blow of the sum. [s]"""
EVERY = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Blown:
    """The blow in the run, from the move of the handle to its end; None where it had not ended."""

    seconds: float | None
    setting: float

    def shortest(self) -> float:
        """With its band taken off. [s]."""
        assert self.seconds is not None
        return max(0.0, self.seconds - self.band())

    def band(self) -> float:
        """Of the model's time. [s]."""
        assert self.seconds is not None
        return band("service times", self.seconds, wider=away_from_fitted(self.setting))


def made_train(given: ExhaustTimeInputs) -> Train:
    """The charged train, leaking evenly."""
    return Train(
        cars=(Car(length=given.train.car_length),) * given.cars,
        brake_pipe_setting=given.brake_pipe_setting,
        locomotives=1,
        leaks=(Leak(flow=given.air_flow),) if given.air_flow else (),
        atmosphere=given.car.atmosphere,
        pipe=replace(PIPE_LINE, bore=float(given.pipe_bore)),
    )


def why_not(given: ExhaustTimeInputs) -> Phrase | None:
    """Why the model is not asked; None if it is."""
    reason = why_not_covered(
        cars=given.train.cars,
        car_length=given.train.car_length,
        setting=given.brake_pipe_setting,
    )
    if reason is None and given.reduction == 0.0:
        return say("Nothing comes off: there is no blow for the train model to follow.")
    return reason


def longest_run(longest: float) -> float:
    """How long the blow is waited for, by the longest of the sum. [s]."""
    return longest + MORE_TIME


def run_blow(given: ExhaustTimeInputs, longest: float) -> Generator[Progress, None, Blown]:
    """Make the set and listen until the exhaust has been quiet for a while."""
    move = Command(at_seconds=0.0, action="service", reduction=given.reduction)
    seconds = longest_run(longest)
    samples: list[Sample] = []
    heard = 0.0
    for part in follow(
        made_train(given), (move,), seconds=seconds, sample_seconds=EVERY, slab_seconds=5.0
    ):
        samples += part.samples
        last = [one.seconds for one in part.samples if one.exhaust_flow >= EXHAUST_HEARD]
        heard = last[-1] if last else heard
        if part.seconds - heard > QUIET:
            break
        yield Progress(done=part.seconds, of=seconds)
    after = [one.seconds for one in samples if one.seconds > heard]
    return Blown(seconds=after[0] if after else None, setting=given.brake_pipe_setting)


def working(blown: Blown) -> Iterator[Step]:
    """The blow by the model."""
    if blown.seconds is not None:
        yield Step(
            label="By the train model",
            shows="time",
            how=say(
                "Until less than {heard} comes out at the head, every car followed",
                heard=Value(EXHAUST_HEARD, "cfm"),
            ),
            value=Value(blown.seconds, "s", band=blown.band()),
        )


def notes(given: ExhaustTimeInputs, blown: Blown, *, sum_shortest: float) -> Iterator[Note]:
    """What the model changes in the band, and what it rests on."""
    if blown.seconds is not None and blown.shortest() < sum_shortest:
        yield Note(
            text=say(
                "The sum alone asked for {sum} at least. By the train model the cars let out so "
                "much of a set of {off} themselves that the head of this whole train is done "
                "sooner: the answer takes the shorter.",
                sum=Value(sum_shortest, "s"),
                off=psi(given.reduction),
            )
        )
    yield Note(
        text=say(
            "The service choke of the train model is the one of the sum: the equalizing reservoir "
            "from 110 to 90 psi in 5.5 to 6 s, read of an older valve. It goes before the 20 psi "
            "off 90 in 5 to 6 s that is from memory."
        )
    )
    yield from warnings_of_spacing(made_train(given).cars)
    yield from band_notes("service times")
