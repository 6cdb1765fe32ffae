"""The car's cylinder through the one answer: which limit decided, and what the words say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.car_brake.declaration import CarBrakeAnswer, car_brake


def ask(**texts: str) -> Answer:
    found = answer(car_brake, texts)
    assert found.errors == {}
    return found


def result(name: str, **texts: str) -> float:
    value = ask(**texts).results()[name]
    assert isinstance(value, float)
    return value


def decided(found: Answer) -> str:
    assert found.outcome is not None
    (step,) = [step for step in found.outcome.working if step.decides]
    return step.label


def notes(found: Answer, kind: str = "note") -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def working(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(f"{s.label}: {s.how.text(Display())}" for s in found.outcome.working)


@pytest.mark.parametrize(
    ("texts", "cylinder", "step"),
    [
        # H11: 12 off 90 gives 23.8 by volumes.
        ({"reduction": "12"}, 23.8, "Auxiliary's air in the cylinder"),
        ({"reduction": "6"}, 10.0, "Quick service"),
        ({"reduction": "2"}, 0.0, "Valve"),
        # H2 and H9: 64 at 26 off and no more at 40.
        ({"reduction": "40"}, 64.0, "Full service, auxiliary and cylinder meet"),
        ({"application": "emergency"}, 77.2, "Emergency, both reservoirs and cylinder meet"),
    ],
)
def test_each_limit_can_decide(texts, cylinder, step):
    found = ask(**texts)

    assert found.results()["brake_cylinder"] == pytest.approx(cylinder, abs=0.06)
    assert decided(found) == step


def test_rule_of_thumb_stands_beside():
    # H4: 25 by the rule for 10 off, 18.1 by volumes; the note says that they part.
    found = ask(reduction="10")
    assert found.results()["rule_of_thumb"] == 25
    assert "The rule says 25 psi, this answer 18 psi" in notes(found)
    # At full service they meet within a psi and nothing is said.
    near = ask(reduction="26")
    assert "The rule says" not in notes(near)
    assert near.results()["rule_of_thumb"] == pytest.approx(64.3, abs=0.05)


def test_rule_of_thumb_in_emergency_is_a_fifth_more():
    # H7 (ARMY-203, ARRC-96 67-10): about 20 percent over full service.
    assert result("rule_of_thumb", application="emergency") == pytest.approx(1.2 * 90 / 1.4)


def test_emergency_ignores_the_reduction_and_says_why():
    # H9: emergency after a service gives the end of emergency from release.
    first, later = (ask(application="emergency", reduction=text) for text in ("0", "20"))
    assert first.results()["brake_cylinder"] == later.results()["brake_cylinder"]
    assert "air is only shared out" in notes(later)
    assert "air is only shared out" not in notes(first)


def test_rear_car_counts_from_its_own_charge():
    # H135: full service 52.9, emergency 64.1 at a rear of 75.
    found = ask(charged="75", reduction="22.5")
    assert found.results()["brake_cylinder"] == pytest.approx(52.9, abs=0.06)
    assert found.results()["emergency_pressure"] == pytest.approx(64.1, abs=0.06)
    assert "This car is charged to 75 psi, not to the setting of 90 psi" in notes(found, "warning")


def test_past_full_service_says_so():
    assert "Full service came at 26 psi off. The other 14 psi added nothing" in notes(
        ask(reduction="40")
    )


@pytest.mark.parametrize(
    ("position", "reduction", "kept"),
    # H30 (ARRC-96, p. 67-12).
    [
        ("direct", "20", 0),
        ("high-pressure", "20", 20),
        ("low-pressure", "20", 10),
        ("slow-direct", "20", 0),
        ("high-pressure", "8", 12.4),
    ],
)
def test_retaining_valve(position, reduction, kept):
    found = ask(retaining_valve=position, reduction=reduction)

    assert found.results()["retained"] == pytest.approx(kept, abs=0.06)
    assert ("it secures nothing" in notes(found)) == position.endswith("pressure")
    assert found.outcome is not None
    assert len(found.outcome.series) == (2 if position == "slow-direct" else 1)


def test_retaining_valve_cannot_hold_what_was_not_there():
    assert "less than that was there" in working(
        ask(retaining_valve="high-pressure", reduction="8")
    )


@pytest.mark.parametrize(
    ("texts", "said"),
    # H33 (ARRC-96, p. 67): 35 to 60 percent of the loaded force.
    [
        ({"load_device": "empty", "reduction": "26"}, "as much as 22 psi to 38 psi would give"),
        (
            {"load_device": "empty", "empty_share": "50", "reduction": "26"},
            "50% of the loaded force",
        ),
        ({"load_device": "loaded", "reduction": "26"}, ""),
    ],
)
def test_empty_load_device(texts, said):
    found = ask(**texts)
    assert said in working(found)
    assert ("Empty/load device" in working(found)) == bool(said)
    assert found.results()["brake_cylinder"] == pytest.approx(64, abs=0.01)


@pytest.mark.parametrize(
    ("travel", "within", "effective"),
    # R14: 6 to 9 in; R22: not effective over 10 1/2 in.
    [
        ("7 1/2", "within", "within"),
        ("9", "within", "within"),
        ("9.5", "not within", "within"),
        ("11", "not within", "not within"),
        ("5", "not within", "within"),
    ],
)
def test_piston_travel_is_judged(travel, within, effective):
    found = ask(piston_travel=travel)
    standings = {v.limit.id: v.standing for v in found.verdicts}

    assert standings == {"piston-travel": within, "piston-travel-effective": effective}


def test_long_travel_is_said():
    assert "Longer travel is more room to fill" in notes(ask(piston_travel="9.5"))
    assert "does not count as an effective brake" in notes(ask(piston_travel="11"), "warning")


def test_more_off_than_was_there_is_refused():
    found = answer(car_brake, {"reduction": "95"})
    assert found.errors == {
        "reduction": "Reduction is 95 psi; this car was charged to 90 psi, so no more than that "
        "can come off."
    }


def test_a_curve_shows_this_answer():
    found = ask(reduction="12")
    assert found.outcome is not None
    (curve,) = found.outcome.series
    ((x, y),) = curve.marked
    assert x == 12
    assert dict(curve.lines[0].points)[12.0] == y


@pytest.mark.parametrize("texts", [{"application": "emergency"}, {"reduction": "50"}])
def test_an_answer_off_the_curve_is_not_marked(texts):
    found = ask(**texts)
    assert found.outcome is not None
    assert found.outcome.series[0].marked == ()


@given(
    setting=st.floats(40, 130),
    share=st.floats(0, 1),
    travel=st.floats(3, 12),
    bore=st.floats(8, 10.5),
    application=st.sampled_from(["service", "emergency"]),
    position=st.sampled_from(["direct", "high-pressure", "low-pressure", "slow-direct"]),
)
def test_every_input_in_range_has_an_answer(setting, share, travel, bore, application, position):
    found = car_brake.outcome(
        brake_pipe_setting=setting,
        reduction=share * setting,
        piston_travel=travel,
        cylinder_bore=bore,
        application=application,
        retaining_valve=position,
    )
    assert isinstance(found, CarBrakeAnswer)
    assert 0 <= found.brake_cylinder <= setting
    assert 0 <= found.retained <= found.brake_cylinder
    assert found.emergency_pressure >= found.full_service_pressure - 1e-9
    assert sum(step.decides for step in found.working) == 1


@pytest.mark.parametrize("setting", ["60", "80", "90", "110"])
def test_nothing_is_said_of_the_other_0_psi(setting: str):
    full = result("full_service_reduction", brake_pipe_setting=setting)
    said = notes(ask(brake_pipe_setting=setting, reduction=f"{full + 0.01:.6f}"))
    assert "The other" not in said
    assert "deeper set adds nothing" in said
    assert "The other 2 psi" in notes(ask(brake_pipe_setting=setting, reduction=f"{full + 2:.6f}"))


def test_what_an_empty_car_loses_is_said_before_the_figures():
    found = ask(load_device="empty", reduction="20")
    assert "no harder than 16 psi to 28 psi" in notes(found, "warning")
    found = ask(load_device="empty", reduction="20", empty_share="50")
    assert "no harder than 23 psi to 23 psi" in notes(found, "warning")
    assert "no harder" not in notes(ask(load_device="loaded", reduction="20"), "warning")
