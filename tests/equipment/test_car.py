"""The car's volumes: hand-worked cases, rows H1 to H12, and laws that must hold."""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import Any

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.base.units import ATMOSPHERE
from calculators.equipment.car import (
    NOMINAL_CAR,
    CarBrake,
    cylinder_pressure,
    emergency_pressure,
    fitted_unswept_volume,
    full_service_pressure,
    full_service_reduction,
    rise_to_release,
    rule_full_service_pressure,
    rule_of_thumb,
    service_pressure,
    swept_volume,
)

charges = st.floats(40, 130)
travels = st.floats(3, 12)
bores = st.floats(8, 10.5)
cars = st.builds(
    CarBrake,
    auxiliary_volume=st.floats(1500, 6000),
    emergency_volume=st.floats(1000, 8000),
    cylinder_bore=bores,
    piston_travel=travels,
    unswept_volume=st.none() | st.floats(0, 1000),
)


def test_swept_volume_against_pint():
    unit: Any = pint.UnitRegistry()
    volume = pi / 4 * (10 * unit.inch) ** 2 * 8 * unit.inch

    assert swept_volume(cylinder_bore=10, piston_travel=8) == pytest.approx(
        volume.to("cubic_inch").magnitude
    )


@pytest.mark.parametrize(
    ("bore", "swept", "unswept"),
    # H9 and H10 (derived there): 628.3 and 243 for 10 in, 454 and 457 for 8 1/2.
    [(10, 628.3, 243.0), (8.5, 454.0, 457.0)],
)
def test_volumes_of_the_two_cylinders(bore, swept, unswept):
    assert swept_volume(cylinder_bore=bore, piston_travel=8) == pytest.approx(swept, abs=0.1)
    assert fitted_unswept_volume(cylinder_bore=bore) == pytest.approx(unswept, abs=0.5)


@pytest.mark.parametrize("bore", [0, -1, 11.5])
def test_fit_refuses_a_bore_out_of_range(bore):
    with pytest.raises(ValueError, match="cylinder_bore"):
        fitted_unswept_volume(cylinder_bore=bore)


@pytest.mark.parametrize(
    ("charged", "full", "reduction", "emergency"),
    # H9 table: worked there from Boyle's law in a program of its own.
    [
        (60, 41.8, 18.2, 51.0),
        (70, 49.2, 20.8, 59.8),
        (80, 56.6, 23.4, 68.5),
        (90, 64.0, 26.0, 77.2),
        (110, 78.8, 31.2, 94.7),
        (75, 52.9, 22.1, 64.1),  # H135: the rear at its legal minimum
    ],
)
def test_equalization_table(charged, full, reduction, emergency):
    assert full_service_pressure(charged=charged) == pytest.approx(full, abs=0.06)
    assert full_service_reduction(charged=charged) == pytest.approx(reduction, abs=0.06)
    assert emergency_pressure(charged=charged) == pytest.approx(emergency, abs=0.06)


@pytest.mark.parametrize(
    ("reduction", "cylinder"),
    # H11.
    [
        (5, 3.7),
        (6, 6.6),
        (8, 12.4),
        (10, 18.1),
        (12, 23.8),
        (15, 32.4),
        (18, 41.0),
        (20, 46.8),
        (26, 64.0),
    ],
)
def test_partial_reductions_from_90(reduction, cylinder):
    assert service_pressure(charged=90, reduction=reduction) == pytest.approx(cylinder, abs=0.06)


@pytest.mark.parametrize(
    ("travel", "full", "reduction", "emergency", "ten", "twenty"),
    # Shorter travel, higher pressure: Boyle's law.
    [
        (6, 67.8, 22.2, 79.4, 25.3, 60.3),
        (7.5, 64.9, 25.1, 77.8, 19.6, 49.7),
        (8, 64.0, 26.0, 77.2, 18.1, 46.8),
        (9, 62.2, 27.8, 76.2, 15.4, 41.7),
        (10, 60.5, 29.5, 75.2, 13.1, 37.4),
        (12, 57.3, 32.7, 73.2, 9.4, 30.5),
    ],
)
def test_piston_travel_table(travel, full, reduction, emergency, ten, twenty):
    car = CarBrake(piston_travel=travel)

    assert full_service_pressure(charged=90, car=car) == pytest.approx(full, abs=0.06)
    assert full_service_reduction(charged=90, car=car) == pytest.approx(reduction, abs=0.06)
    assert emergency_pressure(charged=90, car=car) == pytest.approx(emergency, abs=0.06)
    assert service_pressure(charged=90, reduction=10, car=car) == pytest.approx(ten, abs=0.06)
    assert service_pressure(charged=90, reduction=20, car=car) == pytest.approx(twenty, abs=0.06)


def test_twenty_off_equalizes_from_70_and_not_from_110():
    # H3: Railway and Locomotive Engineering, before 1914.
    short_of_full = {
        charged: full_service_pressure(charged=charged)
        - service_pressure(charged=charged, reduction=20)
        for charged in (70, 110)
    }
    assert short_of_full[70] < 3
    assert short_of_full[110] > 30


def test_altitude_hardly_matters():
    # H9: at 5,000 ft (12.23 psi) 64.5 instead of 64.0.
    assert full_service_pressure(charged=90, atmosphere=12.23) == pytest.approx(64.5, abs=0.06)


def test_strict_boyle_needs_another_ratio():
    # H12: an empty cylinder, 70 to 50 psi, needs Va/Vc = 3.235. Solved here from full service.
    car = CarBrake(auxiliary_volume=3.235 * 628.3185, unswept_volume=0.0)
    # The empty cylinder holds no atmosphere of its own: the swept volume starts at nothing.
    assert full_service_pressure(charged=70, car=car) == pytest.approx(50, abs=0.01)


def test_light_set_before_and_after_the_valve_moves():
    at = {
        reduction: cylinder_pressure(
            charged=90, reduction=reduction, quick_service_limit=10.0, moving_reduction=2.5
        )
        for reduction in (0.0, 2.4, 2.5, 7.0, 10.0)
    }
    assert at[0.0] == at[2.4] == 0
    assert at[2.5] == at[7.0] == 10
    assert at[10.0] == pytest.approx(18.1, abs=0.06)


def test_quick_service_never_passes_full_service():
    car = CarBrake(auxiliary_volume=1500, cylinder_bore=10.5, piston_travel=12, unswept_volume=1000)
    full = full_service_pressure(charged=40, car=car)

    assert full < 20
    assert cylinder_pressure(
        charged=40, reduction=5, quick_service_limit=20.0, moving_reduction=2.5, car=car
    ) == pytest.approx(full)


@pytest.mark.parametrize(("reduction", "rule"), [(10, 25), (20, 50), (25.7, 64.25), (40, 64.29)])
def test_rule_of_thumb_stops_at_its_own_equalization(reduction, rule):
    # H4 and H6: 2.5 x reduction (HOWARD), equalization at P / 1.4.
    assert rule_of_thumb(charged=90, reduction=reduction) == pytest.approx(rule, abs=0.01)


def test_rule_and_model_meet_at_full_service():
    # H4 against H11: 25 against 18.1 at 10 off, 65 against 64 at full service.
    assert rule_of_thumb(charged=90, reduction=10) - service_pressure(
        charged=90, reduction=10
    ) == pytest.approx(6.9, abs=0.06)
    assert rule_full_service_pressure(charged=90) == pytest.approx(
        full_service_pressure(charged=90), abs=1
    )


def test_rise_to_release_adds_what_went_past_full_service():
    assert rise_to_release(charged=90, reduction=26, margin=1.5) == pytest.approx(1.5)
    assert rise_to_release(charged=90, reduction=36, margin=1.5) == pytest.approx(11.5)


@given(charged=charges, car=cars, share=st.floats(0, 1))
def test_air_is_conserved_in_service(charged, car, share):
    reduction = share * full_service_reduction(charged=charged, car=car)
    cylinder = service_pressure(charged=charged, reduction=reduction, car=car)
    assume(cylinder > 0)  # before the piston comes out the space behind it is not the model's
    A, Va = ATMOSPHERE, car.auxiliary_volume
    before = (charged + A) * Va + A * car.unswept
    after = (charged - reduction + A) * Va + (cylinder + A) * car.cylinder

    assert after == pytest.approx(before, rel=1e-12)


@given(charged=charges, car=cars, share=st.floats(0, 1))
def test_emergency_after_any_service_is_emergency_from_release(charged, car, share):
    reduction = share * full_service_reduction(charged=charged, car=car)
    A, Va, Ve = ATMOSPHERE, car.auxiliary_volume, car.emergency_volume
    in_cylinder = A * car.unswept + reduction * Va
    air = (charged - reduction + A) * Va + (charged + A) * Ve + in_cylinder
    after_service = air / (Va + Ve + car.cylinder) - A

    assert emergency_pressure(charged=charged, car=car) == pytest.approx(
        max(0.0, after_service), rel=1e-12, abs=1e-9
    )


@given(charged=charges, car=cars, one=st.floats(0, 130), other=st.floats(0, 130))
def test_more_reduction_never_gives_less(charged, car, one, other):
    small, large = sorted((one, other))
    by_reduction: tuple[Callable[[float], float], ...] = (
        lambda r: service_pressure(charged=charged, reduction=r, car=car),
        lambda r: cylinder_pressure(
            charged=charged, reduction=r, quick_service_limit=10, moving_reduction=2.5, car=car
        ),
        lambda r: rule_of_thumb(charged=charged, reduction=r),
    )
    for cylinder in by_reduction:
        assert cylinder(small) <= cylinder(large) + 1e-12


@given(charged=charges, reduction=st.floats(0, 130), one=travels, other=travels, bore=bores)
def test_longer_travel_never_gives_more(charged, reduction, one, other, bore):
    short, long = (
        CarBrake(piston_travel=travel, cylinder_bore=bore) for travel in sorted((one, other))
    )
    by_car: tuple[Callable[[CarBrake], float], ...] = (
        lambda car: service_pressure(charged=charged, reduction=reduction, car=car),
        lambda car: full_service_pressure(charged=charged, car=car),
        lambda car: emergency_pressure(charged=charged, car=car),
    )
    for figure in by_car:
        assert figure(long) <= figure(short) + 1e-12


@given(charged=charges, car=cars, reduction=st.floats(0, 130))
def test_emergency_is_never_less_than_full_service(charged, car, reduction):
    full = full_service_pressure(charged=charged, car=car)

    assert emergency_pressure(charged=charged, car=car) >= full - 1e-12
    assert full >= service_pressure(charged=charged, reduction=reduction, car=car)


@given(one=charges, other=charges, car=cars)
def test_a_better_charged_car_has_more(one, other, car):
    low, high = sorted((one, other))

    assert full_service_pressure(charged=low, car=car) <= full_service_pressure(
        charged=high, car=car
    )
    assert emergency_pressure(charged=low, car=car) <= emergency_pressure(
        charged=high, emergency_charged=high, car=car
    )


def test_nominal_car_is_the_car_of_the_check_rows():
    assert NOMINAL_CAR.cylinder == pytest.approx(628.3 + 243.0, abs=0.1)
    assert CarBrake(unswept_volume=100.0).unswept == 100
