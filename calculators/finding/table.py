"""What every fault shows in the series, at a few sizes, with how it shifts as settings do.

For each fault the sizes go from the smallest that moves some gauge by twice its error to complete.
Beside each signature stand its slopes: how each gauge moves with what nobody knows exactly, the
multiplier, the limit, the full independent, the setting, the first notch, and where the handle was
really put at four moves. Slopes of a locomotive in order would not do: where the air is gone, they are.

Making it takes the running brake some hundreds of runs; for the example settings it is kept as a short
text (`kept`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from calculators.equipment.faults import FAULTS, SOUND, Fault
from calculators.equipment.running import Setup
from calculators.finding.series import GAUGES, NUMBER, STAGES
from calculators.finding.signatures import (
    Asked,
    Shown,
    Signature,
    Walk,
    begin,
    farthest,
    signature,
    walked,
)
from calculators.law.gauge_error import gauge_error

FLOW_ERROR = 2.0
"""What a flow indicator cannot show. [cfm] From memory."""
LEAST_ERRORS = 2.0
"""A fault is looked for from the size that moves some gauge by so many of its errors."""
SIZES = 5
"""Signatures of a fault that can be small or large."""
HALVINGS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """Something that nobody knows exactly, and how far it is off as a rule (one standard deviation).

    ``setting`` is the locomotive's own by name, ``stage`` the move at which a handle is put; the
    figure is from memory where no source is named.
    """

    id: str
    spread: float
    step: float
    setting: str = ""
    stage: str = ""


UNKNOWNS: tuple[Unknown, ...] = (
    Unknown(id="multiplier", spread=0.05, step=0.1, setting="multiplier"),
    Unknown(id="service-limit", spread=1.5, step=2.0, setting="service_limit"),
    Unknown(id="independent", spread=1.5, step=2.0),
    Unknown(id="setting", spread=1.0, step=2.0, setting="brake_pipe_setting"),
    Unknown(id="minimum", spread=0.7, step=1.0, setting="minimum_reduction"),
    *(
        Unknown(id=stage, spread=0.8, step=1.0, stage=stage)
        for stage in ("ten-off", "cut-in", "thirty-off", "full-again")
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One fault of one size; an empty fault is a locomotive in order.

    ``slopes`` are by unknown and stage, per unit of the unknown, each a figure for every gauge.
    """

    fault: str
    size: float
    shows: Signature
    slopes: tuple[tuple[tuple[float, ...] | None, ...], ...]


def errors_at(shown: Shown) -> tuple[float, ...]:
    """What each gauge may be off there, in the order of `series.GAUGES`."""
    return (*(max(1.0, gauge_error(p)) for p in shown.gauges()[:4]), FLOW_ERROR)


def sizes_of(setup: Setup, fault: Fault, in_order: Signature, *, independent: float) -> list[float]:
    """The sizes at which a fault is worked out, the smallest that gauges can show first.

    A fault that no gauge ever shows gets its largest alone: it is found by sound or sight.
    """
    if not fault.graded:
        return [1.0]
    asked = Asked(independent=independent)
    most = _most_errors(in_order)

    def shown(size: float) -> bool:
        found = signature(setup, fault, size, asked=asked)
        return farthest(in_order, found, most) >= LEAST_ERRORS

    low, high = fault.smallest, fault.largest
    if not shown(high):
        return [_between(low, high, 0.5), high]
    if not shown(low):
        for _ in range(HALVINGS):
            middle = _between(low, high, 0.5)
            low, high = (low, middle) if shown(middle) else (middle, high)
        low = high
    return [_between(low, fault.largest, part / (SIZES - 1)) for part in range(SIZES)]


def _errors(shown: Shown | None) -> tuple[float, ...]:
    return (0.0,) * len(GAUGES) if shown is None else errors_at(shown)


def _between(low: float, high: float, share: float) -> float:
    return float(low * (high / low) ** share)


def row_of(setup: Setup, fault: Fault | None, size: float, *, independent: float) -> Row:
    """The signature of a fault and its slopes, each by a run with one thing moved."""
    wrong = SOUND if fault is None else fault.wrong(size)
    heard = "" if fault is None else fault.heard
    asked = Asked(independent=independent)
    first = begin(setup, wrong, heard=heard, asked=asked)
    stood: dict[str, Walk] = {"": first.copy(asked)}
    shows: list[Shown | None] = []
    for stage, (shown, walk) in zip(STAGES, walked(first, STAGES), strict=True):
        shows.append(shown)
        stood[stage.id] = walk
    slopes = []
    for unknown in UNKNOWNS:
        if unknown.stage or unknown.id == "independent":
            off = Asked(
                independent=independent + (0.0 if unknown.stage else unknown.step),
                moved={unknown.stage: unknown.step},
            )
            start = NUMBER[unknown.stage or "independent"]
            before = stood[STAGES[start - 1].id].copy(off)
            others = {name: one for name, one in stood.items() if NUMBER.get(name, -1) < start}
            moved = [*shows[:start]]
            moved += [s for s, _ in walked(before, STAGES[start : _end(start)], others)]
            moved += shows[len(moved) :]
        else:
            value = getattr(setup.equipment, unknown.setting) + unknown.step
            equipment = replace(setup.equipment, **{unknown.setting: value})
            other = begin(replace(setup, equipment=equipment), wrong, heard=heard, asked=asked)
            moved = [shown for shown, _ in walked(other, STAGES)]
        slopes.append(tuple(_slope(a, b, unknown.step) for a, b in zip(shows, moved, strict=True)))
    return Row(
        fault="" if fault is None else fault.id,
        size=size,
        shows=tuple(shows),
        slopes=tuple(slopes),
    )


def _end(start: int) -> int:
    """Where a move is over: behind the next release."""
    ends = [NUMBER[s.id] + 1 for s in STAGES if s.move in ("release", "independent-off")]
    recharged = [NUMBER[s.id] for s in STAGES if s.recharge]
    return min(end for end in (*ends, *recharged) if end > start)


def _slope(shown: Shown | None, moved: Shown | None, step: float) -> tuple[float, ...] | None:
    if shown is None or moved is None:
        return None
    return tuple((b - a) / step for a, b in zip(shown.gauges(), moved.gauges(), strict=True))


def make(setup: Setup, *, independent: float, faults: Sequence[Fault] = FAULTS) -> Iterator[Row]:
    """Every row of the table, the locomotive in order first."""
    healthy = row_of(setup, None, 1.0, independent=independent)
    yield healthy
    for fault in faults:
        for size in sizes_of(setup, fault, healthy.shows, independent=independent):
            yield row_of(setup, fault, size, independent=independent)


def groups(rows: Iterable[Row]) -> list[list[str]]:
    """Faults that give the same gauges at full size, computed; a locomotive in order is ``""``.

    In order stands alone, and so does each fault that gauges never show (`silent`): sounds and
    pistons tell those.
    """
    full = _at_full_size(rows)
    most = _most_errors(full[""])
    apart = {"", *silent(rows)}
    found: list[list[str]] = []
    for fault, shows in full.items():
        for group in found:
            same = farthest(full[group[0]], shows, most) < 1.0
            if same and fault not in apart and group[0] not in apart:
                group.append(fault)
                break
        else:
            found.append([fault])
    return found


def silent(rows: Iterable[Row]) -> list[str]:
    """Faults that move no gauge by twice its error, however large: found by ear or eye only."""
    full = _at_full_size(rows)
    most = _most_errors(full[""])
    return [f for f, shows in full.items() if f and farthest(full[""], shows, most) < LEAST_ERRORS]


def _at_full_size(rows: Iterable[Row]) -> dict[str, Signature]:
    return {row.fault: row.shows for row in rows}


def _most_errors(in_order: Signature) -> list[float]:
    return [max(column) for column in zip(*map(_errors, in_order), strict=True)]
