"""Putting a train together for a run: state, relays, leaks, and the gradient they start from."""

from __future__ import annotations

from math import copysign, sqrt

from calculators.air.gas import content_flow_of_cfm
from calculators.base.units import PSI
from calculators.equipment.leak_down import choked_rate
from calculators.equipment.train.consist import LEAKAGE_READ_AT, Train
from calculators.equipment.train.stepping.border import relay_figures
from calculators.equipment.train.stepping.flows import factor
from calculators.equipment.train.stepping.grid import lay_out
from calculators.equipment.train.stepping.pipe_motion import solve_tridiagonal
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State, initial_state

SETTLING_TIME = 1e8
"""Step that counts as forever: what a cell holds is nothing to what passes it meanwhile. [s]"""
MOST_ROUNDS = 400
CLOSE_ENOUGH = 0.001
"""Change of pressure between rounds at which the gradient is settled. [Pa]"""


def put_together(train: Train, *, cells_per_car: int = 1) -> tuple[State, list[Relay]]:
    """The train at the start of a run, its gradient settled if it is charged and leaks.

    Parameters
    ----------
    train
        The train.
    cells_per_car
        Cells to a car of usual length; the wave steps shorten with them. One is what the valves
        are fitted at and what everything but a convergence test uses.

    Returns
    -------
    tuple
        The state, and the relays of the lead brake valve and of the remote one, if any.
    """
    grid = lay_out(train, cells_per_car=cells_per_car)
    state = initial_state(train, grid)
    state.leaks = _leak_holes(train, state)
    state.cylinder_leaks = _cylinder_holes(train, state)
    relays = [_relay(train, cell=0, vent=0, locomotives=train.locomotives, state=state)]
    if train.remote is not None:
        assert grid.remote_cell is not None
        assert grid.remote_vent is not None
        relays.append(
            _relay(
                train,
                cell=grid.remote_cell,
                vent=grid.remote_vent,
                locomotives=train.remote.locomotives,
                state=state,
            )
        )
    if state.leaks and train.starting_pressure is None:
        settle(state, relays)
        for i, cell in enumerate(grid.car_cell):
            state.auxiliary[i] = state.emergency[i] = state.pressure[cell]
        state.detector_pressure = [state.pressure[cell] for cell in state.detector_cell]
    if train.remote is not None:
        remote = relays[-1]
        remote.cuts_out_alone = train.remote.link == "lost-cuts-out"
        remote.fall_at_rest = remote.equalizing - state.pressure[remote.cell]
    return state, relays


def _relay(train: Train, *, cell: int, vent: int, locomotives: int, state: State) -> Relay:
    figures = relay_figures(train, locomotives=locomotives)
    return Relay(
        figures=figures,
        cell=cell,
        detector=len(train.cars) + vent,
        # A pipe over the setting was charged through an equalizing reservoir that stood as high.
        equalizing=max(figures.setting, state.pressure[cell]),
        main=train.main_reservoir * PSI + state.grid.atmosphere,
        target=figures.setting,
    )


def _leak_holes(train: Train, state: State) -> list[tuple[int, float]]:
    """Conductance of the leak at each cell that has one, by cell."""
    grid = state.grid
    setting = train.brake_pipe_setting * PSI + grid.atmosphere
    holes = [0.0] * grid.cells
    for leak in train.leaks:
        hole = content_flow_of_cfm(leak.flow, atmosphere=grid.atmosphere) / setting
        if leak.at_car is None:
            whole = sum(grid.volume)
            holes = [h + hole * V / whole for h, V in zip(holes, grid.volume, strict=True)]
        else:
            holes[grid.car_cell[leak.at_car - 1]] += hole
    return [(cell, hole) for cell, hole in enumerate(holes) if hole > 0.0]


def _cylinder_holes(train: Train, state: State) -> list[tuple[int, float]]:
    """Conductance of the leak of each cylinder that has one, by car, from the fall that was read."""
    holes = []
    for number, car in enumerate(train.cars):
        if car.cylinder_leakage > 0.0 and not car.cut_out:
            share = choked_rate(
                pressure=LEAKAGE_READ_AT,
                fall_per_unit=car.cylinder_leakage / 60.0,
                atmosphere=train.atmosphere,
            )
            holes.append((number, share * state.volume_out[number]))
    return holes


def settle(state: State, relays: list[Relay]) -> list[float]:
    """Bring the pipe, all its cocks open, to rest with its leaks.

    Gives what each relay feeds. [Pa·m³/s]

    In each round the flow through a face is taken as proportional to the difference of pressures,
    by the flow of the round before; the geometric mean of two rounds makes the square law
    converge. A relay that would have to exhaust is left out.
    """
    grid = state.grid
    cells, atmosphere = grid.cells, grid.atmosphere
    p, w = state.pressure, state.flow
    gain = [0.0] * (cells + 1)
    feeding = [True] * len(relays)
    slopes = [0.0] * len(relays)
    for _ in range(MOST_ROUNDS):
        for i in range(1, cells):
            friction = grid.turbulent * abs(w[i]) + grid.laminar
            gain[i] = grid.pull[i] * 0.5 * (p[i - 1] + p[i]) / friction
        held = [volume / SETTLING_TIME for volume in grid.volume]
        diagonal = [h + gain[i] + gain[i + 1] for i, h in enumerate(held)]
        right_side = [h * y for h, y in zip(held, p, strict=True)]
        for cell, hole in state.leaks:
            # As a share of the excess over atmosphere, so that the leak ends there.
            excess = max(p[cell] - atmosphere, 1.0)
            rate = hole * p[cell] * factor(atmosphere / (atmosphere + excess)) / excess
            diagonal[cell] += rate
            right_side[cell] += rate * atmosphere
        for j, relay in enumerate(relays):
            slopes[j] = relay.supply_slope(p[relay.cell])
            if feeding[j]:
                diagonal[relay.cell] += slopes[j]
                right_side[relay.cell] += slopes[j] * (relay.equalizing - relay.figures.dead_band)
        settled = solve_tridiagonal(diagonal, gain, right_side)
        change = max(abs(new - old) for new, old in zip(settled, p, strict=True))
        p[:] = settled
        for i in range(1, cells):
            new = gain[i] * (p[i - 1] - p[i])
            w[i] = copysign(sqrt(abs(new * w[i])), new) if w[i] else new
        wanting = [r.equalizing - r.figures.dead_band > p[r.cell] for r in relays]
        if change < CLOSE_ENOUGH and wanting == feeding:
            break
        feeding = wanting
    return [
        slope * (relay.equalizing - relay.figures.dead_band - p[relay.cell]) if feeds else 0.0
        for relay, slope, feeds in zip(relays, slopes, feeding, strict=True)
    ]
