"""The units calculator."""

from __future__ import annotations

from calculators.answering.answer import answer
from calculators.base.results import Display
from calculators.questions.units.declaration import units


def test_says_the_factor():
    found = answer(units, {"value": "90", "from_unit": "psi", "to_unit": "kPa"})
    assert found.outcome is not None
    assert found.outcome.headline.text(Display()) == "90 psi is 620.5282 kPa."
    assert "1 psi = 6.894757 kPa" in found.outcome.working[0].how.text(Display())


def test_temperatures_have_no_factor():
    found = answer(units, {"value": "20", "from_unit": "°F", "to_unit": "°C"})
    assert found.outcome is not None
    assert found.outcome.working[0].how.text(Display()) == "20 °F = -6.666667 °C"


def test_unlike_units_are_an_error_by_the_field():
    found = answer(units, {"from_unit": "psi", "to_unit": "mph"})
    assert list(found.errors) == ["to_unit"]
    assert "Choose two units of one kind." in found.errors["to_unit"]
