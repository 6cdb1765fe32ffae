"""The `hand-brakes` calculator: never flattering, never silent about proof and chart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.hand_brakes.declaration import hand_brakes


def ask(**texts: str) -> Answer:
    found = answer(hand_brakes, texts)
    assert found.errors == {}
    return found


def warnings(found: Answer) -> list[str]:
    assert found.outcome is not None
    return [n.text.text(Display()) for n in found.outcome.notes if n.kind == "warning"]


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def test_no_number_without_what_one_brake_holds():
    found = ask()

    assert found.results()["number"] is None
    assert any("no text gives it" in text for text in warnings(found))
    assert found.outcome is not None
    assert found.outcome.series == ()


@pytest.mark.parametrize(
    "texts", [{}, {"holding_force": "4600"}, {"grade": "0", "holding_force": "9000"}]
)
def test_chart_and_proof_stand_on_every_answer(texts):
    found = ask(**texts)
    said = " ".join(warnings(found))

    assert "chart" in said
    assert "at least one" in said
    assert "release the air brakes" in said
    assert "air brake is not securement" in said
    assert "Nothing is secured until" in found.calculator.estimate


def test_limit_is_shown_and_never_judged_by_a_sum():
    found = ask(holding_force="4600")

    assert [v.limit.id for v in found.verdicts] == ["hand-brakes-unattended"]
    assert [v.standing for v in found.verdicts] == ["no reading"]


def test_by_hand():
    # 20 × 2,500 × 0.8 = 40,000 lb; half as much again 60,000; / 4,600 = 13.04, so 14.
    found = ask(weight="2500", grade="0.8", holding_force="4600", margin="50")

    assert found.results() == {
        "number": 14,
        "grade_force": pytest.approx(40_000),
        "force_with_margin": pytest.approx(60_000),
    }
    assert "14 hand brakes" in headline(found)


def test_one_on_the_level():
    found = ask(grade="0", holding_force="4600")

    assert found.results()["number"] == 1
    assert "never fewer than one" in headline(found)


def test_more_than_there_are_cars_is_said():
    found = ask(weight="2500", cars="20", grade="2", holding_force="4600")

    assert any("must not be left there" in text for text in warnings(found))


def test_a_force_the_rail_may_not_give_is_said():
    # 30-ton empties: 12 % of 60,000 lb is 7,200 lb (lowest rail friction read, AB13 p. 154).
    strong = ask(weight="600", cars="20", grade="1", holding_force="8000")
    weak = ask(weight="600", cars="20", grade="1", holding_force="7000")

    assert any("may lock and slide" in text for text in warnings(strong))
    assert not any("may lock and slide" in text for text in warnings(weak))


def test_weight_and_cars_must_belong_together():
    found = answer(hand_brakes, {"weight": "2500", "cars": "2"})

    assert list(found.errors) == ["weight"]
    assert "1250" in found.errors["weight"]


@given(
    weight=st.integers(400, 5000),
    grade=st.integers(0, 40),
    holding=st.integers(500, 12_000),
    margin=st.integers(0, 200),
)
def test_the_number_always_covers_the_pull(
    weight: int, grade: int, holding: int, margin: int
) -> None:
    found = ask(
        weight=str(weight),
        cars="26",
        grade=f"{grade / 10}",
        holding_force=str(holding),
        margin=str(margin),
    ).results()
    number, wanted = found["number"], found["force_with_margin"]

    assert isinstance(number, float)
    assert isinstance(wanted, float)
    assert number >= 1
    assert number == round(number)
    assert number * holding >= wanted


@given(first=st.integers(0, 300), second=st.integers(0, 300))
def test_a_steeper_grade_never_asks_for_fewer(first: int, second: int) -> None:
    less, more = sorted((first, second))
    numbers = [
        ask(grade=f"{grade / 100}", holding_force="4600").results()["number"]
        for grade in (less, more)
    ]

    assert numbers[0] <= numbers[1]  # type: ignore[operator]
