"""The blow at the head: the closed form against SciPy, its band against the train model."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.equipment.exhaust import (
    FRICTION,
    SERVICE_RATE,
    blow,
    cars_that_fit,
    drain_time,
)
from calculators.equipment.train import Command, Leak, Train, equal_cars, run


def test_drain_time_against_scipy():
    # The docstring's law integrated step by step, in SI, from 90 psi down to just over 80.
    length, bore, psi, c = 118 * 55 * 0.3048, 1.278 * 0.0254, 6894.757, 290.09
    head = 94.7 * psi

    def slope(_: float, pressure: list[float]) -> list[float]:
        flow = c * sqrt(3 * bore * max(0.0, pressure[0] ** 2 - head**2) / (FRICTION * length))
        return [-flow / length]

    def near(_: float, pressure: list[float]) -> float:
        return pressure[0] - head - 20.0

    near.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(slope, (0, 500), [104.7 * psi], events=near, rtol=1e-9, max_step=0.2)
    last_bit = drain_time(length=118 * 55, from_pressure=80 + 20 / psi, to_pressure=80)
    ours = drain_time(length=118 * 55, from_pressure=90, to_pressure=80)
    assert ours - last_bit == pytest.approx(float(solved.t[-1]), abs=0.05)


def test_service_rate_of_the_equalizing_reservoir():
    # H17 (RLE): 110 to 90 in 5.5 to 6 s.
    assert 5.5 <= 20 / SERVICE_RATE <= 6


def test_pipe_that_rises_cannot_drain():
    with pytest.raises(ValueError, match="to_pressure"):
        drain_time(length=100, from_pressure=80, to_pressure=90)


@given(cars=st.integers(1, 200), reduction=st.floats(1, 40))
def test_four_times_the_train_blows_eight_times_as_long(cars, reduction):
    # The length to the power 3/2, as the docstring derives it.
    one, four = (
        drain_time(length=n * 50.0, from_pressure=90, to_pressure=90 - reduction)
        for n in (cars, 4 * cars)
    )
    assert four == pytest.approx(8 * one)


@given(cars=st.integers(1, 399), reduction=st.floats(1, 40), length=st.floats(30, 125))
def test_longer_trains_blow_longer(cars, reduction, length):
    some, more = (
        blow(cars=n, car_length=length, charged=90, reduction=reduction) for n in (cars, cars + 1)
    )
    assert some.shortest <= more.shortest
    assert some.longest <= more.longest
    assert some.shortest < some.longest


@given(
    cars=st.integers(1, 250),
    reduction=st.floats(1, 40),
    one=st.floats(0, 100),
    other=st.floats(0, 100),
)
def test_more_leakage_never_blows_longer(cars, reduction, one, other):
    less, more = (
        drain_time(length=cars * 55.0, from_pressure=90, to_pressure=90 - reduction, leakage=leak)
        for leak in sorted((one, other))
    )
    assert 0 <= more <= less


@given(cars=st.integers(1, 250), reduction=st.floats(2, 30), place=st.floats(0, 1))
def test_a_train_fits_its_own_blow(cars, reduction, place):
    band = blow(cars=cars, car_length=55, charged=90, reduction=reduction)
    fitting = cars_that_fit(
        seconds=band.shortest + place * (band.longest - band.shortest),
        cars=cars,
        car_length=55,
        charged=90,
        reduction=reduction,
    )
    assert fitting is not None
    assert fitting[1] == cars


@pytest.mark.parametrize("seconds", [0.5, 5000])
def test_blows_no_part_of_the_train_makes(seconds):
    assert cars_that_fit(seconds=seconds, cars=118, car_length=55, charged=90, reduction=10) is None


def model_blow(
    cars: int, reduction: float, *, setting: float = 90, leak: float = 0, cock: int | None = None
) -> float:
    """Blow at the head in the train model, which knows nothing of the closed form. [s]."""
    moves = [Command(at_seconds=1, action="service", reduction=reduction)]
    if cock is not None:
        moves.insert(0, Command(at_seconds=0, action="close-angle-cock", behind_car=cock))
    train = Train(
        cars=equal_cars(cars),
        brake_pipe_setting=setting,
        leaks=(Leak(flow=leak),) if leak else (),
    )
    ends = run(train, tuple(moves), seconds=200, sample_seconds=0.5).exhaust_ends
    assert ends is not None
    return ends - 1


@pytest.mark.parametrize(
    ("cars", "reduction", "setting", "leak"),
    [
        (5, 7, 90, 0),
        (26, 10, 80, 0),
        (26, 26, 90, 0),
        (50, 10, 90, 30),
        (118, 7, 90, 15),
        (118, 10, 90, 0),
        (118, 10, 90, 60),
        (118, 20, 70, 30),
        (150, 10, 110, 0),
    ],
)
def test_train_model_falls_inside_the_band(cars, reduction, setting, leak):
    band = blow(cars=cars, car_length=55, charged=setting, reduction=reduction, leakage=leak)
    seconds = model_blow(cars, reduction, setting=setting, leak=leak)

    assert band.shortest <= seconds <= band.longest


@pytest.mark.parametrize("cock", [10, 40, 80])
def test_a_closed_cock_is_among_the_trains_that_fit(cock):
    fitting = cars_that_fit(
        seconds=model_blow(118, 10, cock=cock), cars=118, car_length=55, charged=90, reduction=10
    )
    assert fitting is not None
    assert fitting[0] <= cock <= fitting[1]


@pytest.mark.parametrize("cock", [10, 20, 40])
def test_a_cock_closed_near_the_head_is_too_short_a_blow(cock):
    whole = blow(cars=118, car_length=55, charged=90, reduction=10)
    assert model_blow(118, 10, cock=cock) < whole.shortest
