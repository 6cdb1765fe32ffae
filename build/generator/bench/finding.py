"""How fault finding does against readings of the same model: upper bounds for a real locomotive.

Every case is a fault (or none) of a random size on a locomotive with other settings, its gauges off
by what 49 CFR 229.53 allows, handles put a little beside, readings taken to a psi. What is counted is
the group, faults that give the same gauges being one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, log
from pathlib import Path
from random import Random

from calculators.equipment.faults import FAULTS, Fault, Wrong
from calculators.equipment.running import Change
from calculators.finding.checking import SETTLED, stage_checks
from calculators.finding.making import INDEPENDENT, SETUP
from calculators.finding.observing import Heard, Observation, Piston, Read, ordered
from calculators.finding.own import EXAMPLE, finder_for
from calculators.finding.ranking import BIASED, Finder
from calculators.finding.series import GAUGES, NUMBER, SOUNDS, STAGES
from calculators.finding.signatures import (
    AGREES_WITHIN,
    Asked,
    Signature,
    begin,
    signature,
    walked,
)
from calculators.finding.table import UNKNOWNS
from calculators.law.gauge_error import gauge_error
from generator.bench.rows import BenchRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A drawn locomotive: its fault by id (none in order), what it shows, how its gauges are off."""

    fault: str
    shows: Signature
    bias: tuple[float, ...]
    seed: int


def cases(finder: Finder, number: int, *, seed: int = 1) -> Iterator[Case]:
    """Draw cases, the faults in turn; every sixth is in order."""
    draw = Random(seed)
    least: dict[str, float] = {}
    for one in finder.hypotheses:
        least.setdefault(one.fault, one.low)
    for count in range(number):
        fault: Fault | None = None
        if count % 6:
            fault = FAULTS[(count - count // 6) % len(FAULTS)]
        yield _case(fault, least, draw, count)


def _case(fault: Fault | None, least: dict[str, float], draw: Random, seed: int) -> Case:
    off = {u.id: draw.gauss(0.0, u.spread) for u in UNKNOWNS}
    settings = {u.setting: off[u.id] for u in UNKNOWNS if u.setting}
    equipment = SETUP.equipment
    own = replace(
        equipment, **{name: getattr(equipment, name) + by for name, by in settings.items()}
    )
    asked = Asked(
        independent=INDEPENDENT + off["independent"],
        moved={u.stage: off[u.id] for u in UNKNOWNS if u.stage},
    )
    size = 1.0
    if fault is not None and fault.graded:
        low = least[fault.id]
        size = exp(draw.uniform(log(low), log(fault.largest)))
    shows = signature(replace(SETUP, equipment=own), fault, size, asked=asked)
    bias = _bias(draw, wrong_gauges=fault.wrong(size).offsets if fault else {})
    shows = _as_cut_in(shows, bias)
    return Case(fault="" if fault is None else fault.id, shows=shows, bias=bias, seed=seed)


def _bias(draw: Random, *, wrong_gauges: Mapping[str, float]) -> tuple[float, ...]:
    """How far each gauge is off, as a share of what 49 CFR 229.53 allows; one that is the fault has its own."""
    drawn = [draw.uniform(-1.0, 1.0) for _ in range(BIASED)]
    return tuple(
        0.0 if name in wrong_gauges else off for name, off in zip(GAUGES, drawn, strict=False)
    )


def _as_cut_in(shows: Signature, bias: tuple[float, ...]) -> Signature:
    """Nobody cuts in whose two gauges read too far apart: the series says so."""
    before = shows[NUMBER["ten-off-60"]]
    assert before is not None
    reservoir, pipe = (
        figure + bias[gauge] * gauge_error(figure)
        for gauge, figure in enumerate(before.gauges()[:2])
    )
    if abs(reservoir - pipe) <= AGREES_WITHIN:
        return shows
    return tuple(
        None if stage.id == "cut-in" else s for stage, s in zip(STAGES, shows, strict=True)
    )


def seen(
    case: Case, *, sounds: bool, share: float, only: Sequence[int] | None = None
) -> tuple[Observation, ...]:
    """What a person writes down of a case: a share of the gauges, with or without sounds."""
    draw = Random(case.seed * 7919 + 17)
    found: list[Observation] = []
    for stage, shown in enumerate(case.shows):
        if shown is None:
            continue
        for gauge, figure in enumerate(shown.gauges()):
            error, taken = draw.gauss(0.0, 1.0), draw.random() < share
            wrong = draw.random() < 0.003
            if not taken:
                continue
            if gauge < 4:
                figure += case.bias[gauge] * gauge_error(figure) + 0.5 * error
                if wrong:
                    figure = draw.uniform(0.0, 120.0)
            else:
                figure += 1.5 * error
            found.append(Read(stage, gauge, max(0.0, float(round(figure)))))
        for place in SOUNDS:
            chance, taken = draw.random(), draw.random() < share
            if sounds and taken:
                heard = chance < (0.92 if place in shown.blows else 0.005)
                found.append(Heard(stage, place, heard))
        for truck in (0, 1):
            chance, taken = draw.random(), draw.random() < share
            if sounds and taken:
                found.append(Piston(stage, truck, shown.out[truck] == (chance < 0.98)))
    if only is not None:
        found = [one for one in found if getattr(one, "stage", -1) in only]
    return ordered(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """Shares of one arm: right group first, in the first three; healthy and faulty called healthy."""

    first: float
    three: float
    healthy: float
    missed: float
    number: int


def arm(
    finder: Finder, drawn: Sequence[Case], *, sounds: bool, share: float
) -> tuple[Arm, Counter[tuple[str, str]]]:
    """Rank every case; without sounds, faults that no gauge shows are not asked for."""
    first = three = right = missed = faulty = healthy = 0
    confused: Counter[tuple[str, str]] = Counter()
    for case in drawn:
        if case.fault in finder.silent and not sounds:
            continue
        order = [
            group
            for group, _ in finder.by_group(finder.weigh(seen(case, sounds=sounds, share=share)))
        ]
        rank = order.index(finder.group_of[case.fault])
        if rank:
            confused[(case.fault, finder.groups[order[0]][0])] += 1
        if case.fault:
            faulty += 1
            first += rank == 0
            three += rank < 3
            missed += order[0] == finder.group_of[""]
        else:
            healthy += 1
            right += rank == 0
    return (
        Arm(
            first=first / faulty,
            three=three / faulty,
            healthy=right / max(1, healthy),
            missed=missed / faulty,
            number=faulty + healthy,
        ),
        confused,
    )


ARMS = (
    ("all gauges", False, 1.0, "first 85 %, first three 98 %, healthy 98 %"),
    ("all gauges and sounds", True, 1.0, "first 95 %, first three 99 %, missed 4 %"),
    ("half the gauges", False, 0.5, "first three 95 %"),
    ("half the gauges, half the sounds", True, 0.5, "first three 95 %"),
)
CASES = 300
LED = 60
PAIRS = 60
OFF_THE_LIST = 60
NEARLY_SURE = 0.9
"""Weight above which a group stands for itself alone."""


def measure(_root: Path) -> Iterator[BenchRow]:
    """The four arms, what was taken for what, and sessions led or in order."""
    finder = finder_for(EXAMPLE)
    drawn = list(cases(finder, CASES))
    for words, sounds, share, held_to in ARMS:
        found, confused = arm(finder, drawn, sounds=sounds, share=share)
        taken = "; ".join(
            f"{a} for {b or 'in order'} ({n})" for (a, b), n in confused.most_common(12)
        )
        yield BenchRow(
            what=f"fault finding, {words}",
            held_to=held_to,
            measured=f"first {found.first:.1%}, first three {found.three:.1%}, healthy {found.healthy:.1%}, "
            f"missed {found.missed:.1%}",
            how=f"{found.number} drawn from the same model, by group; taken for another: {taken or 'none'}",
        )
    two = two_at_once(finder, PAIRS)
    yield BenchRow(
        what="fault finding, two faults at once",
        held_to="reported: it looks for one at a time",
        measured=f"one of them in the first three {two.one:.0%}, both {two.both:.0%}, called in order "
        f"{two.healthy:.0%}",
        how=f"{two.number} pairs drawn at middle size, all gauges, no sounds",
    )
    off = off_the_list(finder, drawn[:OFF_THE_LIST])
    yield BenchRow(
        what="fault finding, the fault taken off the list",
        held_to="reported: no bare percentage is shown, and what contradicts is",
        measured=f"another named with over 90 % {off.sure:.0%}, a reading against it shown {off.against:.0%}, "
        f"called in order {off.healthy:.0%}",
        how=f"{off.number} faulty drawn, all gauges and sounds, their whole group taken out",
    )
    for led in (True, False):
        went = sessions(finder, drawn[:LED], led=led)
        yield BenchRow(
            what=f"fault finding, sessions {'led by the next check' if led else 'in order'}",
            held_to="led: at most half the stages at an equal rate",
            measured=f"{went.stages:.1f} stages, {went.seconds:.0f} s, right {went.right:.0%}",
            how=f"the faulty of {LED} drawn",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Shares of readings with two faults at once: one of them, both, none called in the first three."""

    one: float
    both: float
    healthy: float
    number: int


def _together(one: Wrong, other: Wrong) -> Wrong:
    """All that two faults change; where both hold one valve the first has it."""
    held = dict(other.change.held) | dict(one.change.held)

    def added(a: Mapping[str, float], b: Mapping[str, float]) -> dict[str, float]:
        return {name: a.get(name, 0.0) + b.get(name, 0.0) for name in {**a, **b}}

    return Wrong(
        change=Change(
            leaks=(*one.change.leaks, *other.change.leaks),
            scaled=(*one.change.scaled, *other.change.scaled),
            held=tuple(held.items()),
        ),
        settings=added(one.settings, other.settings),
        offsets=added(one.offsets, other.offsets),
        least_independent=max(one.least_independent, other.least_independent),
        overcharge=max(one.overcharge, other.overcharge),
        swing=max(one.swing, other.swing),
        seen_from=max(one.seen_from, other.seen_from),
    )


def two_at_once(finder: Finder, number: int, *, seed: int = 5) -> Pairs:
    """Draw pairs of faults, each at its middle size or there, and look for them by all gauges.

    What a leak of its own sounds like is left out: one place is heard at a time.
    """
    draw = Random(seed)
    known = [fault for fault in FAULTS if fault.id not in finder.silent]
    one = both = healthy = 0
    for count in range(number):
        pair = draw.sample(known, 2)
        sizes = [exp((log(f.smallest) + log(f.largest)) / 2) if f.graded else 1.0 for f in pair]
        wrong = _together(*(f.wrong(size) for f, size in zip(pair, sizes, strict=True)))
        walk = begin(SETUP, wrong, asked=Asked(independent=INDEPENDENT))
        shows = tuple(shown for shown, _ in walked(walk, STAGES))
        bias = _bias(draw, wrong_gauges=wrong.offsets)
        case = Case(fault=pair[0].id, shows=_as_cut_in(shows, bias), bias=bias, seed=count)
        order = [
            group for group, _ in finder.by_group(finder.weigh(seen(case, sounds=False, share=1.0)))
        ]
        hits = [finder.group_of[f.id] in order[:3] for f in pair]
        one += any(hits)
        both += all(hits)
        healthy += order[0] == finder.group_of[""]
    return Pairs(one=one / number, both=both / number, healthy=healthy / number, number=number)


@dataclass(frozen=True, slots=True, kw_only=True)
class OffTheList:
    """Shares of readings of a fault that is not looked for.

    ``sure`` named another with over nine tenths, ``against`` showed a reading that contradicts it,
    ``healthy`` were called in order.
    """

    sure: float
    against: float
    healthy: float
    number: int


def off_the_list(finder: Finder, drawn: Sequence[Case]) -> OffTheList:
    """Take the fault of each case off the list, with those that give the same gauges, and look for it."""
    sure = against = healthy = number = 0
    for case in drawn:
        if not case.fault or case.fault in finder.silent:
            continue
        alike = set(finder.groups[finder.group_of[case.fault]])
        without = Finder([row for row in finder.rows if row.fault not in alike])
        best = without.ranked(seen(case, sounds=True, share=1.0))[0]
        number += 1
        called_healthy = best.group == without.group_of[""]
        healthy += called_healthy
        sure += not called_healthy and best.weight > NEARLY_SURE
        against += bool(best.against)
    return OffTheList(
        sure=sure / number, against=against / number, healthy=healthy / number, number=number
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sessions:
    """Sessions led by the next check, or through the series in order, until a group is settled."""

    stages: float
    seconds: float
    right: float


def sessions(finder: Finder, drawn: Sequence[Case], *, led: bool) -> Sessions:
    """Go through faulty cases, reading one stage at a time with its sounds."""
    stages = seconds = right = 0.0
    faulty = [c for c in drawn if c.fault and c.fault not in finder.silent]
    for case in faulty:
        read: list[int] = []
        stands = ""
        while True:
            found = seen(case, sounds=True, share=1.0, only=read)
            weights = finder.weigh(found)
            ranked = finder.by_group(weights)
            if read and (ranked[0][1] > SETTLED and ranked[0][0] != finder.group_of[""]):
                break
            left = [n for n in range(len(STAGES)) if n not in read and case.shows[n] is not None]
            if not left:
                break
            at = left[0]
            if led:
                offered = [
                    c
                    for c in stage_checks(finder, weights, found, stands=stands)
                    if case.shows[STAGES.index(c.stage)] is not None
                ]
                if offered:
                    at = STAGES.index(offered[0].stage)
                    seconds += offered[0].seconds
                else:
                    seconds += STAGES[at].seconds
            else:
                seconds += 8.0 + STAGES[at].seconds + STAGES[at].recharge
            stands = STAGES[at].id
            read.append(at)
        stages += len(read)
        right += ranked[0][0] == finder.group_of[case.fault]
    n = len(faulty)
    return Sessions(stages=stages / n, seconds=seconds / n, right=right / n)
