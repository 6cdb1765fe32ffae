"""A brake that is followed: what is seen of it in time, and when it is said to rest."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.air.orifice import flow_factor
from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.results import Value
from calculators.base.units import CUBIC_INCH
from calculators.catalog import find_calculator
from calculators.circuits.moves import Move
from calculators.equipment.exhaust import drain_time
from calculators.equipment.running import Setup, Volumes, following, start
from calculators.equipment.running.figures import Holes
from calculators.equipment.running.following import (
    CHANGE_A_LOOK,
    SLOW_LOOK,
    SLOW_STEP,
    WAYS,
    Following,
    follow,
)
from calculators.equipment.train.stepping.border import hole, kelvin
from calculators.equipment.train.tables import AIR_SUPPLY, BRAKE_VALVE
from tests.circuits.asked import asked
from tests.circuits.locomotives import LIGHT, PLAIN, TRAIN, passages, service, used, went

A = LIGHT.atmosphere
EMERGENCY = Move(handle="emergency")


def train_run(**entries: str) -> dict[str, object]:
    return dict(finished(answer(find_calculator("train-run"), entries)).results())


@settings(max_examples=20)
@given(st.integers(6, 26), st.sampled_from((0, 26, 118)))
def test_no_gauge_passes_its_end_in_service(reduction: int, cars: int) -> None:
    run = went(replace(LIGHT, cars=cars), service(float(reduction)))

    for place, sign in (("equalizing_reservoir", -1), ("brake_cylinder", 1)):
        way = [sign * sample.pressure(place) for sample in run.samples]
        # Less than a pound is the valve's own overshoot: a moment of a wave, times its multiplier.
        assert all(b >= a - 1.0 for a, b in pairwise(way)), place
        assert max(way) <= way[-1] + 1.5


def test_a_service_set_runs_down_the_chain() -> None:
    run = went(LIGHT, service(10))

    order = ["handle-exhaust", "pipe-exhaust", "control-feed", "relay-feed"]
    assert passages(run) == order
    starts = [used(run, name).started for name in order]
    assert starts == sorted(starts)


def test_a_light_locomotive_is_still_within_seconds() -> None:
    run = went(LIGHT, service(10))

    assert run.rest_after is not None
    assert 1.0 < run.rest_after < 6.0


@pytest.mark.parametrize("setting", [70.0, 80.0, 90.0, 100.0, 110.0])
def test_equalizing_reservoir_is_empty_three_to_five_seconds_after_emergency(setting) -> None:
    """ARMY-223 p. 2-7, ARMY-224 p. 2-8 (CHECKS H84): to zero in 3 to 5 s."""
    run = went(Setup(equipment=replace(PLAIN, brake_pipe_setting=setting)), EMERGENCY)

    gauge = [(s.seconds, s.pressure("equalizing_reservoir")) for s in run.samples]
    # A gauge shows zero below half a psi.
    empty_after = next(seconds for seconds, pressure in gauge if pressure < 0.5)
    assert 3.0 <= empty_after <= 5.0


def test_service_choke_takes_110_to_90_in_five_and_a_half_to_six_seconds() -> None:
    """RLE (CHECKS H17), read of an older valve."""
    run = went(Setup(equipment=replace(PLAIN, brake_pipe_setting=110.0)), service(20))

    taken = next(s.seconds for s in run.samples if s.pressure("equalizing_reservoir") <= 90.05)
    assert 5.4 <= taken <= 6.1


def test_service_choke_against_an_independent_integration() -> None:
    """The same hole by SciPy with the exact nozzle law: 90 to 30 psi in the same time."""

    def fall(_: float, p: list[float]) -> list[float]:
        return [-p[0] / BRAKE_VALVE.service_lag * flow_factor(min(1.0, A / p[0]))]

    reached = lambda _, p: p[0] - A - 30.0  # noqa: E731
    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(fall, (0.0, 200.0), [90.0 + A], events=reached, rtol=1e-9)

    run = went(LIGHT, service(60))

    assert used(run, "handle-exhaust").stopped == pytest.approx(solved.t[-1], rel=0.02, abs=0.3)


def test_cylinders_against_an_independent_integration() -> None:
    """The relay's two holes filling the cylinders from a falling reservoir, by SciPy."""
    volumes = Volumes()
    V_main, V_cylinders = AIR_SUPPLY.reservoir_volume, volumes.cylinders * volumes.cylinder
    passing = 2.0 * hole(Holes().truck, temperature=kelvin(68.0)) / CUBIC_INCH
    pump = AIR_SUPPLY.compressor_delivery / 60.0 * 1728.0 * A

    def move(_: float, p: list[float]) -> list[float]:
        flow = passing * p[0] * flow_factor(min(1.0, p[1] / p[0]))
        return [(min(pump, flow) - flow) / V_main, flow / V_cylinders]

    reached = lambda _, p: p[1] - A - 30.0  # noqa: E731
    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(move, (0.0, 10.0), [130.0 + A, A], events=reached, rtol=1e-9)

    # Pipe 20 is up long before, so the relay's holes alone set the pace.
    run = went(LIGHT, Move(independent=60.0))

    taken = next(s.seconds for s in run.samples if s.pressure("brake_cylinder") >= 30.0)
    assert taken == pytest.approx(solved.t[-1], rel=0.15, abs=0.1)


def test_a_further_set_drains_as_long_as_its_friction_holds_the_air_back() -> None:
    """Against the closed form of a pipe that drains at its head, within a third.

    The form leaves out the branch pipes and what the cars' reservoirs do; both have the friction.
    """
    run = went(TRAIN, service(6), service(16))

    rear = next(s.seconds for s in run.samples if s.rear is not None and s.rear < 74.5)
    by_form = drain_time(length=118 * 55.0, from_pressure=84, to_pressure=74)
    assert rear == pytest.approx(by_form, rel=0.33)
    assert used(run, "pipe-exhaust").stopped > rear


@pytest.mark.parametrize(("where", "share"), [("rear", 1.0), ("train", 0.5)])
def test_an_emergency_from_the_train_reaches_the_head_no_faster_than_sound(where, share) -> None:
    """FINDINGS A2.3: sound in the warmest air of the answer, 1,126 ft/s at 68 °F."""
    run = went(TRAIN, Move(event=f"emergency-from-{where}"))  # type: ignore[arg-type]

    first = used(run, "pipe-vent").started
    assert first >= 0.97 * 118 * 55.0 * share / 1126.0
    # No slower than the 900 ft/s from memory, and the device's own second.
    assert first <= 118 * 55.0 * share / 900.0 + 1.5
    # The brake valve does not feed the gap, and its reservoir stays where the handle left it.
    assert "pipe-feed" not in passages(run)
    assert run.samples[-1].pressure("equalizing_reservoir") == pytest.approx(90.0)
    assert run.samples[-1].rear == pytest.approx(0.0, abs=0.1)


def test_nothing_moves_when_nothing_is_asked() -> None:
    run = went(TRAIN, service(10), service(10))

    assert passages(run) == []
    assert run.rest_after == 0.0


def test_leakage_in_lap_is_made_good_and_shows_as_flow_only() -> None:
    run = went(replace(TRAIN, leakage=3.0), service(10), service(10))

    end = run.samples[-1]
    assert end.pressure("brake_pipe") == pytest.approx(80.0, abs=0.2)
    assert end.pressure("equalizing_reservoir") == pytest.approx(80.0)
    assert end.rear is not None
    assert end.rear < end.pressure("brake_pipe")
    # Steady: what is fed is what leaks, all along the train.
    assert end.flow("pipe-feed") == pytest.approx(end.flow("leakage"), rel=0.02)
    assert run.rest_after == 0.0


def test_leakage_with_the_valve_cut_out_falls_as_a_hole_lets_it() -> None:
    """A pipe alone falls as exp(-k t): by hand for a light locomotive."""
    setup = Setup(equipment=PLAIN, leakage=6.0)
    brake = start(setup)
    brake.handle("service", reduction=20.0)
    brake.to_rest()
    brake.cut_off("out")
    before = brake.gauge("brake_pipe")
    watch = Following(brake, longest=60.0)
    while not watch.over:
        watch.step()
    run = watch.run()

    # Cut-off valves take their second to shut, and the control valve takes a little in.
    by_hand = (before + A) * 2.718281828 ** (-6.0 * 59.5 / 60.0 / (90.0 + A)) - A
    assert run.samples[-1].seconds == pytest.approx(60.0, abs=0.1)
    assert run.samples[-1].pressure("brake_pipe") == pytest.approx(by_hand, abs=0.1)
    assert run.rest_after is None


def test_emergency_feeds_pipe_16_from_the_main_reservoir() -> None:
    run = went(LIGHT, EMERGENCY)

    assert "emergency-feed" in passages(run)
    assert min(s.pressure("main_reservoir") for s in run.samples) < 129.5


def test_the_pipe_charges_only_above_the_cut_off_valves_pressure() -> None:
    """ARMY-224 p. 4-81: about 25 psi behind the valve before it feeds."""
    brake_run = went(LIGHT, Move(handle="handle-off"), Move())

    opened = used(brake_run, "pipe-feed").started
    behind = brake_run.at(opened).pressure("equalizing_reservoir")
    assert behind == pytest.approx(25.0, abs=3.0)


def test_a_dead_units_supply_is_held_by_the_brake_pipe() -> None:
    run = went(Setup(equipment=replace(PLAIN, unit="dead")), service(20))

    assert all(24.0 < s.pressure("main_reservoir") < 25.01 for s in run.samples)
    assert run.samples[-1].pressure("brake_cylinder") == pytest.approx(25.0, abs=0.2)


def test_longer_steps_over_hours_move_no_gauge(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pipe that leaks away for two hours, by half-second steps and by those it is followed with."""

    def leaked_away() -> list[float]:
        brake = start(Setup(equipment=PLAIN, cars=20, leakage=1.0))
        brake.handle("service", reduction=20.0)
        brake.to_rest()
        brake.cut_off("out")
        run = follow(brake, longest=7200.0)
        return [run.at(m).pressure("brake_pipe") for m in (600.0, 1800.0, 3600.0, 7200.0)]

    quick = leaked_away()
    monkeypatch.setattr(following, "SLOW", -1.0)

    assert quick == pytest.approx(leaked_away(), abs=0.15)
    assert quick == sorted(quick, reverse=True)


def test_a_pipe_that_leaks_for_hours_is_looked_at_and_moved_on_seldom() -> None:
    """A phone has to follow it: by its shortest steps it would be over 100,000."""
    brake = start(Setup(equipment=PLAIN, cars=20, leakage=1.0))
    brake.handle("service", reduction=20.0)
    brake.to_rest()
    brake.cut_off("out")
    before = brake.simulation.long_steps
    run = follow(brake, longest=7200.0)

    assert len(run.samples) < 7200.0 / SLOW_LOOK * 1.1
    assert brake.simulation.long_steps - before < 7200.0 / SLOW_STEP * 1.1


@pytest.mark.parametrize("reduction", [10, 26])
def test_looks_come_as_the_fastest_gauge_asks(reduction: int) -> None:
    """A curve is drawn of them: no jump, and no more points than its bends want."""
    run = went(LIGHT, service(reduction))
    moved = [
        max(abs(a - b) for a, b in zip(one.pressures[1:], other.pressures[1:], strict=True))
        for one, other in pairwise(run.samples)
    ]

    assert set(run.samples[0].flows) == {0.0}
    assert max(moved) < 3.5 * CHANGE_A_LOOK
    assert median(moved) == pytest.approx(CHANGE_A_LOOK, rel=0.25)
    assert len(run.samples) < 40 + 4 * reduction


def test_every_way_is_used_by_some_move() -> None:
    """A way for air that no move ever opens would be dead."""
    held = replace(service(12), bail_off="held")
    dead = Setup(equipment=replace(PLAIN, unit="dead"))
    runs = [
        went(LIGHT, service(10)),
        went(LIGHT, service(12), held),
        went(LIGHT, service(12), held, service(12)),
        went(replace(LIGHT, leakage=3.0), service(10), service(10)),
        went(TRAIN, service(10), Move()),
        went(TRAIN, EMERGENCY),
        went(TRAIN, EMERGENCY, Move()),
        went(LIGHT, Move(independent=30.0)),
        went(LIGHT, Move(independent=30.0), Move()),
        went(replace(dead, cars=26), EMERGENCY),
        went(replace(dead, cars=26), service(20)),
    ]

    assert {one.passage for run in runs for one in run.used} == set(WAYS)
    assert all(run.mass_error < 1e-9 for run in runs)


def test_moments_between_samples_are_the_last_before() -> None:
    run = went(LIGHT, service(10))

    assert run.at(None) is run.samples[-1]
    assert run.at(-1.0) is run.samples[0]
    assert run.at(1e9) is run.samples[-1]


@pytest.mark.parametrize(("cars", "reduction"), [("26", "10"), ("118", "10"), ("118", "20")])
def test_the_exhaust_of_a_first_set_is_that_of_the_train_run(cars: str, reduction: str) -> None:
    """One brake pipe, one choke, one ear: they differ by how often each looks."""
    run = went(replace(LIGHT, cars=int(cars)), service(float(reduction)))
    theirs = train_run(
        cars=cars, command="service", reduction=reduction, seconds="240", locomotives="1"
    )

    ends = theirs["exhaust_ends"]
    assert isinstance(ends, float)
    assert used(run, "pipe-exhaust").stopped == pytest.approx(ends, rel=0.05, abs=1.5)


@pytest.mark.parametrize("moment", ["10", "30", "60", "120"])
def test_the_rear_of_a_circuit_is_that_of_the_train_run(moment: str) -> None:
    """FINDINGS A2.4: ten off, then released; the rear at the same moment of the same train.

    A circuit shows the last moment at which it looked, and says which in its headline.
    """
    found = asked(circuit="release-and-recharge", moment=moment)
    assert found.outcome is not None
    shown = found.outcome.headline.parts["after"]
    assert isinstance(shown, Value)
    theirs = train_run(
        cars="118",
        moves="0 s service 10; 120 s release",
        seconds=repr(120.0 + shown.amount),
    )

    assert 0.6 * float(moment) < shown.amount <= float(moment)
    assert found.results()["rear_brake_pipe"] == pytest.approx(theirs["rear"], abs=0.05)
