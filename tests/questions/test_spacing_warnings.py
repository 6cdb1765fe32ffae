"""Every answer by the train model warns of trains longer a car than the model was fitted to."""

from __future__ import annotations

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.results import Display
from calculators.catalog import find_calculator

STOP = {"cars": "6", "weight": "600"}
MOVES = {"cars": "6"}


def warnings(name: str, entries: dict[str, str]) -> list[str]:
    found = finished(answer(find_calculator(name), entries, example=True))
    assert found.outcome is not None, found.errors
    return [note.text.text(Display()) for note in found.outcome.notes if note.kind == "warning"]


@pytest.mark.parametrize(
    ("name", "entries"),
    [
        ("stopping-distance", {**STOP, "command": "service", "reduction": "10"}),
        ("repeated-applications", MOVES),
        ("train-run", {"cars": "6", "command": "service", "reduction": "10", "seconds": "20"}),
    ],
)
def test_a_service_application_along_long_cars_is_warned_of(name: str, entries: dict[str, str]):
    def told(length: str) -> bool:
        said = warnings(name, {**entries, "car_length": length})
        return any("for one working brake" in words for words in said)

    assert told("110")
    assert not told("55")


def test_an_emergency_is_not_what_was_fitted():
    said = warnings("stopping-distance", {**STOP, "command": "emergency", "car_length": "110"})
    assert not any("for one working brake" in words for words in said)
