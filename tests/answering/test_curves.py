"""A curve goes as far as what is asked: the point that is marked on it lies between its ends."""

from __future__ import annotations

import pytest

from calculators.catalog import CALCULATORS
from calculators.questions.grade_balance.words import CURVE_STEP, CURVE_TO
from tests.answering.test_working import SLOW, answers

# Drawn between two fixed speeds; what is asked may be slower or faster.
DRAWN_FOR = {"grade-balance": (CURVE_STEP, CURVE_TO)}
ROUNDING = 1e-9


@pytest.mark.parametrize("name", [name for name in CALCULATORS if name not in SLOW])
def test_what_is_marked_lies_on_the_curve_s_length(name: str):
    for found in answers(name):
        assert found.outcome is not None
        for series in found.outcome.series:
            ends = [x for line in series.lines for x, _ in line.points]
            said = {item.name: item.text for item in found.inputs if item.origin == "typed"}
            for x, _ in series.marked:
                slow, fast = DRAWN_FOR.get(name, (x, x))
                if slow <= x <= fast:
                    within = min(ends) - ROUNDING <= x <= max(ends) + ROUNDING
                    assert within, (series.title, x, said)
