"""The blow at the head: its band, a train that fits it, and what a short blow means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
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


def told(**texts: str) -> ExhaustTime:
    found = finished(answer(exhaust_time, texts)).outcome
    assert isinstance(found, ExhaustTime)
    return found


@pytest.mark.parametrize("cars", ["200", "250"])
def test_a_light_set_on_a_long_train_is_no_closed_cock(cars):
    """The model's blow is inside the band, though the sum alone asked for more."""
    first = answer(exhaust_time, {"reduction": "6", "cars": cars}).outcome
    assert isinstance(first, ExhaustTime)
    found = told(reduction="6", cars=cars, heard="15")
    assert found.time is not None
    assert found.time < first.shortest
    assert found.shortest <= found.time <= found.longest
    assert found.fits.endswith(f"to {cars} of {cars} cars")
    assert not any("closed angle cock" in note.text.text(Display()) for note in found.notes)


def test_a_blow_too_long_for_all_and_right_for_a_part_says_so():
    found = told(heard="12", air_flow="60")
    assert "a part of them blows longer than all" in found.headline.text(Display())
    assert found.fits == "the first 18 to 114 of 118 cars"


@pytest.mark.parametrize(
    ("cars", "reduction", "flow"), [(1, 6, 0), (26, 26, 0), (60, 10, 20), (118, 20, 0)]
)
def test_the_models_blow_stands_in_the_band(cars, reduction, flow):
    found = told(cars=str(cars), reduction=str(reduction), air_flow=str(flow))
    assert found.time is not None
    assert found.shortest <= found.time <= found.longest


@pytest.mark.parametrize(
    ("texts", "words"), [({"reduction": "0"}, "no blow"), ({"car_length": "35"}, "adds nothing")]
)
def test_what_the_train_model_is_not_asked(texts, words):
    found = answer(exhaust_time, texts).outcome
    assert isinstance(found, ExhaustTime)
    assert found.to_follow is None
    assert words in " ".join(note.text.text(Display()) for note in found.notes)


def test_a_train_of_one_car_is_not_counted():
    found = ask(cars="1", brake_pipe_setting="40", reduction="0", heard="0")
    assert "the one car" in found.results().values()
