"""One valve at a time: what it passes, when it moves, what it leaves in the cylinder."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from math import e

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.air.orifice import LINEAR_ABOVE, elliptic_factor
from calculators.base.units import PSI
from calculators.equipment.leak_down import choked_rate, pressure_after
from calculators.equipment.train import (
    Car,
    Command,
    Run,
    Train,
    car_series,
    equal_cars,
    rise_time,
    run,
)
from calculators.equipment.train.consist import LEAKAGE_READ_AT
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import Due, schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.stepping.car_valves import (
    act_applied,
    act_emergency,
    act_released,
)
from calculators.equipment.train.stepping.flows import factor, factor_slope, set_cylinder_pressure
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State, Vent
from calculators.equipment.train.tables import FREIGHT_VALVE, with_reduction_relay

EMERGENCY = Command(at_seconds=0.0, action="emergency")


def service(reduction: float, at: float = 0.0) -> Command:
    return Command(at_seconds=at, action="service", reduction=reduction)


def release(at: float) -> Command:
    return Command(at_seconds=at, action="release")


@given(st.floats(0.0, 1.2))
def test_flow_factor_is_the_one_of_the_air_package(ratio: float) -> None:
    assert factor(ratio) == pytest.approx(elliptic_factor(ratio), abs=1e-12)


@given(st.floats(0.0, 110.0))
def test_cylinder_pressure_undoes_its_content(gauge: float) -> None:
    """Content is p (V0 + V1 s), the stroke s growing evenly from 2.5 to 6 psi."""
    state, _ = put_together(Train(cars=equal_cars(1)))
    pressure = gauge * PSI + state.grid.atmosphere
    stroke = min(1.0, max(0.0, (gauge - 2.5) / 3.5))
    state.cylinder_content[0] = pressure * (state.clearance[0] + stroke * state.swept[0])
    set_cylinder_pressure(state, 0)

    assert state.cylinder[0] == pytest.approx(pressure, rel=1e-9)


@pytest.mark.parametrize("act", [act_applied, act_emergency])
def test_a_step_of_any_length_ends_at_equal_pressures(act: Callable[[State, float, float], None]):
    """Reservoir and cylinder, by conservation of air: a step however long never passes over."""
    state, _ = put_together(Train(cars=equal_cars(1)))
    figures, atmosphere = state.figures[0], state.grid.atmosphere
    held = state.clearance[0] + state.swept[0]
    # A cylinder that is out already, so that its volume stays as it is; an empty pipe.
    state.cylinder_content[0] = (20.0 * PSI + atmosphere) * held
    set_cylinder_pressure(state, 0)
    state.pressure[state.grid.car_cell[0]] = atmosphere
    state.opening[0] = 1.0
    state.bulb_open[0] = state.limiting_open[0] = False
    state.applied, state.in_emergency = ([0], []) if act is act_applied else ([], [0])
    volume = figures.auxiliary_volume + (0 if act is act_applied else figures.emergency_volume)
    before = state.auxiliary[0] * volume + state.cylinder_content[0]

    act(state, 1000.0, 0.0)

    assert state.cylinder[0] == pytest.approx(state.auxiliary[0], rel=1e-9)
    assert state.auxiliary[0] == pytest.approx(before / (volume + held), rel=1e-9)


def test_a_bulb_takes_no_more_than_makes_it_and_the_pipe_equal() -> None:
    """By conservation of air: a step however long leaves both at their mean by volume."""
    shut = 1e-9
    valve = replace(FREIGHT_VALVE, limiting_hole=shut, continuous_hole=shut)
    state, _ = put_together(Train(cars=(Car(valve=valve),)))
    cell, bulb = state.grid.car_cell[0], state.figures[0].bulb_volume
    pipe = state.grid.volume[cell]
    state.applied = [0]
    # Applied, and the graduating valve shut: the bulb alone takes air from the pipe.
    state.limiting_open[0] = False
    state.auxiliary[0] = state.pressure[cell]
    together = (state.pressure[cell] * pipe + state.bulb[0] * bulb) / (pipe + bulb)

    act_applied(state, 1000.0, 0.0)

    assert state.bulb[0] == pytest.approx(together, rel=1e-9)
    assert state.pressure[cell] == pytest.approx(together, rel=1e-6)


@pytest.mark.parametrize("length", [25.0, 100.0])
def test_a_reduction_relay_fills_its_larger_bulb_in_the_same_time(length: float) -> None:
    """Its holes grow with what is behind them: as much pipe a hole's area as on the usual car."""
    relay = with_reduction_relay(length)
    share = relay.bulb_volume / FREIGHT_VALVE.bulb_volume

    assert share == pytest.approx(length / 50.0)
    for hole in ("bulb_hole", "continuous_hole", "limiting_hole"):
        wider = getattr(relay, hole) / getattr(FREIGHT_VALVE, hole)
        assert wider**2 == pytest.approx(share), hole


@pytest.mark.parametrize("lag", [0.5, 2.0])
def test_a_released_valve_s_bulb_empties_with_its_lag(lag: float) -> None:
    """By the definition of a lag: each lag leaves 1/e of what stood over the atmosphere."""
    valve = replace(FREIGHT_VALVE, bulb_vent_lag=lag)
    state, _ = put_together(Train(cars=(Car(valve=valve),)))
    atmosphere = state.grid.atmosphere
    state.bulb[0] = atmosphere + 60.0 * PSI
    before = state.vented
    for _ in range(10):
        state.moving = [0]
        act_released(state, lag / 10.0)

    assert state.bulb[0] - atmosphere == pytest.approx(60.0 * PSI / e, rel=1e-9)
    gone = (60.0 * PSI - (state.bulb[0] - atmosphere)) * state.figures[0].bulb_volume
    assert state.vented - before == pytest.approx(gone, rel=1e-6)


class TestCylinderLeakage:
    """Against the closed form of a volume that leaks through one hole (`leak_down`, isothermal)."""

    @staticmethod
    def held(leakage: float, *, seconds: float = 900.0, setting: float = 90.0) -> Run:
        cars = tuple(replace(car, cylinder_leakage=leakage) for car in equal_cars(4))
        train = Train(cars=cars, brake_pipe_setting=setting)
        return run(train, (service(20.0),), seconds=seconds)

    @pytest.mark.parametrize("leakage", [0.1, 1.0, 10.0])
    def test_falls_as_the_closed_form_says(self, leakage: float) -> None:
        samples = [s for s in self.held(leakage).samples if s.seconds >= 120.0]
        first, last = samples[0], samples[-1]
        rate = choked_rate(pressure=LEAKAGE_READ_AT, fall_per_unit=leakage / 60.0)
        fallen = pressure_after(
            from_pressure=first.brake_cylinder[0], time=last.seconds - first.seconds, rate=rate
        )
        if fallen > 6.0:  # With the piston out.
            assert last.brake_cylinder[0] == pytest.approx(
                fallen, abs=0.01 * first.brake_cylinder[0]
            )
        else:
            assert last.brake_cylinder[0] < 8.0

    def test_more_leakage_never_leaves_more_and_moves_no_pipe(self) -> None:
        runs = [self.held(leakage, seconds=300.0) for leakage in (0.0, 0.5, 5.0, 50.0)]
        for less, more in pairwise(runs):
            for a, b in zip(less.samples, more.samples, strict=True):
                assert all(
                    y <= x + 0.02 for x, y in zip(a.brake_cylinder, b.brake_cylinder, strict=True)
                ), a.seconds
                assert b.head == pytest.approx(a.head, abs=0.02)
        assert all(one.mass_error < 1e-9 for one in runs)
        assert min(min(s.brake_cylinder) for s in runs[-1].samples) >= -1e-9

    def test_a_car_that_is_cut_out_leaks_nothing(self) -> None:
        cars = tuple(replace(car, cylinder_leakage=50.0, cut_out=True) for car in equal_cars(2))
        state, _ = put_together(Train(cars=cars))
        assert state.cylinder_leaks == []


class TestSettledPressures:
    """Against the volumes alone: H9 to H11, by the conservation of air."""

    @pytest.mark.parametrize(
        ("setting", "expected"), [(70.0, 49.2), (80.0, 56.6), (90.0, 64.0), (110.0, 78.8)]
    )
    def test_full_service(self, setting: float, expected: float) -> None:
        """H9 full service; quick service takes a little pipe air, so up to 1.5 above."""
        train = Train(cars=equal_cars(5), brake_pipe_setting=setting)
        result = run(train, (service(setting / 3.0 + 4.0),), seconds=120.0)

        for pressure in result.samples[-1].brake_cylinder:
            assert expected - 0.3 <= pressure <= expected + 1.5

    @pytest.mark.parametrize(
        ("setting", "expected"),
        [(60.0, 51.0), (70.0, 59.8), (80.0, 68.5), (90.0, 77.2), (110.0, 94.7)],
    )
    def test_emergency(self, setting: float, expected: float) -> None:
        """H9 emergency: nothing but the two reservoirs and the cylinder."""
        train = Train(cars=equal_cars(5), brake_pipe_setting=setting)
        result = run(train, (EMERGENCY,), seconds=60.0)

        assert result.samples[-1].brake_cylinder == pytest.approx([expected] * 5, abs=0.1)

    def test_emergency_after_full_service_comes_to_the_same(self) -> None:
        """H9: air is conserved, so the end pressure is that of a plain emergency.

        What quick service put into the cylinder from the pipe comes on top: 1 psi at most.
        """
        commands = (service(26.0), Command(at_seconds=60.0, action="emergency"))
        result = run(Train(cars=equal_cars(5)), commands, seconds=120.0)

        for pressure in result.samples[-1].brake_cylinder:
            assert 77.1 <= pressure <= 78.2

    @pytest.mark.parametrize(
        ("reduction", "expected"), [(12.0, 23.8), (15.0, 32.4), (18.0, 41.0), (20.0, 46.8)]
    )
    def test_partial_reductions(self, reduction: float, expected: float) -> None:
        """H11 at 8 in of travel, within its suggested 2 psi."""
        result = run(Train(cars=equal_cars(5)), (service(reduction),), seconds=120.0)

        for pressure in result.samples[-1].brake_cylinder:
            assert pressure == pytest.approx(expected, abs=2.0)

    @pytest.mark.parametrize(
        ("travel", "full", "emergency"), [(6.0, 67.8, 79.4), (8.0, 64.0, 77.2), (10.0, 60.5, 75.2)]
    )
    def test_travel(self, travel: float, full: float, emergency: float) -> None:
        """Shorter travel, higher pressure."""
        train = Train(cars=(Car(piston_travel=travel),) * 3)
        in_service = run(train, (service(34.0),), seconds=120.0).samples[-1]
        in_emergency = run(train, (EMERGENCY,), seconds=60.0).samples[-1]

        assert in_service.brake_cylinder == pytest.approx([full] * 3, abs=1.5)
        assert in_emergency.brake_cylinder == pytest.approx([emergency] * 3, abs=0.2)

    def test_more_than_full_service_adds_nothing(self) -> None:
        """H137 (ARMY-203, ARRC-96 G-11)."""
        full, over = (
            run(Train(cars=equal_cars(5)), (service(reduction),), seconds=150.0).samples[-1]
            for reduction in (28.0, 40.0)
        )

        assert over.brake_cylinder == pytest.approx(full.brake_cylinder, abs=0.3)
        assert over.brake_pipe[0] == pytest.approx(50.0, abs=0.3)

    @pytest.mark.parametrize("reduction", [5.0, 6.0])
    @pytest.mark.parametrize("cars", [20, 100])
    def test_light_set_has_the_quick_service_pressure(self, reduction: float, cars: int) -> None:
        """From memory: the greater of formula and limiting pressure, 8 to 12 nominal [M].

        The formula alone gives 3.7 and 6.6 psi (H11).
        """
        result = run(Train(cars=equal_cars(cars)), (service(reduction),), seconds=150.0)

        assert result.undesired_actions == ()
        for pressure in result.samples[-1].brake_cylinder:
            assert 8.0 < pressure < 12.0

    def test_two_steps_make_one(self) -> None:
        """12 off in two steps leaves what 12 off at once leaves."""
        once = run(Train(cars=equal_cars(10)), (service(15.0),), seconds=200.0)
        twice = run(Train(cars=equal_cars(10)), (service(7.0), service(15.0, 60.0)), seconds=260.0)

        assert twice.samples[-1].brake_cylinder == pytest.approx(
            once.samples[-1].brake_cylinder, abs=1.5
        )

    def test_reduction_short_of_a_recharge_counts_from_the_auxiliary(self) -> None:
        """H136: 84 in the auxiliary, gauge at 88, reduced to 80 is worth 4, not 8."""
        train = Train(cars=equal_cars(60), locomotives=1)
        # 20 off, released; taken again once the last auxiliary is at 84 or so.
        first = run(train, (service(20.0), release(90.0)), seconds=500.0, sample_seconds=1.0)
        again = next(
            s.seconds for s in first.samples if s.seconds > 100.0 and s.auxiliary[-1] > 84.0
        )
        state_then = first.samples[int(again)]
        result = run(
            train, (service(20.0), release(90.0), service(10.0, again)), seconds=again + 90
        )
        fresh = run(train, (service(10.0),), seconds=90.0)
        last = result.samples[-1]

        assert state_then.head > state_then.auxiliary[-1] + 2.0
        assert last.brake_cylinder[-1] < fresh.samples[-1].brake_cylinder[-1] - 3.0


class TestTimes:
    """Times at one car."""

    def test_emergency_build_up(self) -> None:
        """90 percent in 8 to 10 s, from memory: a fitted band, not a check."""
        result = run(Train(cars=equal_cars(3)), (EMERGENCY,), seconds=40.0)
        series = car_series(result.samples, 1, "brake_cylinder")
        build_up = rise_time(series, 0.9 * 77.2)

        assert build_up is not None
        assert 8.0 < build_up < 10.0

    def test_triple_valve_acceptance_charge(self) -> None:
        """H16 (MCB-06 test 2): pipe held at 90, auxiliary 0 to 70 psi in 45 to 60 s."""
        train = Train(cars=equal_cars(1), starting_pressure=0.0)
        result = run(train, (), seconds=120.0)
        seconds = rise_time(car_series(result.samples, 1, "auxiliary"), 70.0)

        assert seconds is not None
        assert 45.0 <= seconds <= 60.0

    def test_equalizing_reservoir_in_emergency(self) -> None:
        """H84 (ARMY-223, -224): to zero in 3 to 5 s; the gauge's zero taken as 1 psi."""
        result = run(Train(cars=equal_cars(3)), (EMERGENCY,), seconds=10.0, sample_seconds=0.1)
        series = tuple((s.seconds, -s.equalizing_reservoir) for s in result.samples)
        seconds = rise_time(series, -1.0)

        assert seconds is not None
        assert 3.0 <= seconds <= 5.0

    def test_slow_direct_blow_down(self) -> None:
        """H30 (ARRC-96 67-12): about 86 s; ends not printed, taken as 64 to 5 psi."""
        cars = (Car(retaining_valve="slow-direct"),) * 3
        result = run(Train(cars=cars), (service(26.0), release(60.0)), seconds=220.0)
        falling = tuple(
            (s.seconds, -s.brake_cylinder[0]) for s in result.samples if s.seconds > 60.0
        )
        emptied = rise_time(falling, -5.0)

        assert emptied is not None
        assert result.first_car_releases is not None
        assert emptied - result.first_car_releases == pytest.approx(86.0, rel=0.15)

    @pytest.mark.parametrize(
        ("setting", "holds"), [("high-pressure", 20.0), ("low-pressure", 10.0), ("direct", 0.0)]
    )
    def test_retaining_valves(self, setting: str, holds: float) -> None:
        """H30 (ARRC-96 67-12): 20 and 10 psi."""
        cars = (Car(retaining_valve=setting),) * 3  # type: ignore[arg-type]
        result = run(Train(cars=cars), (service(20.0), release(60.0)), seconds=200.0)

        assert result.samples[-1].brake_cylinder == pytest.approx([holds] * 3, abs=0.05)


def steady_fall(valve_change: dict[str, float], rate: float, seconds: float) -> Simulation:
    """One car whose pipe is let down at a steady rate by a hand on every cell, from 90 psi."""
    valve = replace(FREIGHT_VALVE, **valve_change)  # type: ignore[arg-type]
    state, relays = put_together(Train(cars=(Car(length=50.0, valve=valve),), locomotives=1))
    relays[0].cut_in = False
    relays[0].cut_off_opening = 0.0
    simulation = Simulation(state, relays, [])
    step = state.grid.wave_step

    def let_down(at_work: State, _: list[Relay]) -> None:
        for cell, pressure in enumerate(at_work.pressure):
            at_work.pressure[cell] = pressure - rate * PSI * step

    simulation.due = [Due(step * number, let_down) for number in range(int(seconds / step))]
    simulation.advance(seconds)
    return simulation


# Quick service adds its own fall to the hand's; it is shut for the rate to be the hand's.
QUIET = {"bulb_hole": 1e-6, "limiting_hole": 1e-6, "continuous_hole": 1e-6}


class TestDetector:
    """Emergency by the rate of fall: nominal, 25 psi/s fires it."""

    def test_25_psi_a_second_fires(self) -> None:
        simulation = steady_fall(QUIET, 27.0, 1.0)

        assert simulation.state.started[0] is not None
        assert [event.kind for event in simulation.state.events][-1] == "emergency"

    def test_a_service_rate_does_not(self) -> None:
        simulation = steady_fall(QUIET, 10.0, 2.0)

        assert [event.kind for event in simulation.state.events] == ["applies"]
        assert simulation.state.strongest_detection < 0.6

    def test_a_deaf_detector_would_be_noticed(self) -> None:
        """The check of the check: at three times the difference the same fall fires nothing."""
        simulation = steady_fall({**QUIET, "detector_difference": 4.5}, 27.0, 1.0)

        assert [event.kind for event in simulation.state.events] == ["applies"]


def raised_by(rise: float, *, cars: int, setting: float, reduction: float, **valve: float) -> State:
    """A lapped train whose relay then holds the pipe so many psi above where it lapped."""
    made = replace(FREIGHT_VALVE, **valve)  # type: ignore[arg-type]
    train = Train(
        cars=(Car(length=50.0, valve=made),) * cars, brake_pipe_setting=setting, locomotives=1
    )
    state, relays = put_together(train)

    def bring_up(_: State, at_work: list[Relay]) -> None:
        at_work[0].handle = "release"
        at_work[0].target = at_work[0].equalizing + rise * PSI

    due = [*schedule(train, (service(reduction),)), Due(150.0, bring_up)]
    simulation = Simulation(state, relays, due)
    simulation.advance(149.0)
    assert all(position == 1 for position in state.position)
    simulation.advance(300.0)
    return state


class TestRelease:
    """Every car releases on a rise of 3 psi at the head, at every setting."""

    @pytest.mark.parametrize("setting", [60.0, 70.0, 90.0, 110.0])
    @pytest.mark.parametrize("reduction", [8.0, 15.0])
    def test_three_psi_releases_every_car(self, setting: float, reduction: float) -> None:
        state = raised_by(3.0, cars=50, setting=setting, reduction=reduction)

        assert sorted(e.car for e in state.events if e.kind == "releases") == list(range(50))

    @pytest.mark.parametrize("setting", [70.0, 90.0, 110.0])
    def test_one_psi_releases_none(self, setting: float) -> None:
        state = raised_by(1.0, cars=50, setting=setting, reduction=12.0)

        assert [e for e in state.events if e.kind == "releases"] == []

    def test_an_over_wide_margin_would_be_noticed(self) -> None:
        """The check of the check: with twice the friction 3 psi leaves cars applied at 90."""
        state = raised_by(3.0, cars=50, setting=90.0, reduction=12.0, release_friction=4.4 / 90.0)

        assert [e for e in state.events if e.kind == "releases"] == []


class TestWhatIsOutOfOrder:
    """Cars cut out, vents of long cars."""

    def test_a_cut_out_car_does_nothing(self) -> None:
        cars = (*equal_cars(5), Car(cut_out=True), *equal_cars(5))
        for command in (service(20.0), EMERGENCY):
            result = run(Train(cars=cars), (command,), seconds=60.0)

            assert result.samples[-1].brake_cylinder[5] == pytest.approx(0.0, abs=1e-9)
            assert {m.car for m in result.movements} == set(range(1, 12)) - {6}
            assert result.cars_not_applied == ()

    def test_all_cars_cut_out(self) -> None:
        result = run(Train(cars=(Car(cut_out=True),) * 5), (service(20.0),), seconds=20.0)

        assert result.first_car_starts is None
        assert result.last_car_90_percent is None
        assert result.propagation_speed is None

    @pytest.mark.parametrize(("length", "extra"), [(74.0, 0), (75.0, 10), (125.0, 10)])
    def test_long_cars_have_a_vent_valve_of_their_own(self, length: float, extra: int) -> None:
        """H22 (AAR S-401, 2018, 2.3): cars of 75 to 125 ft need a vent valve."""
        state, _ = put_together(Train(cars=equal_cars(10, length=length), locomotives=2))

        assert len(state.detector_cell) == 10 + 2 + extra

    def test_vent_takes_a_cell_to_atmosphere_and_no_further(self) -> None:
        state, relays = put_together(Train(cars=(Car(cut_out=True),) * 2))
        simulation = Simulation(
            state, relays, [Due(0.0, lambda s, _: s.vents.append(Vent(1, 1.0, 1e9)))]
        )
        relays[0].cut_in = False
        relays[0].cut_off_opening = 0.0
        simulation.advance(20.0)

        assert state.pressure == pytest.approx([state.grid.atmosphere] * len(state.pressure))
        assert simulation.mass_error < 1e-12


def test_a_light_charge_limits_quick_service_by_the_pipe() -> None:
    """With little in the pipe the cylinder comes near it: never above, and air is conserved."""
    train = Train(cars=equal_cars(3), brake_pipe_setting=60.0, starting_pressure=16.0)
    commands = (Command(at_seconds=0.0, action="service", reduction=58.0),)
    result = run(train, commands, seconds=40.0)

    assert result.cars_not_applied == ()
    assert all(
        cylinder < auxiliary + 0.5
        for s in result.samples
        for cylinder, auxiliary in zip(s.brake_cylinder, s.auxiliary, strict=True)
    )
    assert result.mass_error < 1e-9


@pytest.mark.parametrize("ratio", [0.3, 0.6, 0.8, 0.95, (LINEAR_ABOVE + 1.0) / 2.0])
def test_the_slope_of_a_holes_flow_is_its_fall_by_differences(ratio: float) -> None:
    step = 1e-7
    by_differences = (factor(ratio) - factor(ratio + step)) / step
    assert factor_slope(ratio) == pytest.approx(by_differences, rel=1e-4, abs=1e-6)
