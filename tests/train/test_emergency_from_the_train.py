"""An emergency from anywhere in the train reaches the head with the wave, and ends the feed.

ARMY-223 p. 4-78: in an emergency from the train (a hose, a rear-end device, another vehicle) the
charging cut-off shuts the brake valve's feed; only in release does the pipe charge again [S*].
"""

import math
from dataclasses import replace

import pytest

from calculators.base.units import FOOT, INCH, PSI
from calculators.equipment.train import (
    Car,
    Command,
    Leak,
    Remote,
    Run,
    Train,
    equal_cars,
    run,
    stream,
)
from calculators.equipment.train.commands import Place
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping import pipe_motion
from calculators.equipment.train.stepping.car_valves import vent
from calculators.equipment.train.stepping.state import Vent
from calculators.equipment.train.tables import AIR_SUPPLY, BRAKE_VALVE

# UIC's lower limit, from memory: 250 m/s (820 ft/s); above it the pipe's sound, 951 ft/s.
SLOWEST, FASTEST = 820.0, 951.0 * 1.05
SETTLE = 0.35
"""A start at the first car, a sample, and a cell or two at the head. [s]"""
SAMPLE = 0.1

CUT_OUT = Command(at_seconds=0.0, action="cut-out")


def service(reduction: float, at: float = 0.0) -> Command:
    return Command(at_seconds=at, action="service", reduction=reduction)


def release(at: float) -> Command:
    return Command(at_seconds=at, action="release")


def opened(train: Train, place: Place | int, *, before: tuple[Command, ...], at: float) -> Run:
    emergency = Command(at_seconds=at, action="emergency", at=place)
    return run(train, (*before, emergency), seconds=at + 30.0, sample_seconds=SAMPLE)


def assert_reaches_the_head(result: Run, train: Train, place: Place | int, *, at: float) -> None:
    """Car 1 and the lead locomotive's gauge fall when the wave can be there, and stay down."""
    source = place if isinstance(place, int) else len(train.cars)
    to_car_1 = sum(car.length for car in train.cars[:source])
    to_lead = to_car_1 + train.locomotive_length * (train.locomotives - 0.5)
    emergencies = {m.car: m.seconds - at for m in result.movements if m.kind == "emergency"}
    assert len(emergencies) == len(train.cars)
    start = next(s.head for s in result.samples if s.seconds > at - SAMPLE)
    falls = next(s.seconds - at for s in result.samples if s.seconds > at and s.head < start - 10.0)
    for distance, arrives in ((to_car_1, emergencies[1]), (to_lead, falls)):
        assert distance / FASTEST - SETTLE < arrives < distance / SLOWEST + SETTLE
    later = [s for s in result.samples if s.seconds > at + falls + 3.0]
    assert max(s.head for s in later) < 1.0
    assert max(s.supply_flow for s in later) == pytest.approx(0.0, abs=1e-6)
    assert result.undesired_actions == ()


@pytest.mark.parametrize("lapped", [False, True])
@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.75, 1.0, "rear"])
@pytest.mark.parametrize("cars", [26, 118, 150, 250])
def test_from_any_car_and_the_rear(cars: int, share: float | str, lapped: bool) -> None:
    """With the brake valve feeding in release, and cut out."""
    place: Place | int = "rear" if isinstance(share, str) else max(1, round(share * cars))
    train = Train(cars=equal_cars(cars), rear_device_delay=0.0)
    before = (CUT_OUT,) if lapped else ()
    result = opened(train, place, before=before, at=3.0)

    assert_reaches_the_head(result, train, place, at=3.0)
    assert result.samples[-1].equalizing_reservoir == pytest.approx(90.0)


@pytest.mark.parametrize("locomotives", [1, 4])
@pytest.mark.parametrize(
    ("before", "at"),
    [
        ((service(26.0),), 8.0),  # while the exhaust blows
        ((service(10.0),), 120.0),  # held, with maintaining
        ((service(15.0), release(120.0)), 125.0),  # the relay wide open
        ((service(15.0), release(120.0)), 200.0),  # still recharging
    ],
)
def test_whatever_the_brake_valve_is_doing(
    before: tuple[Command, ...], at: float, locomotives: int
) -> None:
    train = Train(cars=equal_cars(118), locomotives=locomotives)

    assert_reaches_the_head(opened(train, 59, before=before, at=at), train, 59, at=at)


@pytest.mark.parametrize("locomotives", [1, 2])
@pytest.mark.parametrize("setting", [60.0, 110.0])
@pytest.mark.parametrize("length", [40.0, 62.0, 64.0, 90.0, 125.0])
def test_from_the_middle_of_any_train(length: float, setting: float, locomotives: int) -> None:
    # The fuller the main reservoir, the more its air masks the wave.
    train = Train(
        cars=equal_cars(100, length=length),
        brake_pipe_setting=setting,
        locomotives=locomotives,
        main_reservoir=AIR_SUPPLY.compressor_stops,
    )

    assert_reaches_the_head(opened(train, 50, before=(), at=1.0), train, 50, at=1.0)


def test_a_leaking_train_and_a_charging_train() -> None:
    leaking = Train(cars=equal_cars(118), leaks=(Leak(flow=50.0),))
    assert_reaches_the_head(opened(leaking, 59, before=(), at=1.0), leaking, 59, at=1.0)
    charging = Train(cars=equal_cars(118), starting_pressure=60.0)
    assert_reaches_the_head(opened(charging, 59, before=(), at=10.0), charging, 59, at=10.0)


def test_the_remote_locomotive_stops_feeding_too() -> None:
    train = Train(cars=equal_cars(118), remote=Remote(after_car=80))
    state, relays = put_together(train)
    command = Command(at_seconds=1.0, action="emergency", at=100)
    simulation = Simulation(state, relays, schedule(train, (command,)))
    simulation.advance(1.0 + 118 * 55.0 / SLOWEST)
    supplied = [relay.supplied for relay in relays]
    simulation.advance(60.0)

    assert [relay.charging_cut_off for relay in relays] == [True, True]
    assert [relay.supplied for relay in relays] == supplied


def test_the_feed_comes_back_only_from_release() -> None:
    train = Train(cars=equal_cars(26))
    emergency = Command(at_seconds=0.0, action="emergency", at="rear")
    result = run(train, (emergency, service(10.0, 70.0), release(100.0)), seconds=300.0)
    at = {s.seconds: s for s in result.samples}

    assert at[99.5].head == pytest.approx(0.0, abs=0.1)
    assert at[300.0].head > 80.0


@pytest.mark.parametrize("leakage", [0.0, 20.0])
def test_a_fall_in_service_never_shuts_the_feed(leakage: float) -> None:
    """The charging cut-off takes an emergency to shut it: none of the trains' sets does."""
    for reduction in (7.0, 26.0):
        train = Train(
            cars=(Car(length=40.0),) * 60, leaks=(Leak(flow=leakage),), brake_pipe_setting=110.0
        )
        *_, last = stream(train, (service(reduction), release(90.0)), seconds=240.0)
        assert last.run is not None
        assert last.run.samples[-1].head == pytest.approx(110.0, abs=2.0)
        assert last.run.strongest_detection < 0.8


def test_a_relay_without_inertia_would_be_noticed() -> None:
    """The check of the check: answered at once with all the air there is, the wave is masked."""
    valve = replace(BRAKE_VALVE, supply_seconds=1e-6)
    train = Train(
        cars=equal_cars(100, length=40.0),
        brake_pipe_setting=60.0,
        locomotives=2,
        brake_valve=valve,
        main_reservoir=AIR_SUPPLY.compressor_stops,
    )
    result = opened(train, 50, before=(), at=1.0)

    assert min(s.head for s in result.samples if s.seconds < 10.0) > 30.0


def test_friction_of_a_flow_that_never_is_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The check of the check: so held back, the pipe cannot draw the head down against its feed."""
    monkeypatch.setattr(pipe_motion, "STRONG_DRAG", math.inf)
    charging = Train(cars=equal_cars(118), starting_pressure=60.0)
    result = opened(charging, 59, before=(), at=10.0)

    with pytest.raises(AssertionError):
        assert_reaches_the_head(result, charging, 59, at=10.0)


@pytest.mark.parametrize("atmosphere", [9.0, 14.7])
def test_emergencies_that_meet_leave_air_in_every_cell(atmosphere: float) -> None:
    """On fine cells, where flows come nearest to sound, nothing falls past what a wave can take."""
    train = Train(
        cars=equal_cars(5, length=63.0),
        brake_pipe_setting=110.0,
        rear_device_delay=0.0,
        atmosphere=atmosphere,
    )
    everywhere = [Command(at_seconds=0.0, action="emergency", at=at) for at in ("both", 1, 3, 5)]
    result = run(train, tuple(everywhere), seconds=12.0, sample_seconds=SAMPLE, cells_per_car=4)

    assert min(min(s.brake_pipe) for s in result.samples) > -0.5 * atmosphere
    assert result.samples[-1].brake_pipe == pytest.approx([0.0] * 5, abs=0.1)
    assert result.mass_error < 1e-9


def test_a_vent_draws_the_pipe_behind_it_down_by_the_law_of_pipe_flow() -> None:
    """Steady isothermal flow, p₁² - p₂² = f k (L/D) (w/A)² / (R T), holds next to an open vent too.

    The leaks' rest (`steady`) is checked against it in ``test_steady``; here the wave steps alone
    come to it: a closed head fed by its relay wide open, the pipe opened one car behind.
    """
    train = Train(
        cars=(Car(length=50.0, cut_out=True),) * 10, locomotives=1, locomotive_length=50.0
    )
    state, relays = put_together(train)
    state.detector_fired = [True] * len(state.detector_fired)
    grid = state.grid
    state.vents.append(Vent(4, 1.0, 1e9))
    for _ in range(400):
        pipe_motion.wave_step(state, grid.wave_step)
        relays[0].feed_cell(state, grid.wave_step)
        relays[0].main = 150.0 * PSI
        vent(state, grid.wave_step)
    p, w = state.pressure, state.flow
    friction = train.pipe.friction_factor * train.pipe.length_factor
    bore = train.pipe.bore * INCH

    for face in (1, 2, 3):
        assert w[face] == pytest.approx(w[1], rel=0.02)
        flux = w[face] / grid.area
        fall = friction * 50.0 * FOOT / bore * flux * flux / grid.gas
        assert p[face - 1] ** 2 - p[face] ** 2 == pytest.approx(fall, rel=0.05)
