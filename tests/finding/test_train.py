"""The train's own short series: what each fault shows, and that its readings lead back to it."""

from __future__ import annotations

from functools import cache

import pytest

from calculators.answering.answer import answer
from calculators.answering.duty import RAILROADS
from calculators.answering.follow import finished
from calculators.base.results import Display
from calculators.catalog import find_calculator
from calculators.equipment.faults import TRAIN_FAULTS
from calculators.finding.observing import TRAIN_STAGES, read
from calculators.finding.train_series import TrainShown, train_setup, train_signature
from calculators.rendering.answers.text import answer_text

CARS = 40
FIND = find_calculator("find-fault")
BY_ID = {fault.id: fault for fault in TRAIN_FAULTS}


@cache
def shows(id: str, car: int = 15) -> tuple[TrainShown, ...]:
    return train_signature(train_setup(CARS), BY_ID.get(id), car)


def at(id: str, stage: str, car: int = 15) -> TrainShown:
    return shows(id, car)[TRAIN_STAGES.index(stage)]


def test_a_train_in_order():
    ten = at("", "train-ten")
    assert (ten.head, ten.rear, ten.applied) == pytest.approx((80.0, 80.0, CARS), abs=0.5)
    assert at("", "train-released").applied == 0


def test_a_closed_cock_blows_short_and_the_rear_stands():
    """NTSB-96C, TSB-17Q (T22, T23): the cars behind it never apply."""
    ten, healthy = at("cock-closed", "train-ten"), at("", "train-ten")
    assert ten.applied == 15
    assert ten.rear == pytest.approx(90.0, abs=0.5)
    assert ten.exhaust < 0.6 * healthy.exhaust


def test_nearly_closed_both_gauges_come_right_and_the_cars_behind_do_not_apply():
    """Only the exhaust tells, by blowing long."""
    ten, healthy = at("cock-nearly-closed", "train-ten"), at("", "train-ten")
    assert ten.exhaust > 3 * healthy.exhaust
    assert ten.applied < CARS
    assert ten.rear == pytest.approx(80.0, abs=2.5)


def test_a_leak_shows_by_flow_and_falls_when_out():
    assert at("leak-at-a-car", "train-charged").flow > 20
    assert at("leak-at-a-car", "train-out").head < at("leak-at-a-car", "train-twenty").head - 4


def test_a_cut_out_car_is_one_less():
    assert at("car-cut-out", "train-ten").applied == CARS - 1


def test_a_car_that_goes_to_emergency_takes_the_pipe_with_it():
    """DIS96 pp. 80-81 (T20, T21)."""
    assert at("car-goes-to-emergency", "train-ten").rear < 5


def test_a_second_brake_valve_keeps_the_rear_up():
    """ARRC-96 64-37 (T28)."""
    assert at("second-brake-valve", "train-twenty", CARS).rear > 80


@pytest.mark.parametrize("id", ["retaining-valve-up", "long-travel"])
def test_what_only_eyes_find_leaves_head_and_rear_as_they_are(id: str):
    """ARMY-203: seen at the car, at its piston; no gauge of the train shows it."""
    for stage in ("train-ten", "train-twenty"):
        ours, healthy = at(id, stage), at("", stage)
        assert (ours.head, ours.rear) == pytest.approx((healthy.head, healthy.rear), abs=1.0)
    assert BY_ID[id].proof.where == "ground"


def test_readings_lead_back_with_progress():
    calculator = find_calculator("find-fault")
    ten = at("cock-closed", "train-ten")
    entries = {
        "cars": str(CARS),
        "observations": f"train-ten exhaust {round(ten.exhaust)}; train-ten rear {round(ten.rear)}",
    }
    first = answer(calculator, entries)
    assert first.outcome is not None
    assert first.outcome.to_follow is not None
    whole = finished(first)
    assert str(whole.results()["faults"]).startswith("angle cock closed")
    # The likeliest stands first and settles it; each names its page.
    assert whole.outcome is not None
    named = [step for step in whole.outcome.working if "with this" in step.how.template]
    assert [step.decides for step in named] == [True, *(False for _ in named[1:])]
    assert named[0].label.startswith("Angle cock closed")
    assert len(named) > 1
    # Nothing on the ground before somebody said that the train is held; then the likeliest's proof.
    closed = BY_ID["cock-closed"]
    for more in ({}, {"secured": "yes"}, {"device": RAILROADS}):
        unsaid = str(finished(answer(calculator, entries | more)).results()["next_check"])
        assert unsaid.startswith("Secure the train")
        assert closed.proof.words not in unsaid
    more = {"secured": "yes", "device": RAILROADS}
    said = str(finished(answer(calculator, entries | more)).results()["next_check"])
    assert said.startswith(f"{closed.title}: {closed.proof.words}")


def test_an_entry_of_the_train_comes_back_as_typed():
    assert read("train-ten rear 80") == read("  TRAIN-TEN   rear 80 ;")


def test_what_no_fault_explains_is_said_and_never_called_in_order():
    found = finished(answer(FIND, {"observations": "train-ten exhaust 90", "cars": "1"}))
    assert found.outcome is not None
    assert "train-ten exhaust 90" in str(found.results()["contradicts"])
    two = {"observations": "train-ten exhaust 90; train-twenty exhaust 95", "cars": "1"}
    outcome = finished(answer(FIND, two)).outcome
    assert outcome is not None
    assert "Read again: train-ten exhaust 90." in outcome.headline.text(Display())
    assert "None of the" in answer_text(found)
    assert "in order; which cars" not in answer_text(found)


@pytest.mark.parametrize(
    ("entries", "field"),
    [
        ({"observations": "train-ten exhaust 90; ten-off cylinder 30"}, "observations"),
        ({"observations": "train-ten exhaust 90; not bail-off-stuck"}, "observations"),
        (
            {"observations": "train-ten exhaust 90", "brake_pipe_setting": "40"},
            "brake_pipe_setting",
        ),
    ],
)
def test_what_would_be_passed_over_is_refused(entries: dict[str, str], field: str):
    """Nothing that somebody typed goes unlooked at, and no run is begun that the model cannot make."""
    assert set(answer(FIND, entries).errors) == {field}
