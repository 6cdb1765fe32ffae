"""Every calculator declares the limits that it judges by: no more and no fewer than it meets."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from calculators.answering.answer import answer
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import plain
from calculators.catalog import every_calculator
from calculators.declaring.registry import Calculator
from calculators.law.limit_list import LIMITS

CALCULATORS = every_calculator()

# Entries at which another limit is judged, though no single choice or blank field leads there.
ASKED_TOO: dict[str, tuple[dict[str, str], ...]] = {
    "daily-brake-test": ({"track_speed": "10"},),
    "brake-test": (
        {"event": "unchanged", "rear": "70"},
        {"event": "interchange-short", "air_sources": "two-or-more", "air_flow": "50"},
    ),
}


def variants(calculator: Calculator) -> Iterator[dict[str, str]]:
    """Each option of each choice, with and without what may stay out."""
    optional: dict[str, str] = {}
    choices: list[dict[str, str]] = [{}, *ASKED_TOO.get(calculator.name, ())]
    for name, description in calculator.inputs().items():
        may_stay_out = calculator.defaults()[name] is None and name not in calculator.example
        if isinstance(description, Choice):
            choices += [{name: option.value} for option in description.options]
        elif isinstance(description, Quantity) and may_stay_out:
            optional[name] = plain(description.low or description.high or 1)
    for chosen in choices:
        yield chosen
        yield {**optional, **chosen}


@pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS.keys())
def test_judges_what_it_declares(calculator: Calculator):
    outcomes = (answer(calculator, one, example=True).outcome for one in variants(calculator))
    met = {reading.limit for outcome in outcomes if outcome for reading in outcome.readings}
    assert met == set(calculator.judges)
    assert len(set(calculator.judges)) == len(calculator.judges)
    assert met <= set(LIMITS)
