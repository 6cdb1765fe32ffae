"""Leakage and flow against hand work, pint and the derived rows of the collection.

Rows H24, H25 and H70 to H73 follow from geometry and Boyle's law: 100 cars of 55 ft.
"""

from __future__ import annotations

from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.equipment.leakage import (
    fall_of_flow,
    falling_volume,
    flow_of_fall,
    pipe_volume,
    same_holes,
    volume_where_alike,
)

volumes = st.floats(1, 1000)
pressures = st.floats(15, 130)
flows = st.floats(0.01, 200)


def near(printed: str) -> object:
    """A printed figure with half its last digit."""
    decimals = len(printed.partition(".")[2])
    return pytest.approx(float(printed), abs=0.5 * 10**-decimals)


@pytest.mark.parametrize(
    ("bore", "cubic_inches_per_foot"), [(1.278, "15.39"), (1.380, "17.95"), (1.25, "14.73")]
)
def test_pipe_volume_per_foot(bore, cubic_inches_per_foot):
    """H24, H25."""
    volume = pipe_volume(cars=1, car_length=1, bore=bore) * 1728
    assert volume == near(cubic_inches_per_foot)


@pytest.mark.parametrize(("length", "cubic_inches"), [(50, "770"), (55, "847"), (60, "924")])
def test_pipe_volume_of_a_car(length, cubic_inches):
    """H24; 923.5 is printed as 924 and 846.5 as 847, so the last digit may be off by one."""
    volume = pipe_volume(cars=1, car_length=length, bore=1.278) * 1728
    assert volume == pytest.approx(float(cubic_inches), abs=1)


def test_leakage_limit_as_a_flow():
    """H71: 49.0 cu ft, 16.7 cfm at 5 psi/min, 18 psi/min at 60 cfm."""
    pipe = pipe_volume(cars=100, car_length=55, bore=1.278)

    assert pipe == near("49.0")
    assert flow_of_fall(volume=pipe, fall=5) == near("16.7")
    assert fall_of_flow(volume=pipe, flow=60) == near("18")


@pytest.mark.parametrize(("reservoir", "flow"), [(2500, "65.9"), (6000, "134.8")])
def test_reservoirs_that_fall_too(reservoir, flow):
    """H72."""
    pipe = pipe_volume(cars=100, car_length=55, bore=1.278)
    volume = falling_volume(cars=100, pipe=pipe, reservoir_volume=reservoir)

    assert flow_of_fall(volume=volume, fall=5) == near(flow)
    if reservoir == 6000:
        assert fall_of_flow(volume=volume, flow=60) == near("2.2")


def test_where_the_two_limits_meet():
    """H73: 176 cu ft of pipe, about 360 cars of 55 ft."""
    volume = volume_where_alike(fall=5, flow=60)

    assert volume == near("176")
    assert volume / pipe_volume(cars=1, car_length=55, bore=1.278) == pytest.approx(360, abs=1)


def test_same_holes_at_ninety():
    """The same holes pass (90 + 14.7)/(70 + 14.7) times as much: 16.7 becomes 20.6 cfm."""
    assert same_holes(flow=16.67, pressure=70, other_pressure=90) == near("20.6")


def test_flow_in_units_of_another_library():
    units: Any = pint.UnitRegistry()
    volume = units.Quantity(49.0, "foot**3")
    fall = units.Quantity(5.0, "psi/minute")
    flow = (volume * fall / units.Quantity(14.7, "psi")).to("foot**3/minute")

    assert flow_of_fall(volume=49.0, fall=5.0) == pytest.approx(flow.magnitude, rel=1e-12)


@settings(deadline=None)
@given(volume=volumes, flow=flows)
def test_flow_and_fall_undo_each_other(volume, flow):
    fall = fall_of_flow(volume=volume, flow=flow)
    assert flow_of_fall(volume=volume, fall=fall) == pytest.approx(flow)


@settings(deadline=None)
@given(flow=flows, pressure=pressures, other=pressures)
def test_holes_pass_more_at_more_pressure(flow, pressure, other):
    there = same_holes(flow=flow, pressure=pressure, other_pressure=other)
    back = same_holes(flow=there, pressure=other, other_pressure=pressure)

    assert (there > flow) == (other > pressure) or there == pytest.approx(flow)
    assert back == pytest.approx(flow)


def test_nothing_cannot_fall():
    with pytest.raises(ValueError, match="volume is 0 cu ft"):
        fall_of_flow(volume=0, flow=1)
    with pytest.raises(ValueError, match="fall is 0 psi/min"):
        volume_where_alike(fall=0, flow=1)
