"""Every published row: our figure within the digits that were printed, by the one answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from calculators.catalog import CALCULATORS
from calculators.law.source_list import SOURCES
from generator.published import Row, Table, expectation, ours, tables

TABLES = list(tables(Path(__file__).parent / "published"))


def rows() -> list[object]:
    return [
        pytest.param(table, row, id=f"{table.file}-{row.id}-{number}")
        for table in TABLES
        for number, row in enumerate(table.rows)
    ]


@pytest.mark.parametrize(("table", "row"), rows())
def test_published_row(table: Table, row: Row):
    found = row.answer(table.calculator)

    assert found.errors == {}
    assert found.unknown == {}
    for expected in row.expected:
        value, _ = ours(found, expected.result)
        assert expected.low <= value <= expected.high, (expected.result, expected.printed, value)


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
    with pytest.raises(ValueError, match="no printed figure"):
        expectation("x", "about five")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[[row]]\nid = "a"\ninputs = {}\nexpect = {}\ntolerance = { x = "1" }\n', "no reason"),
        ('colour = "red"\n', "unknown key colour"),
    ],
)
def test_a_careless_file_is_refused(tmp_path: Path, text: str, message: str):
    (tmp_path / "x.toml").write_text(text)
    with pytest.raises(ValueError, match=message):
        list(tables(tmp_path))
