"""Every published row: our figure within the digits that were printed, by the one answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from calculators.catalog import CALCULATORS
from calculators.law.source_list import SOURCES
from generator.embeds import Block
from generator.fragments import Fragments
from generator.published import PublishedRow, Table, agreement, expectation, ours, tables

TABLES = list(tables(Path(__file__).parent / "published"))


def rows() -> list[object]:
    return [
        pytest.param(table, row, id=f"{table.file}-{row.id}-{number}")
        for table in TABLES
        for number, row in enumerate(table.rows)
    ]


@pytest.mark.parametrize(("table", "row"), rows())
def test_published_row(table: Table, row: PublishedRow):
    found = row.answer(table.calculator)

    assert found.errors == {}
    assert found.unknown == {}
    for expected in row.expected:
        value, _ = ours(found, expected.result)
        assert expected.low <= value <= expected.high, (expected.result, expected.printed, value)
        if expected.how == "disagrees":
            # Named so because it is so: ours is outside the printed digits and a wider allowance.
            printed = expectation(expected.result, expected.printed)
            assert not printed.low <= value <= printed.high, "it agrees: take the mark away"
            known = max(expected.high - float(expected.printed.replace(",", "")), 0.0)
            off = abs(value - float(expected.printed.replace(",", "")))
            assert off > 0.8 * known, f"differs by {off:.3g} only, not by {known:.3g}"


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.file)
def test_table_is_whole(table: Table):
    assert table.source in SOURCES
    assert table.calculator in CALCULATORS
    assert table.rows
    assert all(row.expected for row in table.rows)


def test_bounds_of_printed_figures():
    assert (expectation("x", "50.0").low, expectation("x", "50.0").high) == (49.95, 50.05)
    assert (expectation("x", "1,213").low, expectation("x", "1,213").high) == (1212.5, 1213.5)
    assert (expectation("x", "50", "1").low, expectation("x", "50", "1").high) == (49, 51)
    assert expectation("x", "at most 25").high == 25
    assert expectation("x", "at least 30").low == 30
    assert (expectation("x", "10 to 25").low, expectation("x", "10 to 25").high) == (10, 25)
    assert expectation("x", "50", disagrees="3").how == "disagrees"
    assert expectation("x", "50", disagrees="3").high == 53
    with pytest.raises(ValueError, match="no printed figure"):
        expectation("x", "about five")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[[row]]\nid = "a"\ninputs = {}\nexpect = {}\ntolerance = { x = "1" }\n', "no reason"),
        ('[[row]]\nid = "a"\ninputs = {}\nexpect = {}\ndisagrees = { x = "1" }\n', "no reason"),
        ('colour = "red"\n', "unknown key colour"),
    ],
)
def test_a_careless_file_is_refused(tmp_path: Path, text: str, message: str):
    (tmp_path / "x.toml").write_text(text)
    with pytest.raises(ValueError, match=message):
        list(tables(tmp_path))


def test_what_does_not_agree_is_shown_beside_what_does():
    """Every row of a print that holds the result is shown, and one that differs says so in words."""
    made = Fragments(tuple(TABLES)).checks(
        Block(subject="stopping-distance", settings={}, number=1, page=Path("x.md"))
    )
    assert '<tr class="disagrees">' in made
    assert "17.5" in made
    assert "nothing: it does not agree" in made
    mine = tuple(table for table in TABLES if table.calculator == "stopping-distance")
    assert agreement(mine).endswith("1 does not agree.")
    assert agreement(mine) in made


def test_each_printed_time_of_the_stops_with_fifty_cars_is_compared():
    """A printed time that one check has and another leaves out would hide that it does not fit."""
    (printed,) = (table for table in TABLES if table.file == "measured-stop-fifty-cars")
    (ours_,) = (table for table in TABLES if table.file == "stopping-distance-fifty-cars")
    stops = {(row.inputs["distance"], row.inputs["time"]) for row in printed.rows}
    compared = {
        tuple({e.result: e.printed for e in row.expected}[name] for name in ("distance", "time"))
        for row in ours_.rows
    }
    assert compared == stops
