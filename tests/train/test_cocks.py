"""Cocks of the pipe, and where the cars stand on it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.units import FOOT, PSI
from calculators.equipment.train import Command, Train, equal_cars
from calculators.equipment.train.schedule import schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping import pipe_motion
from calculators.equipment.train.stepping.grid import lay_out
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State

CARS = 10
TRAIN = Train(cars=equal_cars(CARS, length=50.0), locomotives=2, locomotive_length=70.0)


def turned(state: State, relays: list[Relay], *moves: Command) -> float | None:
    """How the cock behind car 4 stands after some moves; nothing is kept of an open one."""
    for due in schedule(TRAIN, moves):
        due.act(state, relays)
    return state.cocks.get(state.grid.car_rear_face[4], 0.0)


def moved(action: str, opening: float = 0.0) -> Command:
    return Command(at_seconds=0.0, action=action, behind_car=4, opening=opening)  # type: ignore[arg-type]


def test_a_cock_is_shut_opened_whole_and_left_where_it_is_further():
    state, relays = put_together(TRAIN)
    assert turned(state, relays) == 0.0
    assert turned(state, relays, moved("close-angle-cock")) is None
    assert turned(state, relays, moved("open-angle-cock")) == 0.0
    assert not state.cocks
    half = turned(state, relays, moved("close-angle-cock", 0.5))
    assert half
    # Closed less than it is: it stays; closed more: it lets less through.
    assert turned(state, relays, moved("close-angle-cock", 0.8)) == half
    closer = turned(state, relays, moved("close-angle-cock", 0.1))
    assert closer
    assert closer > half
    # A sharp edge's loss, (1 / (c φ) - 1)², on a jet of 0.62 of its opening.
    assert closer / half == pytest.approx(((1 / 0.062 - 1) / (1 / 0.31 - 1)) ** 2)


def test_a_cock_that_no_car_is_named_for_is_the_last_locomotives():
    state, relays = put_together(TRAIN)
    for due in schedule(TRAIN, (Command(at_seconds=0.0, action="close-angle-cock"),)):
        due.act(state, relays)
    assert state.cocks == {state.grid.car_rear_face[0]: None}


@given(
    flow=st.floats(-3000.0, 3000.0),
    difference=st.floats(-5.0, 5.0),
    opening=st.floats(0.02, 0.98),
)
def test_the_flow_through_a_cock_balances_its_push(flow: float, difference: float, opening: float):
    """By the law it obeys: push = flow (damping + square |flow|), so flow = push x what a unit adds."""
    state, relays = put_together(TRAIN)
    extra = turned(state, relays, moved("close-angle-cock", opening))
    assert extra
    grid = state.grid
    face = grid.car_rear_face[4]
    state.pressure[face - 1] += difference * PSI
    step = grid.wave_step
    after, a_unit_adds = pipe_motion._through_cock(state, face, extra, flow, step)
    push = flow + step * grid.pull[face] * (state.pressure[face - 1] - state.pressure[face])

    assert after == pytest.approx(push * a_unit_adds, rel=1e-6, abs=1e-6)
    assert abs(after) <= abs(push)
    both = state.pressure[face - 1] + state.pressure[face]
    friction = 2.0 * step * ((grid.turbulent + extra) * abs(after) + grid.laminar) / both
    assert after * (1.0 + friction) == pytest.approx(push, rel=1e-6, abs=1e-6)


def test_cars_stand_where_their_lengths_put_them():
    """Middles of the cars, behind two locomotives of 70 ft."""
    expected = [(140.0 + 50.0 * (car + 0.5)) * FOOT for car in range(CARS)]
    assert lay_out(TRAIN).car_position == pytest.approx(expected)
