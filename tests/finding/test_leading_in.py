"""A reading that differs from an answer leads to where faults are found."""

from __future__ import annotations

import pytest

from calculators.answering.otherwise import otherwise
from calculators.base.results import Display
from calculators.catalog import CALCULATORS, find_calculator
from calculators.finding.observing import read
from calculators.rendering.answers.otherwise import otherwise_html


@pytest.mark.parametrize(
    ("name", "result", "entries", "reads", "entry"),
    [
        ("locomotive-brake", "brake_cylinder", {"reduction": "10"}, "31", "ten-off cylinder 31"),
        ("daily-brake-test", "first_cylinder", {}, "31", "ten-off cylinder 31"),
        ("locomotive-brake", "brake_cylinder", {"reduction": "12"}, "39", ""),
        ("locomotive-brake", "brake_cylinder", {"reduction": "10"}, "25", ""),
    ],
)
def test_a_stage_of_the_series_is_carried_over(name, result, entries, reads, entry):
    found = otherwise(
        find_calculator(name), entries, result=result, text=reads, settings={}, display=Display()
    )
    assert found.entry == entry
    html = otherwise_html(found, Display(), root="../../")
    assert ("calculators/find-fault/?v=1&" in html.replace("&amp;", "&")) == bool(entry)


def test_every_entry_that_is_declared_can_be_read():
    for calculator in CALCULATORS.values():
        for each in calculator.first.sought.values():
            for sought in each:
                assert read(f"{sought.entry} 25")
                assert set(sought.only) <= set(calculator.inputs())
