"""The `measured-stop` calculator: what is missing, what cannot be, what it warns of."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.measured_stop.declaration import measured_stop


def ask(**texts: str) -> Answer:
    found = answer(measured_stop, texts)
    assert found.errors == {}
    return found


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes)


def test_speed_must_fall():
    found = answer(measured_stop, {"speed": "20", "end_speed": "20"})

    assert list(found.errors) == ["end_speed"]
    assert "20 mph" in found.errors["end_speed"]


def test_what_is_not_given_is_not_answered():
    results = ask().results()

    assert results["dead_time"] is None
    assert results["efficiency_times_friction"] is None


def test_braking_power_gives_efficiency_times_friction():
    # M19 (SRR p. 187): 88 ft from 20 mph with shoes at 70 %, so 15.20 / 70.
    found = ask(speed="20", distance="88", braking_ratio="70")

    assert found.results()["efficiency_times_friction"] == pytest.approx(0.217, abs=0.0005)
    assert found.outcome is not None
    assert found.outcome.working[-1].label == "Efficiency × friction"


@pytest.mark.parametrize("speed", ["40", "40.5", "40.25"])
def test_the_working_repeats_the_speed_as_typed(speed: str):
    found = ask(speed=speed, distance="1000", time="40")
    assert found.outcome is not None
    (how,) = (
        step.how.text(Display()) for step in found.outcome.working if step.label == "Dead time"
    )
    assert f"({float(speed):.1f} mph ×" in how if len(speed) < 5 else f"({speed} mph ×" in how


def test_dead_time_needs_a_full_stop():
    found = ask(speed="40", end_speed="20", distance="1000", time="20")

    assert found.results()["dead_time"] is None
    assert "standstill" in notes(found)


def test_dead_time_below_zero_is_explained():
    # Steady slowing from 50 mph in 357 ft takes 9.74 s; 10.25 s were measured (HAN79).
    found = ask(speed="50", distance="357", time="10.25")

    assert found.results()["dead_time"] == pytest.approx(9.74 - 10.25, abs=0.005)
    assert "below zero" in notes(found)


def test_a_climb_that_did_all_the_work():
    found = ask(speed="20", distance="2000", grade="3", direction="up")
    brakes = found.results()["brakes_slowing"]

    assert isinstance(brakes, float)
    assert brakes < 0
    assert "grade alone" in notes(found)


def test_a_stop_that_asks_more_than_a_bad_rail_gives_warns():
    # M13 (AB13 p. 292): 725 ft from 60 mph is 16.6 % of the weight; a sliding wheel found 12 to 35.
    assert "may slide" in notes(ask(speed="60", distance="725"))
    assert "may slide" not in notes(ask(speed="60", distance="1600"))


def test_turning_wheels_add_to_the_force():
    bare, with_wheels = ask().results(), ask(rotating_mass="5").results()

    assert with_wheels["mean_slowing"] == bare["mean_slowing"]
    assert with_wheels["force"] == pytest.approx(bare["force"] * 1.05)  # type: ignore[operator]
    assert with_wheels["share_of_weight"] == pytest.approx(bare["share_of_weight"] * 1.05)  # type: ignore[operator]


def test_adding_the_locomotive_of_1913():
    # AB13: car alone 725 ft, train estimated 795 ft; 200 of 932 tons are the locomotive, which then
    # slows by 3.15 ft/s² and would need about 1,230 ft alone (derived, 5 %).
    car = ask(speed="60", distance="725").results()["mean_slowing"]
    train = ask(speed="60", distance="795").results()["mean_slowing"]
    assert isinstance(car, float)
    assert isinstance(train, float)

    locomotive = (932 * train - 732 * car) / 200
    alone = 88**2 / (2 * locomotive)

    assert locomotive == pytest.approx(3.15, rel=0.05)
    assert alone == pytest.approx(1230, rel=0.05)


def test_order_of_the_stops_of_1913():
    # C4, step 4 (AB13): M13 < M14 < M12 < M15 < M11 < M10 in feet, so the reverse in slowing.
    slowings = [
        ask(speed="60", distance=feet).results()["share_of_weight"]
        for feet in ("725", "795", "1021", "1040", "1400", "1600")
    ]

    assert slowings == sorted(slowings, reverse=True)  # type: ignore[type-var]


@given(speed=st.integers(5, 90), distance=st.integers(50, 9000), grade=st.integers(0, 8))
def test_up_and_down_differ_by_twice_the_grade(speed: int, distance: int, grade: int) -> None:
    given_texts = {"speed": str(speed), "distance": str(distance), "grade": str(grade)}
    down = ask(**given_texts, direction="down").results()
    up = ask(**given_texts, direction="up").results()
    values = [r["brakes_slowing"] for r in (down, up)] + [up["grade_part"]]
    downhill, uphill, by_grade = (v for v in values if isinstance(v, float))

    assert downhill - uphill == pytest.approx(2 * by_grade)
