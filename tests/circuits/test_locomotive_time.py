"""The locomotive in time: it ends where `at_rest` says, keeps its air, and takes its time."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.air.orifice import flow_factor
from calculators.answering.answer import Answer, answer
from calculators.answering.follow import follow
from calculators.catalog import find_calculator
from calculators.equipment.exhaust import drain_time
from calculators.equipment.locomotive import Command, Equipment, at_rest
from calculators.equipment.locomotive_time import (
    PASSAGES,
    Run,
    Setup,
    carried_on,
    figures,
    run,
    start_from_empty,
)
from tests.circuits.locomotives import PLAIN, RELEASED, commands, equipments, service

LIGHT = Setup(equipment=PLAIN)
TRAIN = Setup(equipment=PLAIN, cars=118)
A = LIGHT.atmosphere


def went(setup: Setup, before: Command, wanted: Command) -> Run:
    rest = at_rest(setup.equipment, before)
    move = carried_on(setup.equipment, before, rest, wanted, setup.equipment)
    return run(setup, before, move)


def passages(made: Run) -> list[str]:
    return [used.passage for used in made.used]


def used(made: Run, passage: str):
    return next(one for one in made.used if one.passage == passage)


def ends_at_rest(made: Run, *, slack: float = 1e-6) -> None:
    end, rest = made.samples[-1], made.after
    found = {
        "equalizing_reservoir": rest.equalizing_reservoir,
        "brake_pipe": rest.brake_pipe,
        "pipe_16": rest.pipe_16,
        "pipe_20": rest.pipe_20,
        "brake_cylinder": rest.brake_cylinder,
        "main_reservoir": rest.supply,
    }
    assert {place: end.pressure(place) for place in found} == pytest.approx(found, abs=slack)
    assert made.rest_after is not None


@settings(max_examples=150)
@given(equipments, commands, commands, st.booleans())
def test_two_moves_end_at_what_at_rest_says(
    equipment: Equipment, first: Command, second: Command, behind_a_train: bool
) -> None:
    setup = Setup(equipment=equipment, cars=26 if behind_a_train else 0)
    rest = at_rest(equipment, RELEASED)
    before = carried_on(equipment, RELEASED, rest, first, equipment)

    made = went(setup, before, second)

    ends_at_rest(made, slack=1e-4 if behind_a_train else 1e-6)
    assert abs(made.mass_error) < 1e-11


@settings(max_examples=25)
@given(st.integers(0, 150), st.sampled_from((60.0, 90.0, 110.0)))
def test_charging_from_empty_ends_charged(cars: int, setting: float) -> None:
    equipment = replace(PLAIN, brake_pipe_setting=setting)
    charge = replace(RELEASED, earlier_reduction=setting)

    made = start_from_empty(Setup(equipment=equipment, cars=cars), charge)

    ends_at_rest(made, slack=1e-3)
    assert made.samples[-1].pressure("control_reservoir") == pytest.approx(setting, abs=1e-3)
    # An empty control valve asks for nothing: the cylinder stays at zero all the way.
    assert max(sample.pressure("brake_cylinder") for sample in made.samples) == 0.0


@settings(max_examples=40)
@given(st.integers(1, 26), st.sampled_from((0, 26, 118)))
def test_no_gauge_passes_its_end_in_service(reduction: int, cars: int) -> None:
    made = went(Setup(equipment=PLAIN, cars=cars), RELEASED, service(float(reduction)))

    for place, sign in (("equalizing_reservoir", -1), ("brake_pipe", -1), ("brake_cylinder", 1)):
        way = [sign * sample.pressure(place) for sample in made.samples]
        # A twentieth of a psi is the solver's, and no gauge shows it.
        assert all(b >= a - 0.05 for a, b in pairwise(way)), place


def test_a_service_set_runs_down_the_chain() -> None:
    made = went(LIGHT, RELEASED, service(10))

    brake = [name for name in passages(made) if name != "compressor"]
    assert brake == ["handle-exhaust", "pipe-exhaust", "control-feed", "relay-feed"]
    starts = [used(made, name).started for name in brake]
    assert starts == sorted(starts)


def test_a_light_locomotive_is_still_within_seconds() -> None:
    made = went(LIGHT, RELEASED, service(10))

    assert made.rest_after is not None
    assert 1.0 < made.rest_after < 6.0


@pytest.mark.parametrize("setting", [70.0, 80.0, 90.0, 100.0, 110.0])
def test_equalizing_reservoir_is_empty_three_to_five_seconds_after_emergency(
    setting: float,
) -> None:
    """ARMY-223 p. 2-7, ARMY-224 p. 2-8 (H84): to zero in 3 to 5 s."""
    equipment = replace(PLAIN, brake_pipe_setting=setting)

    made = went(Setup(equipment=equipment), RELEASED, replace(RELEASED, handle="emergency"))

    gauge = [(s.seconds, s.pressure("equalizing_reservoir")) for s in made.samples]
    # A gauge shows zero below half a psi.
    empty_after = next(seconds for seconds, pressure in gauge if pressure < 0.5)
    assert 3.0 <= empty_after <= 5.0


def test_service_choke_against_an_independent_integration() -> None:
    """The same hole by SciPy with the exact nozzle law: 90 to 30 psi in the same time."""
    K_over_V = 1.0 / figures.SERVICE_LAG

    def fall(_: float, p: list[float]) -> list[float]:
        return [-K_over_V * p[0] * flow_factor(min(1.0, A / p[0]))]

    reached = lambda _, p: p[0] - A - 30.0  # noqa: E731
    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(fall, (0.0, 200.0), [90.0 + A], events=reached, rtol=1e-9)

    made = went(LIGHT, RELEASED, service(60))

    assert used(made, "handle-exhaust").stopped == pytest.approx(solved.t[-1], rel=0.01)


def test_cylinders_against_an_independent_integration() -> None:
    """The relay's hole filling the cylinders from a falling reservoir, by SciPy."""
    V_main, V_cylinders = LIGHT.main_reservoir_volume, LIGHT.cylinders * LIGHT.cylinder_volume
    hole = figures.passing(figures.RELAY_HOLE)
    pump = LIGHT.compressor_delivery / 60.0 * 1728.0 * A

    def move(_: float, p: list[float]) -> list[float]:
        flow = hole * p[0] * flow_factor(min(1.0, p[1] / p[0]))
        return [(min(pump, flow) - flow) / V_main, flow / V_cylinders]

    reached = lambda _, p: p[1] - A - 30.0  # noqa: E731
    reached.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(move, (0.0, 10.0), [130.0 + A, A], events=reached, rtol=1e-9)

    # Pipe 20 is up long before, so the relay's hole alone sets the pace.
    made = went(LIGHT, RELEASED, replace(RELEASED, independent=60.0))

    taken = next(s.seconds for s in made.samples if s.pressure("brake_cylinder") >= 30.0)
    assert taken == pytest.approx(solved.t[-1], rel=0.15, abs=0.1)


def test_a_further_set_drains_as_long_as_its_friction_holds_the_air_back() -> None:
    """Against the closed form of a pipe that drains at its head, within a fifth.

    The form leaves out the branch pipes, the model has them; both have the same friction. Quick
    service has done its work at the first set and takes nothing more.
    """
    made = went(TRAIN, service(6), service(16))

    # Until half a psi is left the far end is what the form asks for.
    rear = next(s.seconds for s in made.samples if s.rear is not None and s.rear < 74.5)
    assert rear == pytest.approx(
        drain_time(length=118 * 55.0, from_pressure=84, to_pressure=74), rel=0.2
    )
    assert used(made, "pipe-exhaust").stopped > rear


@pytest.mark.parametrize(("cars", "reduction"), [(26, 10), (118, 10), (118, 20)])
def test_the_exhaust_of_a_first_set_against_the_train_model(cars: int, reduction: int) -> None:
    """The train model follows every car; quick service here is one lump fitted to it."""
    setup = replace(TRAIN, cars=cars)
    mine = used(went(setup, RELEASED, service(reduction)), "pipe-exhaust").stopped

    theirs = answer(
        find_calculator("train-run"),
        {"cars": str(cars), "command": "service", "reduction": str(reduction), "seconds": "240"},
    )
    *_, whole = follow(theirs)
    assert isinstance(whole, Answer)
    ends = whole.results()["exhaust_ends"]
    assert isinstance(ends, float)
    assert mine == pytest.approx(ends, rel=0.25, abs=3.0)


def test_quick_service_never_draws_the_train_below_its_head() -> None:
    made = went(TRAIN, RELEASED, service(5))

    assert all((s.rear or 0.0) >= s.pressure("brake_pipe") - 1e-6 for s in made.samples)


def test_the_time_of_a_train_grows_faster_than_its_length() -> None:
    """Friction alone: a further set, for which quick service takes nothing more."""
    times = [
        went(Setup(equipment=PLAIN, cars=cars), service(6), service(16)).rest_after
        for cars in (30, 60, 120)
    ]

    assert all(time is not None for time in times)
    assert times[1] / times[0] > 2.0  # type: ignore[operator]
    assert times[2] / times[1] > 2.0  # type: ignore[operator]


@pytest.mark.parametrize(("where", "share"), [("rear", 1.0), ("train", 0.5)])
def test_an_emergency_from_the_train_reaches_the_head_no_faster_than_it_runs(where, share) -> None:
    made = went(TRAIN, RELEASED, replace(RELEASED, vented=where))

    length = figures.LOCOMOTIVE_LENGTH + 118 * 55.0 * share
    first = used(made, "pipe-vent").started
    assert first >= 0.95 * 118 * 55.0 * share / figures.EMERGENCY_SPEED
    assert first <= 1.1 * length / figures.EMERGENCY_SPEED
    # The brake valve does not feed the gap, and its reservoir stays where the handle left it.
    assert "pipe-feed" not in passages(made)
    assert made.samples[-1].pressure("equalizing_reservoir") == 90.0
    assert made.samples[-1].rear == pytest.approx(0.0, abs=1e-6)


def test_nothing_moves_when_nothing_is_asked() -> None:
    made = went(TRAIN, service(10), service(10))

    assert made.used == ()
    assert made.rest_after == 0.0


def test_leakage_in_lap_is_made_good_and_shows_as_flow_only() -> None:
    setup = replace(TRAIN, leakage=3.0)

    made = went(setup, service(10), service(10))

    end = made.samples[-1]
    assert end.pressure("brake_pipe") == pytest.approx(80.0, abs=0.1)
    assert end.pressure("equalizing_reservoir") == 80.0
    assert end.rear is not None
    assert end.rear < end.pressure("brake_pipe")
    # Steady: what is fed is what leaks, all along the train.
    fed, leaked = end.flow("pipe-feed"), end.flow("leakage")
    assert fed == pytest.approx(leaked, rel=1e-3)
    assert made.rest_after == 0.0


def test_leakage_with_the_valve_cut_out_falls_as_a_hole_lets_it() -> None:
    """A pipe alone falls as exp(-k t): by hand for a light locomotive."""
    equipment = replace(PLAIN, cut_off="out")
    setup = Setup(equipment=equipment, leakage=6.0)
    move = replace(service(20), earlier_reduction=20.0)

    made = run(setup, service(20), move, rest=at_rest(PLAIN, service(20)), longest=60.0)

    by_hand = (70.0 + A) * 2.718281828 ** (-6.0 / (90.0 + A)) - A
    assert made.samples[-1].seconds == pytest.approx(60.0)
    assert made.samples[-1].pressure("brake_pipe") == pytest.approx(by_hand, abs=0.02)
    assert made.samples[-1].pressure("equalizing_reservoir") == 70.0
    assert made.rest_after is None


def test_emergency_feeds_pipe_16_from_the_main_reservoir() -> None:
    made = went(LIGHT, RELEASED, replace(RELEASED, handle="emergency"))

    assert "emergency-feed" in passages(made)
    assert min(s.pressure("main_reservoir") for s in made.samples) < 129.5


def test_the_pipe_charges_only_above_the_cut_off_valves_pressure() -> None:
    """ARMY-224 p. 4-81: about 25 psi behind the valve before it feeds."""
    emptied = replace(RELEASED, handle="emergency")

    made = went(LIGHT, emptied, RELEASED)

    opened = used(made, "pipe-feed").started
    behind = made.at(opened).pressure("equalizing_reservoir")
    assert behind == pytest.approx(25.0, abs=1.5)


def test_a_dead_units_supply_is_held_by_the_brake_pipe() -> None:
    equipment = replace(PLAIN, unit="dead")
    made = went(Setup(equipment=equipment), RELEASED, service(20))

    assert all(24.9 < s.pressure("main_reservoir") < 25.001 for s in made.samples)
    assert made.samples[-1].pressure("brake_cylinder") == pytest.approx(25.0)


def test_every_passage_is_used_by_some_move() -> None:
    """A way for air that no move ever opens would be dead."""
    seen: set[str] = set()
    emptied = replace(RELEASED, handle="emergency")
    held = replace(service(12), bail_off="held")
    moves = [
        (LIGHT, RELEASED, service(10)),
        (TRAIN, service(10), RELEASED),
        (TRAIN, RELEASED, emptied),
        (LIGHT, RELEASED, replace(RELEASED, independent=30.0)),
        (LIGHT, replace(RELEASED, independent=30.0), RELEASED),
        (LIGHT, service(12), held),
        (LIGHT, held, service(12)),
        (replace(LIGHT, leakage=3.0), service(10), service(10)),
        (LIGHT, replace(service(12), bail_off="released", reduction_at_bail_off=12.0), RELEASED),
    ]
    for setup, before, wanted in moves:
        seen |= set(passages(went(setup, before, wanted)))

    assert seen == {passage.name for passage in PASSAGES}


def test_moments_between_samples_are_the_last_before() -> None:
    made = went(LIGHT, RELEASED, service(10))

    assert made.at(None) is made.samples[-1]
    assert made.at(-1.0) is made.samples[0]
    assert made.at(1e9) is made.samples[-1]
