"""The sentence over a train run is made of the run's own results, whichever of its forms it takes."""

from __future__ import annotations

from math import isclose

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import result_rows
from calculators.base.quantities import Quantity
from calculators.base.results import Display, Value
from calculators.base.units import UNITS, convert
from calculators.catalog import CALCULATORS

RUN = CALCULATORS["train-run"]
# A leak makes the last car another than the one before it.
TRAIN = {"cars": "5", "leakage": "8", "seconds": "12"}


@pytest.mark.parametrize(
    ("entries", "named"),
    [
        ({}, {"starts": "last_car_starts", "full": "last_car_90_percent"}),
        ({"command": "emergency"}, {"starts": "last_car_starts", "full": "last_car_90_percent"}),
        ({"command": "release"}, {"cylinder": "last_car_cylinder"}),
        (
            {"command": "charge"},
            {"head": "head", "rear": "rear", "auxiliary": "last_car_auxiliary"},
        ),
        (
            {"command": "release", "reduction": "1", "seconds": "10"},
            {"head": "head", "rear": "rear", "auxiliary": "last_car_auxiliary"},
        ),
    ],
    ids=["set", "emergency", "release", "charge", "too light to set"],
)
def test_each_figure_is_the_result_that_it_names(entries: dict[str, str], named: dict[str, str]):
    found = finished(answer(RUN, TRAIN | entries, example=True))
    assert found.outcome is not None
    headline = found.outcome.headline
    results = dict(found.results())
    assert named.keys() <= headline.parts.keys(), headline.template
    for part, result in named.items():
        value, description = headline.parts[part], RUN.outputs()[result]
        amount = results[result]
        assert isinstance(value, Value)
        assert isinstance(description, Quantity)
        assert isinstance(amount, float)
        assert UNITS[value.unit].kind == description.kind
        assert isclose(convert(value.amount, value.unit, description.unit), amount, rel_tol=1e-9)
        if description.unit == value.unit:
            assert value.digits >= description.digits


def test_sentence_and_table_count_a_release_by_one_clock():
    texts = {"cars": "10", "moves": "0 s service 10; 40.5 s release"}
    found = finished(answer(RUN, texts))
    assert found.outcome is not None
    shown = {row.name: row for row in result_rows(found)}
    latest = shown["last_car_releases"]
    headline = found.outcome.headline.text(Display())
    assert f"lets go at {latest.text};" in headline
    assert "went to release at 40.5 s" in headline
    assert "from the start of the run" in latest.help
    step = next(s for s in found.outcome.working if "From the handle" in s.label)
    at = found.results()["last_car_releases"]
    assert isinstance(at, float)
    assert step.value is not None
    assert step.value.amount == pytest.approx(at - 40.5)
