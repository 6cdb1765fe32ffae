"""The sentence over a train run is made of the run's own results, whichever of its forms it takes."""

from __future__ import annotations

from math import isclose

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.quantities import Quantity
from calculators.base.results import Value
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
