"""States that a link can hold: overcharge, dynamic brake, a wrong set-up; and why nothing moves."""

from __future__ import annotations

import pytest

from calculators.base.results import Display
from calculators.browser import circuits
from calculators.circuits.asking import carry_on, first_moments, keep_runs, story_of
from calculators.questions.circuit.asked import asked_of
from calculators.questions.circuit.inputs import CircuitInputs
from calculators.rendering.circuit.moments import story_in
from tests.circuits.asked import asked, figures

SHORT = {"circuit": "service-application", "cars": "26"}


def notes(**entries: str) -> str:
    outcome = asked(**entries).outcome
    assert outcome is not None
    return " ".join(note.text.text(Display()) for note in outcome.notes)


def test_an_overcharge_counts_on_locomotive_and_cars() -> None:
    """By hand: charged to 100 at a setting of 90, 10 off is 20 off: 2.5 x 20 = 50 in pipe 16.

    FINDINGS A1.4: a car that stands at 100 gets about 47.
    """
    found = asked(**SHORT, charged_to="100")

    assert found.results()["pipe_16"] == pytest.approx(50.0, abs=0.5)
    assert story_in(found).run.end.highest_cylinder == pytest.approx(47.0, abs=2.0)


def test_an_overcharge_holds_the_locomotive_after_a_release_and_a_bail_off_frees_it() -> None:
    entries = {**SHORT, "charged_to": "100", "from_handle": "service", "from_reduction": "20"}
    said = notes(**entries, handle="release")
    held = figures(**entries, handle="release")
    freed = figures(**entries, handle="release", bail_off="held")

    # 2.5 times the 10 psi that no pipe at 90 can take back.
    assert held["brake_cylinder"] == pytest.approx(25.0, abs=0.5)
    assert "still holds the brake on this locomotive" in said
    assert "never a way to brake" in said
    assert freed["brake_cylinder"] == pytest.approx(0.0, abs=0.2)


def test_the_dynamic_holds_off_the_locomotive_only_and_gives_back_what_stands() -> None:
    on = asked(**SHORT, dynamic_brake="on")
    ended = figures(
        **SHORT,
        from_handle="service",
        from_reduction="10",
        from_dynamic_brake="on",
        dynamic_brake="off",
    )

    assert on.results()["brake_cylinder"] == pytest.approx(0.0, abs=0.2)
    assert story_in(on).run.end.cars_applied == 26
    assert ended["brake_cylinder"] == pytest.approx(25.0, abs=0.5)


def test_a_second_brake_valve_feeds_against_the_lead() -> None:
    """Two sources at one pipe: the set is not what was asked for."""
    story = story_in(asked(**SHORT, wrong="trailing-cut-in"))

    assert story.run.samples[-1].pressure("brake_pipe") > 80.5
    assert story.run.end.cars_applied < 26


def test_a_dead_unit_that_was_not_let_down_brakes_with_its_own_air() -> None:
    """The dead-engine device would give 25; emergency's limit is 70, and the reservoir held 130."""
    drained = figures(circuit="hauled-dead", stage="2", cars="26")
    full = figures(circuit="hauled-dead", stage="2", cars="26", wrong="not-drained")

    assert drained["brake_cylinder"] == pytest.approx(25.0, abs=0.7)
    assert full["brake_cylinder"] > 55.0


@pytest.mark.parametrize(
    ("entries", "why"),
    [
        ({"from_handle": "release", "from_event": "emergency-from-train"}, "has not been reset"),
        ({"from_handle": "release", "from_event": "penalty"}, "has not been recovered"),
        (
            {
                "from_handle": "service",
                "from_reduction": "15",
                "handle": "service",
                "reduction": "8",
            },
            "rises only in release",
        ),
    ],
)
def test_why_nothing_moves_is_said(entries, why) -> None:
    found = asked(**SHORT, **({"handle": "release"} | entries))

    assert story_in(found).events == ()
    assert why in notes(**SHORT, **({"handle": "release"} | entries))


def test_a_pipe_cut_out_is_followed_as_long_as_asked() -> None:
    minute = story_in(asked(circuit="cut-out", cars="26"))
    longer = story_in(asked(circuit="cut-out", cars="26", moment="300"))
    hours = story_in(asked(circuit="cut-out", cars="5", follow_for="150"))

    assert minute.run.samples[-1].seconds == pytest.approx(60.0, abs=0.2)
    assert minute.run.rest_after is None
    assert longer.run.samples[-1].seconds == pytest.approx(300.0, abs=2.1)
    assert longer.run.samples[-1].pressure("brake_pipe") < 65.0
    # Only an empty pipe rests.
    assert hours.run.samples[-1].pressure("brake_pipe") == pytest.approx(0.0, abs=0.1)
    assert hours.run.rest_after is not None
    assert hours.run.rest_after > 1800.0


def test_the_moment_asked_for_is_the_one_on_screen() -> None:
    """FINDINGS A1.7: picture, text and link name one second."""
    found = asked(**SHORT, moment="13")
    story = story_in(found)
    reply = circuits.reply({"calculator": "circuit", "entries": {**SHORT, "moment": "13"}})

    at = story.run.at(13.0).seconds
    assert any(frame.moment.seconds == at for frame in story.frames)
    assert float(reply["frames"][reply["shown"]]["moment"]) == pytest.approx(at, abs=1e-3)
    again = asked(**SHORT, moment=reply["frames"][reply["shown"]]["moment"])
    assert again.results() == found.results()


def test_the_first_moments_come_first_and_the_rest_with_progress() -> None:
    request = {
        "calculator": "circuit",
        "entries": {"circuit": "charging", "cars": "20", "leakage": "1"},
    }
    keep_runs(None)
    begun = circuits.reply({**request, "first": True})
    parts = list(circuits.parts(request))
    keep_runs(None)
    whole = circuits.reply(request)

    assert begun["to_follow"]
    assert begun["go_on"] == {}
    assert "so far" in parts[0]["progress"]["words"]
    assert parts[0]["progress"]["stopped"].startswith("Stopped after ")
    assert "first 20 s stay on show" in parts[0]["progress"]["stopped"]
    assert "the move is not over" in begun["frames"][-1]["status"]
    assert parts[-1] == whole
    assert "to_follow" not in whole
    assert begun["frames"][0] == whole["frames"][0] or begun["frames"][0]["status"]


def test_what_was_cut_short_goes_on_where_it_stopped() -> None:
    question = asked_of(CircuitInputs(cars=10.0))
    keep_runs(None)
    with first_moments(2.0):
        begun = story_of(question)
    list(carry_on())
    whole = story_of(question)
    keep_runs(None)

    assert begun.cut_short
    assert whole.run.samples[: len(begun.run.samples)] == begun.run.samples
    assert whole == story_of(question)
