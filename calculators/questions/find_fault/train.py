"""Readings of a train's own series: ranked by runs of the train model, which take seconds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calculators.base.results import Phrase, Progress, Step, Value, say
from calculators.base.wording import at_begin
from calculators.equipment.faults import OF_TRAIN, TRAIN_FAULTS
from calculators.finding.observing import TRAIN_READ, TRAIN_STAGES, TrainRead, as_text
from calculators.finding.train_series import (
    RUNS,
    TRAIN_TITLES,
    TRAIN_UNITS,
    TRAIN_WORDS,
    TrainHypothesis,
    contradicts,
    misfit,
    train_setup,
    train_table,
)

NAMED = 4
_TITLES = {fault.id: fault.title for fault in TRAIN_FAULTS} | {"": "Nothing that was read"}
_FAULT = {fault.id: fault for fault in TRAIN_FAULTS}
_STAGES = dict(zip(TRAIN_STAGES, TRAIN_TITLES, strict=True))


def ranked(
    cars: int, setting: float, read: Sequence[TrainRead]
) -> Iterator[Progress | list[TrainHypothesis]]:
    """How far the runs are, and last the likeliest place of every fault, the best first."""
    best: dict[str, tuple[float, TrainHypothesis]] = {}
    for count, one in enumerate(train_table(train_setup(cars, setting=setting))):
        off = misfit(one, read)
        if one.fault not in best or off < best[one.fault][0]:
            best[one.fault] = (off, one)
        yield Progress(done=float(count + 1), of=float(RUNS), unit="runs")
    yield [one for _, one in sorted(best.values(), key=lambda pair: (pair[0], pair[1].fault))]


def names(found: Sequence[TrainHypothesis]) -> str:
    """The likeliest, in words."""
    return "; then ".join(_named(one) for one in found[:3])


def _named(one: TrainHypothesis) -> str:
    title = _TITLES[one.fault]
    where = f", about car {one.car}" if one.fault else ""
    return f"{title[0].lower()}{title[1:]}{where}"


def headline(found: Sequence[TrainHypothesis], read: Sequence[TrainRead]) -> Phrase:
    """The answer in one sentence."""
    against = contradicts(found[0], read)
    if against:
        return say(
            "None of the {number} faults of a train listed explains all that was read. Read again: {entry}.",
            number=len(TRAIN_FAULTS),
            entry=as_text(against[0]),
        )
    if not found[0].fault:
        return say(
            "What was read of the train is as of one in order; which cars apply only eyes tell."
        )
    return say(
        "Of the {number} faults of a train listed, this fits best: {name}.",
        number=len(TRAIN_FAULTS),
        name=_named(found[0]),
    )


def steps(found: Sequence[TrainHypothesis], read: Sequence[TrainRead]) -> Iterator[Step]:
    """Each fault that is named, with what was read beside what it gives."""
    for place, one in enumerate(found[:NAMED]):
        template: list[str] = []
        parts: dict[str, Value | int] = {}
        for number, said in enumerate(read[:6]):
            which = TRAIN_READ[said.which]
            template.append(
                f"{_STAGES[TRAIN_STAGES[said.stage]]}: {TRAIN_WORDS[which]} {{read{number}}}, with this {{with{number}}}."
            )
            parts[f"read{number}"] = _part(said.figure, which)
            parts[f"with{number}"] = _part(one.shows[said.stage].figures()[said.which], which)
        name = _named(one)
        yield Step(
            label=at_begin(name),
            how=Phrase(" ".join(template), parts),
            decides=place == 0,
            see=((OF_TRAIN.title, OF_TRAIN.page),) if one.fault else (),
        )


def _part(figure: float, which: str) -> Value | int:
    unit = TRAIN_UNITS[which]
    return Value(figure, unit) if unit else round(figure)


def next_check(found: Sequence[TrainHypothesis], *, secured: bool) -> str:
    """The proof of the likeliest; on the ground only once secured."""
    one = next((one for one in found if one.fault), None)
    if one is None or not secured:
        return (
            "Secure the train by hand brakes first and say so above; then the check on the ground is named. "
            "From the cab: set 10 off again and time the exhaust."
        )
    fault = _FAULT[one.fault]
    return f"{fault.title}: {fault.proof.words} {fault.remedy}"
