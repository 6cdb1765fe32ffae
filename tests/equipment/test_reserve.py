"""What is left in reserve: H136, hand-worked cases, and that less waiting never gives more."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.base.units import ATMOSPHERE
from calculators.equipment.car import NOMINAL_CAR, CarBrake, emergency_pressure
from calculators.equipment.reserve import (
    CHOKE_MINUTES,
    CarState,
    Recharge,
    charged_car,
    cylinder_gauge,
    emergency_left,
    pipe_at_rear,
    recharge,
    recharge_of_train,
    release_brake,
    service_left,
    set_brake,
    worth,
)

MOVES = 2.5


def follow(
    charged: float,
    sets: list[tuple[float, float]],
    *,
    rate: Recharge,
    into_auxiliary: bool = False,
    car: CarBrake = NOMINAL_CAR,
    last_wait: bool = True,
) -> CarState:
    """The car after (pipe pressure, minutes) one after another; the last wait may be left out."""
    state = charged_car(charged=charged, car=car)
    for number, (pipe, minutes) in enumerate(sets):
        state = set_brake(state, brake_pipe=pipe, moving_reduction=MOVES, car=car)
        if last_wait or number < len(sets) - 1:
            state = release_brake(state, car_length=55, into_auxiliary=into_auxiliary, car=car)
            state = recharge(state, minutes=minutes, rate=rate, car=car)
    return state


def test_reapplication_counts_from_the_auxiliary():
    # H136: recharged to 84, gauge 88, reduced to 80: worth 4, not 8.
    state = CarState(
        brake_pipe=88.0,
        auxiliary=84.0,
        emergency_reservoir=88.0,
        cylinder_air=ATMOSPHERE * NOMINAL_CAR.unswept,
    )
    assert worth(state, brake_pipe=80) == 4
    after = set_brake(state, brake_pipe=80, moving_reduction=MOVES)
    # By hand: (4 x 2,500 + 14.7 x 243) / 871.3 - 14.7 = 0.9 psi; from 88 it would have been 12.4.
    assert cylinder_gauge(after) == pytest.approx(0.9, abs=0.05)


def test_full_service_off_90():
    # H2 and H9: 26 off 90 leaves 64 in both; 77.2 is still there for an emergency.
    after = set_brake(charged_car(charged=90), brake_pipe=64, moving_reduction=MOVES)

    assert after.auxiliary == pytest.approx(64, abs=0.01)
    assert cylinder_gauge(after) == pytest.approx(64, abs=0.01)
    assert emergency_left(after) == pytest.approx(77.2, abs=0.06)
    assert service_left(after) == pytest.approx(64, abs=0.01)


def test_accelerated_release_by_hand():
    # 3,500 cu in at 90 meets 55 ft of 1.278-in pipe, 847 cu in, at 64: (315,000 + 54,208) / 4,347.
    after = set_brake(charged_car(charged=90), brake_pipe=64, moving_reduction=MOVES)
    let_go = release_brake(after, car_length=55)

    assert let_go.emergency_reservoir == pytest.approx(84.93, abs=0.02)
    assert cylinder_gauge(let_go) == 0
    # All three meeting: (315,000 + 54,208 + 160,000) / 6,847 = 77.29, nothing lost but the pipe's.
    mixed = release_brake(after, car_length=55, into_auxiliary=True)
    assert mixed.emergency_reservoir == pytest.approx(77.29, abs=0.02)
    assert mixed.auxiliary == pytest.approx(mixed.emergency_reservoir)
    # Released and not recharged: 64 gives 44.7 by H9's formula.
    assert service_left(let_go) == pytest.approx(44.7, abs=0.06)


def test_past_full_service_the_auxiliary_stays():
    low = set_brake(charged_car(charged=90), brake_pipe=40, moving_reduction=MOVES)

    assert low.brake_pipe == 40
    assert low.auxiliary == pytest.approx(64, abs=0.01)


def test_gradient_of_leakage_keeps_the_ratio_of_absolute_pressures():
    # By hand: 104.7 to 94.7 abs at the head takes 89.7 abs at the rear to 81.13, 66.4 gauge.
    assert pipe_at_rear(rear=75, setting=90, reduction=10) == pytest.approx(66.43, abs=0.01)
    assert pipe_at_rear(rear=90, setting=90, reduction=12) == pytest.approx(78)
    assert pipe_at_rear(rear=75, setting=90, reduction=90) == 0


@given(held=st.floats(0, 90), reduction=st.floats(0, 90))
def test_a_reduction_is_never_worth_more_at_the_rear(held, reduction):
    assert pipe_at_rear(rear=held, setting=90, reduction=reduction) >= held - reduction - 1e-9


def test_too_light_a_set_applies_nothing_and_still_costs():
    after = set_brake(charged_car(charged=90), brake_pipe=88, moving_reduction=MOVES)

    assert cylinder_gauge(after) == 0
    assert after.auxiliary == 88


def test_a_set_that_is_already_on_goes_on_with_the_smallest_step():
    on = set_brake(charged_car(charged=90), brake_pipe=80, moving_reduction=MOVES)
    deeper = set_brake(on, brake_pipe=79, moving_reduction=MOVES)

    # H11: 11 off lies between 18.1 (10) and 23.8 (12).
    assert cylinder_gauge(deeper) == pytest.approx((18.1 + 23.8) / 2, abs=0.06)


def test_pipe_above_the_auxiliary_applies_nothing():
    state = CarState(brake_pipe=85.0, auxiliary=70.0, emergency_reservoir=80.0, cylinder_air=3572.0)
    after = set_brake(state, brake_pipe=75, moving_reduction=MOVES)

    assert after.auxiliary == 70
    assert after.brake_pipe == 75


def test_lag_of_the_train_from_the_rule():
    # NAVY: 5 min per 10 cars; 100 cars take 50 min, counted as reaching 75 of 90.
    rate = recharge_of_train(charged=90, cars=100, car_length=55)
    assert 90 * (1 - exp(-50 / rate.pipe_minutes)) == pytest.approx(75)
    assert rate.choke_minutes == CHOKE_MINUTES


def test_longer_cars_are_slower_and_shorter_ones_not_quicker():
    lags = [
        recharge_of_train(charged=90, cars=50, car_length=length).pipe_minutes
        for length in (40, 55, 110)
    ]
    assert lags[0] == lags[1] == lags[2] / 2


def test_choke_against_the_acceptance_test():
    # MCB-06, test 2: pipe held at 90, auxiliary 0 to 70 in 45 to 60 s; the slow end is taken.
    rate = Recharge(charged=90, pipe_minutes=1e-9)
    empty = CarState(brake_pipe=90.0, auxiliary=0.0, emergency_reservoir=0.0, cylinder_air=0.0)
    assert recharge(empty, minutes=1, rate=rate).auxiliary == pytest.approx(70)


@pytest.mark.parametrize("pipe_minutes", [0.3, CHOKE_MINUTES, 20.0])
@pytest.mark.parametrize("pipe", [40.0, 64.0])
def test_recharge_against_scipy(pipe, pipe_minutes):
    rate = Recharge(charged=90, pipe_minutes=pipe_minutes)
    start = CarState(brake_pipe=pipe, auxiliary=64.0, emergency_reservoir=85.0, cylinder_air=3572.0)

    def slope(minutes: float, reservoir: float, lag: float) -> float:
        # The pipe is counted only from the moment it stands at the reservoir, as its lag allows.
        over = 90 - (90 - pipe) * exp(-minutes / pipe_minutes)
        return float(max(0.0, over - reservoir) / lag)

    for reservoir, lag in (
        ("auxiliary", CHOKE_MINUTES),
        ("emergency_reservoir", CHOKE_MINUTES * 1.4),
    ):
        begin = getattr(start, reservoir)
        solved = solve_ivp(
            lambda t, y, lag=lag: [slope(t, float(y[0]), lag)],
            (0, 30),
            [begin],
            rtol=1e-8,
            atol=1e-8,
            max_step=0.05,
        )
        ours = getattr(recharge(start, minutes=30, rate=rate), reservoir)
        assert ours == pytest.approx(float(solved.y[0][-1]), abs=1e-3)


def test_nothing_comes_back_into_a_full_car():
    full = charged_car(charged=90)
    assert recharge(full, minutes=10, rate=Recharge(charged=90, pipe_minutes=5)) == full


def test_charged_pressure_must_leave_room_for_the_rule():
    with pytest.raises(ValueError, match="charged"):
        recharge_of_train(charged=15, cars=10, car_length=55)


charges = st.floats(50, 120)
moves = st.lists(
    st.tuples(st.floats(0, 40), st.floats(0, 60), st.floats(0, 1)), min_size=1, max_size=5
)
cars = st.builds(
    CarBrake,
    auxiliary_volume=st.floats(1500, 6000),
    emergency_volume=st.floats(1000, 8000),
    piston_travel=st.floats(3, 12),
)


@given(
    charged=charges,
    moves=moves,
    car=cars,
    last_wait=st.booleans(),
    mixed=st.booleans(),
    train=st.integers(1, 250),
)
def test_less_waiting_never_gives_more(charged, moves, car, last_wait, mixed, train):
    rate = recharge_of_train(charged=charged, cars=train, car_length=55)
    patient = [(charged - off, minutes) for off, minutes, _ in moves]
    hasty = [(charged - off, minutes * share) for off, minutes, share in moves]
    rich, poor = (
        follow(charged, sets, rate=rate, into_auxiliary=mixed, car=car, last_wait=last_wait)
        for sets in (patient, hasty)
    )
    slack = 1e-7
    assert poor.auxiliary <= rich.auxiliary + slack
    assert poor.emergency_reservoir <= rich.emergency_reservoir + slack
    assert poor.brake_pipe <= rich.brake_pipe + slack
    assert service_left(poor, car=car) <= service_left(rich, car=car) + slack
    assert emergency_left(poor, car=car) <= emergency_left(rich, car=car) + slack


@given(charged=charges, moves=moves, car=cars, mixed=st.booleans(), train=st.integers(1, 250))
def test_never_more_than_a_charged_car_has(charged, moves, car, mixed, train):
    rate = recharge_of_train(charged=charged, cars=train, car_length=55)
    sets = [(charged - off, minutes) for off, minutes, _ in moves]
    state = follow(charged, sets, rate=rate, into_auxiliary=mixed, car=car)

    assert state.auxiliary <= charged + 1e-9
    assert emergency_left(state, car=car) <= emergency_pressure(charged=charged, car=car) + 1e-9


@given(pipe=st.floats(0, 90), auxiliary=st.floats(0, 90), minutes=st.floats(0, 60))
def test_recharge_never_passes_the_pipe(pipe, auxiliary, minutes):
    rate = recharge_of_train(charged=90, cars=118, car_length=55)
    low = CarState(
        brake_pipe=pipe, auxiliary=auxiliary, emergency_reservoir=90.0, cylinder_air=3572.0
    )
    after = recharge(low, minutes=minutes, rate=rate)

    assert auxiliary - 1e-9 <= after.auxiliary <= max(auxiliary, after.brake_pipe) + 1e-9


@given(charged=charges, pipe=st.floats(0, 120), car=cars)
def test_a_set_only_shares_out_the_air(charged, pipe, car):
    before = charged_car(charged=charged, car=car)
    after = set_brake(before, brake_pipe=pipe, moving_reduction=0.0, car=car)

    def air(state: CarState) -> float:
        return float((state.auxiliary + ATMOSPHERE) * car.auxiliary_volume + state.cylinder_air)

    assert air(after) == pytest.approx(air(before), rel=1e-12)
    assert after.emergency_reservoir == before.emergency_reservoir


def test_half_of_the_missing_air_takes_the_lag_times_ln_2():
    # By hand: with a long train the choke hardly counts and the pipe's lag decides.
    rate = recharge_of_train(charged=90, cars=200, car_length=55)
    low = CarState(brake_pipe=70.0, auxiliary=70.0, emergency_reservoir=70.0, cylinder_air=3572.0)
    half = recharge(low, minutes=rate.pipe_minutes * log(2), rate=rate)

    assert half.brake_pipe == pytest.approx(80)
    assert 79 < half.auxiliary < 80
