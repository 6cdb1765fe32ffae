"""Leaking trains at rest: closed forms, SciPy and what the papers say of leak location."""

from statistics import fmean

import pytest
from fluids.compressible import isothermal_gas
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from calculators.air.gas import dynamic_viscosity, gas_temperature_product, mass_flow_of_cfm
from calculators.base.units import FOOT, INCH, PSI
from calculators.equipment.train import (
    Car,
    Command,
    Leak,
    Remote,
    Train,
    equal_cars,
    run,
    setup,
    steady,
)
from calculators.equipment.train.stepping.grid import lay_out
from tests.support.pipe_flow import bore_area, isothermal_outlet_pressure, reynolds_number

ATMOSPHERE = 14.7 * PSI
BORE = 1.278 * INCH
TEMPERATURE = 293.15
FRICTION = 0.028 * 1.15


def absolute(psi: float) -> float:
    return psi * PSI + ATMOSPHERE


def test_spread_leak_against_the_closed_pressure_squared_law() -> None:
    """Even side flow: p² falls by a third of what the full flow would take.

    The leak goes with the local pressure, a little less at the rear, so the fall differs by a few
    percent of itself from the law of even flow; laminar damping adds a percent.
    """
    train = Train(cars=equal_cars(150, length=50.0), locomotives=1, leaks=(Leak(flow=40.0),))
    result = steady(train)
    rear = isothermal_outlet_pressure(
        inlet_abs=absolute(result.head),
        mass_flow=mass_flow_of_cfm(result.flow, temperature=TEMPERATURE, atmosphere=ATMOSPHERE),
        length=(150 * 50.0 + 70.0) * FOOT,
        bore=BORE,
        friction_factor=FRICTION,
        gas_temperature=gas_temperature_product(temperature=TEMPERATURE),
        side_flow=True,
    )

    fall = absolute(result.head) - rear
    assert result.gradient * PSI == pytest.approx(fall, rel=0.05)
    assert result.gradient > 3.0


def test_spread_leak_against_scipy() -> None:
    """The same with the leak in proportion to the pressure, shot by SciPy."""
    flow = 40.0
    train = Train(cars=equal_cars(150, length=50.0), locomotives=1, leaks=(Leak(flow=flow),))
    ours = steady(train)
    grid = lay_out(train)
    length = (150 * 50.0 + 70.0) * FOOT
    c2 = gas_temperature_product(temperature=TEMPERATURE)
    area = bore_area(bore=BORE)
    leak_per_metre = flow * 0.3048**3 / 60.0 * ATMOSPHERE / absolute(90.0) / length
    # Head and rear pressures are those of the middles of the end cells.
    first = 35.0 * FOOT
    last = length - 25.0 * FOOT

    def slope(_: float, y: list[float]) -> list[float]:
        p, w = y
        damping = (FRICTION * abs(w) / (2 * BORE * area) + grid.laminar) / p
        return [-damping * w / (area * c2), -leak_per_metre * p]

    def path(flow_past_first: float) -> tuple[float, float]:
        solution = solve_ivp(
            slope, (first, last), [absolute(ours.head), flow_past_first], rtol=1e-9
        )
        return float(solution.y[0][-1]), float(solution.y[1][-1])

    def surplus(flow_past_first: float) -> float:
        pressure, left = path(flow_past_first)
        return left - leak_per_metre * pressure * (length - last)

    past_first = brentq(surplus, 500.0, 2500.0)
    inlet = past_first + leak_per_metre * absolute(ours.head) * first

    assert ours.rear == pytest.approx((path(past_first)[0] - ATMOSPHERE) / PSI, abs=0.005)
    assert ours.flow == pytest.approx(inlet / ATMOSPHERE / (0.3048**3 / 60.0), rel=0.001)


def test_one_leak_at_the_rear_against_fluids() -> None:
    """Oracle: fluids' isothermal flow with all of it going through the whole pipe.

    The model adds laminar damping to the turbulent factor: 64 / Re on top, as in its docstring.
    """
    train = Train(
        cars=equal_cars(100, length=50.0), locomotives=1, leaks=(Leak(flow=30.0, at_car=100),)
    )
    result = steady(train)
    inlet, outlet = absolute(result.head), absolute(result.rear)
    gas = gas_temperature_product(temperature=TEMPERATURE)
    ours = mass_flow_of_cfm(result.flow, temperature=TEMPERATURE, atmosphere=ATMOSPHERE)
    reynolds = reynolds_number(
        mass_flow=ours, bore=BORE, viscosity=dynamic_viscosity(temperature=TEMPERATURE)
    )
    # From the middle of the locomotive's cell to the middle of the last car's.
    length = (35.0 + 99.5 * 50.0) * FOOT
    theirs = isothermal_gas(
        inlet / gas,
        FRICTION + 64.0 / reynolds,
        P1=inlet,
        P2=outlet,
        L=length,
        D=BORE,
    )

    assert ours == pytest.approx(theirs, rel=0.002)


def test_a_leak_further_back_makes_more_gradient() -> None:
    """H74 (Katz and Cheng 1977; Abdol-Hamid 1988): direction only."""
    gradients = [
        steady(
            Train(
                cars=equal_cars(150, length=50.0),
                leaks=(Leak(flow=35.0, at_car=car),),
            )
        ).gradient
        for car in (10, 50, 75, 100, 140)
    ]

    assert gradients == sorted(gradients)
    assert gradients[-1] > 5 * gradients[0]


def test_gradient_grows_as_the_square_of_the_flow() -> None:
    """By the pressure-squared law; laminar damping and the falling leak take some off the power."""
    small, large = (
        steady(Train(cars=equal_cars(100), leaks=(Leak(flow=flow),))).gradient
        for flow in (20.0, 40.0)
    )

    assert 3.5 < large / small < 4.0


def test_flow_equals_the_leak() -> None:
    """What goes in at the head is what the holes pass at the pressures there."""
    train = Train(cars=equal_cars(10), leaks=(Leak(flow=20.0), Leak(flow=5.0, at_car=3)))
    result = steady(train)

    assert result.flow == pytest.approx(25.0 * absolute(result.rear) / absolute(90.0), rel=0.002)


def test_two_sources_share_the_leak() -> None:
    train = Train(
        cars=equal_cars(150, length=50.0),
        leaks=(Leak(flow=60.0),),
        remote=Remote(after_car=100),
    )
    both, alone = steady(train), steady(Train(cars=train.cars, leaks=train.leaks))

    assert both.flow > 5.0
    assert both.remote_flow > 5.0
    assert both.gradient < 0.5 * alone.gradient
    assert both.flow + both.remote_flow > alone.flow


def test_no_leak_no_gradient() -> None:
    result = steady(Train(cars=equal_cars(100)))

    assert result.gradient == pytest.approx(0.0, abs=1e-6)
    assert result.flow == pytest.approx(0.0, abs=1e-6)
    assert result.head == pytest.approx(90.0, abs=0.11)


def test_rounds_that_run_out_still_leave_a_falling_gradient(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Stopped early it is near: between a train without leaks and one that is settled."""
    train = Train(cars=equal_cars(60), leaks=(Leak(flow=40.0),))
    settled = steady(train).rear
    monkeypatch.setattr(setup, "MOST_ROUNDS", 5)
    early = steady(train)

    assert list(early.brake_pipe) == sorted(early.brake_pipe, reverse=True)
    assert early.rear == pytest.approx(settled, abs=1.0)


def test_run_starts_from_the_steady_state() -> None:
    train = Train(cars=equal_cars(120), leaks=(Leak(flow=50.0),))
    rest = steady(train)
    result = run(train, (), seconds=60.0, sample_seconds=5.0)

    assert result.samples[0].rear == pytest.approx(rest.rear, abs=1e-6)
    assert result.samples[-1].rear == pytest.approx(rest.rear, abs=0.05)
    assert result.samples[-1].supply_flow == pytest.approx(rest.flow, rel=0.01)


@pytest.mark.parametrize(("cut_out", "tolerance"), [(True, 0.005), (False, 0.1)])
def test_leakage_after_a_reduction_falls_as_volume_and_flow_say(
    cut_out: bool, tolerance: float
) -> None:
    """H70, H71: cfm = cu ft x psi per minute / 14.7, the pipe alone counting.

    At 65 psi a leak of 20 cfm at 90 is 15.2 cfm, by the ratio of the absolute pressures. With the
    cars' brakes cut out the pipe is all there is; with them in, each valve's continuous quick
    service follows the fall and adds a few percent.
    """
    flow = 20.0
    cars = (Car(length=55.0, cut_out=cut_out),) * 100
    train = Train(cars=cars, locomotives=1, leaks=(Leak(flow=flow),))
    commands = (
        Command(at_seconds=0.0, action="service", reduction=20.0),
        Command(at_seconds=300.0, action="cut-out"),
    )
    result = run(train, commands, seconds=400.0, sample_seconds=5.0)
    at = {sample.seconds: fmean(sample.brake_pipe) for sample in result.samples}
    volume = sum(lay_out(train).volume) / 0.3048**3

    expected = flow * (at[360.0] + 14.7) / 104.7 * 14.7 / volume
    assert at[330.0] - at[390.0] == pytest.approx(expected, rel=tolerance)
    assert result.undesired_actions == ()
