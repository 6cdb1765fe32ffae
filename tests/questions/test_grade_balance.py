"""The `grade-balance` calculator: the balance holds, and what is lacking is said."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.equipment.car import full_service_reduction, service_pressure
from calculators.equipment.force.holding import reduction_for
from calculators.questions.grade_balance.declaration import grade_balance

BRAKES = {
    "operative_brakes": "118",
    "braking_ratio": "10",
    "friction": "0.3",
    "half_friction_speed": "150",
}


def ask(**texts: str) -> Answer:
    found = answer(grade_balance, texts)
    assert found.errors == {}
    return found


def warnings(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == "warning")


def said(found: Answer) -> str:
    assert found.outcome is not None
    lines = [found.outcome.headline.text(Display())]
    lines += [n.text.text(Display()) for n in found.outcome.notes]
    return " ".join(lines)


def test_nothing_is_assumed_for_the_users_train():
    found = ask()
    results = found.results()

    assert results["reduction"] is None
    assert results["tons_per_operative_brake"] is None
    assert results["grade_force"] == pytest.approx(20 * 14_600)
    for figure in ("braking ratio", "friction", "operative brakes"):
        assert figure in warnings(found)
    assert found.outcome is not None
    assert found.outcome.series == ()


def test_tons_per_brake_need_no_friction():
    found = ask(weight="8900", cars="69", operative_brakes="69")

    # H120, NTSB-90 p. 59.
    assert found.results()["tons_per_operative_brake"] == pytest.approx(128.99, abs=0.005)
    assert found.results()["reduction"] is None
    assert "80 tons" in said(found)


@pytest.mark.parametrize("missing", [*BRAKES])
def test_every_figure_is_needed(missing):
    texts = {name: text for name, text in BRAKES.items() if name != missing}

    assert ask(**texts).results()["reduction"] is None


def test_constant_friction_needs_no_half_speed():
    texts = {**BRAKES, "half_friction_speed": "", "friction_law": "constant"}
    found = ask(**texts)

    assert isinstance(found.results()["reduction"], float)
    assert "shoes hold less as speed rises" not in warnings(found)


def test_by_hand():
    # 1 % is 20 lb/ton; 10 % at 64 psi with friction 0.25 is 50 lb/ton; so 25.6 psi in the cylinders,
    # and (40.3 × 871.3 − 14.7 × 243) / 2,500 = 12.62 psi off.
    texts = {**BRAKES, "friction": "0.25", "half_friction_speed": "", "friction_law": "constant"}
    results = ask(grade="1", **texts).results()

    assert results["brake_cylinder"] == pytest.approx(25.6)
    assert results["reduction"] == pytest.approx(12.62, abs=0.01)


def test_half_of_full_service_is_held_up_against_it():
    # H124 (NTSB-90 rule 61.E): balance with no more than half of full service, here 13.
    light, heavy = ask(grade="0.9", **BRAKES), ask(grade="1.5", **BRAKES)

    assert light.results()["half_of_full_service"] == pytest.approx(13.0, abs=0.01)
    assert "more than half" not in warnings(light)
    assert "more than half" in warnings(heavy)


def test_a_grade_that_service_cannot_balance():
    only_emergency = ask(grade="2.9", **BRAKES)
    not_even = ask(grade="5", **BRAKES)

    for found in (only_emergency, not_even):
        assert found.results()["reduction"] is None
        assert found.results()["brake_cylinder"] is None
        assert "No service reduction balances" in said(found)
    assert "Only emergency" in warnings(only_emergency)
    assert "Even emergency" in warnings(not_even)
    assert not_even.outcome is not None
    assert not_even.outcome.series == ()
    assert only_emergency.outcome is not None
    assert only_emergency.outcome.series == () or not only_emergency.outcome.series[0].marked


def test_a_train_about_to_run_out_of_service_brake():
    # Full service holds it at this speed and not five miles an hour faster.
    found = ask(grade="2.6", speed="20", **{**BRAKES, "half_friction_speed": "100"})
    assert found.results()["reduction"] is None

    edge = ask(grade="2.45", speed="20", **{**BRAKES, "half_friction_speed": "100"})
    assert isinstance(edge.results()["reduction"], float)
    assert "no service reduction balances it any more" in warnings(edge)


def test_rolling_resistance_alone_holds_a_slight_grade():
    found = ask(grade="0.1", speed="30", resistance_formula="davis", **BRAKES)

    assert found.results()["reduction"] == 0
    assert "no reduction" in said(found)


def test_counting_resistance_asks_for_less_air():
    left_out = ask(**BRAKES).results()["reduction"]
    later = ask(resistance_formula="modified", **BRAKES).results()["reduction"]
    old = ask(resistance_formula="davis", **BRAKES).results()["reduction"]

    assert old < later < left_out  # type: ignore[operator]


def test_dynamic_brake_is_shown_apart():
    # H68, H123 (NTSB-90 p. 61): 18 axles hold 180,000 lb at 23 mph.
    texts = {**BRAKES, "operative_brakes": "69"}
    with_it = ask(
        weight="8900",
        cars="69",
        grade="2.2",
        speed="23",
        dynamic_axles="18",
        dynamic_axle_force="10000",
        **texts,
    )
    without = ask(weight="8900", cars="69", grade="2.2", speed="23", **texts)

    assert with_it.results()["dynamic_force"] == 180_000
    for found, told in ((with_it, ["Dynamic brake, apart"]), (without, [])):
        assert found.outcome is not None
        labels = [step.label for step in found.outcome.working]
        assert [label for label in labels if label.startswith("Dynamic")] == told
    assert with_it.results()["reduction"] == without.results()["reduction"]
    assert with_it.results()["reduction_with_dynamic"] < without.results()["reduction"]  # type: ignore[operator]
    assert without.results()["reduction_with_dynamic"] == without.results()["reduction"]
    assert "lost at once" in warnings(with_it)
    assert "lost at once" not in warnings(without)


def test_brakes_that_do_not_work_ask_more_of_the_others():
    all_work = ask(**BRAKES).results()["reduction"]
    found = ask(**{**BRAKES, "operative_brakes": "100"})

    assert found.results()["reduction"] > all_work  # type: ignore[operator]
    assert "100 of 118 brakes work" in said(found)


def test_more_brakes_than_there_are_is_refused_with_the_way_out():
    ten = {"cars": "10", "weight": "1000"}
    found = answer(grade_balance, {**ten, "operative_brakes": "11"})

    assert list(found.errors) == ["operative_brakes"]
    assert "brakes in the train" in found.errors["operative_brakes"]
    found = answer(grade_balance, {**ten, "operative_brakes": "31", "control_valves": "30"})
    assert list(found.errors) == ["operative_brakes"]


def test_articulated_cars_have_more_brakes_than_there_are_cars():
    """Ten cars of three brakes each, one of them cut out: 29 of 30 share the load."""
    ten = {**BRAKES, "cars": "10", "weight": "1000", "grade": "1"}
    articulated = ask(**{**ten, "operative_brakes": "29", "control_valves": "30"})
    all_work = ask(**{**ten, "operative_brakes": "10"})

    assert "29 of 30 brakes work" in said(articulated)
    assert articulated.results()["reduction"] > all_work.results()["reduction"]  # type: ignore[operator]
    assert articulated.results()["tons_per_operative_brake"] == pytest.approx(1000 / 29)


def test_heat_stands_first_on_every_answer():
    for texts in ({}, BRAKES):
        found = ask(**texts)
        assert found.outcome is not None
        assert "heat" in found.outcome.notes[0].text.text(Display())
        assert found.outcome.notes[0].kind == "warning"


def test_fastest_speed_is_not_passed():
    assert "At 60 mph" in warnings(ask(grade="1", speed="58", **BRAKES))
    assert "At 95 mph" not in warnings(ask(grade="1", speed="90", **BRAKES))


@given(charged=st.floats(60, 110), share=st.floats(0.001, 1))
def test_reduction_for_is_the_inverse_of_the_cars_volumes(charged: float, share: float) -> None:
    full = service_pressure(charged=charged, reduction=charged)

    reduction = reduction_for(brake_cylinder=share * full, charged=charged)

    assert reduction is not None
    assert reduction <= full_service_reduction(charged=charged) * (1 + 1e-9)
    assert service_pressure(charged=charged, reduction=reduction) == pytest.approx(share * full)


@given(grade=st.integers(1, 25), speed=st.integers(5, 40), operative=st.integers(60, 118))
def test_at_the_balance_the_brakes_hold_just_the_grade(
    grade: int, speed: int, operative: int
) -> None:
    texts = {**BRAKES, "operative_brakes": str(operative)}
    results = ask(grade=f"{grade / 10}", speed=str(speed), **texts).results()
    cylinder = results["brake_cylinder"]
    if cylinder is None:
        # Then full service holds less than the grade pulls.
        cylinder = 64.0
        assert 200 * 0.3 / (1 + speed / 150) * operative / 118 <= 20 * grade / 10 * 1.001
        return
    assert isinstance(cylinder, float)
    held = 200 * cylinder / 64 * 0.3 / (1 + speed / 150) * operative / 118

    assert held == pytest.approx(20 * grade / 10)


def test_the_balance_is_for_the_car_that_was_given():
    """The cylinder's pressure and Boyle's law with 9 in of travel, by hand."""
    found = ask(**BRAKES, piston_travel="9")
    results = found.results()
    cylinder, off = results["brake_cylinder"], results["reduction"]
    assert isinstance(cylinder, float)
    assert isinstance(off, float)
    swept = math.pi / 4.0 * 10.0**2 * 9.0
    by_hand = ((cylinder + 14.7) * (swept + 243.0) - 14.7 * 243.0) / 2500.0
    assert off == pytest.approx(by_hand, abs=0.02)
    usual = ask(**BRAKES).results()["reduction"]
    assert isinstance(usual, float)
    assert off > usual + 0.5
