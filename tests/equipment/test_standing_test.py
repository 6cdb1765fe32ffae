"""The standing test's predictions against the printed test (ARMY-223 p. 2-7, ARMY-224 p. 2-8)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.equipment.locomotive import Equipment
from calculators.equipment.standing_test import Moves, standing_test
from calculators.law.gauge_error import gauge_error


def locomotive(**changed: float) -> Equipment:
    figures = {
        "brake_pipe_setting": 90.0,
        "multiplier": 2.5,
        "service_limit": 60.0,
        "emergency_limit": 70.0,
        "relay_ratio_automatic": 1.0,
        "relay_ratio_independent": 1.0,
        "main_reservoir": 130.0,
    } | changed
    return Equipment(
        **figures,
        minimum_reduction=0.0,
        suppression_reduction=0.0,
        emergency_threshold=0.0,
        cut_off="freight",
        release_type="direct",
        unit="lead",
        dead_engine_setting=0.0,
        auxiliary_volume=None,
        pipe_16_volume=1.0,
        emergency_drops_dynamic=True,
    )


def moves(first: float = 10.0, second: float = 15.0) -> Moves:
    return Moves(
        first_reduction=first, second_reduction=second, full_reduction=26.0, independent=45.0
    )


def test_every_step_of_the_printed_test():
    """D1, last column: equalizing reservoir, brake pipe, cylinder for a 90-psi pipe."""
    found = standing_test(locomotive(), moves())
    rows = {
        "charged": (90, 90, 0),
        "first_set": (80, 80, 25),
        "bailed_off": (80, 80, 0),
        "second_set": (75, 75, 12.5),
        "moved_back": (75, 75, 12.5),
        "emergency": (0, 0, 70),
        "emergency_held": (0, 0, 0),
        "emergency_let_go": (0, 0, 70),
    }
    for name, gauges in rows.items():
        state = getattr(found, name)
        read = (state.equalizing_reservoir, state.brake_pipe, state.brake_cylinder)
        assert read == pytest.approx(gauges), name


def test_full_service_meets_the_limiting_valve():
    assert standing_test(locomotive(), moves()).full_service.brake_cylinder == 60
    low = standing_test(locomotive(service_limit=55.0), moves())
    assert low.full_service.brake_cylinder == 55


def test_independent_alone():
    found = standing_test(locomotive(relay_ratio_independent=1.6), moves()).independent
    assert (found.brake_pipe, found.brake_cylinder, found.decided_by) == (90, 72, "pipe 20")


@settings(deadline=None)
@given(first=st.floats(0, 20), more=st.floats(0, 20), multiplier=st.floats(1, 4))
def test_after_a_bail_off_only_the_rest_counts(first, more, multiplier):
    found = standing_test(locomotive(multiplier=multiplier), moves(first, first + more))

    assert found.bailed_off.brake_cylinder == 0
    assert found.second_set.brake_cylinder == pytest.approx(min(60, multiplier * more), abs=1e-9)
    assert found.moved_back.equalizing_reservoir <= found.second_set.equalizing_reservoir + 1e-9


@pytest.mark.parametrize(("pressure", "error"), [(0, 0), (20, 1), (60, 3), (61, 3), (140, 3)])
def test_gauge_error(pressure, error):
    """49 CFR 229.53, R122: the lesser of 5 % and 3 psi; they meet at 60."""
    assert gauge_error(pressure) == pytest.approx(error)
