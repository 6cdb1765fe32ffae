"""Long steps against the shortest: what is saved, and what it may cost."""

import pytest

from calculators.equipment.running import Brake, Setup, start
from calculators.equipment.train import Train, equal_cars, running
from calculators.equipment.train.running import FEW_CELLS, rate_of_change, rate_of_waves
from calculators.equipment.train.schedule import Due


def after_a_set(cars: int, reduction: float, seconds: float, *, length: float = 55.0) -> Brake:
    brake = start(Setup.of(Train(cars=equal_cars(cars, length=length))))
    brake.handle("service", reduction=reduction)
    brake.advance(seconds)
    return brake


@pytest.mark.parametrize("cars", [1, 10, 50, 118])
@pytest.mark.parametrize("reduction", [6.0, 10.0, 26.0])
def test_a_set_comes_to_the_same_as_in_the_shortest_steps_alone(
    cars: int, reduction: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    brake = after_a_set(cars, reduction, 85.0)
    monkeypatch.setattr(running, "WAVE_RATE", -1.0)
    other = after_a_set(cars, reduction, 85.0)

    # What a long step is worth: less than a gauge tells apart on the pipe, half a psi in a cylinder.
    assert other.simulation.long_steps == 0
    assert brake.brake_pipe() == pytest.approx(other.brake_pipe(), abs=0.2)
    assert brake.cylinders() == pytest.approx(other.cylinders(), abs=0.5)


def test_a_ripple_from_cell_to_cell_keeps_no_train_in_the_shortest_steps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Most of a minute after a set needs none; every cell's own rate would ask for twice as many."""
    brake = after_a_set(150, 10.0, 60.0, length=50.0)
    monkeypatch.setattr(running, "FEW_CELLS", 1000)
    other = after_a_set(150, 10.0, 60.0, length=50.0)

    assert brake.simulation.wave_steps < 0.6 * other.simulation.wave_steps


def test_what_moves_neighbors_alike_counts_in_full_and_a_ripple_not_at_all():
    """By the definition of a mean; and what a pipe of a few cells is, counts cell by cell."""
    before = [6.0e5] * 20
    alike = [one + 300.0 for one in before]
    ripple = [one + (300.0 if place % 2 else -300.0) for place, one in enumerate(before)]
    assert rate_of_change(ripple, before, 0.1) == pytest.approx(3000.0)
    assert rate_of_waves(alike, before, 0.1) == pytest.approx(3000.0)
    assert rate_of_waves(ripple, before, 0.1) == pytest.approx(0.0)
    few = FEW_CELLS - 1
    assert rate_of_waves(ripple[:few], before[:few], 0.1) == pytest.approx(3000.0)
    assert rate_of_waves(ripple[: few + 1], before[: few + 1], 0.1) == pytest.approx(0.0)


@pytest.mark.parametrize(("share", "end"), [(0.47, 10), (0.53, 11)])
def test_a_command_within_a_wave_step_is_obeyed_at_the_nearer_end(share: float, end: int):
    simulation = after_a_set(10, 10.0, 0.5).simulation
    step, begun = simulation.state.grid.wave_step, simulation.seconds
    obeyed: list[float] = []
    simulation.due = [
        Due(
            seconds=begun + (10 + share) * step,
            act=lambda *_: obeyed.append(simulation.seconds),
        )
    ]
    simulation.run_to(begun + 12 * step)
    assert obeyed == [pytest.approx(begun + end * step)]
