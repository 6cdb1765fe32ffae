"""The circuit of an overcharge: how it is held, and what lets it go, on locomotive and cars apart."""

from __future__ import annotations

import pytest

from calculators.base.results import Display
from calculators.circuits.asking import carried_on
from tests.circuits.asked import asked, told

CARS = "12"

# Boyle's law by hand, as TRADE's table has it: 2,500 cu in of auxiliary at 100 psi meet a cylinder of
# 10 in by 8 in (628 cu in) and the 243 cu in beside it.
FULL_AT_100 = (114.7 * 2500.0 + 14.7 * 243.0) / (2500.0 + 628.3 + 243.0) - 14.7
TEN_OFF_100 = (10.0 * 2500.0 + 14.7 * 243.0) / (628.3 + 243.0) - 14.7


def warnings(**entries: str) -> str:
    outcome = asked(circuit="overcharge", cars=CARS, **entries).outcome
    assert outcome is not None
    return " ".join(n.text.text(Display()) for n in outcome.notes if n.kind == "warning")


def test_before_the_move_release_holds_the_brake_on_both():
    """Handle in release, gauges at the setting: 2.5 times 10 psi here, 10 off 100 on a car."""
    story = told(circuit="overcharge", cars=CARS)
    begins = story.run.samples[0]
    assert begins.pressure("equalizing_reservoir") == pytest.approx(90.0, abs=0.2)
    assert begins.pressure("brake_pipe") == pytest.approx(90.0, abs=0.2)
    assert begins.pressure("control_reservoir") == pytest.approx(100.0, abs=0.2)
    assert begins.pressure("brake_cylinder") == pytest.approx(25.0, abs=0.3)
    assert story.run.end.highest_cylinder == pytest.approx(TEN_OFF_100, abs=2.0)


def test_a_bail_off_frees_the_locomotive_only():
    story = told(circuit="overcharge", cars=CARS)
    assert story.run.samples[-1].pressure("brake_cylinder") == pytest.approx(0.0, abs=0.2)
    assert story.run.end.cars_applied == int(CARS)
    assert f"{CARS} cars have not let go" in warnings()


def test_in_the_heavy_set_each_counts_from_what_it_holds():
    """20 off the setting here, 30 off what was in them on the cars: past their full service."""
    story = told(circuit="overcharge", stage="2", cars=CARS)
    assert story.run.samples[-1].pressure("brake_cylinder") == pytest.approx(50.0, abs=0.3)
    assert story.run.end.highest_cylinder == pytest.approx(FULL_AT_100, abs=1.5)
    assert "The cars had been charged to 100 psi" in warnings(stage="2")


def test_one_release_after_it_lets_everything_go():
    story = told(circuit="overcharge", stage="3", cars=CARS)
    end = story.run.samples[-1]
    assert end.pressure("brake_cylinder") == pytest.approx(0.0, abs=0.2)
    assert end.pressure("control_reservoir") == pytest.approx(90.0, abs=0.3)
    assert story.run.end.cars_applied == 0
    assert "not let go" not in warnings(stage="3")


def test_a_release_alone_does_not():
    """Without the heavy set, after the bail-off, the handle in release changes nothing."""
    story = told(circuit="overcharge", stage="2", handle="release", cars=CARS)
    assert story.run.end.cars_applied == int(CARS)


@pytest.mark.parametrize(("stage", "charged"), [("1", 100.0), ("2", 100.0), ("3", 90.0)])
def test_going_on_takes_the_overcharge_along_until_it_is_gone(stage: str, charged: float):
    story = told(circuit="overcharge", stage=stage, cars=CARS)
    entries = carried_on(story, Display())
    assert float(entries["charged_to"]) == pytest.approx(charged, abs=0.2)
    again = told(circuit="overcharge", cars=CARS, **entries)
    assert again.run.end.cars_applied == story.run.end.cars_applied
    here, there = story.run.samples[-1], again.run.samples[0]
    for place in ("brake_pipe", "brake_cylinder", "control_reservoir"):
        assert there.pressure(place) == pytest.approx(here.pressure(place), abs=0.4), place


def test_a_setting_as_high_as_is_followed_leaves_no_room_and_says_so():
    assert "Nothing is overcharged here" in warnings(brake_pipe_setting="110")
    assert "Nothing is overcharged here" not in warnings(brake_pipe_setting="100")
