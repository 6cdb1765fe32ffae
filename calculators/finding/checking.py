"""What to look at next: the stage, or the proof, that tells most for the seconds it takes.

How much a stage tells is how far apart the groups that still fit expect its gauges to stand, and its
exhausts to blow; only stages of the series are ever offered, so never an emergency, and a proof on
the ground only once somebody has said that the locomotive is secured.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import exp, log

from calculators.equipment.faults import Fault, find_fault
from calculators.finding.observing import Checked, Observation, Read, stages_spoken_of
from calculators.finding.ranking import BIASED, HEARD_IF_NOT, HEARD_IF_THERE, Finder, foreseen
from calculators.finding.series import GAUGES, STAGES, Stage, way_to

WEIGHED = 14
"""Hypotheses that are weighed against each other."""
SETTLED = 0.85
"""A group that weighs so much is told from itself by its proofs, no longer by stages."""
READ_SECONDS = 8.0
"""To read and write down a stage. [s] From memory."""
GROUND_SECONDS = 240.0
"""To get down, walk there secured and come back. [s] From memory."""
NOT_WORTH = 0.005
"""Information under which a stage is not offered. [nats]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageCheck:
    """A stage to go to, by the stages on the way; ``seconds`` all together."""

    stage: Stage
    way: tuple[Stage, ...]
    seconds: float
    tells: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofCheck:
    """The look, sound or act that proves a fault."""

    fault: Fault
    seconds: float


def stage_checks(
    finder: Finder, weights: Sequence[float], found: Sequence[Observation], *, stands: str = ""
) -> list[StageCheck]:
    """Stages not yet spoken of, the one that tells most for its time first."""
    done = set(stages_spoken_of(found))
    readings = finder.readings(found)
    heaviest = sorted(range(len(weights)), key=lambda n: (-weights[n], n))[:WEIGHED]
    total = sum(weights[n] for n in heaviest)
    shares = {n: weights[n] / total for n in heaviest}
    offered = []
    for number, stage in enumerate(STAGES):
        if number in done:
            continue
        tells = _tells(finder, shares, readings, number)
        if tells < NOT_WORTH:
            continue
        way = way_to(stage, stands)
        seconds = READ_SECONDS + sum(one.seconds + one.recharge for one in way)
        offered.append(StageCheck(stage=stage, way=way, seconds=seconds, tells=tells))
    return sorted(offered, key=lambda c: (-c.tells / c.seconds, c.seconds))


def _tells(
    finder: Finder, shares: dict[int, float], readings: tuple[Read, ...], stage: int
) -> float:
    """Information of a stage about the group, by how much the hypotheses' forecasts overlap. [nats]."""
    forecast: dict[int, list[tuple[float, float]] | None] = {}
    for number in shares:
        expects = finder.hypotheses[number].expects[stage]
        if expects is None:
            forecast[number] = None
            continue
        belief = finder.believes(number, readings)
        forecast[number] = [foreseen(belief, expects[g], g) for g in range(len(GAUGES))]
    groups: dict[int, float] = {}
    for number, share in shares.items():
        group = finder.group_of[finder.hypotheses[number].fault]
        groups[group] = groups.get(group, 0.0) + share
    told = 0.0
    for number, share in shares.items():
        group = finder.group_of[finder.hypotheses[number].fault]
        mixed = 0.0
        same = 0.0
        for other, weight in shares.items():
            alike = weight * _alike(finder, forecast, stage, number, other)
            mixed += alike
            if finder.group_of[finder.hypotheses[other].fault] == group:
                same += alike
        # How much likelier its own group becomes than it was.
        told += share * log((same / groups[group]) / mixed)
    return max(0.0, told)


def _alike(
    finder: Finder,
    forecast: dict[int, list[tuple[float, float]] | None],
    stage: int,
    one: int,
    other: int,
) -> float:
    """How far two hypotheses' forecasts of a stage overlap, 1 for the same. Bhattacharyya's."""
    if one == other:
        return 1.0
    a, b = forecast[one], forecast[other]
    if a is None or b is None:
        return 1.0
    apart = 0.0
    for gauge, ((x, s), (y, t)) in enumerate(zip(a, b, strict=True)):
        if gauge > BIASED:
            continue
        both = s + t
        apart += (x - y) ** 2 / (4.0 * both) + 0.5 * log(both / (2.0 * (s * t) ** 0.5))
    overlap = exp(-apart)
    blows, others = finder.hypotheses[one].blows[stage], finder.hypotheses[other].blows[stage]
    for place, there in blows.items():
        if there != others.get(place, 0.0):
            p, q = _heard(there), _heard(others.get(place, 0.0))
            overlap *= (p * q) ** 0.5 + ((1.0 - p) * (1.0 - q)) ** 0.5
    return overlap


def _heard(there: float) -> float:
    return there * HEARD_IF_THERE + (1.0 - there) * HEARD_IF_NOT


def proof_checks(
    finder: Finder,
    weights: Sequence[float],
    found: Sequence[Observation],
    *,
    groups: Collection[int],
    secured: bool,
) -> list[ProofCheck]:
    """Proofs of the faults of some groups, by what they may settle for their time.

    On the ground only if the locomotive is secured; in a shop they are offered last.
    """
    asked = {one.fault for one in found if isinstance(one, Checked)}
    sums: dict[str, float] = {}
    for one, weight in zip(finder.hypotheses, weights, strict=True):
        if one.fault and finder.group_of[one.fault] in groups and one.fault not in asked:
            sums[one.fault] = sums.get(one.fault, 0.0) + weight
    offered = []
    for id, weight in sums.items():
        fault = find_fault(id)
        if fault.proof.where == "ground" and not secured:
            continue
        seconds = fault.proof.seconds + (0.0 if fault.proof.where == "cab" else GROUND_SECONDS)
        offered.append((weight / seconds, ProofCheck(fault=fault, seconds=seconds)))
    return [check for _, check in sorted(offered, key=lambda pair: (-pair[0], pair[1].fault.id))]
