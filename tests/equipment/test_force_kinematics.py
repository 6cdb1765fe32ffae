"""Arithmetic of measured stops: published rows of 1869 to 1996 (rows M10 to M24)."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.force.kinematics import (
    FEET_PER_SECOND_PER_MPH,
    GRAVITY_FEET,
    dead_time,
    force_per_ton,
    grade_slowing,
    kinetic_energy,
    mean_slowing,
    share_of_weight,
)

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()

SPEED = st.floats(1, 100)
DISTANCE = st.floats(10, 20_000)


def test_constants_against_pint() -> None:
    assert pytest.approx(UREG("1 mph").to("ft/s").magnitude) == FEET_PER_SECOND_PER_MPH
    assert pytest.approx(UREG("1 standard_gravity").to("ft/s**2").magnitude) == GRAVITY_FEET


# EB11 (tables of 50 empty cars): the square of the speed carries one row to the other. The printed
# 307 and 927 are 424 ft from 23.5 mph scaled to 20 and 927 ft from 40 mph (H-rows, column 5 and 6).
def test_speed_squared_scaling_of_the_printed_tables() -> None:
    slowing = mean_slowing(speed=23.5, end_speed=0, distance=424)
    at_20 = (20 * FEET_PER_SECOND_PER_MPH) ** 2 / (2 * slowing)

    assert at_20 == pytest.approx(307, abs=0.5)


def test_half_again_the_distance() -> None:
    # H53, White (1946): from 30 to 40 mph nearly doubles a stop; steady slowing gives 1.78.
    ratio = mean_slowing(speed=40, end_speed=0, distance=1) / mean_slowing(
        speed=30, end_speed=0, distance=1
    )

    assert ratio == pytest.approx(1.78, abs=0.005)


def test_kinetic_energy_of_the_textbook() -> None:
    # H45, WEBB 120: 66.9 V² ft-lb a ton without the wheels.
    assert kinetic_energy(speed=1) == pytest.approx(66.9, abs=0.05)
    # Disagreement 11: a loaded car's wheels make it 69.0, the common allowance 70, an empty's 72.8.
    assert kinetic_energy(speed=1, rotating_mass=3.2) == pytest.approx(69.0, abs=0.05)


@given(speed=SPEED, rotating=st.floats(0, 12))
def test_kinetic_energy_against_pint(speed: float, rotating: float) -> None:
    energy = 0.5 * UREG.short_ton * (speed * UREG.mph) ** 2 * (1 + rotating / 100)

    ours = kinetic_energy(speed=speed, rotating_mass=rotating)

    assert ours == pytest.approx(energy.to("foot * pound_force").magnitude)


@given(speed=SPEED, distance=DISTANCE)
def test_force_and_slowing_say_the_same(speed: float, distance: float) -> None:
    share = share_of_weight(slowing=mean_slowing(speed=speed, end_speed=0, distance=distance))
    force = force_per_ton(speed=speed, end_speed=0, distance=distance)

    assert force / 2000 * 100 == pytest.approx(share)


@given(speed=SPEED, dead=st.floats(0, 20), slowing=st.floats(0.2, 8))
def test_dead_time_is_the_coasting_of_a_coast_then_steady_stop(
    speed: float, dead: float, slowing: float
) -> None:
    v = speed * FEET_PER_SECOND_PER_MPH
    distance, time = v * dead + v**2 / (2 * slowing), dead + v / slowing

    assert dead_time(speed=speed, distance=distance, time=time) == pytest.approx(dead, abs=1e-6)


def test_grade_slowing_is_even_and_small_angle() -> None:
    assert grade_slowing(grade=1) == pytest.approx(GRAVITY_FEET / 100, rel=1e-4)
    assert grade_slowing(grade=-7) == -grade_slowing(grade=7)
