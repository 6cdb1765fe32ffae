"""One question has one answer, and one figure has one form, whoever prints it."""

from __future__ import annotations

import re

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import result_rows
from calculators.base.results import Display, time_digits
from calculators.catalog import CALCULATORS


def test_the_same_compressor_fills_the_same_reservoir():
    """`train-run` and `main-reservoir` start from one record of the locomotive's supply."""
    of_train = {item.name: item.value for item in answer(CALCULATORS["train-run"], {}).inputs}
    alone = {item.name: item.value for item in answer(CALCULATORS["main-reservoir"], {}).inputs}
    assert alone["volume"] == of_train["reservoir_volume"]
    assert alone["delivery"] == of_train["delivery"]


@pytest.mark.parametrize(
    "moves",
    [
        {"cars": "40"},
        {"cars": "30", "command": "emergency"},
    ],
)
def test_a_time_reads_alike_in_the_headline_and_in_the_table(moves: dict[str, str]):
    found = finished(answer(CALCULATORS["train-run"], moves))
    assert found.outcome is not None
    times = re.findall(r"[\d.]+ ± [\d.]+ s\b", found.outcome.headline.text(Display()))
    assert times
    assert set(times) <= {row.text for row in result_rows(found)}


def test_a_time_has_no_more_digits_than_its_band_carries():
    assert [time_digits(band) for band in (0.5, 1.99, 2.0, 9.0)] == [1, 1, 0, 0]


def test_what_is_worked_out_for_a_nominal_car_says_so():
    """Neither follows the reader's car settings."""
    for name, figure in (
        ("grade-balance", "brake_cylinder"),
        ("locomotive-brake", "car_brake_cylinder"),
    ):
        calculator = CALCULATORS[name]
        assert calculator.first.figures[figure] == "a nominal car"
        assert "piston_travel" not in calculator.inputs(), "it would follow the car's settings"
    assert any(
        "whatever your car settings" in line for line in CALCULATORS["grade-balance"].validity
    )
