"""The `brake-force` calculator: what it answers with and without the figures of a car."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.brake_force.declaration import brake_force


def ask(**texts: str) -> Answer:
    found = answer(brake_force, texts)
    assert found.errors == {}
    return found


def notes(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def test_without_the_rigging_only_the_pistons_are_answered():
    found = ask(brake_cylinder="50")
    results = found.results()

    assert results["piston_force"] == pytest.approx(3927, abs=0.5)  # H27, geometry
    assert results["shoe_force"] is None
    assert results["braking_ratio"] is None
    assert results["lightest_weight"] is None
    assert "lever ratio" in notes(found)
    assert "efficiency" in notes(found)
    assert "no text gives it" in notes(found)
    assert "3,927 lbf at the pistons" in headline(found)


def test_with_the_ratio_but_no_efficiency_still_no_shoe_force():
    found = ask(lever_ratio="8")

    assert found.results()["shoe_force"] is None
    assert found.results()["lever_ratio_used"] == 8
    assert "efficiency" in notes(found)
    assert "lever ratio" not in notes(found)


def test_without_a_weight_no_ratio():
    found = ask(lever_ratio="8", efficiency="65")

    assert found.results()["braking_ratio"] is None
    assert "weight" in notes(found, "note")
    assert "presses the shoes" in headline(found)
    assert found.outcome is not None
    assert [step.label for step in found.outcome.working if step.decides] == ["Force of all shoes"]


def test_the_whole_chain_by_hand():
    # 1 cylinder: π/4 × 100 × 60 = 4,712.4 lb; × 8 × 0.75 = 28,274 lb; / (100 × 2,000) = 14.137 %.
    found = ask(brake_cylinder="60", lever_ratio="8", efficiency="75", weight="100")
    results = found.results()

    assert results["shoe_force"] == pytest.approx(28_274, abs=1)
    assert results["force_per_shoe"] == pytest.approx(28_274 / 8, abs=0.2)
    assert results["braking_ratio"] == pytest.approx(14.137, abs=0.001)
    assert "14.1% of the weight" in headline(found)


def test_given_ratio_goes_before_the_levers():
    levers = {"cylinder_lever": "1", "upper_arm": "21", "lower_arm": "7"}

    assert ask(**levers).results()["lever_ratio_used"] == 16
    assert ask(**levers, lever_ratio="8").results()["lever_ratio_used"] == 8
    assert ask(cylinder_lever="1", upper_arm="21").results()["lever_ratio_used"] is None


def test_over_the_highest_ratio_warns_of_sliding():
    light = ask(lever_ratio="8", efficiency="85", weight="20")
    heavy = ask(lever_ratio="8", efficiency="85", weight="130")

    assert "slide" in notes(light)
    assert notes(heavy) == ""


@given(
    pressure=st.integers(1, 120),
    ratio=st.integers(1, 16),
    efficiency=st.integers(10, 100),
    weight=st.integers(10, 300),
)
def test_ratio_says_no_more_than_the_pistons_can_press(
    pressure: int, ratio: int, efficiency: int, weight: int
) -> None:
    found = ask(
        brake_cylinder=str(pressure),
        lever_ratio=str(ratio),
        efficiency=str(efficiency),
        weight=str(weight),
    ).results()
    piston, shoe, made = found["piston_force"], found["shoe_force"], found["braking_ratio"]

    assert isinstance(piston, float)
    assert isinstance(shoe, float)
    assert isinstance(made, float)
    assert shoe <= piston * ratio * (1 + 1e-12)
    assert made * weight * 20 == pytest.approx(shoe)
