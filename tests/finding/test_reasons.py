"""Why a group of faults is held likely: the first reasons, no more than are read at once."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from calculators.base.results import Display, psi
from calculators.questions.find_fault import words


@pytest.mark.parametrize("number", [0, 1, 4, 5, 9])
def test_four_reasons_are_told_each_with_its_own_figure(
    monkeypatch: pytest.MonkeyPatch, number: int
):
    every = [(f"Reason {place}: {{read}}.", {"read": psi(10.0 + place)}) for place in range(number)]
    monkeypatch.setattr(words, "_reasons", lambda found, one: iter(every))
    found = SimpleNamespace(finder=SimpleNamespace(groups={0: ("relay",)}))
    said = words._why(found, SimpleNamespace(group=0, against=()))  # type: ignore[arg-type]

    text = said.text(Display())
    for place in range(9):
        told = f"Reason {place}: {10 + place} psi." in text
        assert told == (place < min(number, 4)), text
    assert ("Nothing seen speaks against it." in text) == (number == 0)
