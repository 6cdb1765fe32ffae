"""Pump-up, settings, readings and the orifice test (R117-R120, R126, H78)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.main_reservoir.declaration import MainReservoir, main_reservoir


def ask(**texts: str) -> Answer:
    found = answer(main_reservoir, texts)
    assert found.errors == {}
    return found


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(note.text.text(Display()) for note in found.outcome.notes)


def standings(found: Answer) -> dict[str, str]:
    return {verdict.limit.id: verdict.standing for verdict in found.verdicts}


def test_hand_work():
    """17,280 cu in is 10 cu ft; 147 psi more is 100 cu ft of free air: one minute at 100 cfm."""
    found = ask(volume="17280", to_pressure="147", delivery="100", working_pressure="150")
    assert found.results()["time"] == pytest.approx(1.0)


def test_the_timing_gives_the_delivery_back():
    found = ask(volume="17280", to_pressure="147", time_read="2", working_pressure="150")
    assert found.results()["measured_delivery"] == pytest.approx(50)


def test_leakage_slows_it_and_can_stop_it():
    tight, leaking = ask(delivery="20"), ask(delivery="20", leakage="3")
    assert float(str(leaking.results()["time"])) > float(str(tight.results()["time"]))
    assert tight.results()["highest_pressure"] is None

    hopeless = ask(delivery="10", leakage="6")
    assert hopeless.results()["time"] is None
    assert float(str(hopeless.results()["highest_pressure"])) < 140
    assert "takes the whole delivery" in notes(hopeless)
    assert hopeless.outcome is not None
    assert "never reached" in hopeless.outcome.headline.text(Display())
    assert len(hopeless.outcome.series[0].lines[1].points) < 21


def test_a_timed_leaking_reservoir_says_what_it_measured():
    assert "left after the leakage" in notes(ask(leakage="2", time_read="2.4"))


@pytest.mark.parametrize(
    ("texts", "limit", "standing"),
    [
        ({"leakage": "3"}, "main-reservoir-leakage", "within"),
        ({"leakage": "3.1"}, "main-reservoir-leakage", "not within"),
        ({}, "main-reservoir-leakage", "no reading"),
        ({"start_read": "105"}, "compressor-start-over-brake-pipe", "within"),
        ({"start_read": "104"}, "compressor-start-over-brake-pipe", "not within"),
        ({"start_read": "125", "stop_read": "135"}, "compressor-run", "within"),
        ({"start_read": "126", "stop_read": "135"}, "compressor-run", "not within"),
        ({"stop_read": "145"}, "governor-error", "within"),
        ({"stop_read": "134"}, "governor-error", "not within"),
        ({"safety_valve_read": "155"}, "safety-valve-over-working", "within"),
        ({"safety_valve_read": "156"}, "safety-valve-over-working", "not within"),
    ],
)
def test_readings_are_judged_one_by_one(texts, limit, standing):
    assert standings(ask(**texts))[limit] == standing


def test_orifice_stands_in_the_working():
    found = ask(orifice="9/32")
    assert found.outcome is not None
    assert found.outcome.working[-1].label == "Orifice"
    assert ask().results()["orifice_delivery"] is None


def test_pressures_that_leave_no_room():
    assert "leave no room" in notes(ask(brake_pipe_setting="110", working_pressure="125"))
    assert "leave no room" not in notes(ask())
    assert "over the maximum working pressure" in notes(ask(to_pressure="150"))


def test_errors_in_words():
    wrong = answer(main_reservoir, {"from_pressure": "100", "to_pressure": "90"})
    assert "it must be 100 psi or more" in wrong.errors["to_pressure"]
    wrong = answer(main_reservoir, {"start_read": "120", "stop_read": "110"})
    assert "where it started" in wrong.errors["stop_read"]


@settings(deadline=None)
@given(
    volume=st.floats(1000, 200000),
    to=st.floats(0, 250),
    delivery=st.floats(1, 500),
    leakage=st.floats(0, 60),
)
def test_time_grows_with_leakage_and_never_lies(volume, to, delivery, leakage):
    known = {"volume": volume, "to_pressure": to, "delivery": delivery}
    tight = main_reservoir.outcome(**known)
    leaking = main_reservoir.outcome(**known, leakage=leakage)

    assert isinstance(tight, MainReservoir)
    assert isinstance(leaking, MainReservoir)
    assert tight.time is not None
    assert leaking.time is None or leaking.time >= tight.time * (1 - 1e-9) - 1e-12
