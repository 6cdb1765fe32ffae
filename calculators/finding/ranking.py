"""Which faults fit what was seen: each a small Kalman filter whose gauges are biased, not noisy.

The error that 49 CFR 229.53 allows a gauge is the same at every reading of it, so each hypothesis (a
fault in one range of its size) carries what is unknown with it: the bias of four gauges, the
railroad's settings, where the handle was really put, and where in the range the size lies. Every
reading narrows these; what is left unexplained counts against the hypothesis.

Nothing was published of how often each fault occurs: they are taken as equally likely.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import exp, log, pi, sqrt

from calculators.equipment.faults import find_fault
from calculators.finding.observing import (
    Checked,
    Heard,
    Observation,
    Piston,
    Read,
    TrainRead,
    Usual,
)
from calculators.finding.series import GAUGES, SOUNDS
from calculators.finding.table import UNKNOWNS, Row, groups, silent
from calculators.law.gauge_error import gauge_error

READING_ERROR = (0.8, 0.8, 0.8, 3.0, 2.0)
"""How nearly each gauge is read; the main reservoir's goes up and down with the compressor. [psi, cfm]
From memory."""
BIASED = 4
"""The flow indicator is not held to the limit of gauges."""
WRONG_READING = 0.003
"""Share of readings that mean nothing: written down wrong, or of another moment. From memory."""
READ_WITHIN = 120.0
"""What a reading that means nothing is spread over. [psi]"""
HEARD_IF_THERE, HEARD_IF_NOT = 0.92, 0.005
"""How often a blow is heard, there or not. From memory."""
IN_CAB = ("reservoir-exhaust", "brake-pipe-exhaust", "independent-exhaust")
NOTICED_IN_CAB, NOTICED_OUTSIDE = 0.7, 0.2
"""How often a blow is noticed by who calls a stage as usual. From memory."""
IN_ORDER = 20.0
"""How many times as likely as any one fault a locomotive in order is taken: more than any group of faults
that give the same gauges, so that what is as usual names none. From memory."""
SEEN_RIGHT = 0.98
PROVED_RIGHT = 0.97
LOOSE = (2.0, 2.0, 2.0, 5.0, 3.0)
"""How nearly a gauge is known that was only called as usual. [psi, cfm] From memory."""
GIVEN_UP = 4
"""A hypothesis to which so many readings mean nothing is not followed further: each more counts as such."""
BEND = 0.06
"""How far a fault of a size in between may be off the straight line between two, as a share of them."""
_BIAS = len(UNKNOWNS)
_PLACE = _BIAS + BIASED
_STATES = _PLACE + 1
_VARIANCE = (*(u.spread**2 for u in UNKNOWNS), *(1.0,) * BIASED, 1.0 / 3.0)


@dataclass(frozen=True, slots=True)
class Expected:
    """What a hypothesis expects of one gauge at a stage, and how it moves with the unknowns.

    ``bend`` is the variance that comes of taking a straight line between two sizes.
    """

    figure: float
    moves: tuple[tuple[int, float], ...]
    bend: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """A fault in one range of its size; an empty fault is a locomotive in order.

    ``expects`` by stage and gauge, None where the stage is not reached; ``blows`` and ``out`` are
    the chance that each place blows and each truck's pistons are out.
    """

    fault: str
    low: float
    high: float
    expects: tuple[tuple[Expected, ...] | None, ...]
    blows: tuple[Mapping[str, float], ...]
    out: tuple[tuple[float, float], ...]


def hypotheses(rows: Sequence[Row]) -> tuple[Hypothesis, ...]:
    """Every fault in every range of its size, and at its largest by itself."""
    by_fault: dict[str, list[Row]] = {}
    for row in rows:
        by_fault.setdefault(row.fault, []).append(row)
    found = []
    for own in by_fault.values():
        found += [_between(a, b) for a, b in pairwise(own)]
        # Broken right off, or there or not: a size of its own.
        found.append(_between(own[-1], own[-1]))
    return tuple(found)


def _between(a: Row, b: Row) -> Hypothesis:
    expects: list[tuple[Expected, ...] | None] = []
    off = find_fault(a.fault).wrong(a.size).offsets if a.fault else {}
    blows: list[Mapping[str, float]] = []
    out: list[tuple[float, float]] = []
    for stage, (x, y) in enumerate(zip(a.shows, b.shows, strict=True)):
        one, other = x or y, y or x
        if one is None or other is None:
            expects.append(None)
            blows.append({})
            out.append((0.5, 0.5))
            continue
        gauges = []
        for gauge, (p, q) in enumerate(zip(one.gauges(), other.gauges(), strict=True)):
            moves = []
            for number in range(len(UNKNOWNS)):
                slopes = [r.slopes[number][stage] for r in (a, b)]
                known = [s[gauge] for s in slopes if s is not None]
                slope = sum(known) / len(known) if known else 0.0
                if abs(slope) > 0.02:
                    moves.append((number, slope))
            middle = (p + q) / 2
            # A gauge that is the fault is off by the fault's size; the law's error is no more than that.
            if gauge < BIASED and gauge_error(middle) > 0 and GAUGES[gauge] not in off:
                moves.append((_BIAS + gauge, gauge_error(middle) / sqrt(3.0)))
            if p != q:
                moves.append((_PLACE, (q - p) / 2))
            gauges.append(Expected(middle, tuple(moves), (BEND * (q - p)) ** 2))
        expects.append(tuple(gauges))
        blows.append({p: ((p in one.blows) + (p in other.blows)) / 2 for p in SOUNDS})
        out.append(((one.out[0] + other.out[0]) / 2, (one.out[1] + other.out[1]) / 2))
    return Hypothesis(
        fault=a.fault,
        low=a.size,
        high=b.size,
        expects=tuple(expects),
        blows=tuple(blows),
        out=tuple(out),
    )


@dataclass(frozen=True, slots=True)
class Belief:
    """What a hypothesis holds after some readings: its unknowns, their covariance, its likelihood."""

    mean: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]
    likelihood: float
    junk: int = 0


START = Belief(
    (0.0,) * _STATES,
    tuple(tuple(v if i == j else 0.0 for j in range(_STATES)) for i, v in enumerate(_VARIANCE)),
    0.0,
)


def foreseen(
    belief: Belief, expected: Expected, gauge: int, *, loose: bool = False
) -> tuple[float, float]:
    """What a gauge will show and its variance, the reader's own error in it."""
    figure = expected.figure
    variance = (LOOSE if loose else READING_ERROR)[gauge] ** 2 + expected.bend
    for i, slope in expected.moves:
        figure += slope * belief.mean[i]
        line = belief.spread[i]
        for j, other in expected.moves:
            variance += slope * other * line[j]
    return figure, variance


def told(belief: Belief, expected: Expected, said: Read) -> Belief:
    """A belief after a reading."""
    figure = said.figure
    junk = WRONG_READING / READ_WITHIN
    if belief.junk >= GIVEN_UP:
        return Belief(belief.mean, belief.spread, belief.likelihood + log(junk), belief.junk + 1)
    foretold, S = foreseen(belief, expected, said.gauge, loose=said.loose)
    # A gauge does not go under nothing: there a reading of nought says no more than that.
    off = figure - max(0.0, foretold)
    good = (1.0 - WRONG_READING) * exp(-0.5 * off * off / S) / sqrt(2.0 * pi * S)
    likelihood = belief.likelihood + log(good + junk)
    if good < junk:
        return Belief(belief.mean, belief.spread, likelihood, belief.junk + 1)
    if not expected.moves:
        return Belief(belief.mean, belief.spread, likelihood, belief.junk)
    gain = [sum(line[j] * slope for j, slope in expected.moves) for line in belief.spread]
    mean = tuple(m + g * off / S for m, g in zip(belief.mean, gain, strict=True))
    spread = tuple(
        tuple([c - g * h / S for c, h in zip(line, gain, strict=True)]) if g else line
        for line, g in zip(belief.spread, gain, strict=True)
    )
    return Belief(mean, spread, likelihood, belief.junk)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A group in its place: its weight, its likeliest hypothesis, what that cannot explain."""

    group: int
    weight: float
    hypothesis: int
    against: tuple[Observation, ...]


class Finder:
    """The table's hypotheses, ready to be asked again and again; what was worked out is kept."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self.rows = tuple(rows)
        self.hypotheses = hypotheses(rows)
        self.groups = groups(self.rows)
        self.silent = frozenset(silent(self.rows))
        self.group_of = {fault: n for n, group in enumerate(self.groups) for fault in group}
        self.in_order = next(row.shows for row in rows if not row.fault)
        self._believes = lru_cache(maxsize=20_000)(self._after)
        parts: dict[str, int] = {}
        for one in self.hypotheses:
            parts[one.fault] = parts.get(one.fault, 0) + 1
        self._parts = parts

    def believes(self, number: int, readings: tuple[Read, ...]) -> Belief:
        """What a hypothesis holds after readings, in their one order."""
        return self._believes(number, readings)

    def _after(self, number: int, readings: tuple[Read, ...]) -> Belief:
        if not readings:
            return START
        last, before = readings[-1], readings[:-1]
        belief = self._believes(number, before)
        expects = self.hypotheses[number].expects[last.stage]
        if expects is not None:
            return told(belief, expects[last.gauge], last)
        # With this fault the stage is not reached. That it was read all the same says nothing for the
        # fault: it counts as it does for a locomotive in order, which reaches every stage.
        sound, sound_before = self._believes(0, readings), self._believes(0, before)
        likelihood = belief.likelihood + sound.likelihood - sound_before.likelihood
        return replace(belief, likelihood=likelihood)

    def weigh(self, found: Sequence[Observation]) -> list[float]:
        """The weight of every hypothesis, together 1."""
        readings = self.readings(found)
        others = [one for one in found if not isinstance(one, Read | TrainRead | Usual)]
        usual = [one.stage for one in found if isinstance(one, Usual)]
        logs = []
        for number, one in enumerate(self.hypotheses):
            weight = (0.0 if one.fault else log(IN_ORDER)) - log(self._parts[one.fault])
            weight += self.believes(number, readings).likelihood
            weight += sum(log(self._chance(one, said)) for said in others)
            weight += sum(self._quiet(one, stage, found) for stage in usual)
            logs.append(weight)
        most = max(logs)
        weights = [exp(value - most) for value in logs]
        total = sum(weights)
        return [weight / total for weight in weights]

    def readings(self, found: Sequence[Observation]) -> tuple[Read, ...]:
        """What was read, and for stages called as usual what a locomotive in order shows."""
        made = [one for one in found if isinstance(one, Read)]
        spoken = {(one.stage, one.gauge) for one in made}
        for one in found:
            shown = self.in_order[one.stage] if isinstance(one, Usual) else None
            if shown is None or not isinstance(one, Usual):
                continue
            for gauge, figure in enumerate(shown.gauges()):
                if (one.stage, gauge) not in spoken and gauge < len(GAUGES) - 1:
                    made.append(Read(one.stage, gauge, figure, True))
        return tuple(sorted(made))

    def _chance(self, one: Hypothesis, said: Observation) -> float:
        if isinstance(said, Heard):
            there = one.blows[said.stage].get(said.place, 0.0)
            heard = there * HEARD_IF_THERE + (1.0 - there) * HEARD_IF_NOT
            return heard if said.blows else 1.0 - heard
        if isinstance(said, Piston):
            out = one.out[said.stage][said.truck]
            seen = out * SEEN_RIGHT + (1.0 - out) * (1.0 - SEEN_RIGHT)
            return seen if said.out else 1.0 - seen
        assert isinstance(said, Checked)
        right = PROVED_RIGHT if one.fault == said.fault else 1.0 - PROVED_RIGHT
        return right if said.found else 1.0 - right

    def _quiet(self, one: Hypothesis, stage: int, found: Sequence[Observation]) -> float:
        """As usual: nothing blows there that does not in order, unless it was spoken of."""
        shown = self.in_order[stage]
        assert shown is not None
        spoken = {o.place for o in found if isinstance(o, Heard) and o.stage == stage}
        weight = 0.0
        for place, there in one.blows[stage].items():
            if there and place not in spoken and place not in shown.blows:
                # Called as usual is less than listened at, and from the cab little else is heard.
                noticed = NOTICED_IN_CAB if place in IN_CAB else NOTICED_OUTSIDE
                weight += log(1.0 - noticed * there)
        return weight

    def by_group(self, weights: Sequence[float]) -> list[tuple[int, float]]:
        """Groups with their weights, the heaviest first."""
        sums = [0.0] * len(self.groups)
        for one, weight in zip(self.hypotheses, weights, strict=True):
            sums[self.group_of[one.fault]] += weight
        return sorted(enumerate(sums), key=lambda pair: (-pair[1], pair[0]))

    def best(self, group: int, weights: Sequence[float]) -> int:
        """The hypothesis of a group that weighs most."""
        own = [n for n, h in enumerate(self.hypotheses) if self.group_of[h.fault] == group]
        return max(own, key=lambda number: (weights[number], -number))

    def ranked(self, found: Sequence[Observation]) -> list[Ranked]:
        """Groups, the likeliest first; one that contradicts what was seen stands behind those that do not."""
        weights = self.weigh(found)
        made = []
        for group, weight in self.by_group(weights):
            number = self.best(group, weights)
            made.append(
                Ranked(
                    group=group,
                    weight=weight,
                    hypothesis=number,
                    against=tuple(self.contradicts(number, found)),
                )
            )
        return sorted(made, key=lambda one: any(isinstance(said, Read) for said in one.against))

    def contradicts(self, number: int, found: Sequence[Observation]) -> list[Observation]:
        """What was seen and the hypothesis cannot explain, by gauge error, spread and ear."""
        readings = self.readings(found)
        one = self.hypotheses[number]
        whole = self.believes(number, readings)
        against: list[Observation] = []
        for said in readings:
            expects = one.expects[said.stage]
            if expects is None:
                continue
            expected = expects[said.gauge]
            foretold, variance = foreseen(whole, expected, said.gauge, loose=said.loose)
            # With the reading among those believed, what is left of it is less than its own error.
            if abs(said.figure - max(0.0, foretold)) > 3.0 * sqrt(variance):
                against.append(said)
        against += [
            said
            for said in found
            if isinstance(said, Heard | Piston | Checked) and self._chance(one, said) < 0.2
        ]
        return against
