"""Leak-down of one volume: against SciPy's integration of the orifice law, and by hand."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.air.orifice import flow_factor
from calculators.equipment.leak_down import choked_rate, pressure_after, time_to_fall

A = 14.7


def integrated(start: float, time: float) -> float:
    """The pressure after a time at rate 1, by SciPy from the law as it is written."""
    solved = solve_ivp(
        lambda _, p: [-(p[0] + A) * flow_factor(min(1.0, A / (p[0] + A)))],
        (0, time),
        [start],
        rtol=1e-10,
        atol=1e-10,
        max_step=0.005,
    )
    return max(0.0, float(solved.y[0][-1]))


@pytest.mark.parametrize("time", [0.2, 0.6, 0.9, 1.2, 1.5, 1.8])
def test_against_scipy(time):
    assert pressure_after(from_pressure=64, time=time, rate=1) == pytest.approx(
        integrated(64, time), abs=1e-5
    )


def test_choked_fall_is_exponential_in_absolute_pressure():
    # By hand: 100 psi abs to 50 psi abs, both over the critical 27.8, takes ln 2 over the rate.
    assert time_to_fall(from_pressure=85.3, to_pressure=35.3, rate=0.1) == pytest.approx(
        10 * log(2)
    )


def test_rate_is_the_fall_over_the_absolute_pressure_while_choked():
    # By hand: 1 psi in a minute at 100 psi abs is a hundredth of its air.
    assert choked_rate(pressure=85.3, fall_per_unit=1) == pytest.approx(0.01)


@given(start=st.floats(1, 130), rate=st.floats(1e-4, 10), share=st.floats(0, 1))
def test_time_and_pressure_undo_each_other(start, rate, share):
    end = share * start
    time = time_to_fall(from_pressure=start, to_pressure=end, rate=rate)

    assert pressure_after(from_pressure=start, time=time, rate=rate) == pytest.approx(
        end, rel=1e-6, abs=1e-5
    )


@given(start=st.floats(1, 130), one=st.floats(0, 500), other=st.floats(0, 500))
def test_pressure_only_falls(start, one, other):
    early, late = sorted((one, other))
    pressures = [pressure_after(from_pressure=start, time=t, rate=0.01) for t in (early, late)]

    assert start + 1e-9 >= pressures[0] >= pressures[1] - 1e-9
    assert pressures[1] >= 0


@given(pressure=st.floats(0.5, 130), fall=st.floats(0.001, 10))
def test_first_moments_fall_as_read(pressure, fall):
    rate = choked_rate(pressure=pressure, fall_per_unit=fall)
    short = 1e-4 * pressure / fall
    seen = (pressure - pressure_after(from_pressure=pressure, time=short, rate=rate)) / short

    assert seen == pytest.approx(fall, rel=1e-2)


def test_nothing_leaks_without_a_hole_or_time():
    assert pressure_after(from_pressure=50, time=100, rate=0) == 50
    assert pressure_after(from_pressure=50, time=0, rate=1) == 50
    assert pressure_after(from_pressure=50, time=100, rate=1) == 0


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: choked_rate(pressure=0, fall_per_unit=1), "pressure"),
        (lambda: time_to_fall(from_pressure=10, to_pressure=11, rate=1), "to_pressure"),
        (lambda: time_to_fall(from_pressure=10, to_pressure=-1, rate=1), "to_pressure"),
        (lambda: time_to_fall(from_pressure=10, to_pressure=1, rate=0), "rate"),
    ],
)
def test_refusals_name_the_argument(call, match):
    with pytest.raises(ValueError, match=match):
        call()
