"""A pipe that is as good as empty: no cell under the atmosphere, no air from nowhere."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.train import Train, equal_cars
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping.pipe_motion import fill_up
from calculators.equipment.train.stepping.state import State

CARS = 7
STEP = 0.05


def with_pressures(over: list[float], *, shut: tuple[int, ...] = ()) -> State:
    """A short train's pipe, so far over the atmosphere [Pa], with cocks shut at some faces."""
    state = put_together(Train(cars=equal_cars(CARS)))[0]
    assert len(over) == state.grid.cells
    state.pressure[:] = [state.grid.atmosphere + one for one in over]
    state.flow[:] = [0.0] * (state.grid.cells + 1)
    state.cocks.update(dict.fromkeys(shut, None))
    return state


def content(state: State) -> float:
    grid = state.grid
    return sum(
        (pressure - grid.atmosphere) * volume
        for pressure, volume in zip(state.pressure, grid.volume, strict=True)
    )


@given(
    st.lists(st.floats(-2000.0, 3000.0), min_size=CARS + 2, max_size=CARS + 2),
    st.sets(st.integers(1, CARS + 1), max_size=3),
)
def test_no_cell_under_the_atmosphere_and_no_air_from_nowhere(over: list[float], shut: set[int]):
    """What is in the cells after it is what was there, and what came back in by the vents."""
    state = with_pressures(over, shut=tuple(shut))
    before, flow = content(state), list(state.flow)
    fill_up(state, STEP)

    assert min(state.pressure) >= state.grid.atmosphere * (1.0 - 1e-12)
    assert content(state) - before == pytest.approx(-state.vented, abs=1e-6)
    assert state.vented <= 1e-9
    assert all(state.flow[face] == flow[face] for face in (0, *shut))


@given(st.lists(st.floats(-2000.0, 3000.0), min_size=CARS + 2, max_size=CARS + 2))
def test_what_comes_back_went_through_the_faces(over: list[float]):
    """Each cell's change is the change of the flows at its two ends over the step, but for vents."""
    state = with_pressures(over)
    before = list(state.pressure)
    fill_up(state, STEP)

    into = [STEP * (state.flow[cell] - state.flow[cell + 1]) for cell in range(state.grid.cells)]
    gained = [
        (now - then) * volume
        for now, then, volume in zip(state.pressure, before, state.grid.volume, strict=True)
    ]
    from_vents = [got - came for got, came in zip(gained, into, strict=True)]
    assert min(from_vents) >= -1e-6
    assert sum(from_vents) == pytest.approx(-state.vented, abs=1e-6)


@pytest.mark.parametrize("cell", range(CARS + 2))
def test_a_cell_is_filled_from_either_neighbor_before_anything_comes_in(cell: int):
    over = [3000.0] * (CARS + 2)
    over[cell] = -1000.0
    state = with_pressures(over)
    fill_up(state, STEP)
    assert state.vented == 0.0
    assert state.pressure[cell] == state.grid.atmosphere


def test_a_shut_cock_gives_nothing_back():
    over = [3000.0] * (CARS + 2)
    over[4] = -1000.0
    state = with_pressures(over, shut=(4, 5))
    fill_up(state, STEP)
    assert state.vented == pytest.approx(-1000.0 * state.grid.volume[4])
    assert content(state) == pytest.approx(
        sum(3000.0 * volume for cell, volume in enumerate(state.grid.volume) if cell != 4)
    )
