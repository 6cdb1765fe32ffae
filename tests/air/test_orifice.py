"""Orifice flow against the fluids library, CoolProp and printed flows."""

from math import pi

import pytest
from fluids.compressible import P_critical_flow, is_critical_flow
from fluids.safety_valve import API520_C, API520_F2
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.air import gas, orifice

PSI = 6894.757293168
ATMOSPHERE = 14.7 * PSI


def test_critical_ratio_is_that_of_fluids() -> None:
    assert pytest.approx(P_critical_flow(1.0, 1.4), rel=1e-12) == orifice.CRITICAL_RATIO
    assert is_critical_flow(1.0, orifice.CRITICAL_RATIO * 0.999, 1.4)
    assert not is_critical_flow(1.0, orifice.CRITICAL_RATIO * 1.001, 1.4)


def test_choked_flow_is_that_of_api_520() -> None:
    """Oracle: fluids' C of API 520, which is our critical flow function times 0.03948."""
    assert pytest.approx(API520_C(1.4) / 0.03948, rel=1e-9) == orifice.CRITICAL_FLOW


@pytest.mark.parametrize("ratio", [0.55, 0.7, 0.85, 0.95, 0.99])
def test_unchoked_flow_is_that_of_api_520(ratio: float) -> None:
    """Oracle: fluids' F2 of API 520, the subcritical flow over √(2 ρ (p₁ - p₂))."""
    pressure, temperature = 7e5, 293.15
    density = gas.density(pressure_abs=pressure, temperature=temperature)
    theirs = (
        1e-4
        * API520_F2(1.4, pressure, ratio * pressure)
        * (2.0 * density * pressure * (1.0 - ratio)) ** 0.5
    )
    ours = orifice.mass_flow(
        area=1e-4,
        discharge_coefficient=1.0,
        upstream_abs=pressure,
        downstream_abs=ratio * pressure,
        temperature=temperature,
    )

    assert ours == pytest.approx(theirs, rel=1e-9)


def test_choked_flow_is_density_times_sound_speed_in_the_throat() -> None:
    """Hand calculation from the throat state: T* = T/1.2, ρ* and a* from it."""
    pressure, temperature = 7e5, 293.15
    throat = temperature / 1.2
    density = orifice.CRITICAL_RATIO * pressure / (287.05287 * throat)
    speed = (1.4 * 287.05287 * throat) ** 0.5

    assert orifice.mass_flow(
        area=1e-4,
        discharge_coefficient=1.0,
        upstream_abs=pressure,
        downstream_abs=1e5,
        temperature=temperature,
    ) == pytest.approx(1e-4 * density * speed, rel=1e-9)


def test_unchoked_flow_is_the_incompressible_limit_for_small_differences() -> None:
    """For a difference of 0.1 percent Bernoulli's √(2 ρ Δp) holds within 0.1 percent."""
    pressure, temperature = 7e5, 293.15
    fall = 0.001 * pressure
    density = gas.density(pressure_abs=pressure, temperature=temperature)

    assert orifice.mass_flow(
        area=1e-4,
        discharge_coefficient=0.8,
        upstream_abs=pressure,
        downstream_abs=pressure - fall,
        temperature=temperature,
    ) == pytest.approx(0.8 * 1e-4 * (2 * density * fall) ** 0.5, rel=1e-3)


@pytest.mark.parametrize(
    ("inches", "low", "high"),
    [(11 / 64, 27, 31), (3 / 16, 32, 37), (15 / 64, 51, 58), (9 / 32, 73, 83)],
)
def test_compressor_orifices(inches: float, low: float, high: float) -> None:
    """49 CFR 230.71 orifices at 60 psi, H78: flows at coefficients 0.85 and 0.97."""
    area = pi / 4 * (inches * 0.0254) ** 2

    def cfm(coefficient: float) -> float:
        flow = orifice.content_flow(
            area=area,
            discharge_coefficient=coefficient,
            upstream_abs=60 * PSI + ATMOSPHERE,
            downstream_abs=ATMOSPHERE,
            temperature=293.15,
        )
        return gas.free_air_cfm(content_flow=flow, atmosphere=ATMOSPHERE)

    assert cfm(0.85) == pytest.approx(low, abs=0.6)
    assert cfm(0.97) == pytest.approx(high, abs=0.6)


def test_equalizing_reservoir_through_a_sixteenth() -> None:
    """H17: 110 to 90 psi through 1/16 in took 5.5-6 s; that needs "about 800" cu in."""
    hole = orifice.conductance(
        area=pi / 4 * (0.0254 / 16) ** 2, discharge_coefficient=0.97, temperature=293.15
    )
    seconds = orifice.choked_blow_down_time(
        volume=780 * 0.0254**3, conductance=hole, from_abs=124.7, to_abs=104.7
    )

    assert 5.5 <= seconds <= 6.0


@given(st.floats(0.0, 1.0))
def test_ellipse_stays_near_the_exact_law(ratio: float) -> None:
    assert orifice.elliptic_factor(ratio) == pytest.approx(
        orifice.flow_factor(ratio), abs=0.006 if ratio < 0.98 else 0.15
    )


@given(st.floats(1e4, 1e6), st.floats(1e4, 1e6))
def test_flow_reverses_with_the_pressures(one: float, other: float) -> None:
    def flow(upstream: float, downstream: float) -> float:
        return orifice.content_flow(
            area=1e-5,
            discharge_coefficient=0.7,
            upstream_abs=upstream,
            downstream_abs=downstream,
            temperature=293.15,
        )

    assert flow(one, other) == pytest.approx(-flow(other, one))
    assert flow(one, one) == 0.0


def test_no_air_no_flow() -> None:
    assert (
        orifice.content_flow(
            area=1e-5,
            discharge_coefficient=0.7,
            upstream_abs=0.0,
            downstream_abs=0.0,
            temperature=293.15,
        )
        == 0.0
    )


def test_blow_down_against_an_integrator() -> None:
    """Oracle: SciPy integrates V dp/dt = -K p s(r) while the flow is choked."""
    K = orifice.conductance(area=5e-6, discharge_coefficient=0.8, temperature=293.15)
    solution = solve_ivp(lambda _, p: -K * p / 0.01, (0.0, 10.0), [7e5], rtol=1e-10, atol=1e-3)
    left = float(solution.y[0][-1])

    assert orifice.choked_blow_down_time(
        volume=0.01, conductance=K, from_abs=7e5, to_abs=left
    ) == pytest.approx(10.0, rel=1e-6)
    assert orifice.choked_blow_down_pressure(
        volume=0.01, conductance=K, from_abs=7e5, seconds=10.0
    ) == pytest.approx(left, rel=1e-6)


def test_area_undoes_flow() -> None:
    area = orifice.area_for_choked_flow(
        content_flow=200.0, discharge_coefficient=0.8, upstream_abs=7e5, temperature=293.15
    )

    assert orifice.content_flow(
        area=area,
        discharge_coefficient=0.8,
        upstream_abs=7e5,
        downstream_abs=1e5,
        temperature=293.15,
    ) == pytest.approx(200.0)


@pytest.mark.parametrize(
    ("call", "word"),
    [
        (lambda: orifice.flow_factor(1.5), "ratio"),
        (
            lambda: orifice.conductance(area=-1.0, discharge_coefficient=1.0, temperature=300.0),
            "area",
        ),
        (
            lambda: orifice.conductance(area=1.0, discharge_coefficient=1.5, temperature=300.0),
            "discharge_coefficient",
        ),
        (
            lambda: orifice.area_for_choked_flow(
                content_flow=1.0, discharge_coefficient=1.0, upstream_abs=0.0, temperature=300.0
            ),
            "upstream_abs",
        ),
        (
            lambda: orifice.area_for_choked_flow(
                content_flow=-1.0, discharge_coefficient=1.0, upstream_abs=1.0, temperature=300.0
            ),
            "content_flow",
        ),
        (
            lambda: orifice.choked_blow_down_time(
                volume=1.0, conductance=1.0, from_abs=1.0, to_abs=2.0
            ),
            "pressures",
        ),
        (
            lambda: orifice.choked_blow_down_time(
                volume=1.0, conductance=0.0, from_abs=2.0, to_abs=1.0
            ),
            "conductance",
        ),
    ],
)
def test_errors_name_the_argument(call, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        call()
