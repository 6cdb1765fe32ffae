"""Past full service nothing is gained: H1, H3, H137, and what it costs by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.over_reduction.declaration import OverReduction, over_reduction


def ask(**texts: str) -> Answer:
    found = answer(over_reduction, texts)
    assert found.errors == {}
    return found


def words(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def test_six_past_full_service():
    # H2/H9: full service off 90 after 26. By hand: 118 cars of 55 ft of 1.278-in pipe hold
    # 118 x 846.6 / 1,728 = 57.81 cu ft; x 6 / 14.7 = 23.6 cu ft; at 60 cfm 0.39 min.
    found = ask().results()
    assert found["over_reduction"] == pytest.approx(6, abs=0.01)
    assert found["rise_before_release"] == found["over_reduction"]
    assert found["air_wasted"] == pytest.approx(23.6, abs=0.05)
    assert found["time_to_replace"] == pytest.approx(0.39, abs=0.005)


@pytest.mark.parametrize("reduction", ["21", "30", "70"])
def test_the_cylinder_stays_where_it_was(reduction):
    # H137 (ARMY-203, ARRC-96 G-11): a fall past equalization adds nothing. 49.2 from 70 is H9's.
    found = ask(brake_pipe_setting="70", reduction=reduction)
    assert found.results()["brake_cylinder"] == pytest.approx(49.2, abs=0.06)


def test_what_equalizes_from_70_does_not_from_110():
    # H3 (RLE): 20 psi is a full service from 70 and far from one from 110.
    assert ask(brake_pipe_setting="110", reduction="20").results()["over_reduction"] == 0
    short = words(ask(brake_pipe_setting="110", reduction="20"))
    assert short == "20 psi off 110 psi is 11 psi short of full service: nothing is wasted."


def test_headline_past_full_service():
    assert words(ask()).startswith("32 psi off 90 psi is 6 psi past full service")


def test_notes_speak_of_the_release_only_when_it_is_late():
    late, early = ask(), ask(reduction="10")
    assert late.outcome is not None
    assert early.outcome is not None
    assert len(late.outcome.notes) == len(early.outcome.notes) + 1


def test_mark_stays_on_the_curve():
    for reduction, marks in (("32", 1), ("80", 0)):
        outcome = ask(reduction=reduction).outcome
        assert outcome is not None
        assert len(outcome.series[0].marked) == marks


def test_more_off_than_was_there_is_refused():
    found = answer(over_reduction, {"reduction": "80", "charged": "75"})
    assert "the train was charged to 75 psi" in found.errors["reduction"]


@given(setting=st.floats(40, 130), share=st.floats(0, 1), cars=st.integers(1, 250))
def test_cost_begins_exactly_where_the_gain_ends(setting, share, cars):
    found = over_reduction.outcome(
        brake_pipe_setting=setting, reduction=share * setting, cars=float(cars)
    )
    assert isinstance(found, OverReduction)
    full = setting - found.full_service_reduction
    assert found.brake_cylinder <= full + 1e-9
    if found.over_reduction > 0:
        assert found.brake_cylinder == pytest.approx(full)
    assert (found.air_wasted > 0) == (found.over_reduction > 0)
