"""Resistance of the running train, its curves and grades; friction of shoes."""

from math import inf

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.force.friction import (
    Friction,
)
from calculators.equipment.force.resistance import (
    curve_resistance,
    davis_modified,
    davis_original,
    grade_resistance,
)

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()

WEIGHT_PER_AXLE = st.floats(3, 45)
SPEED = st.floats(0, 90)


def test_davis_original_by_hand() -> None:
    # LECTURE (H62), worked by hand for w = 29 t, n = 4, V = 40, A = 90:
    # 1.3 + 1 + 1.8 + 0.0005 x 90 x 1600 / 116 = 4.1 + 0.62069.
    worked = davis_original(weight_per_axle=29, axles=4, speed=40, frontal_area=90)

    assert worked == pytest.approx(4.72069, abs=5e-6)


def test_davis_modified_form_by_hand() -> None:
    # LECTURE (H63), form only, K given: 0.6 + 20/20 + 0.01 x 50 + 0.08 x 2500 / 80 = 2.1 + 2.5.
    assert davis_modified(weight_per_axle=20, axles=4, speed=50, drag=0.08) == pytest.approx(4.6)


# H60: 20 lb/ton per percent, which is plain arithmetic; H61: 0.8 lb/ton per degree (LECTURE).
def test_grade_and_curve() -> None:
    one_percent = (0.01 * UREG.short_ton * UREG.standard_gravity).to(UREG.pound_force).magnitude

    assert grade_resistance(grade=1) == pytest.approx(one_percent)
    assert grade_resistance(grade=-2.2) == pytest.approx(-44)
    assert curve_resistance(curve=10) == pytest.approx(8)


@given(w=WEIGHT_PER_AXLE, slow=SPEED, fast=SPEED)
def test_resistance_rises_with_speed_and_falls_with_load(
    w: float, slow: float, fast: float
) -> None:
    slow, fast = sorted((slow, fast))

    def original(speed: float, weight: float) -> float:
        return davis_original(weight_per_axle=weight, axles=4, speed=speed, frontal_area=90)

    def modified(speed: float, weight: float) -> float:
        return davis_modified(weight_per_axle=weight, axles=4, speed=speed, drag=0.07)

    for formula in (original, modified):
        assert formula(slow, w) <= formula(fast, w)
        assert formula(fast, w * 1.1) < formula(fast, w)


@given(standstill=st.floats(0.05, 0.5), half=st.floats(5, 500), slow=SPEED, fast=SPEED)
def test_friction_falls_as_speed_rises(
    standstill: float, half: float, slow: float, fast: float
) -> None:
    # H41 (Galton 1878-79 in PROUT 68-71) and M31 (AB13 p. 268): the direction only.
    slow, fast = sorted((slow, fast))
    friction = Friction(standstill=standstill, half_speed=half)

    assert friction.at(0) == standstill
    assert friction.at(fast) <= friction.at(slow)
    assert friction.at(half) == pytest.approx(standstill / 2)


@given(speed=SPEED)
def test_constant_friction_is_constant(speed: float) -> None:
    assert Friction(standstill=0.3, half_speed=inf).at(speed) == 0.3
