"""The figures of curves as a table: every point is there, and the table can be made again."""

from __future__ import annotations

import csv
import io
from urllib.parse import parse_qsl

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.catalog import every_calculator
from calculators.declaring.registry import Calculator
from calculators.rendering.answers.sheet import changed, sheet_html
from calculators.rendering.answers.tables import curves_csv

CALCULATORS = every_calculator()

QUICK = [one for name, one in CALCULATORS.items() if name not in ("train-run", "circuit")]
each_quick = pytest.mark.parametrize("calculator", QUICK, ids=lambda one: one.name)


@each_quick
def test_every_point_of_every_curve_is_in_the_table(calculator: Calculator):
    found = finished(answer(calculator, {}, example=True))
    assert found.outcome is not None
    rows = list(csv.reader(io.StringIO(curves_csv(found), newline="")))
    points = [
        (series.title, line.name, x, y)
        for series in found.outcome.series
        for line in series.lines
        for x, y in line.points
    ]
    assert len(rows) == 3 + len(points)
    for row, (title, line, x, y) in zip(rows[3:], points, strict=True):
        assert row[:2] == [title, line]
        digits = max(len(row[4].partition(".")[2]), 0)
        assert float(row[4]) == pytest.approx(x, abs=0.51 * 10.0**-digits)
        digits = len(row[5].partition(".")[2])
        assert float(row[5]) == pytest.approx(y, abs=0.51 * 10.0**-digits)
    again = answer(calculator, dict(parse_qsl(rows[1][1], keep_blank_values=True)))
    assert again.link_query() == found.link_query()


@each_quick
def test_a_sheet_marks_what_was_changed_and_nothing_else(calculator: Calculator):
    found = answer(calculator, {}, example=True)
    assert not any(changed(found, item) for item in found.inputs)
    assert 'class="changed"' not in sheet_html(found)


def test_a_changed_input_is_marked_on_the_sheet():
    found = answer(CALCULATORS["locomotive-brake"], {"reduction": "15 psi", "service_limit": "60"})
    marked = [item.name for item in found.inputs if changed(found, item)]
    assert marked == ["reduction"]
    assert sheet_html(found).count('class="changed"') == 1


def test_a_sheet_of_what_was_refused_says_why():
    made = sheet_html(answer(CALCULATORS["locomotive-brake"], {"reduction": "lots"}))
    assert "lots" in made
    assert "Working" not in made
