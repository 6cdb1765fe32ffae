"""Holding on a grade: pull, tons per operative brake, balance, hand brakes."""

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.force.holding import (
    balancing_pressure,
    grade_force,
    hand_brakes_needed,
    tons_per_operative_brake,
)


def test_grade_force_of_an_investigated_train() -> None:
    # H68, from the inputs of NTSB-90: 2.2 % and 8,900 tons pull 391,600 lb.
    assert grade_force(weight=8900, grade=2.2) == pytest.approx(391_600)


def test_tons_per_operative_brake_of_an_investigated_train() -> None:
    # H120, NTSB-90 p. 59: 8,900 tons on 69 cars; the report prints 128, cut short from 128.99.
    assert tons_per_operative_brake(weight=8900, operative_brakes=69) == pytest.approx(
        128.99, abs=0.005
    )
    # H121: the crew's 6,150 tons on 69 cars are 89.1.
    assert tons_per_operative_brake(weight=6150, operative_brakes=69) == pytest.approx(
        89.1, abs=0.05
    )


@given(
    needed=st.floats(0, 120),
    ratio=st.floats(1, 60),
    friction=st.floats(0.05, 0.5),
    share=st.floats(0.1, 1),
)
def test_balance_gives_back_the_pull(
    needed: float, ratio: float, friction: float, share: float
) -> None:
    pressure = balancing_pressure(
        needed=needed,
        braking_ratio=ratio,
        ratio_pressure=64,
        friction=friction,
        operative_share=share,
    )

    retarding = 2000 * ratio / 100 * pressure / 64 * friction * share

    assert retarding == pytest.approx(needed, abs=1e-9)


def test_no_brake_is_needed_where_resistance_holds() -> None:
    assert (
        balancing_pressure(
            needed=-3, braking_ratio=10, ratio_pressure=64, friction=0.3, operative_share=1
        )
        == 0
    )


@given(pull=st.floats(0, 2e6), holding=st.floats(100, 20_000), margin=st.floats(0, 200))
def test_hand_brakes_never_round_down(pull: float, holding: float, margin: float) -> None:
    number = hand_brakes_needed(pull=pull, holding_force=holding, margin=margin)

    assert number >= 1
    assert number * holding >= pull * (1 + margin / 100)
    # And not one more than that asks for.
    assert number == 1 or number <= ceil(pull * (1 + margin / 100) / holding) + 1
    assert number == 1 or (number - 2) * holding < pull * (1 + margin / 100)


def test_hand_brakes_at_whole_numbers_and_just_above() -> None:
    assert hand_brakes_needed(pull=40_000, holding_force=4000, margin=0) == 10
    assert hand_brakes_needed(pull=40_001, holding_force=4000, margin=0) == 11
    assert hand_brakes_needed(pull=0.01, holding_force=4000, margin=0) == 1


def test_quotient_that_rounds_down_onto_a_whole_number() -> None:
    # The exact quotient lies a hair above three; binary division says three.
    holding = 0.1
    pull = 0.30000000000000004
    assert pull / holding == 3.0000000000000004 or pull / holding == 3.0
    number = hand_brakes_needed(pull=pull, holding_force=holding, margin=0)

    assert number * holding >= pull


def test_thirty_five_hand_brakes_did_not_hold() -> None:
    # Transportation Safety Board of Canada R11Q0056: 10,070 tons on an average 1.3 %. By a table
    # in the report 57 hand brakes set with 80 ft-lb would have been needed; 35 were set and the
    # train ran away. The table implies about 4,600 lb a brake; by it 35 fall short.
    pull = grade_force(weight=10_070, grade=1.3)
    holding = pull / 57

    assert holding == pytest.approx(4600, abs=50)
    assert 35 * holding < pull
    assert hand_brakes_needed(pull=pull, holding_force=4600, margin=0) == 57


def test_product_that_falls_short_of_the_pull_takes_one_more() -> None:
    pull, holding = 442_447.2, 5672.4
    # The exact quotient of these two binary numbers lies above 78, division gives 78.
    assert Fraction(pull) > 78 * Fraction(holding)
    assert pull / holding == 78

    assert hand_brakes_needed(pull=pull, holding_force=holding, margin=0) == 79
