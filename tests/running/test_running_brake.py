"""The running brake: it comes to the rest that the formulas say, keeps its air, obeys its faults."""

from dataclasses import replace
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.base.units import PSI
from calculators.equipment.locomotive import HandleDemand, at_rest
from calculators.equipment.running import (
    EXAMPLE,
    Brake,
    Change,
    Leak,
    Setup,
    Source,
    start,
)
from calculators.equipment.train import Remote, steady
from tests.running.brakes import Move, charged, play

RELEASED = HandleDemand(
    handle="release",
    reduction=0.0,
    earlier_reduction=0.0,
    independent=0.0,
    bail_off="none",
    reduction_at_bail_off=None,
    dynamic_brake=False,
    control_reservoir=None,
)
WITHIN = 0.2
"""How near the rest formulas a healthy brake comes. [psi]"""


def went(brake: Brake, handle, reduction: float = 0.0) -> Brake:
    brake.handle(handle, reduction=reduction)
    assert brake.to_rest() is not None
    return brake


def compare(brake: Brake, command: HandleDemand) -> None:
    rest = at_rest(brake.setup.equipment, command)
    shown = {
        "equalizing_reservoir": rest.equalizing_reservoir,
        "brake_pipe": rest.brake_pipe,
        "pipe_16": rest.pipe_16,
        "pipe_20": rest.pipe_20,
        "brake_cylinder": rest.brake_cylinder,
        "brake_cylinder_2": rest.brake_cylinder,
    }
    assert {p: brake.gauge(p) for p in shown} == pytest.approx(shown, abs=WITHIN)


MOVES = [
    ("service", 7.0),
    ("service", 10.0),
    ("service", 20.0),
    ("service", 30.0),
    ("minimum-reduction", 0.0),
    ("suppression", 0.0),
    ("handle-off", 0.0),
    ("emergency", 0.0),
]


@pytest.mark.parametrize("cars", [0, 26])
@pytest.mark.parametrize(("handle", "reduction"), MOVES)
@pytest.mark.parametrize("setting", [70.0, 90.0, 110.0])
def test_every_move_from_charged_ends_at_the_rest_formulas(handle, reduction, cars, setting):
    equipment = replace(EXAMPLE, brake_pipe_setting=setting)
    brake = went(charged(cars, equipment), handle, reduction)

    compare(brake, replace(RELEASED, handle=handle, reduction=reduction))
    assert brake.mass_error() < 1e-9


@settings(max_examples=50, deadline=None)
@given(
    setting=st.integers(70, 110),
    multiplier=st.floats(1.5, 3.0),
    service_limit=st.floats(35.0, 62.0),
    emergency_limit=st.floats(62.0, 75.0),
    ratio=st.floats(0.8, 1.5),
    reduction=st.floats(5.0, 30.0),
    independent=st.floats(0.0, 50.0),
    release_type=st.sampled_from(("direct", "graduated")),
    handle=st.sampled_from(("service", "emergency", "suppression")),
)
def test_settings_of_all_kinds_end_there_too(
    setting,
    multiplier,
    service_limit,
    emergency_limit,
    ratio,
    reduction,
    independent,
    release_type,
    handle,
):
    equipment = replace(
        EXAMPLE,
        brake_pipe_setting=float(setting),
        multiplier=multiplier,
        service_limit=service_limit,
        emergency_limit=emergency_limit,
        relay_ratio_automatic=ratio,
        release_type=release_type,
    )
    brake = charged(0, equipment)
    brake.independent(independent)
    went(brake, handle, reduction)

    rest = at_rest(
        equipment,
        replace(RELEASED, handle=handle, reduction=reduction, independent=independent),
    )
    # The pipe stops within its relay's dead band, which control valve and relay multiply.
    factor = max(1.0, multiplier / 2.5) * max(1.0, ratio)
    assert brake.gauge("brake_cylinder") == pytest.approx(rest.brake_cylinder, abs=0.25 * factor)
    assert brake.gauge("pipe_20") == pytest.approx(rest.pipe_20, abs=WITHIN)


@pytest.mark.parametrize("cars", [0, 26])
def test_release_brings_everything_back(cars):
    brake = went(went(charged(cars), "service", 10.0), "release")

    compare(brake, RELEASED)
    assert brake.gauge("control_reservoir") == pytest.approx(90.0, abs=WITHIN)
    assert brake.applied() == ()
    assert brake.gauge("rear") == pytest.approx(90.0, abs=1.0)


def test_bail_off_and_a_further_set_count_from_the_pipe_of_that_moment():
    """ARMY-223 p. 2-7 (steps 2 to 5): 10 off 25, pressed 0, to 15 off 12.5."""
    brake = went(charged(), "service", 10.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(25.0, abs=0.25)
    brake.bail_off(True)
    # Pressed for 7 s: releases (H83).
    brake.advance(7.0)
    assert brake.gauge("brake_cylinder") < 0.5
    assert brake.gauge("brake_pipe") == pytest.approx(80.0, abs=0.2)
    brake.bail_off(False)
    # Pipe 13 has to empty first.
    brake.advance(5.0)
    went(brake, "service", 15.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(12.5, abs=0.3)


def test_emergency_held_off_and_back():
    """ARMY-223 p. 2-7 (step 8): 0 while held, then the limit again."""
    brake = went(charged(), "emergency")
    brake.bail_off(True)
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") < 0.5
    brake.bail_off(False)
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(70.0, abs=WITHIN)


def test_half_way_back_the_reservoir_does_not_rise():
    """ARMY-223 p. 2-7, step 6."""
    brake = went(charged(), "service", 15.0)
    went(brake, "service", 7.0)
    assert brake.gauge("equalizing_reservoir") == pytest.approx(75.0, abs=0.01)


@pytest.mark.parametrize("setting", [70.0, 90.0, 110.0])
def test_emergency_empties_the_reservoir_in_three_to_five_seconds(setting):
    """ARMY-223 p. 2-7, ARMY-224 p. 2-8 (H84)."""
    brake = charged(0, replace(EXAMPLE, brake_pipe_setting=setting))
    brake.handle("emergency")
    while brake.gauge("equalizing_reservoir") > 0.5:
        brake.advance(0.05)
    assert 3.0 <= brake.seconds <= 5.0


def test_from_110_to_90_in_what_was_read():
    """RLE (H17): 5.5 to 6 s through the service choke."""
    brake = charged(0, replace(EXAMPLE, brake_pipe_setting=110.0))
    brake.handle("service", reduction=40.0)
    while brake.gauge("equalizing_reservoir") > 90.0:
        brake.advance(0.03)
    assert 5.5 <= brake.seconds <= 6.05
    lag = brake.setup.brake_valve.service_lag
    assert lag * log(124.7 / 104.7) == pytest.approx(5.75)


@pytest.mark.parametrize("cars", [0, 1, 3, 26])
def test_air_is_kept_while_the_pipe_leaks_and_is_fed(cars):
    brake = charged(cars, leakage=15.0)
    for _ in range(5):
        brake.advance(1.0)
        assert brake.mass_error() < 1e-12
    brake.handle("service", reduction=12.0)
    brake.advance(3600.0)
    assert brake.mass_error() < 1e-9


@pytest.mark.parametrize("cars", [0, 1, 40])
def test_no_gauge_goes_under_zero_as_the_pipe_empties(cars):
    for way in ("emergency", "penalty"):
        brake = charged(cars)
        if way == "emergency":
            brake.handle("emergency")
        else:
            brake.penalty("pedal")
            brake.cut_off("out" if cars == 0 else "freight")
        for _ in range(300):
            brake.advance(0.1)
            assert min(brake.gauges().values()) >= 0.0
            assert min(brake.brake_pipe(), default=0.0) >= 0.0
        assert brake.mass_error() < 1e-12


def test_no_gauge_goes_under_zero_however_long_it_leaks():
    for cars in (0, 26):
        brake = charged(cars, leakage=20.0)
        brake.cut_off("out")
        brake.advance(3600.0)
        assert 0.0 <= brake.gauge("brake_pipe") < 0.2
        assert min(brake.gauges().values()) > -1e-6


def test_cut_out_with_a_leak_has_no_rest_before_the_pipe_is_empty():
    brake = went(charged(26, leakage=3.0), "service", 20.0)
    brake.cut_off("out")
    assert brake.to_rest(longest=300.0) is None


@pytest.mark.parametrize(
    ("pipe", "short", "is_rest"),
    [(90.0, 0.5, True), (90.0, 2.0, False), (0.05, 2.0, True), (0.3, 2.0, False)],
)
def test_still_air_is_rest_once_reservoirs_are_filled_or_the_pipe_is_empty(
    pipe: float, short: float, is_rest: bool
):
    """A released car within a psi of its pipe is full; an empty pipe, under a tenth, fills none."""
    brake = charged(3)
    state = brake.simulation.state
    state.pressure = [state.grid.atmosphere + pipe * PSI] * len(state.pressure)
    state.auxiliary = [state.grid.atmosphere + (pipe - short) * PSI] * len(state.auxiliary)
    state.emergency = [max(state.pressure)] * len(state.emergency)
    assert brake._recharged() is is_rest


@pytest.mark.parametrize("leakage", [0.0, 1.0, 4.0])
def test_rest_after_a_release_is_a_full_train(leakage):
    brake = went(charged(40, leakage=leakage), "service", 12.0)
    brake.handle("release")
    at = brake.seconds
    rested = brake.to_rest()
    assert rested is not None
    assert rested - at > 60.0
    own = brake.gauge("equalizing_reservoir")
    full = steady(brake.setup.train()).rear if leakage else own
    assert brake.gauge("rear") == pytest.approx(full, abs=0.3)


def test_more_leakage_or_more_cars_never_fills_sooner():
    def rear(cars: int, leakage: float) -> list[float]:
        brake = went(charged(cars, leakage=leakage), "service", 15.0)
        brake.handle("release")
        seen = []
        for _ in range(12):
            brake.advance(20.0)
            seen.append(brake.gauge("rear"))
        return seen

    base = rear(40, 1.0)
    for other in (rear(40, 4.0), rear(60, 1.0)):
        assert all(b <= a + 0.3 for a, b in zip(base, other, strict=True))


def test_suppression_holds_off_what_it_covers():
    brake = went(charged(), "suppression")
    assert brake.penalty("pedal") is False
    brake.advance(60.0)
    assert brake.gauge("brake_pipe") == pytest.approx(64.0, abs=0.2)
    assert brake.penalty("alerter") is True
    brake.to_rest()
    assert brake.gauge("brake_pipe") < 0.2


def test_a_penalty_runs_on_and_is_recovered_from_suppression():
    brake = charged()
    brake.penalty("pedal")
    brake.advance(5.0)
    brake.handle("release")
    brake.advance(20.0)
    assert brake.gauge("equalizing_reservoir") < 50.0
    brake.handle("suppression")
    brake.advance(120.0)
    assert brake.gauge("brake_pipe") < 0.2
    went(brake, "release")
    assert brake.gauge("brake_pipe") == pytest.approx(90.0, abs=0.2)


def test_a_penalty_may_be_put_back_once_the_reservoir_is_as_good_as_empty():
    """The gauge stands at nothing then: within a hundredth of a psi, and no sooner."""
    brake = charged()
    brake.penalty("pedal")
    brake.handle("suppression")
    before = brake.gauge("equalizing_reservoir")
    while brake.locomotive.penalty:
        before = brake.gauge("equalizing_reservoir")
        brake.advance(0.1)
        assert brake.seconds < 200.0
    assert 0.008 < before < 0.02


def test_an_emergency_from_the_train_shuts_the_feed_until_the_handle_has_been_there():
    """ARMY-223 p. 4-78: emergency, then release."""
    brake = charged(26)
    brake.emergency(13)
    brake.advance(90.0)
    assert brake.in_emergency() == tuple(range(1, 27))
    assert brake.gauge("pipe_53") > 100.0
    assert brake.gauge("brake_pipe") < 1.0
    brake.handle("release")
    brake.advance(30.0)
    assert brake.gauge("brake_pipe") < 1.0
    assert brake.gauge("equalizing_reservoir") == pytest.approx(90.0, abs=0.1)


def test_recovery_from_an_emergency_of_the_rear_device():
    brake = charged(26)
    brake.emergency("rear")
    brake.advance(80.0)
    brake.handle("emergency")
    brake.advance(70.0)
    went(brake, "release")
    assert brake.gauge("rear") == pytest.approx(90.0, abs=1.0)
    assert brake.applied() == ()


def test_dynamic_takes_the_automatic_away_and_gives_it_back():
    brake = went(charged(), "service", 12.0)
    brake.dynamic(True)
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") < 0.5
    brake.independent(15.0)
    brake.advance(10.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(15.0, abs=WITHIN)
    brake.dynamic(False)
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(30.0, abs=0.25)


def test_an_overcharge_is_shown_and_bail_off_takes_it_from_the_locomotive_only():
    """By hand: charged 100, now set to 90: 2.5 x 10 = 25 psi stand with the handle in release."""
    brake = start(Setup(equipment=EXAMPLE, cars=5, starting_pressure=100.0))
    brake.to_rest()
    assert brake.gauge("brake_pipe") == pytest.approx(90.0, abs=0.2)
    assert brake.gauge("brake_cylinder") == pytest.approx(25.0, abs=0.4)
    assert brake.applied() == (1, 2, 3, 4, 5)
    brake.bail_off(True)
    brake.advance(60.0)
    brake.bail_off(False)
    brake.advance(10.0)
    assert brake.gauge("brake_cylinder") < 0.5
    assert brake.applied() == (1, 2, 3, 4, 5)


def test_a_trailing_unit_follows_and_a_dead_one_has_only_what_the_pipe_left_it():
    trailing = went(charged(0, replace(EXAMPLE, unit="trailing")), "service", 10.0)
    assert trailing.gauge("brake_cylinder") == pytest.approx(25.0, abs=0.25)
    dead = went(charged(0, replace(EXAMPLE, unit="dead")), "service", 20.0)
    assert dead.gauge("main_reservoir") == pytest.approx(25.0, abs=0.1)
    assert dead.gauge("brake_cylinder") == pytest.approx(25.0, abs=0.1)
    assert dead.mass_error() < 1e-9


def test_a_copy_goes_its_own_way():
    brake = went(charged(26), "service", 10.0)
    before = brake.gauges()
    other = brake.copy()
    went(other, "release")
    assert brake.gauges() == before
    went(brake, "release")
    assert brake.gauges() == other.gauges()


def test_the_same_moves_give_the_same():
    moves = (
        Move(at_seconds=1.0, handle="service", reduction=8.0),
        Move(at_seconds=9.5, independent=20.0),
        Move(at_seconds=20.0, handle="service", reduction=14.0, bail_off=True),
        Move(at_seconds=31.0, bail_off=False),
        Move(at_seconds=40.0, handle="release"),
    )
    one, two = charged(12), charged(12)
    play(one, moves, until=90.0)
    play(two, moves, until=90.0)
    assert one.gauges() == two.gauges()


def test_a_remote_unit_applies_too():
    remote = Remote(after_car=20, delay=2.0)
    brake = went(charged(40, remote=remote), "service", 10.0)
    assert brake.gauge("rear") == pytest.approx(80.0, abs=0.4)
    assert len(brake.applied()) == 40


def faulty(change: Change, cars: int = 0) -> Brake:
    return start(Setup(equipment=EXAMPLE, cars=cars, change=change))


def leak(source: str, sink: str = "atmosphere", hole: float = 0.02) -> Change:
    return Change(leaks=(Leak(source=source, sink=sink, hole=hole),))


def test_a_leaking_pipe_16_stands_low_and_blows_on():
    """Our own reasoning: a self-lapping valve holds the leak."""
    brake = faulty(leak("pipe_16", hole=0.03))
    brake.handle("service", reduction=12.0)
    brake.advance(60.0)
    lost = brake.locomotive.leaked
    assert 20.0 < brake.gauge("brake_cylinder") <= 30.0
    brake.advance(10.0)
    assert brake.locomotive.leaked > lost


def test_a_leaking_control_reservoir_lets_go_in_lap():
    """TEA Q140, Q192: with the train still set."""
    brake = faulty(leak("control_reservoir", hole=0.01), cars=5)
    brake.handle("service", reduction=12.0)
    brake.advance(15.0)
    assert brake.gauge("brake_cylinder") > 20.0
    brake.advance(300.0)
    assert brake.gauge("brake_cylinder") < 2.0
    assert len(brake.applied()) == 5


def test_a_leaking_equalizing_reservoir_takes_the_pipe_with_it():
    """TEA Q95 (T2)."""
    brake = faulty(leak("equalizing_reservoir", hole=0.01))
    brake.handle("service", reduction=10.0)
    brake.advance(90.0)
    assert brake.gauge("equalizing_reservoir") < 75.0
    assert brake.gauge("brake_pipe") == pytest.approx(brake.gauge("equalizing_reservoir"), abs=0.3)
    # Release makes it good, so that it does not show there.
    brake.handle("release")
    brake.advance(60.0)
    assert brake.gauge("equalizing_reservoir") == pytest.approx(90.0, abs=0.5)


def test_air_that_creeps_past_the_reservoir_cut_off_fills_it():
    """ARMY-223, ARMY-224: moved half-way back in freight the reservoir rises, which it may not."""
    brake = faulty(leak("regulated", "equalizing_reservoir", hole=0.01))
    brake.handle("service", reduction=20.0)
    brake.advance(30.0)
    brake.handle("service", reduction=5.0)
    brake.advance(60.0)
    assert 75.0 < brake.gauge("equalizing_reservoir") <= 85.2


AUTOMATIC_LOST = [
    Change(held=(("bail_off", "pressed"),)),
    Change(held=(("dynamic_interlock", "on"),)),
    Change(held=(("control_valve", "cut-out"),)),
    Change(held=(("double_check", "pipe 20"),)),
    Change(scaled=(("control-feed", 0.0),)),
]


@pytest.mark.parametrize("change", AUTOMATIC_LOST)
def test_five_faults_give_the_same_gauges(change):
    """TEA Q185 (T6): automatic lost, independent works."""
    brake = faulty(change)
    went(brake, "service", 12.0)
    assert brake.gauge("brake_cylinder") < 0.5
    brake.independent(30.0)
    brake.advance(15.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(30.0, abs=0.3)


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        (Change(held=(("handle", "stuck"),)), {"equalizing_reservoir": 90.0, "brake_pipe": 90.0}),
        (
            Change(held=(("pipe_relay_exhaust", "shut"),)),
            {"equalizing_reservoir": 80.0, "brake_pipe": 90.0},
        ),
        (Change(held=(("truck_2", "cut-out"),)), {"brake_cylinder": 25.0, "brake_cylinder_2": 0.0}),
    ],
)
def test_held_valves_show_what_they_must(change, seen):
    brake = went(faulty(change), "service", 10.0)
    assert {place: brake.gauge(place) for place in seen} == pytest.approx(seen, abs=0.3)


def test_independent_on_trail_and_a_lost_bail_off():
    brake = faulty(Change(held=(("independent", "trail"), ("bail_off", "lost"))))
    brake.independent(40.0)
    went(brake, "service", 10.0)
    assert brake.gauge("pipe_20") == 0.0
    brake.bail_off(True)
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(25.0, abs=0.3)


def test_a_creeping_regulator_overcharges_in_passenger_or_release():
    brake = faulty(leak("main_reservoir", "equalizing_reservoir", hole=0.01))
    brake.handle("service", reduction=10.0)
    brake.advance(120.0)
    # In the service zone the handle's valve lets out what leaks in.
    assert brake.gauge("equalizing_reservoir") == pytest.approx(80.0, abs=1.0)


def test_a_second_source_lets_the_brakes_go():
    """ARRC-96 64-37 (T28): another unit still feeds the pipe."""
    brake = start(
        Setup(
            equipment=EXAMPLE, cars=20, change=Change(sources=(Source(at_car=20, pressure=90.0),))
        )
    )
    brake.handle("service", reduction=8.0)
    brake.advance(120.0)
    assert brake.gauge("rear") > 85.0


@pytest.mark.parametrize("step", [2.0, 10.0])
def test_valves_that_work_against_each_other_move_nothing_that_short_steps_do_not(step: float):
    """A second valve feeds what the first one lets out: a strong steady flow between the two."""
    change = Change(sources=(Source(at_car=1, pressure=90.0),))
    brake = start(Setup(equipment=EXAMPLE, cars=60, change=change))
    brake.handle("service", reduction=15.0)
    brake.advance(18.0)
    other = brake.copy()
    other.simulation.longest_step = step
    for _ in range(6):
        brake.advance(10.0)
        other.advance(10.0)
        assert other.in_emergency() == ()
        assert other.gauges() == pytest.approx(brake.gauges(), abs=0.3)


def test_a_fault_can_come_and_go_while_it_runs():
    brake = went(charged(), "service", 12.0)
    brake.change(Change(held=(("control_valve", "cut-out"),)))
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") < 0.5
    brake.change(Change())
    brake.advance(20.0)
    assert brake.gauge("brake_cylinder") == pytest.approx(30.0, abs=0.3)


@pytest.mark.parametrize(
    "made",
    [
        lambda: Leak(source="nowhere", sink="atmosphere", hole=0.1),
        lambda: Leak(source="pipe_16", sink="pilot", hole=0.1),
        lambda: Leak(source="pipe_16", sink="atmosphere", hole=-0.1),
        lambda: Change(scaled=(("no such way", 1.0),)),
        lambda: Change(held=(("truck_2", "ajar"),)),
    ],
)
def test_names_that_nothing_has_are_refused(made):
    with pytest.raises(ValueError, match=r"place|hole|scaled|held"):
        made()
