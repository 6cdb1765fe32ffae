"""What a rise releases: direct on the car's own auxiliary, graduated along the multiplier."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.results import Display
from calculators.questions.release.declaration import Release, release


def ask(**texts: str) -> Answer:
    found = answer(release, texts)
    assert found.errors == {}
    return found


def notes(found: Answer, kind: str) -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


@pytest.mark.parametrize(
    ("rise", "left"),
    # 12 off 90 is 23.8 psi by volumes (H11); margins 1.5 and 3 are from memory.
    [("0", 23.8), ("1.4", 23.8), ("1.5", None), ("2.9", None), ("3", 0.0), ("12", 0.0)],
)
def test_direct_release_is_all_or_nothing(rise, left):
    found = ask(rise=rise).results()["brake_cylinder"]
    assert found == (pytest.approx(left, abs=0.06) if left is not None else None)


def test_between_the_margins_nothing_is_assured():
    assert headline(ask(rise="2")) == (
        "A rise of 2.0 psi may release all 24 psi, or hold it: count on neither."
    )


@pytest.mark.parametrize(
    ("reduction", "said"),
    [("26", ""), ("26.3", ""), ("26.6", "Taken 1 psi"), ("27.2", "Taken 1 psi")],
)
def test_past_full_service_by_what_a_gauge_shows(reduction: str, said: str):
    """Full service from 90 psi is 26 psi here; less than half a psi past it is read as none."""
    told_so = notes(ask(reduction=reduction), "note")
    assert ("past full service" in told_so) == bool(said)
    assert said in told_so


def test_past_full_service_the_pipe_must_first_come_back():
    # H1/H2: full service off 90 comes at 26; 32 off leaves the pipe 6 under the auxiliary.
    found = ask(reduction="32", rise="7")
    assert found.results()["brake_cylinder"] == pytest.approx(64, abs=0.01)
    assert found.results()["rise_begins"] == pytest.approx(7.5, abs=0.01)
    assert found.results()["rise_empties"] == pytest.approx(9, abs=0.01)
    assert "Taken 6 psi past full service" in notes(found, "note")


@pytest.mark.parametrize(
    ("rise", "left"),
    # By hand: 2.5 x (12 - rise), the control valve's rule [P].
    [("0", 30.0), ("4", 20.0), ("11", 2.5), ("12", 0.0)],
)
def test_graduated_release_follows_back_up(rise, left):
    found = ask(rise=rise, release_type="graduated")
    assert found.results()["brake_cylinder"] == pytest.approx(left)
    assert "Freight cars run direct" in notes(found, "warning")


def test_graduated_release_under_its_cap_begins_late():
    # By hand: 26 off asks for 65, capped at 60; it leaves the cap at 24 off, after a rise of 2.
    found = ask(reduction="26", rise="1", release_type="graduated")
    assert found.results()["brake_cylinder"] == 60
    assert found.results()["rise_begins"] == pytest.approx(2)
    assert headline(found).startswith("A rise of 1.0 psi releases nothing yet")


def test_multiplier_with_two_digits_is_shown_with_them():
    found = ask(release_type="graduated", multiplier="2.25")
    assert found.outcome is not None
    assert found.outcome.working[0].how.text(Display()).startswith("2.25 ×")


@pytest.mark.parametrize(("reduction", "warned"), [("9", True), ("10", False)])
def test_light_set_is_warned_of(reduction, warned):
    # ARRC-96, rule 64-3: at least 10 off before a release.
    text = notes(ask(reduction=reduction, rise="4"), "warning")
    assert ("one railroad asks for at least 10 psi" in text) == warned


def test_nothing_set_nothing_released():
    found = ask(reduction="2", rise="1")
    assert headline(found) == "Nothing was in the cylinder: there is nothing to release."
    assert ask(reduction="0", rise="0").results()["brake_cylinder"] == 0


def test_a_set_lighter_than_the_margin_may_stay():
    found = ask(reduction="2.8", rise="2.8")
    assert found.results()["brake_cylinder"] is None
    assert "this car may stay set" in notes(found, "warning")


@pytest.mark.parametrize(
    ("texts", "field", "words"),
    [
        ({"reduction": "95"}, "reduction", "this car was charged to 90 psi"),
        ({"reduction": "10", "rise": "11"}, "rise", "only 10 psi came off"),
        (
            {"release_margin_low": "4", "release_margin_high": "3"},
            "release_margin_high",
            "must not be less than the 4 psi",
        ),
    ],
)
def test_refusals(texts, field, words):
    found = answer(release, texts)
    assert words in found.errors[field]


def test_rear_car_counts_from_its_own_charge():
    found = ask(charged="75", reduction="10", rise="4")
    assert found.results()["brake_pipe"] == 69


def test_curve_holds_both_types_and_jumps_once():
    found = ask()
    assert found.outcome is not None
    (curve,) = found.outcome.series
    down, up, graduated = (dict(line.points) for line in curve.lines)
    assert down[78.0] == up[78.0]
    assert up[81.0] == 0 < up[79.5]
    assert graduated[78.0] == 30
    values = [y for _, y in sorted(up.items())]
    assert values == sorted(values, reverse=True)


@given(
    setting=st.floats(40, 130),
    share=st.floats(0, 1),
    rise_share=st.floats(0, 1),
    kind=st.sampled_from(["direct", "graduated"]),
)
def test_never_more_than_before_and_monotone_in_rise(setting, share, rise_share, kind):
    reduction = share * setting

    def left(rise: float) -> Release:
        found = release.outcome(
            brake_pipe_setting=setting, reduction=reduction, rise=rise, release_type=kind
        )
        assert isinstance(found, Release)
        return found

    some, more = left(rise_share * reduction), left(reduction)
    for found in (some, more):
        if found.brake_cylinder is not None:
            assert 0 <= found.brake_cylinder <= found.brake_cylinder_before
    if some.brake_cylinder is not None and more.brake_cylinder is not None:
        assert more.brake_cylinder <= some.brake_cylinder
    assert some.rise_begins <= some.rise_empties + 1e-9


def told(**texts: str) -> Release:
    found = finished(answer(release, texts)).outcome
    assert isinstance(found, Release)
    return found


def test_the_train_model_says_when_the_rear_has_risen():
    short, long = told(cars="20"), told(cars="80")
    assert short.rear_rise_time is not None
    assert long.rear_rise_time is not None
    assert short.last_car_releases is not None
    assert long.last_car_releases is not None
    # The release runs along the pipe, no faster than sound: 60 more cars of 55 ft at 1,126 ft/s.
    assert long.last_car_releases - short.last_car_releases > 60 * 55 / 1126
    assert long.rear_rise_time > short.rear_rise_time


def test_a_rise_that_never_comes_is_said():
    found = told(cars="60", reduction="26", rise="26")
    assert found.rear_rise_time is None
    assert "had not risen" in " ".join(note.text.text(Display()) for note in found.notes)


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ({"release_type": "graduated"}, "direct release only"),
        ({"charged": "80"}, "charged to the setting"),
        ({"reduction": "0.5", "rise": "0.2"}, "sets of 1 psi or more"),
        ({"brake_pipe_setting": "120"}, "adds nothing"),
        ({"piston_travel": "3"}, "piston travels"),
    ],
)
def test_what_the_train_model_is_not_asked(texts, words):
    found = answer(release, texts).outcome
    assert isinstance(found, Release)
    assert found.to_follow is None
    assert words in " ".join(note.text.text(Display()) for note in found.notes)
