"""The `train-resistance` calculator: parts that add up, a grade that pulls."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.train_resistance.declaration import train_resistance


def ask(**texts: str) -> Answer:
    found = answer(train_resistance, texts)
    assert found.errors == {}
    return found


def words(found: Answer) -> str:
    assert found.outcome is not None
    lines = [found.outcome.headline.text(Display())]
    lines += [n.text.text(Display()) for n in found.outcome.notes]
    return " ".join(lines)


def test_level_and_straight_is_the_formula_alone():
    # LECTURE (H62) by hand, 30 tons an axle at 40 mph: 1.3 + 29/30 + 1.8 + 0.0005 × 90 × 1600 / 120.
    results = ask().results()

    assert results["resistance"] == pytest.approx(1.3 + 29 / 30 + 1.8 + 0.6)
    assert results["rolling"] == results["resistance"]
    assert results["resistance_force"] == pytest.approx(14_600 * (1.3 + 29 / 30 + 1.8 + 0.6))


def test_a_descent_pulls_the_train_along():
    found = ask(grade="2", direction="down", speed="20")

    assert isinstance(found.results()["resistance"], float)
    assert found.results()["grade_part"] == -40
    assert "pulls this train along" in words(found)
    assert "runs away" in words(found)


def test_the_later_form_is_lighter_and_says_what_was_not_read():
    old, new = ask(formula="davis"), ask(formula="modified")
    old_rolling, new_rolling = old.results()["rolling"], new.results()["rolling"]

    assert isinstance(old_rolling, float)
    assert isinstance(new_rolling, float)
    assert new_rolling < old_rolling
    assert "roller bearings" in words(old)
    assert "from memory" in words(new)


@given(
    grade=st.integers(0, 5), curve=st.integers(0, 15), speed=st.integers(0, 80), up=st.booleans()
)
def test_parts_add_up(grade: int, curve: int, speed: int, up: bool) -> None:
    results = ask(
        grade=str(grade), curve=str(curve), speed=str(speed), direction="up" if up else "down"
    ).results()
    parts = [results[name] for name in ("rolling", "grade_part", "curve_part")]

    assert results["grade_part"] == pytest.approx((20 if up else -20) * grade)
    assert sum(p for p in parts if isinstance(p, float)) == pytest.approx(results["resistance"])
