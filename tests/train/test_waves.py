"""The pipe alone: speed of sound, symmetry, and an independent solution of the same equations."""

from math import sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from calculators.air.orifice import flow_factor
from calculators.base.units import FOOT, PSI
from calculators.equipment.train import Car, Command, Train, equal_cars, run
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import Due
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping.grid import lay_out
from calculators.equipment.train.stepping.pipe_motion import long_step, solve_tridiagonal, wave_step
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State, Vent

ISOTHERMAL_SOUND = sqrt(287.05287 * 293.15)


def pipe_only(cars: int, length: float = 50.0) -> Train:
    """All cars cut out, so that only pipe is left."""
    return Train(
        cars=(Car(length=length, cut_out=True),) * cars, locomotives=1, locomotive_length=length
    )


def test_no_signal_is_faster_than_sound() -> None:
    """Ahead of where isothermal sound can be, the pipe has not felt anything at all."""
    train = pipe_only(100)
    result = run(
        train,
        (Command(at_seconds=0, action="emergency"),),
        seconds=5.0,
        sample_seconds=0.1,
    )
    positions = [(50.0 + 50.0 * i + 25.0) * FOOT for i in range(100)]
    felt_somewhere = 0
    for sample in result.samples[1:]:
        reach = ISOTHERMAL_SOUND * 1.05 * sample.seconds + 50.0 * FOOT
        for position, pressure in zip(positions, sample.brake_pipe, strict=True):
            if position > reach:
                assert pressure == pytest.approx(90.0, abs=1e-9)
            else:
                felt_somewhere += pressure < 89.0
    assert felt_somewhere > 1000


@pytest.mark.parametrize("length", [40.0, 50.0, 75.0, 90.0])
@pytest.mark.parametrize("action", ["emergency", "service"])
def test_no_car_starts_before_sound_could_reach_it(length: float, action: str) -> None:
    cars = 60
    command = Command(at_seconds=0.0, action=action, reduction=26.0)  # type: ignore[arg-type]
    result = run(Train(cars=equal_cars(cars, length=length)), (command,), seconds=30.0)

    assert result.cars_not_applied == ()
    for movement in result.movements:
        distance = (140.0 + length * (movement.car - 0.5)) * FOOT
        # A valve acts on a whole cell, and the first cell is up to two cars long: sound need only
        # go from the far side of that one to the near side of this.
        assert movement.seconds >= (distance - 2.0 * length * FOOT) / ISOTHERMAL_SOUND


def test_mixed_lengths_do_not_outrun_sound_either() -> None:
    lengths = [40.0 + (37 * i) % 86 for i in range(80)]
    result = run(
        Train(cars=tuple(Car(length=length) for length in lengths), locomotives=1),
        (Command(at_seconds=0, action="emergency"),),
        seconds=30.0,
    )

    assert result.propagation_speed is not None
    assert result.propagation_speed * FOOT <= ISOTHERMAL_SOUND * 1.05


def test_a_small_wave_travels_at_the_speed_of_the_grid() -> None:
    """After a hundred wave steps the edge of a small fall is where its speed says, none beyond."""
    train = pipe_only(200)
    state, _ = put_together(train)
    grid = state.grid
    start = state.pressure[0]
    for cell in range(20):
        state.pressure[cell] -= 10.0
    for _ in range(100):
        wave_step(state, grid.wave_step)
    falls = [start - p for p in state.pressure]
    edge = max(cell for cell, fall in enumerate(falls) if fall > 0.5 * max(falls))
    travelled = 100 * grid.wave_step * grid.wave_speed / (50.0 * FOOT)

    assert grid.wave_speed < ISOTHERMAL_SOUND
    assert falls[120:] == [0.0] * (grid.cells - 120)
    assert edge == pytest.approx(19.5 + travelled, abs=1.0)


def symmetric_train(valves: bool) -> tuple[Simulation, int]:
    """A head locomotive as long as a car, the last car cut out: the same from both ends."""
    middle_cars = equal_cars(40, length=50.0) if valves else pipe_only(40).cars
    cars = (*middle_cars[:-1], Car(length=50.0, cut_out=True))
    train = Train(cars=cars, locomotives=1, locomotive_length=50.0)
    state, relays = put_together(train)
    relays[0].cut_in = False
    relays[0].cut_off_opening = 0.0
    # The locomotive's vent valve has no partner at the rear.
    state.detector_fired[-1] = True
    return Simulation(state, relays, []), state.grid.cells // 2


@pytest.mark.parametrize("valves", [False, True])
def test_opening_the_middle_is_the_same_toward_both_ends(valves: bool) -> None:
    simulation, middle = symmetric_train(valves)
    state = simulation.state
    # A small hole applies the brakes in service; nothing is one-sided but rounding.
    simulation.due.append(
        Due(0.0, lambda at_work, _: at_work.vents.append(Vent(middle, 0.006, 1e9)))
    )
    for second in range(1, 11):
        simulation.advance(float(second))
        p = state.pressure
        assert p == pytest.approx(p[::-1], rel=1e-9)
    if valves:
        assert sum(start is not None for start in state.started) == 39
        assert state.started[:39] == pytest.approx(state.started[38::-1], rel=1e-9)
    assert min(state.pressure) < 0.99 * 104.7 * PSI


def method_of_lines(
    train: Train, hole: float, seconds: float, *, cells: int, convection: bool
) -> np.ndarray:
    """Pressure along a pipe blowing out at its head, by SciPy: not our grid, not our steps.

    Equations of isothermal flow for density-like p and flux g = p u on a collocated grid with a
    Rusanov flux, ten times finer than the model's; friction as the model has it.
    """
    grid = lay_out(train)
    whole = sum(grid.volume)
    # Branches are spread along the pipe: a pipe of the same volume whose waves are as much slower.
    length = (train.locomotive_length + sum(car.length for car in train.cars)) * FOOT
    c2 = grid.gas
    storage = whole / (grid.area * length)  # volume per length over the bore's area
    dx = length / cells
    start = 90.0 * PSI + grid.atmosphere

    def slope(_: float, y: np.ndarray) -> np.ndarray:
        p, w = y[:cells], y[cells:]  # pressure, content flow
        p_all = np.concatenate(([p[0]], p, [p[-1]]))
        out = hole * p[0] * flow_factor(min(1.0, grid.atmosphere / p[0]))
        w_all = np.concatenate(([-2.0 * out - w[0]], w, [-w[-1]]))
        momentum = grid.area * c2 * p_all
        if convection:
            momentum = momentum + w_all * w_all / (grid.area * p_all)
        fastest = sqrt(c2 / storage)
        flux_p = 0.5 * (w_all[:-1] + w_all[1:]) - 0.5 * fastest * storage * grid.area * np.diff(
            p_all
        )
        flux_w = 0.5 * (momentum[:-1] + momentum[1:]) - 0.5 * fastest * np.diff(w_all)
        flux_p[0], flux_p[-1] = -out, 0.0
        friction = (grid.turbulent * np.abs(w) + grid.laminar) / p * w
        return np.concatenate(
            (-np.diff(flux_p) / (storage * grid.area * dx), -np.diff(flux_w) / dx - friction)
        )

    solution = solve_ivp(
        slope,
        (0.0, seconds),
        np.concatenate((np.full(cells, start), np.zeros(cells))),
        method="RK45",
        rtol=1e-6,
        atol=1.0,
        max_step=dx / ISOTHERMAL_SOUND,
        t_eval=[seconds],
    )
    return np.asarray((solution.y[:cells, -1] - grid.atmosphere) / PSI)


def blow_out(train: Train, hole: float, seconds: float, *, cells_per_car: int) -> Simulation:
    """The model's pipe with a hole opened at its head at the start."""
    state, relays = put_together(train, cells_per_car=cells_per_car)
    relays[0].cut_in = False
    relays[0].cut_off_opening = 0.0
    state.detector_fired = [True] * len(state.detector_fired)

    def open_hole(at_work: State, _: list[Relay]) -> None:
        at_work.vents.append(Vent(0, hole, 1e9))

    simulation = Simulation(state, relays, [Due(0.0, open_hole)])
    simulation.advance(seconds)
    return simulation


@pytest.mark.parametrize("seconds", [1.5, 4.0, 8.0])
def test_pipe_alone_against_a_method_of_lines(seconds: float) -> None:
    """Oracle: SciPy's solve_ivp on a much finer grid of another kind, convection kept or not.

    The hole draws ten times what a service exhaust does. One cell a car is within 1.5 psi
    everywhere, most next to the hole, where the end cell stands for its whole length, and within
    0.5 psi on the mean; four cells are within 0.5 and 0.2. Convection changes less than that.
    """
    train = pipe_only(40)
    length = 41 * 50.0
    fine = 820
    for cells_per_car, anywhere, on_the_mean in ((1, 1.5, 0.5), (4, 0.5, 0.2)):
        simulation = blow_out(train, 0.012, seconds, cells_per_car=cells_per_car)
        state = simulation.state
        cell = 50.0 / cells_per_car
        # The front itself is one cell wide: look a cell to either side of it.
        front = state.grid.wave_speed * simulation.seconds / FOOT
        centers = length - cell * (np.arange(state.grid.cells - 1)[::-1] + 0.5)
        keep = np.abs(centers - front) > 2.0 * cell
        ours = (np.array(state.pressure[1:]) - state.grid.atmosphere) / PSI
        for convection in (False, True):
            # Whole wave steps run a little past the time asked for: compare at the time reached.
            theirs = method_of_lines(
                train, 0.012, simulation.seconds, cells=fine, convection=convection
            )
            at = np.interp(centers, (np.arange(fine) + 0.5) / fine * length, theirs)
            assert np.abs(ours - at)[keep].max() < anywhere
            assert ours.mean() == pytest.approx(at.mean(), abs=on_the_mean)
        assert ours.min() < 81.0


def test_long_steps_come_to_the_same_rest_as_wave_steps() -> None:
    """After a disturbance has died out both ways of stepping leave the same content at rest."""
    ends = []
    for long in (False, True):
        state, _ = put_together(pipe_only(20))
        state.pressure[3] -= 30.0 * PSI
        for _ in range(4000):
            if long:
                long_step(state, 0.2, {}, state.pressure[:], theta=1.0)
            else:
                wave_step(state, state.grid.wave_step)
        ends.append(state.pressure)

    assert ends[0] == pytest.approx(ends[1], rel=1e-4)
    assert max(ends[1]) - min(ends[1]) < 1.0


def test_tridiagonal_solver_against_numpy() -> None:
    coupling = [0.0, 0.3, 0.7, 0.2, 0.0]
    diagonal = [2.0, 3.0, 2.5, 1.5]
    right = [1.0, -2.0, 0.5, 4.0]
    matrix = np.diag(diagonal)
    for i, value in enumerate(coupling[1:-1]):
        matrix[i, i + 1] = matrix[i + 1, i] = -value

    assert solve_tridiagonal(diagonal, coupling, right) == pytest.approx(
        list(np.linalg.solve(matrix, right))
    )
