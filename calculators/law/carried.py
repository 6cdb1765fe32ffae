"""What was renamed or dropped since version 0.1.0, so that old links and kept settings still open.

One table: the old name, the new ones, and why. A railroad's own figure goes with a limit's new
name; a choice of edition that is gone leaves the railroad's own figure where it was the stricter
one, and a sentence in every case.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from calculators.law.limit_list import find_limit

OWN_LIMIT_PREFIX = "limit."
EDITION_PREFIX = "edition."

Kind = Literal["limit", "edition", "result"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """One old name. ``new`` is empty where nothing takes its place.

    An edition's old name is its key, ``=`` and the option; ``own`` is the figure that stays as the
    railroad's own limit under each new name, as the option said it.
    """

    kind: Kind
    old: str
    new: tuple[str, ...] = ()
    why: str
    own: str = ""


FLOW_TWO_SOURCES = ("air-flow-two-sources", "air-flow-two-sources-own-words")
ONE_FIGURE = "the edition of 17 June 2026 has one figure, 24 hours; 4 hours was the older text's"
COMBINED = (
    "the edition of 17 June 2026 has 90 cfm combined for a Class I test; for Class IA and II two "
    "texts stand side by side"
)

CARRIED: tuple[Carried, ...] = (
    Carried(kind="limit", old="off-air-hours-4", new=("off-air-hours",), why=ONE_FIGURE),
    Carried(kind="limit", old="off-air-hours-24", new=("off-air-hours",), why=ONE_FIGURE),
    Carried(kind="limit", old="air-flow-two-sources-60", new=FLOW_TWO_SOURCES, why=COMBINED),
    Carried(kind="limit", old="air-flow-two-sources-90", new=FLOW_TWO_SOURCES, why=COMBINED),
    Carried(
        kind="limit",
        old="air-flow-two-sources-codified",
        new=("air-flow-two-sources",),
        why="read in the text now; it was from memory",
    ),
    Carried(
        kind="limit",
        old="rear-gradient-two-sources",
        new=("rear-gradient",),
        why="the same 15 psi hold with distributed power; it was from memory",
    ),
    Carried(
        kind="limit",
        old="rear-floor-two-sources",
        new=("rear-floor-class-1",),
        why="the same 75 psi hold with distributed power; it was from memory",
    ),
    Carried(
        kind="limit",
        old="single-car-test-months-later",
        new=("single-car-test-months-automated", "single-car-test-months-four-pressure"),
        why="the text has one figure for each method: 24 and 48 months",
    ),
    Carried(
        kind="limit",
        old="helper-link-reduction",
        new=("helper-reduction",),
        why="the text asks it of every helper, not of its radio link",
    ),
    Carried(
        kind="limit",
        old="end-of-train-calibration",
        new=("end-of-train-sensor-test",),
        why="the text now asks for a test of the pressure sensor; the telemetry goes by its maker",
    ),
    Carried(kind="edition", old="off-air-hours=4", new=("off-air-hours",), own="4", why=ONE_FIGURE),
    Carried(kind="edition", old="off-air-hours=24", why=ONE_FIGURE),
    Carried(
        kind="edition",
        old="air-flow-two-sources=60",
        new=FLOW_TWO_SOURCES,
        own="60",
        why=COMBINED,
    ),
    Carried(kind="edition", old="air-flow-two-sources=90", why=COMBINED),
    Carried(
        kind="result",
        old="brake-test.test=depends-on-edition",
        why=f"no test hangs on an edition now: {ONE_FIGURE}",
    ),
)

# Inputs of version 0.1.0 that chose an edition, and the value that chose none.
EDITION_INPUTS = {"edition_off_air_hours": "off-air-hours"}
NOT_CHOSEN = "not-chosen"


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedOver:
    """Entries under today's names, and a sentence for each that had an old one."""

    entries: Mapping[str, str]
    said: tuple[str, ...]


def carry_over(entries: Mapping[str, str]) -> CarriedOver:
    """Put entries of a link or a kept record under the names of today.

    What stands under a new name already stays; of two old ones the lesser figure is taken, which
    is the stricter of all that carry over. Entries without an old name come back as they were.
    """
    found: dict[str, str] = {}
    added: dict[str, str] = {}
    said: list[str] = []
    for key, text in entries.items():
        rows = _rows(key, text)
        if rows is None:
            found[key] = text
            continue
        for row in rows:
            said.append(_said(row, key, text))
            own = row.own or text
            for new in row.new:
                to = f"{OWN_LIMIT_PREFIX}{new}"
                added[to] = _lesser(added.get(to, own), own)
    kept = {key: text for key, text in added.items() if not found.get(key, "").strip()}
    return CarriedOver(entries=found | kept, said=tuple(said))


def carried_to(limit: str) -> tuple[Carried, ...]:
    """The old limits that a limit of today stands in for."""
    return tuple(row for row in CARRIED if row.kind == "limit" and limit in row.new)


def _rows(key: str, text: str) -> tuple[Carried, ...] | None:
    """The rows for an entry's old name: None for a name of today, () to drop it silently."""
    if key.startswith(OWN_LIMIT_PREFIX):
        old = key.removeprefix(OWN_LIMIT_PREFIX)
        rows = tuple(row for row in CARRIED if row.kind == "limit" and row.old == old)
        return (rows if text.strip() else ()) if rows else None
    if key not in EDITION_INPUTS and not key.startswith(EDITION_PREFIX):
        return None
    if text.strip() in ("", NOT_CHOSEN):
        return ()
    edition = EDITION_INPUTS.get(key, key.removeprefix(EDITION_PREFIX))
    old = f"{edition}={text.strip()}"
    return tuple(row for row in CARRIED if row.kind == "edition" and row.old == old) or None


def _lesser(first: str, second: str) -> str:
    """The lesser of two texts where both are bare numbers, else the first."""
    try:
        return min(first, second, key=float)
    except ValueError:
        return first


def _said(row: Carried, key: str, text: str) -> str:
    given = f'"{key[:60]}={text.strip()[:40]}" of an earlier version'
    if not row.new:
        return f"The choice {given} is gone: {row.why}."
    titles = " and ".join(f'"{find_limit(new).title}"' for new in row.new)
    return (
        f"{given} is now {titles}: {row.why}. Your railroad's own figure stays: "
        f"{(row.own or text.strip())[:40]}."
    )
