"""The published check values: read from ``tests/published``, shown on pages, run by tests.

A row's inputs are texts as typed and go through the one ``answer``; its expected values are
kept as printed, so that the printed digits give the tolerance.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, Literal

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import with_results
from calculators.base.quantities import Quantity
from calculators.catalog import find_calculator

How = Literal["digits", "wider", "disagrees"]

_KEYS = {"source", "place", "calculator", "title", "notes", "row"}
_ROW_KEYS = {"id", "inputs", "expect", "tolerance", "disagrees", "reason", "what"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a print says of one result, with the bounds that ours is held to.

    ``how`` says what they are: the printed digits themselves, a wider allowance with a reason, or
    the most by which ours is known to differ where it does not agree.
    """

    result: str
    printed: str
    low: float
    high: float
    how: How = "digits"


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRow:
    """One published row: the inputs that lead to it and what is printed."""

    id: str
    what: str
    inputs: dict[str, str]
    expected: tuple[Expected, ...]
    reason: str

    def answer(self, calculator: str) -> Answer:
        """Our answer for this row, by the same way as everywhere."""
        found = answer(find_calculator(calculator), self.inputs)
        return with_results(found, (expected.result for expected in self.expected))


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One file of published rows."""

    file: str
    source: str
    place: str
    calculator: str
    title: str
    notes: str
    rows: tuple[PublishedRow, ...]


def tables(folder: Path) -> Iterator[Table]:
    """All published tables, in the order of their file names.

    Raises
    ------
    ValueError
        If a file has an unknown key, or a wider tolerance without a reason.
    """
    for file in sorted(folder.glob("*.toml")):
        yield _table(file)


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What was looked for where no printed figure was found, and in what."""

    looked_for: str
    where: str


def searches(folder: Path) -> Mapping[str, Search]:
    """By calculator, what was looked for in vain."""
    text = (folder / "searched" / "looked-for.toml").read_text(encoding="utf-8")
    return {name: Search(**found) for name, found in tomllib.loads(text).items()}


def _table(file: Path) -> Table:
    data = tomllib.loads(file.read_text(encoding="utf-8"))
    _refuse_unknown(file, data, _KEYS)
    rows = []
    for row in data["row"]:
        _refuse_unknown(file, row, _ROW_KEYS)
        tolerance, disagrees = row.get("tolerance", {}), row.get("disagrees", {})
        if (tolerance or disagrees) and not row.get("reason"):
            raise ValueError(
                f"{file.name}: row {row['id']} has a wider tolerance or disagrees, and no reason"
            )
        rows.append(
            PublishedRow(
                id=row["id"],
                what=row.get("what", ""),
                inputs={name: str(text) for name, text in row["inputs"].items()},
                expected=tuple(
                    expectation(name, printed, tolerance.get(name, ""), disagrees.get(name, ""))
                    for name, printed in row["expect"].items()
                ),
                reason=row.get("reason", ""),
            )
        )
    return Table(
        file=file.stem,
        source=data["source"],
        place=data.get("place", ""),
        calculator=data["calculator"],
        title=data["title"],
        notes=data.get("notes", ""),
        rows=tuple(rows),
    )


def expectation(result: str, printed: str, tolerance: str = "", disagrees: str = "") -> Expected:
    """Turn printed text into bounds: "50", "50.0", "10 to 25", "at most 25", "at least 30".

    ``tolerance`` is a wider allowance, ``disagrees`` the most by which ours is known to differ.

    >>> expectation("x", "50.0").low
    49.95
    """
    bounds = re.fullmatch(r"(at most|at least) (\S+)", printed)
    if bounds:
        figure = float(bounds[2])
        low, high = (figure, float("inf")) if bounds[1] == "at least" else (float("-inf"), figure)
        return Expected(result=result, printed=printed, low=low, high=high)
    between = re.fullmatch(r"(\S+) to (\S+)", printed)
    if between:
        return Expected(
            result=result, printed=printed, low=float(between[1]), high=float(between[2])
        )
    try:
        exact = Decimal(printed.replace(",", ""))
    except InvalidOperation:
        raise ValueError(f"{result}: {printed!r} is no printed figure") from None
    exponent = exact.as_tuple().exponent
    assert isinstance(exponent, int)
    slack = float(disagrees or tolerance or 0.5 * 10.0**exponent)
    return Expected(
        result=result,
        printed=printed,
        low=float(exact) - slack,
        high=float(exact) + slack,
        how="disagrees" if disagrees else "wider" if tolerance else "digits",
    )


def agreement(tables: tuple[Table, ...]) -> str:
    """How many printed figures agree, and how many do not, in one sentence.

    >>> agreement(())
    '0 printed figures: 0 agree within the printed digits.'
    """
    all_of_them = [e.how for table in tables for row in table.rows for e in row.expected]
    parts = [f"{all_of_them.count('digits')} agree within the printed digits"]
    if wider := all_of_them.count("wider"):
        parts.append(f"{wider} within a wider allowance, with its reason")
    if not_at_all := all_of_them.count("disagrees"):
        parts.append(f"{not_at_all} {'does' if not_at_all == 1 else 'do'} not agree")
    return f"{len(all_of_them)} printed figures: {', '.join(parts)}."


def ours(found: Answer, result: str) -> tuple[float, str]:
    """Our figure for a result, bare and as it is shown."""
    description = found.calculator.outputs()[result]
    value = found.results()[result]
    if not isinstance(description, Quantity) or not isinstance(value, float | int):
        raise ValueError(f"{found.calculator.name}.{result} is no figure to compare")
    digits = max(description.digits, 1)
    return float(value), found.display.amount(float(value), description.unit, digits)


def _refuse_unknown(file: Path, data: dict[str, Any], known: set[str]) -> None:
    extra = set(data) - known
    if extra:
        raise ValueError(f"{file.name}: unknown key {', '.join(sorted(extra))}")
