"""The `find-fault` calculator: what was read over the series gives the faults that fit, and the next check."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from typing import Annotated

from calculators.answering.duty import RAILROADS
from calculators.base.errors import InputError
from calculators.base.quantities import Words
from calculators.base.results import Display, Outcome, Progress, ToFollow, say
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.finding.cautions import MODEL, SECURE
from calculators.finding.checking import SETTLED, proof_checks, stage_checks
from calculators.finding.observing import (
    FIELD,
    Observation,
    Read,
    TrainRead,
    Usual,
    as_text,
    read,
)
from calculators.finding.own import EXAMPLE, RUNS, Own, exactly, finder_for
from calculators.finding.ranking import BIASED, Finder
from calculators.finding.series import STAGES
from calculators.finding.train_series import RUNS as RUNS_OF_TRAIN
from calculators.finding.train_series import TrainHypothesis, check_setting, contradicts
from calculators.law.records import Citation
from calculators.questions.find_fault import train
from calculators.questions.find_fault.inputs import FindFaultInputs
from calculators.questions.find_fault.words import (
    ONE_IN_A_TRAIN,
    Found,
    fitting,
    headline,
    names_of,
    next_check,
    not_looked_at,
    notes,
    with_next,
)

NAMED = 3
"""Groups in the short list."""
LIKELY = 6
"""Groups that are worked out anew for own settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindFault(Outcome):
    """Which faults fit, and what to look at next; every figure of it stands in words."""

    faults: Annotated[str, Words(term="Fits best")]
    contradicts: Annotated[str, Words(term="Contradicts it")]
    next_check: Annotated[str, Words(term="Look at next")]
    not_looked_at: Annotated[str, Words(term="Not looked at")]


@calculator(
    "find-fault",
    title="Find the fault",
    question="A gauge shows something else, or air blows: what can be wrong, and what do I look at next?",
    first=FirstScreen(
        asked={"": "what fits, {brake_pipe_setting} set"},
        keys=(Key(field="secured"), Key(field="device")),
        line={"brake_pipe_setting": "", "service_limit": "limit"},
    ),
    sources=(
        Citation("CFR-229-53"),
        Citation("CFR-229-46"),
        Citation("ARMY-223", "p. 2-7"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("TEA", "questions 92, 95, 105, 140 to 148, 185, 190 to 192"),
    ),
    validity=(
        "The locomotive alone, secured, stopped, in control.",
        "One fault of those listed; what each shows is worked out by the model, not read on a locomotive.",
    ),
    leaves_out=(
        "Faults that are not on the list, rigging, electrics, and everything behind the locomotive.",
        "How often each fault occurs: nobody has published it.",
        "How nearly gauges are read, how often a blow is heard and what a check costs in time: from memory.",
    ),
    offers={
        "Example: cylinder 30 on 10 off, the rest as usual": {
            "observations": "ten-off cylinder 30; thirty-off cylinder 60; independent cylinder 45"
        },
    },
)
def find_fault(given: FindFaultInputs) -> FindFault:
    """Rank the faults that could give what was seen.

    Returns
    -------
    FindFault
        Words; the ranking stands in the working.

    Raises
    ------
    InputError
        If an entry says nothing known, or two contradict each other outright.
    """
    seen = read(given.observations)
    of_train = [one for one in seen if isinstance(one, TrainRead)]
    if of_train:
        _refuse_for_train(given, seen)
        return _of_train(given, of_train)
    own = Own(
        brake_pipe_setting=given.brake_pipe_setting,
        multiplier=given.locomotive.multiplier,
        service_limit=given.locomotive.service_limit,
        minimum_reduction=given.locomotive.minimum_reduction,
        main_reservoir=given.locomotive.main_reservoir,
        independent=given.independent,
    )
    finder = finder_for(own)
    follow = None
    if seen and own != EXAMPLE:
        follow = ToFollow(
            what="the model of the brake, for your settings",
            fills=(),
            of=Progress(done=0.0, of=float(RUNS), unit="runs"),
            work=lambda: _exact(given, own, seen, finder),
        )
    return _answer(given, seen, finder, follow)


def _refuse_for_train(given: FindFaultInputs, seen: Sequence[Observation]) -> None:
    """The train's series is looked at by itself, and by the train model in its range."""
    other = next((one for one in seen if not isinstance(one, TrainRead)), None)
    if other is not None:
        raise InputError(
            FIELD,
            f"\"{as_text(other)}\" is of the locomotive's own series, the rest of the train's; each is looked "
            "at by itself: take one of them out.",
        )
    check_setting(given.brake_pipe_setting)


def _of_train(given: FindFaultInputs, seen: Sequence[TrainRead]) -> FindFault:
    """A train's readings: said at once that the model is at work, then ranked."""

    def work() -> Generator[Progress, None, FindFault]:
        found: list[TrainHypothesis] = []
        for part in train.ranked(int(given.train.cars), given.brake_pipe_setting, seen):
            if isinstance(part, Progress):
                yield part
            else:
                found = part
        return FindFault(
            faults=train.names(found),
            contradicts="; ".join(_texts(contradicts(found[0], seen))) or "nothing that was seen",
            next_check=train.next_check(found, secured=_may_go(given)),
            not_looked_at="which cars apply and release, unless it was entered; the locomotive's own series",
            headline=train.headline(found, seen),
            working=tuple(train.steps(found, seen)),
            notes=(SECURE, ONE_IN_A_TRAIN, MODEL),
        )

    return FindFault(
        faults="the train model is at work",
        contradicts="not yet known",
        next_check="wait for the train model",
        not_looked_at="which cars apply and release, unless it was entered; the locomotive's own series",
        headline=say("The train is run with each fault put in; the ranking follows."),
        notes=(SECURE, ONE_IN_A_TRAIN, MODEL),
        to_follow=ToFollow(
            what="the train model",
            fills=("faults", "contradicts", "next_check"),
            of=Progress(done=0.0, of=float(RUNS_OF_TRAIN), unit="runs"),
            work=work,
        ),
    )


def _may_go(given: FindFaultInputs) -> bool:
    """Whether checks on the ground may be named: secured, and read on a device of the railroad's."""
    return given.secured == "yes" and given.device == RAILROADS


def _exact(
    given: FindFaultInputs, own: Own, seen: tuple[Observation, ...], finder: Finder
) -> Generator[Progress, None, FindFault]:
    likely = [f for one in finder.ranked(seen)[:LIKELY] for f in finder.groups[one.group]]
    made = finder
    for part in exactly(own, likely):
        if isinstance(part, Finder):
            made = part
        else:
            yield Progress(done=float(part[0]), of=float(part[1]), unit="runs")
    return _answer(given, seen, made, None)


def _answer(
    given: FindFaultInputs,
    seen: tuple[Observation, ...],
    finder: Finder,
    follow: ToFollow | None,
) -> FindFault:
    ranked = tuple(finder.ranked(seen))
    weights = finder.weigh(seen)
    stages = tuple(stage_checks(finder, weights, seen))
    best = ranked[0]
    settled = bool(seen) and (best.weight > SETTLED or not stages)
    proofs = proof_checks(
        finder,
        weights,
        seen,
        groups={best.group} if settled else set(),
        secured=_may_go(given),
    )
    found = Found(
        finder=finder,
        seen=seen,
        ranked=ranked,
        stages=stages,
        proofs=tuple(proofs),
        complete=_complete(seen),
        ground=_may_go(given),
    )
    display = Display()
    named = [one for one in ranked[:NAMED] if one.weight > 0.01] if seen else []
    return FindFault(
        faults="; then ".join(names_of(found, one) for one in named) or "nothing read yet",
        contradicts="; ".join(_texts(best.against)) or "nothing that was seen",
        next_check=next_check(found).text(display),
        not_looked_at=not_looked_at(seen),
        headline=with_next(found, headline(found)),
        working=tuple(fitting(found)),
        notes=tuple(notes(found)),
        to_follow=follow,
    )


def _texts(against: Sequence[Observation]) -> list[str]:
    return [as_text(one) for one in against]


def _complete(seen: tuple[Observation, ...]) -> bool:
    """Whether every stage was read with the four gauges, or called as usual."""
    usual = {one.stage for one in seen if isinstance(one, Usual)}
    read_there = {(one.stage, one.gauge) for one in seen if isinstance(one, Read)}
    return all(
        stage in usual or all((stage, gauge) in read_there for gauge in range(BIASED))
        for stage in range(len(STAGES))
    )
