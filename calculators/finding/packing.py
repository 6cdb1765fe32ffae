"""The table as a short text and back: whole tenths, each row as the difference to the one in order."""

from __future__ import annotations

import json
from base64 import b85decode, b85encode
from collections.abc import Iterable
from zlib import compress, decompress

from calculators.finding.series import GAUGES, SOUNDS, STAGES
from calculators.finding.signatures import Shown
from calculators.finding.table import UNKNOWNS, Row

_TENTHS = 10.0
_HUNDREDTHS = 20.0
_NONE = -9999


def packed(rows: Iterable[Row]) -> str:
    """Rows as a text; the first row stands whole."""
    flat = [_flat(row) for row in rows]
    first = flat[0][2]
    told = [
        (name, size, _runs(values, first if number else None))
        for number, (name, size, values) in enumerate(flat)
    ]
    data = json.dumps(told, separators=(",", ":")).encode()
    return b85encode(compress(data, 9)).decode()


def unpacked(text: str) -> list[Row]:
    """The rows of a text that `packed` made."""
    told = json.loads(decompress(b85decode(text)))
    rows = []
    first: list[int] | None = None
    for name, size, runs in told:
        values = _whole(runs, first)
        first = first or values
        rows.append(_row(name, size, values))
    return rows


def _flat(row: Row) -> tuple[str, float, list[int]]:
    values: list[int] = []
    for shown in row.shows:
        if shown is None:
            values += [_NONE] * (len(GAUGES) + 2)
            continue
        values += [round(figure * _TENTHS) for figure in shown.gauges()]
        values.append(sum(1 << n for n, place in enumerate(SOUNDS) if place in shown.blows))
        values.append(shown.out[0] + 2 * shown.out[1])
    for stages in row.slopes:
        for slope in stages:
            if slope is None:
                values += [0] * len(GAUGES)
            else:
                values += [round(figure * _HUNDREDTHS) for figure in slope]
    return row.fault, round(row.size, 5), values


def _runs(values: list[int], first: list[int] | None) -> list[int]:
    """Differences, with runs of noughts as one negative count in a pair."""
    differences = values if first is None else [a - b for a, b in zip(values, first, strict=True)]
    runs: list[int] = []
    noughts = 0
    end: list[int | None] = [*differences, None]
    for figure in end:
        if figure == 0:
            noughts += 1
            continue
        if noughts:
            runs += [0, noughts]
            noughts = 0
        if figure is not None:
            runs.append(figure)
    return runs


def _whole(runs: list[int], first: list[int] | None) -> list[int]:
    values: list[int] = []
    places = iter(runs)
    for figure in places:
        values += [0] * next(places) if figure == 0 else [figure]
    return values if first is None else [a + b for a, b in zip(values, first, strict=True)]


def _row(name: str, size: float, values: list[int]) -> Row:
    each = len(GAUGES) + 2
    shows: list[Shown | None] = []
    for stage in range(len(STAGES)):
        part = values[stage * each : (stage + 1) * each]
        if part[0] == _NONE:
            shows.append(None)
            continue
        gauges = [figure / _TENTHS for figure in part[: len(GAUGES)]]
        blows, out = part[-2], part[-1]
        shows.append(
            Shown(
                reservoir=gauges[0],
                pipe=gauges[1],
                cylinder=gauges[2],
                main=gauges[3],
                flow=gauges[4],
                blows=frozenset(p for n, p in enumerate(SOUNDS) if blows >> n & 1),
                out=(bool(out & 1), bool(out & 2)),
            )
        )
    rest = values[len(STAGES) * each :]
    wide = len(STAGES) * len(GAUGES)
    slopes = []
    for unknown in range(len(UNKNOWNS)):
        own = rest[unknown * wide : (unknown + 1) * wide]
        slopes.append(
            tuple(
                tuple(f / _HUNDREDTHS for f in own[n * len(GAUGES) : (n + 1) * len(GAUGES)])
                for n in range(len(STAGES))
            )
        )
    return Row(fault=name, size=size, shows=tuple(shows), slopes=tuple(slopes))
