"""Air is neither made nor lost: every kind of run, weighed at every sample."""

import pytest

from calculators.equipment.train import Car, Command, Leak, Remote, Train, equal_cars, run


def service(at: float, reduction: float) -> Command:
    return Command(at_seconds=at, action="service", reduction=reduction)


def release(at: float) -> Command:
    return Command(at_seconds=at, action="release")


CARS = equal_cars(40, length=50.0)
MIXED = tuple(
    Car(
        length=40.0 + (17 * i) % 85,
        piston_travel=6.0 + i % 5,
        cut_out=i % 9 == 4,
        retaining_valve=("direct", "low-pressure", "high-pressure", "slow-direct")[i % 4],
    )
    for i in range(40)
)
RUNS = {
    "service": (Train(cars=CARS), (service(0, 12),)),
    "steps of service": (Train(cars=CARS), (service(0, 7), service(20, 12), service(45, 26))),
    "emergency at the head": (Train(cars=CARS), (Command(at_seconds=0, action="emergency"),)),
    "emergency at a car": (Train(cars=CARS), (Command(at_seconds=0, action="emergency", at=17),)),
    "emergency at both ends": (
        Train(cars=CARS),
        (Command(at_seconds=0, action="emergency", at="both"),),
    ),
    "emergency out of a service set, then release": (
        Train(cars=CARS),
        (service(0, 10), Command(at_seconds=25, action="emergency", at="rear"), release(95)),
    ),
    "release": (Train(cars=CARS), (service(0, 20), release(60))),
    "release before the rear is applied": (Train(cars=CARS), (service(0, 20), release(3))),
    "dry charge": (Train(cars=CARS, starting_pressure=0.0), ()),
    "spread leak": (Train(cars=CARS, leaks=(Leak(flow=40.0),)), (service(0, 10), release(60))),
    "one leak, cut out": (
        Train(cars=CARS, leaks=(Leak(flow=15.0, at_car=30),)),
        (service(0, 20), Command(at_seconds=60, action="cut-out")),
    ),
    "closed cock": (
        Train(cars=CARS),
        (
            service(0, 10),
            Command(at_seconds=4, action="close-angle-cock", behind_car=20),
            release(60),
            Command(at_seconds=90, action="open-angle-cock", behind_car=20),
        ),
    ),
    "partly closed cock": (
        Train(cars=CARS),
        (
            Command(at_seconds=0, action="close-angle-cock", behind_car=20, opening=0.05),
            service(1, 20),
            release(70),
        ),
    ),
    "remote locomotive": (
        Train(cars=CARS, remote=Remote(after_car=30, locomotives=2), leaks=(Leak(flow=20.0),)),
        (service(0, 15), release(60)),
    ),
    "mixed cars": (Train(cars=MIXED), (service(0, 26), release(60))),
    "mixed cars in emergency": (
        Train(cars=MIXED, locomotives=4),
        (Command(at_seconds=0, action="emergency"), release(80)),
    ),
    "small main reservoir": (
        Train(cars=CARS, starting_pressure=20.0, main_reservoir=60.0, locomotives=1),
        (),
    ),
}


@pytest.mark.parametrize("name", RUNS)
def test_mass_balance(name: str) -> None:
    train, commands = RUNS[name]
    result = run(train, commands, seconds=150.0)

    assert result.mass_error < 1e-9
    last = result.samples[-1]
    assert all(pressure > -1e-6 for pressure in last.brake_pipe + last.brake_cylinder)


def test_closing_the_pipe_and_waiting_an_hour_changes_nothing() -> None:
    """Without leaks a charged train stands as it is."""
    result = run(Train(cars=equal_cars(100)), (), seconds=3600.0, sample_seconds=60.0)
    last = result.samples[-1]

    assert result.movements == ()
    # Sums of rounded parts: an ulp here or there, by the Python that adds them.
    assert result.mass_error < 1e-15
    assert set(last.brake_pipe) == {90.0} or last.brake_pipe == pytest.approx([90.0] * 100)
    assert last.brake_cylinder == pytest.approx([0.0] * 100, abs=1e-9)


def test_an_applied_train_without_leaks_holds_for_an_hour() -> None:
    """Lapped and cut out, nothing moves any more: cylinders and pipe hold."""
    commands = (service(0, 12), Command(at_seconds=120, action="cut-out"))
    result = run(Train(cars=equal_cars(50)), commands, seconds=3720.0, sample_seconds=60.0)
    settled, last = result.samples[5], result.samples[-1]

    assert result.undesired_actions == ()
    assert last.brake_pipe == pytest.approx(settled.brake_pipe, abs=0.1)
    assert last.brake_cylinder == pytest.approx(settled.brake_cylinder, abs=0.5)


@pytest.mark.parametrize(("cars", "flow"), [(100, 40.0), (150, 40.0), (50, 60.0)])
def test_what_is_settled_rests_by_the_laws_of_motion(cars: int, flow: float) -> None:
    """Settled by one way of reckoning, moved on by another: within a tenth of what a gauge tells."""
    result = run(Train(cars=equal_cars(cars), leaks=(Leak(flow=flow),)), (), seconds=60.0)
    first, last = result.samples[0], result.samples[-1]
    assert last.brake_pipe == pytest.approx(first.brake_pipe, abs=0.05)


def test_a_leaking_train_is_settled_before_it_starts() -> None:
    """An hour with the leak fed leaves gradient and flow where they began."""
    train = Train(cars=equal_cars(100), leaks=(Leak(flow=40.0),))
    result = run(train, (), seconds=3600.0, sample_seconds=60.0)
    first, last = result.samples[1], result.samples[-1]

    assert result.movements == ()
    assert last.rear == pytest.approx(first.rear, abs=0.05)
    assert last.supply_flow == pytest.approx(first.supply_flow, rel=0.01)
