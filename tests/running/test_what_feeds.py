"""Nothing stands above what feeds it, and nothing under the atmosphere, whatever the handles do."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.equipment.running import EXAMPLE
from calculators.equipment.running.places import EQUALIZING, MAIN
from tests.running.brakes import Move, charged, play

HANDLES = ("release", "minimum-reduction", "service", "suppression", "handle-off", "emergency")

moves = st.lists(
    st.builds(
        Move,
        at_seconds=st.floats(0.0, 120.0),
        handle=st.one_of(st.none(), st.sampled_from(HANDLES)),
        reduction=st.floats(0.0, 40.0),
        independent=st.one_of(st.none(), st.floats(0.0, 60.0)),
        bail_off=st.one_of(st.none(), st.booleans()),
        cut_off=st.one_of(st.none(), st.sampled_from(("freight", "passenger", "out"))),
        dynamic=st.one_of(st.none(), st.booleans()),
        penalty=st.one_of(st.none(), st.sampled_from(("pedal", "alerter"))),
    ),
    max_size=8,
)


def stays_within_what_feeds_it(
    moves: list[Move],
    cars: int,
    leakage: float,
    unit: Literal["lead", "trailing", "dead"],
    setting: int,
) -> None:
    equipment = replace(EXAMPLE, unit=unit, brake_pipe_setting=float(setting))
    brake = charged(cars, equipment, leakage=leakage)
    for until in range(5, 125, 5):
        due = [move for move in moves if until - 5 <= move.at_seconds < until]
        play(brake, due, until=float(until))
        gauges = brake.gauges()
        highest = equipment.main_reservoir
        assert min(gauges.values()) > -1e-6
        assert max(gauges.values()) <= highest + 1e-6
        # The pipe itself: its waves may pass the setting by 1.5 psi.
        assert gauges["brake_pipe"] <= setting + 1.5
        assert gauges["rear"] <= setting + 1.5
        assert all(0.0 <= cylinder + 1e-6 <= setting + 1.5 for cylinder in brake.cylinders())
    assert brake.mass_error() < 1e-9


@settings(max_examples=50, deadline=None)
@given(
    moves=moves,
    cars=st.sampled_from((0, 0, 0, 1, 3, 12)),
    leakage=st.sampled_from((0.0, 0.0, 2.0, 15.0)),
    unit=st.sampled_from(("lead", "lead", "trailing", "dead")),
    setting=st.integers(60, 110),
)
def test_random_scripts_stay_within_what_feeds_them(moves, cars, leakage, unit, setting):
    stays_within_what_feeds_it(moves, cars, leakage, unit, setting)


@pytest.mark.long
@settings(max_examples=10_000, deadline=None)
@given(
    moves=moves,
    cars=st.sampled_from((0, 0, 0, 0, 1, 1, 2, 3, 5, 12, 12, 40, 118, 250)),
    leakage=st.sampled_from((0.0, 0.0, 2.0, 15.0)),
    unit=st.sampled_from(("lead", "lead", "trailing", "dead")),
    setting=st.integers(60, 110),
)
def test_ten_thousand_random_scripts_do(moves, cars, leakage, unit, setting):
    stays_within_what_feeds_it(moves, cars, leakage, unit, setting)


@pytest.mark.parametrize("cars", [0, 26])
def test_the_equalizing_reservoir_is_never_above_what_fills_it(cars: int):
    """By conservation: two volumes that are joined end at one pressure, neither passes the other."""
    brake = charged(cars, replace(EXAMPLE, main_reservoir=70.0), starting_pressure=70.0)
    brake.handle("service", reduction=30.0)
    brake.advance(40.0)
    brake.handle("release")
    lead = brake.locomotive
    for _ in range(200):
        brake.advance(0.1)
        assert lead.pressure[EQUALIZING] <= lead.pressure[MAIN] + 1.0
    assert brake.gauge("equalizing_reservoir") > 65.0
