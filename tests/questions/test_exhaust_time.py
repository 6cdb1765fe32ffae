"""The blow at the head: its band, a train that fits it, and what a short blow means."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.answering import Answer, answer
from calculators.base.results import Display
from calculators.equipment.exhaust import (
    FRICTION,
    MOST_CARS,
    SERVICE_RATE,
    blow,
    cars_that_fit,
    drain_time,
)
from calculators.questions.exhaust_time import ExhaustTime, exhaust_time


def ask(**texts: str) -> Answer:
    found = answer(exhaust_time, texts)
    assert found.errors == {}
    return found


def words(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    said = [found.outcome.headline] + [n.text for n in found.outcome.notes if n.kind == kind]
    return " ".join(phrase.text(Display()) for phrase in said)


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


@given(cars=st.integers(1, MOST_CARS), reduction=st.floats(2, 30), place=st.floats(0, 1))
def test_a_train_fits_its_own_blow(cars, reduction, place):
    band = blow(cars=cars, car_length=55, charged=90, reduction=reduction)
    fitting = cars_that_fit(
        seconds=band.shortest + place * (band.longest - band.shortest),
        car_length=55,
        charged=90,
        reduction=reduction,
    )
    assert fitting is not None
    assert fitting[0] <= cars <= fitting[1]


def test_blows_no_train_makes():
    at = {"car_length": 55.0, "charged": 90.0, "reduction": 10.0}
    assert cars_that_fit(seconds=0.5, **at) is None
    assert cars_that_fit(seconds=5000, **at) == (MOST_CARS, MOST_CARS)


@pytest.mark.parametrize(
    ("heard", "said", "fits"),
    [
        ("12", "closed angle cock", "cars"),
        ("1", "no train at all", "no train: shorter than one car's"),
        ("60", "does not show that the pipe is open to the rear", "cars"),
        ("600", "A blow that does not end", "cars or more"),
        ("1200", "A blow that does not end", "400 cars or more"),
    ],
)
def test_what_a_timed_blow_says(heard, said, fits):
    found = ask(heard=heard)
    assert said in words(found)
    assert fits in str(found.results()["fits"])
    assert found.outcome is not None
    assert found.outcome.series[0].marked == ((118.0, float(heard)),)


def test_without_a_timed_blow():
    found = ask()
    assert found.results()["fits"] == "no blow was timed"
    assert "should blow for somewhere from" in words(found)
    assert found.outcome is not None
    assert found.outcome.series[0].marked == ()


def test_more_off_than_was_there_is_refused():
    assert "reduction" in answer(exhaust_time, {"reduction": "91"}).errors


@given(
    setting=st.floats(40, 130),
    share=st.floats(0, 1),
    cars=st.integers(1, 250),
    heard=st.none() | st.floats(0, 1200),
)
def test_every_input_in_range_has_an_answer(setting, share, cars, heard):
    found = exhaust_time.function(
        brake_pipe_setting=setting, reduction=share * setting, cars=float(cars), heard=heard
    )
    assert isinstance(found, ExhaustTime)
    assert 0 <= found.shortest <= found.longest
