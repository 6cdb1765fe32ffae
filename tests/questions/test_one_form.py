"""One question has one answer, and one figure has one form, whoever prints it."""

from __future__ import annotations

import re

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import result_rows
from calculators.base.results import Display, time_digits
from calculators.catalog import CALCULATORS
from calculators.kept.settings import settings_for


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


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        ("grade-balance", ("half_of_full_service",)),
        ("locomotive-brake", ("car_brake_cylinder",)),
    ],
)
def test_what_is_said_of_a_car_is_said_of_the_readers_own(name: str, figures: tuple[str, ...]):
    """A car kept in the settings with a long travel counts, and none is called nominal."""
    calculator = CALCULATORS[name]
    kept = {"piston_travel": "10", "auxiliary_volume": "2000"}
    own = answer(calculator, {}, settings=settings_for(calculator, kept)).results()
    usual = answer(calculator, {}).results()
    for figure in figures:
        assert own[figure] != usual[figure], figure
    said = (*calculator.first.figures.values(), *calculator.validity)
    assert not any("nominal car" in words for words in said)
