"""Cells: what finer ones change, and the speeds that come of them."""

import pytest

from calculators.equipment.train import Command, Train, equal_cars, run

EMERGENCY = Command(at_seconds=0.0, action="emergency")


def service(reduction: float) -> Command:
    return Command(at_seconds=0.0, action="service", reduction=reduction)


@pytest.mark.parametrize(
    ("cars", "length", "setting"), [(100, 50.0, 90.0), (60, 40.0, 110.0), (60, 90.0, 70.0)]
)
def test_two_cells_a_car_agree_with_one(cars: int, length: float, setting: float) -> None:
    """Emergency within 2 percent, service within 8, pressures within 2 psi."""
    train = Train(cars=equal_cars(cars, length=length), brake_pipe_setting=setting, locomotives=1)
    for command, tolerance in ((EMERGENCY, 0.02), (service(10.0), 0.08), (service(26.0), 0.08)):
        one, two = (run(train, (command,), seconds=60.0, cells_per_car=cells) for cells in (1, 2))
        assert one.propagation_speed == pytest.approx(two.propagation_speed, rel=tolerance)
        for early, late in ((60, 60), (120, 120)):
            assert one.samples[early].brake_cylinder == pytest.approx(
                two.samples[late].brake_cylinder, abs=2.0
            )
            assert one.samples[early].brake_pipe == pytest.approx(
                two.samples[late].brake_pipe, abs=1.0
            )


def test_finer_cells_come_together() -> None:
    """Service speed with one cell a car is within 10 percent of the finest, with two within 6."""
    train = Train(cars=equal_cars(60, length=50.0), locomotives=1)
    one, two, four = (
        run(train, (service(10.0),), seconds=15.0, cells_per_car=cells).last_car_starts
        for cells in (1, 2, 4)
    )

    assert one == pytest.approx(four, rel=0.10)
    assert two == pytest.approx(four, rel=0.06)


def test_service_speed_is_in_the_nominal_range() -> None:
    """500 to 600 ft/s, from memory: a fitted band, not a check."""
    result = run(Train(cars=equal_cars(150, length=50.0)), (service(10.0),), seconds=30.0)

    assert result.propagation_speed is not None
    assert 500.0 <= result.propagation_speed <= 600.0


def test_emergency_speed_is_in_the_nominal_range() -> None:
    """900 to 950 ft/s, from memory (H103): a band, not a check."""
    result = run(Train(cars=equal_cars(150, length=50.0)), (EMERGENCY,), seconds=30.0)

    assert result.propagation_speed is not None
    assert 900.0 <= result.propagation_speed <= 950.0
