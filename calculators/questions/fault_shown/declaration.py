"""The `fault-shown` calculator: a fault put in gives the readings it would give, beside those in order."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, replace
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Words
from calculators.base.results import Note, Outcome, Progress, ToFollow, say
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.faults import FAULTS, TRAIN_FAULTS, TrainFault, find_fault
from calculators.finding.cautions import MODEL, SECURE
from calculators.finding.own import Own
from calculators.finding.showing import STEPS, Shows, at_once, size_at, worked_out
from calculators.finding.train_series import check_setting, train_setup, train_signature
from calculators.law.records import Citation
from calculators.questions.fault_shown import train
from calculators.questions.fault_shown.inputs import FaultShownInputs
from calculators.questions.fault_shown.words import (
    BY_LINE,
    NO_ROOM,
    ONE_SIZE,
    comparison,
    headline,
    heard_words,
    seen_words,
    shows_words,
    steps,
)

_TRAIN = {fault.id: fault for fault in TRAIN_FAULTS}
_GRADED = tuple(fault.id for fault in FAULTS if fault.graded)
_NOTHING = "nothing more than in order"


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultShown(Outcome):
    """What a fault shows, in words; the figures stand stage by stage in the comparison."""

    shows: Annotated[str, Words(term="Reads otherwise at")]
    heard: Annotated[str, Words(term="Blows besides")]
    seen: Annotated[str, Words(term="Pistons otherwise")]


@calculator(
    "fault-shown",
    title="What a fault shows",
    question="With this wrong, what would the gauges show over the series, and what would be heard?",
    first=FirstScreen(
        asked={"": "{fault}, {brake_pipe_setting} set"},
        keys=(
            Key(field="fault"),
            Key(
                field="size",
                step=25,
                presets=(0, 25, 50, 75, 100),
                only=("fault", _GRADED),
            ),
            Key(field="car", presets=(3, 10, 20), only=("fault", tuple(_TRAIN))),
        ),
        line={"brake_pipe_setting": "", "service_limit": "limit"},
    ),
    sources=(
        Citation("CFR-229-53"),
        Citation("CFR-229-46"),
        Citation("ARMY-223", "p. 2-7"),
        Citation("TEA", "questions 92, 95, 105, 140 to 148, 185, 190 to 192"),
    ),
    validity=(
        "A locomotive alone, secured, stopped, in control, with one fault of those listed; or a train with "
        "one fault at one car, its cars alike.",
        "What each fault shows is worked out by the model, not read on a locomotive.",
    ),
    leaves_out=(
        "Two faults at once, faults that are not on the list, rigging, electrics.",
        "Errors of gauges: a figure is marked only where it is further off than its gauge may be.",
        "How often a blow is heard, and from which flow on: from memory.",
    ),
)
def fault_shown(given: FaultShownInputs) -> FaultShown:
    """Put a fault in and read the series.

    Returns
    -------
    FaultShown
        Words, and every stage beside one in order.

    Raises
    ------
    InputError
        If the car is not in the train, or the train cannot be followed at this setting.
    """
    if given.fault in _TRAIN:
        return _of_train(given, _TRAIN[given.fault])
    fault = find_fault(given.fault)
    own = Own(
        brake_pipe_setting=given.brake_pipe_setting,
        multiplier=given.locomotive.multiplier,
        service_limit=given.locomotive.service_limit,
        minimum_reduction=given.locomotive.minimum_reduction,
        main_reservoir=given.locomotive.main_reservoir,
        independent=given.independent,
    )
    shows = at_once(own, fault, size_at(own, fault, given.size / 100.0))
    if shows.exact:
        return _answer(shows)

    def work() -> Generator[Progress, None, FaultShown]:
        try:
            for part in worked_out(own, fault, shows.size):
                if isinstance(part, Shows):
                    return _answer(part)
                yield Progress(done=float(part), of=float(STEPS), unit="stages")
        except InputError:
            pass
        return _answer(shows, NO_ROOM)

    return replace(
        _answer(shows, BY_LINE),
        to_follow=ToFollow(
            what="the model of the brake",
            fills=(),
            of=Progress(done=0.0, of=float(STEPS), unit="stages"),
            work=work,
        ),
    )


def _answer(shows: Shows, *more: Note) -> FaultShown:
    return FaultShown(
        shows=shows_words(shows),
        heard=heard_words(shows) or _NOTHING,
        seen=seen_words(shows) or "as in order",
        headline=headline(shows),
        working=tuple(steps(shows)),
        compared=(comparison(shows),),
        notes=(SECURE, *more, *(() if shows.fault.graded else (ONE_SIZE,)), MODEL),
    )


def _of_train(given: FaultShownInputs, fault: TrainFault) -> FaultShown:
    """A train: said at once that the model is at work, then its series."""
    cars, car = int(given.train.cars), int(given.car)
    check_setting(given.brake_pipe_setting)
    if car > cars:
        raise InputError("car", f"At car is {car}; this train has {cars}.")
    setup = train_setup(cars, setting=given.brake_pipe_setting)
    notes = (SECURE, MODEL)

    def work() -> Generator[Progress, None, FaultShown]:
        usual = train_signature(setup, None, 1)
        yield Progress(done=1.0, of=2.0, unit="runs")
        both = (usual, train_signature(setup, fault, car))
        yield Progress(done=2.0, of=2.0, unit="runs")
        return FaultShown(
            shows=train.shows_words(both),
            heard="the exhaust at the head: its seconds stand in the table",
            seen="which cars apply and release: their number stands in the table",
            headline=train.headline(fault, car, both),
            working=tuple(train.steps(both)),
            compared=(train.comparison(both),),
            notes=notes,
        )

    return FaultShown(
        shows="the train model is at work",
        heard="the exhaust at the head: its seconds come with the train model",
        seen="which cars apply and release: their number comes with the train model",
        headline=say("The train is run in order and with the fault; what they show follows."),
        notes=notes,
        to_follow=ToFollow(
            what="the train model",
            fills=("shows", "heard", "seen"),
            of=Progress(done=0.0, of=2.0, unit="runs"),
            work=work,
        ),
    )
