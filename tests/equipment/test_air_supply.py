"""The air supply against hand work, SciPy, fluids and the rows H26, H78, H110, H111, R117-R126."""

from __future__ import annotations

from math import inf, pi, sqrt

import hypothesis
import pytest
from fluids import API520_A_g
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.equipment.air_supply import (
    Leak,
    air_needed,
    charging_time,
    delivery_of_rise,
    highest_pressure,
    orifice_delivery,
    pump_up_time,
    settings,
)
from calculators.equipment.leakage import falling_volume, pipe_volume

volumes = st.floats(5, 500)
deliveries = st.floats(50, 400)


def train(cars: int) -> float:
    pipe = pipe_volume(cars=cars, car_length=55, bore=1.278)
    return falling_volume(cars=cars, pipe=pipe, reservoir_volume=6000)


def test_an_orifice_passes_more_free_air_of_a_warmer_day():
    """By the square root of the absolute temperature; 32 and 212 °F are 273.15 and 373.15 K."""
    ice, steam = (
        orifice_delivery(
            diameter=9 / 32, pressure=60.0, discharge_coefficient=0.97, temperature=temperature
        )
        for temperature in (32.0, 212.0)
    )
    assert steam / ice == pytest.approx(sqrt(373.15 / 273.15), rel=1e-9)


@pytest.mark.parametrize(
    ("cars", "air"), [(1, 24.3), (50, 1213), (100, 2426), (150, 3639)], ids=str
)
def test_air_to_charge_cars(cars, air):
    """H26: 24.3 cu ft a car from 0 to 90 psi; the totals follow from 24.26."""
    tolerance = 0.05 if cars == 1 else 0.5
    assert air_needed(volume=train(cars), rise=90) == pytest.approx(air, abs=tolerance)


@pytest.mark.parametrize(("cars", "minutes"), [(100, 40.4), (150, 60.6)])
def test_least_charging_time_at_sixty(cars, minutes):
    """H111."""
    time = charging_time(volume=train(cars), from_pressure=0, to_pressure=90, delivery=60)
    assert time == pytest.approx(minutes, abs=0.05)


def test_rule_of_the_navy_book_as_a_mean_flow():
    """H110: 5 min per 10 cars means 48.5 cfm on average."""
    assert air_needed(volume=train(100), rise=90) / 50 == pytest.approx(48.5, abs=0.05)


def test_leaking_train_against_scipy():
    volume, delivery, leakage = 400.0, 60.0, 25.0

    def rise(_time, pressure):
        return (delivery - leakage * pressure / 90) * 14.7 / volume

    def reached(_time, pressure):
        return pressure[0] - 90

    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(rise, (0, 1e4), [20.0], events=reached, rtol=1e-10, atol=1e-10)

    assert charging_time(
        volume=volume, from_pressure=20, to_pressure=90, delivery=delivery, leakage=leakage
    ) == pytest.approx(solved.t_events[0][0], rel=1e-7)


def test_leaking_reservoir_against_scipy():
    volume, delivery, leak = 30.0, 60.0, Leak(fall=3.0, pressure=84.0)

    def rise(_time, pressure):
        return 14.7 * delivery / volume - 3.0 * (pressure + 14.7) / (84.0 + 14.7)

    def reached(_time, pressure):
        return pressure[0] - 140

    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(rise, (0, 1e3), [0.0], events=reached, rtol=1e-10, atol=1e-10)

    assert pump_up_time(
        volume=volume, from_pressure=0, to_pressure=140, delivery=delivery, leak=leak
    ) == pytest.approx(solved.t_events[0][0], rel=1e-7)


@pytest.mark.parametrize("inches", [11 / 64, 3 / 16, 15 / 64, 9 / 32])
@pytest.mark.parametrize("coefficient", [0.85, 0.97])
def test_orifice_against_a_relief_valve_formula(inches, coefficient):
    """The choked branch of API 520 in the fluids library, dry air at 68 °F and 60 psi."""
    flow = orifice_delivery(
        diameter=inches, pressure=60, discharge_coefficient=coefficient, temperature=68
    )
    psi, kelvin = 6894.757293168, 293.15
    mass = flow * 0.3048**3 / 60 * 14.7 * psi / (287.05287 * kelvin)
    area = API520_A_g(
        m=mass, T=kelvin, Z=1.0, MW=28.9647, k=1.4, P1=74.7 * psi, Kd=coefficient, Kb=1, Kc=1
    )

    # The constants of API 520 are printed with four digits.
    assert area == pytest.approx(pi / 4 * (inches * 0.0254) ** 2, rel=1e-3)


@pytest.mark.parametrize(
    ("inches", "low", "high"),
    [(11 / 64, 27, 31), (3 / 16, 32, 37), (15 / 64, 51, 58), (9 / 32, 73, 83)],
)
def test_orifices_of_the_steam_rule(inches, low, high):
    """H78: 49 CFR 230.71's orifices at 60 psi, coefficients 0.85 and 0.97."""
    flows = [
        orifice_delivery(diameter=inches, pressure=60, discharge_coefficient=cd, temperature=68)
        for cd in (0.85, 0.97)
    ]
    assert flows == pytest.approx([low, high], abs=0.5)


def test_settings_of_the_collection():
    """90-psi pipe and 140-psi reservoir: R117 to R120 and R126 as worked there."""
    worked = settings(brake_pipe_setting=90, working_pressure=140)

    assert (worked.compressor_start, worked.compressor_stop) == (105, 115)
    assert (worked.governor_low, worked.governor_high) == (135, 145)
    assert worked.safety_valve == 155
    assert worked.leakage_start == pytest.approx(84)


@hypothesis.settings(deadline=None)
@given(volume=volumes, delivery=deliveries, to=st.floats(20, 150))
def test_pump_up_gives_back_the_delivery(volume, delivery, to):
    minutes = pump_up_time(volume=volume, from_pressure=10, to_pressure=to, delivery=delivery)
    assert delivery_of_rise(volume=volume, rise=to - 10, minutes=minutes) == pytest.approx(delivery)


@hypothesis.settings(deadline=None)
@given(fall=st.floats(0.1, 3), delivery=deliveries)
def test_a_leak_never_shortens_it(fall, delivery):
    known = {"volume": 30.0, "from_pressure": 0.0, "to_pressure": 140.0, "delivery": delivery}
    leaking = pump_up_time(**known, leak=Leak(fall=fall, pressure=84))
    assert leaking > pump_up_time(**known)


@hypothesis.settings(deadline=None)
@given(leakage=st.floats(0.1, 49), more=st.floats(0.1, 10))
def test_more_leakage_never_charges_sooner(leakage, more):
    known = {"volume": 400.0, "from_pressure": 0.0, "to_pressure": 90.0, "delivery": 50.0}
    assert charging_time(**known, leakage=leakage + more) >= charging_time(**known, leakage=leakage)


@hypothesis.settings(deadline=None)
@given(leakage=st.floats(1e-6, 49.9), start=st.floats(0, 89))
def test_the_bound_lies_under_what_choked_holes_would_take(leakage, start):
    """Counting the holes by absolute pressure takes more air, so the bound stays under it."""
    least = charging_time(
        volume=400, from_pressure=start, to_pressure=90, delivery=50, leakage=leakage
    )
    share = leakage * 14.7 / 400 / 104.7
    choked = pump_up_time(
        volume=400,
        from_pressure=start,
        to_pressure=90,
        delivery=50,
        leak=Leak(fall=share * 104.7, pressure=90),
    )
    assert least <= choked * (1 + 1e-9)


def test_highest_pressure_is_where_pumping_ends():
    leak = Leak(fall=3, pressure=84)
    highest = highest_pressure(volume=30, delivery=10, leak=leak)
    times = [
        pump_up_time(volume=30, from_pressure=0, to_pressure=to, delivery=10, leak=leak)
        for to in (highest - 0.1, highest + 0.1)
    ]

    assert times[0] < times[1] == inf
    assert highest_pressure(volume=30, delivery=10, leak=Leak(fall=0, pressure=84)) == inf


def test_nothing_to_do_takes_no_time():
    assert pump_up_time(volume=30, from_pressure=90, to_pressure=90, delivery=0) == 0
    assert charging_time(volume=30, from_pressure=90, to_pressure=90, delivery=0) == 0
    assert charging_time(volume=30, from_pressure=0, to_pressure=90, delivery=5, leakage=5) == inf


def test_bad_arguments_are_named():
    with pytest.raises(ValueError, match="volume is 0 cu ft"):
        pump_up_time(volume=0, from_pressure=0, to_pressure=1, delivery=1)
    with pytest.raises(ValueError, match="they must not fall"):
        pump_up_time(volume=1, from_pressure=2, to_pressure=1, delivery=1)
    with pytest.raises(ValueError, match="volume is 0 cu ft"):
        charging_time(volume=0, from_pressure=0, to_pressure=1, delivery=1)
    with pytest.raises(ValueError, match="they must not fall"):
        charging_time(volume=1, from_pressure=2, to_pressure=1, delivery=1)
    with pytest.raises(ValueError, match="minutes is 0"):
        delivery_of_rise(volume=1, rise=1, minutes=0)
