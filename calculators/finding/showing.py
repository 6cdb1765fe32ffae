"""What one fault of one size shows over the series, beside a locomotive in order.

At once by the kept table, between two of its sizes by a straight line; exactly by two runs of the
running brake.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import log

from calculators.equipment.faults import SOUND, Fault
from calculators.finding.own import EXAMPLE, Own, finder_for
from calculators.finding.series import GAUGES, STAGES
from calculators.finding.signatures import Asked, Shown, Signature, begin, walked
from calculators.finding.table import Row, errors_at

STEPS = 2 * len(STAGES)
"""Stages that the running brake goes through for one exact answer."""
_ON_A_ROW = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Shows:
    """A fault of a size [its own unit], what it shows, and what a locomotive in order does.

    ``exact`` says that the running brake showed it, and not a line between two sizes.
    """

    fault: Fault
    size: float
    usual: Signature
    shown: Signature
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """A gauge of a stage that reads other than in order, by ``errors`` of that gauge."""

    stage: int
    gauge: int
    usual: float
    shown: float
    errors: float


def size_at(own: Own, fault: Fault, share: float) -> float:
    """The size at a share of the way from just showing (0) to complete (1), by equal factors."""
    rows = _rows(own, fault)
    place = share * (len(rows) - 1)
    if abs(place - round(place)) < _ON_A_ROW:
        return rows[round(place)].size
    low, high = rows[0].size, rows[-1].size
    return float(low * (high / low) ** share)


def at_once(own: Own, fault: Fault, size: float) -> Shows:
    """What the kept table says of a size, shifted to settings by its slopes."""
    finder = finder_for(own)
    rows = _rows(own, fault)
    shown, kept = _between(rows, size)
    return Shows(
        fault=fault,
        size=size,
        usual=finder.in_order,
        shown=shown,
        exact=kept and own == EXAMPLE,
    )


def worked_out(own: Own, fault: Fault, size: float) -> Iterator[int | Shows]:
    """The same by the running brake; gives the stages gone through, and last what they showed.

    Raises
    ------
    InputError
        If these settings leave the fault no room, such as a regulator set under the least.
    """
    asked = Asked(independent=own.independent)
    made: list[list[Shown | None]] = []
    for wrong, heard in ((SOUND, ""), (fault.wrong(size), fault.heard)):
        made.append([])
        for shown, _ in walked(begin(own.setup(), wrong, heard=heard, asked=asked), STAGES):
            made[-1].append(shown)
            yield sum(map(len, made))
    usual, shown_all = (tuple(one) for one in made)
    yield Shows(fault=fault, size=size, usual=usual, shown=shown_all, exact=True)


def apart(shows: Shows) -> list[Apart]:
    """Every gauge at every stage that reads beyond its error, in the order of the series."""
    found = []
    for stage, (usual, shown) in enumerate(zip(shows.usual, shows.shown, strict=True)):
        if usual is None or shown is None:
            continue
        errors = errors_at(usual)
        for gauge in range(len(GAUGES)):
            a, b = usual.gauges()[gauge], shown.gauges()[gauge]
            if abs(a - b) > errors[gauge]:
                found.append(
                    Apart(
                        stage=stage,
                        gauge=gauge,
                        usual=a,
                        shown=b,
                        errors=abs(a - b) / errors[gauge],
                    )
                )
    return found


def _rows(own: Own, fault: Fault) -> list[Row]:
    return [row for row in finder_for(own).rows if row.fault == fault.id]


def _between(rows: list[Row], size: float) -> tuple[Signature, bool]:
    """What is shown at a size, and whether it is one that was worked out."""
    for row in rows:
        if abs(row.size / size - 1.0) < _ON_A_ROW or len(rows) == 1:
            return row.shows, True
    low, high = next(
        ((a, b) for a, b in pairwise(rows) if a.size <= size <= b.size), (rows[0], rows[-1])
    )
    share = log(size / low.size) / log(high.size / low.size)
    shows = tuple(
        _mixed(a, b, share) if a is not None and b is not None else (a if share < 0.5 else b)
        for a, b in zip(low.shows, high.shows, strict=True)
    )
    return shows, False


def _mixed(a: Shown, b: Shown, share: float) -> Shown:
    """Gauges by a straight line; what blows and stands out as at the nearer size."""
    reservoir, pipe, cylinder, main, flow = (
        x + share * (y - x) for x, y in zip(a.gauges(), b.gauges(), strict=True)
    )
    nearer = a if share < 0.5 else b
    return Shown(
        reservoir=reservoir,
        pipe=pipe,
        cylinder=cylinder,
        main=main,
        flow=flow,
        blows=nearer.blows,
        out=nearer.out,
    )
