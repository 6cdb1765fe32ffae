"""The retaining valve against ARRC-96, p. 67-12."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.retaining import (
    HELD,
    Position,
    held_pressure,
    slow_direct_pressure,
)


@pytest.mark.parametrize(
    ("position", "held"),
    # ARRC-96, p. 67-12: 20 and 10 psi; the two direct positions keep nothing in the end.
    [("high-pressure", 20), ("low-pressure", 10), ("direct", 0), ("slow-direct", 0)],
)
def test_what_each_position_holds(position, held):
    assert held_pressure(position=position, brake_cylinder=60) == held
    assert held_pressure(position=position, brake_cylinder=4) == min(4, held)


def test_every_position_has_its_figure():
    assert set(HELD) == set(get_args(Position))


def test_slow_direct_takes_86_seconds():
    # ARRC-96, p. 67-12; from 64 down to nothing is our reading, said on the page.
    assert slow_direct_pressure(brake_cylinder=64, seconds=86) == pytest.approx(0, abs=1e-3)
    assert slow_direct_pressure(brake_cylinder=64, seconds=80) > 0


@given(start=st.floats(0, 80), one=st.floats(0, 120), other=st.floats(0, 120))
def test_slow_direct_only_falls(start, one, other):
    early, late = sorted((one, other))
    assert (
        slow_direct_pressure(brake_cylinder=start, seconds=early)
        >= slow_direct_pressure(brake_cylinder=start, seconds=late) - 1e-9
    )
