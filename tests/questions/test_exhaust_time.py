"""The blow at the head: its band, a train that fits it, and what a short blow means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.exhaust_time.declaration import ExhaustTime, exhaust_time


def ask(**texts: str) -> Answer:
    found = answer(exhaust_time, texts)
    assert found.errors == {}
    return found


def words(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    said = [found.outcome.headline] + [n.text for n in found.outcome.notes if n.kind == kind]
    return " ".join(phrase.text(Display()) for phrase in said)


@pytest.mark.parametrize(
    ("heard", "said", "fits"),
    [
        ("12", "closed angle cock", "of 118 cars"),
        ("1", "this one fits not even one car", "not even one car"),
        ("60", "does not show that the pipe is open to the rear", "to 118 of 118 cars"),
        ("600", "A blow that does not end", "more than these cars"),
    ],
)
def test_what_a_timed_blow_says(heard, said, fits):
    found = ask(heard=heard)
    assert said in words(found)
    assert fits in str(found.results()["fits"])
    assert found.outcome is not None
    assert found.outcome.series[0].marked == ((118.0, float(heard)),)


def test_leakage_shortens_the_blow_and_is_asked_for():
    unknown, known = ask(heard="15"), ask(heard="15", air_flow="30")
    assert "A leaking train blows shorter too" in words(unknown, "note")
    assert "does not clear the train of a closed cock" in words(unknown, "note")
    assert "A leaking train" not in words(known, "note")
    longest = [found.results()["longest"] for found in (known, unknown)]
    assert isinstance(longest[0], float)
    assert isinstance(longest[1], float)
    assert longest[0] < longest[1]
    assert known.outcome is not None
    assert "less the 30 cfm that leak out" in known.outcome.working[1].how.text(Display())


def test_without_a_timed_blow():
    found = ask()
    assert found.results()["fits"] == "no blow was timed"
    assert "should blow for somewhere from" in words(found)
    assert found.outcome is not None
    assert found.outcome.series[0].marked == ()


def test_more_off_than_was_there_is_refused():
    assert "reduction" in answer(exhaust_time, {"reduction": "91"}).errors


@given(
    setting=st.floats(40, 130),
    share=st.floats(0, 1),
    cars=st.integers(1, 250),
    heard=st.none() | st.floats(0, 1200),
    flow=st.none() | st.floats(0, 200),
)
def test_every_input_in_range_has_an_answer(setting, share, cars, heard, flow):
    found = exhaust_time.outcome(
        brake_pipe_setting=setting,
        reduction=share * setting,
        cars=float(cars),
        heard=heard,
        air_flow=flow,
    )
    assert isinstance(found, ExhaustTime)
    assert 0 <= found.shortest <= found.longest
