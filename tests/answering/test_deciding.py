"""An answer says what decided only where something else could have."""

from __future__ import annotations

import re

import pytest

from calculators.answering.answer import answer
from calculators.answering.deciding import deciding_step
from calculators.catalog import CALCULATORS
from calculators.rendering.answers.bar import bar_html
from calculators.rendering.answers.text import answer_text
from calculators.rendering.screens import answer_views

WEIGHS = {"car-brake", "locomotive-brake", "rear-pressure"}


@pytest.mark.parametrize("name", CALCULATORS)
def test_only_where_steps_are_weighed_one_of_them_decides(name: str):
    calculator = CALCULATORS[name]
    assert calculator.first.weighs == (name in WEIGHS)
    found = answer(calculator, dict(calculator.example), example=True)
    assert found.errors == {}
    said = "decided by" in bar_html(found)
    assert said == (name in WEIGHS)
    assert ("this decided" in answer_text(found)) == (name in WEIGHS)


def test_of_two_limits_the_one_that_decides_is_named_and_another_can():
    steps = {
        step.label
        for setting in ("80", "110")
        if (
            step := deciding_step(
                answer(CALCULATORS["rear-pressure"], {"brake_pipe_setting": setting})
            )
        )
    }
    assert len(steps) == 2


@pytest.mark.parametrize(
    ("name", "texts"),
    [
        ("repeated-applications", {}),
        ("stopping-distance", {"braking_ratio": "10", "friction": "0.3"}),
        ("brake-test", {}),
    ],
)
def test_the_last_line_of_a_sum_decides_nothing(name: str, texts: dict[str, str]):
    assert deciding_step(answer(CALCULATORS[name], texts)) is None


def test_a_refused_answer_decides_nothing():
    assert deciding_step(answer(CALCULATORS["car-brake"], {"reduction": "x"})) is None


def test_where_the_bail_off_took_it_every_place_says_so():
    """The bar once said "decided by neither" where the class screen said "Bail-off"."""
    found = answer(CALCULATORS["locomotive-brake"], {"reduction": "10", "bail_off": "held"})
    assert found.results()["decided_by"] == "neither"
    step = deciding_step(found)
    assert step is not None
    assert step.label == "Bail-off"
    bar = re.sub(r"<[^>]*>", "", bar_html(found))
    assert "decided by bail-off, 0 psi" in bar
    assert "neither" not in bar
    assert "Decided by: Bail-off" in answer_views(found)[1]
