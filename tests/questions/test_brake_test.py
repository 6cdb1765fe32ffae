"""Which test is due (49 CFR 232.205 to 232.219 as read), and its readings one by one."""

from __future__ import annotations

from math import ceil
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.law.rules import least_operative
from calculators.questions.brake_test.declaration import TEST_DUE, BrakeTest, brake_test
from calculators.questions.brake_test.due import STRICTEST_FIRST, Move, due_tests
from calculators.questions.brake_test.inputs import AddedChoice, EventChoice
from calculators.rendering.forms.readings import readings_html

EVENTS = [option.value for option in get_args(EventChoice)[1].options]
CARS = [option.value for option in get_args(AddedChoice)[1].options]


def ask(**texts: str) -> Answer:
    found = answer(brake_test, texts)
    assert found.errors == {}
    return found


def due(**texts: str) -> object:
    return ask(**texts).results()["test"]


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(note.text.text(Display()) for note in found.outcome.notes)


def labels(found: Answer) -> list[str]:
    assert found.outcome is not None
    return [step.label for step in found.outcome.working]


def standings(found: Answer) -> dict[str, str]:
    return {verdict.limit.id: verdict.standing for verdict in found.verdicts}


class TestOwnHoursOffAir:
    """The rule has 24 hours; a railroad may stay at fewer."""

    def test_the_rule_alone(self):
        assert due(event="removed", hours_off_air="10") == "class-3"
        assert due(event="removed", hours_off_air="24.1") == "class-1"

    def test_the_railroads_fewer_hours_decide(self):
        own = {"own_off_air_hours": "4"}
        assert due(event="removed", hours_off_air="10", **own) == "class-1"
        assert due(event="added", hours_off_air="10", **own) == "class-2"
        assert due(event="removed", hours_off_air="4", **own) == "class-3"

    def test_more_hours_of_its_own_change_nothing(self):
        assert due(event="removed", hours_off_air="30", own_off_air_hours="48") == "class-1"

    def test_both_are_judged(self):
        found = ask(event="unchanged", hours_off_air="6", own_off_air_hours="4")
        hours = [(v.own, v.standing) for v in found.verdicts if v.limit.id == "off-air-hours"]
        assert hours == [(True, "not within"), (False, "within")]


def test_several_tests_are_all_named():
    found = ask(event="added", hours_off_air="25", miles_since_test="900", miles_ahead="200")

    assert found.results()["test"] == "class-1a"
    assert "Class II" in str(found.results()["also"])
    assert "also: Class II" in headline(found)


def test_no_test_named_is_no_leave_to_go():
    found = ask(event="crew")
    assert headline(found) == "The text read names no test for this. Your railroad's rules may."
    assert "Charge" not in labels(found)
    assert "rear-floor-class-1" not in standings(found)


def test_class_1_is_judged_reading_by_reading():
    found = ask(
        rear="74",
        leakage="5",
        wait="30",
        reduction="20",
        piston_travels="5 1/2, 7 1/2, 10 3/4",
        operative="119",
        control_valves="120",
    )
    assert standings(found) == {
        "rear-gradient": "not within",
        "rear-floor-class-1": "not within",
        "brake-pipe-leakage": "within",
        "leakage-test-wait": "not within",
        "application-reduction": "as named",
        "piston-travel": "not within",
        "piston-travel-effective": "not within",
        "operative-brakes-class-1": "not within",
    }


class TestWhatWasGivenIsAlwaysJudged:
    def test_where_no_test_is_due(self):
        found = ask(event="unchanged", operative="84", control_valves="100", leakage="7", rear="60")
        assert found.results()["test"] == "none"
        assert standings(found) == {
            "en-route-gradient": "not within",
            "brake-pipe-leakage": "not within",
            "operative-brakes-moving": "not within",
        }

    @pytest.mark.parametrize("event", EVENTS)
    @pytest.mark.parametrize("train_kind", ["road", "transfer", "extended-haul", "unit"])
    def test_whatever_the_test(self, event, train_kind):
        """Every reading stands beside some limit, whichever test is due."""
        given = {
            "rear": ("61", {"rear-", "en-route-gradient", "yard-air-gradient"}),
            "leakage": ("6", {"brake-pipe-leakage"}),
            "wait": ("20", {"leakage-test-wait"}),
            "air_flow": ("70", {"air-flow"}),
            "reduction": ("12", {"-reduction"}),
            "rear_fall": ("3", {"telemetry-fall"}),
            "rear_rise": ("3", {"telemetry-rise"}),
            "piston_travels": ("11", {"piston-travel"}),
            "hours_off_air": ("3", {"off-air-hours"}),
        }
        texts = {name: text for name, (text, _) in given.items()}
        found = ask(event=event, train_kind=train_kind, operative="8", control_valves="10", **texts)
        judged = {v.limit.id for v in found.verdicts if v.reading is not None}
        for name, (_, limits) in given.items():
            assert any(part in id for part in limits for id in judged), name
        assert {"operative-brakes-class-1", "operative-brakes-moving"} & judged

    def test_half_of_a_pair_is_asked_for(self):
        assert "once the control valves" in notes(ask(operative="84"))


@pytest.mark.parametrize("event", EVENTS)
@pytest.mark.parametrize("setting", ["60", "80", "110"])
def test_nothing_is_judged_that_nobody_typed(event, setting):
    """An own setting alone fills in no reading."""
    found = answer(brake_test, {"event": event}, settings={"brake_pipe_setting": setting})
    assert {v.standing for v in found.verdicts} <= {"no reading", "not applicable"}


def test_piston_travel_is_looked_at_in_class_1():
    def look(**texts: str) -> str:
        outcome = ask(**texts).outcome
        assert outcome is not None
        steps = [step for step in outcome.working if step.label == "Look from both sides"]
        return " ".join(step.how.text(Display()) for step in steps)

    assert "piston travel, brakes applied, 6 in to 9 in, else adjusted to 7.5 in" in look()
    assert "retaining valves" in look()
    class_1a = look(event="unchanged", miles_since_test="1001")
    assert "moving parts at work; rigging secured" in class_1a
    assert "retaining valves" not in class_1a
    assert look(event="removed") == ""


def test_class_1a_looks_at_no_release():
    """232.207(b) has no paragraph for it."""
    assert "Release" not in labels(ask(event="unchanged", miles_since_test="1001"))
    assert "Release" in labels(ask())


def test_nothing_read_is_nothing_judged():
    found = standings(ask())
    assert found.pop("leakage-test-wait") == "not applicable", "only with the leakage method"
    assert set(found.values()) == {"no reading"}
    assert {"brake-pipe-leakage", "air-flow", "piston-travel"} <= set(found)


def test_what_goes_with_another_reading_or_a_device_says_so():
    """232.205(c)(1)(i)(D): the wait is the leakage method's. 232.209(c): telemetry is one way."""
    assert standings(ask(leakage="4"))["leakage-test-wait"] == "no reading"
    assert standings(ask(leakage="4", wait="30"))["leakage-test-wait"] == "not within"
    assert "telemetry-fall" not in standings(ask())
    for event in ("removed", "added"):
        found = standings(ask(event=event, added_cars="other"))
        assert found["telemetry-fall"] == found["telemetry-rise"] == "not applicable"
    beside = readings_html(ask(event="removed"))
    assert "if a device there shows it" in beside["rear_fall"]
    assert "at least" in beside["rear_fall"]
    assert "sets no limit" in beside["leakage"]
    assert beside["control_valves"] == ""


def release_words(found: Answer) -> str:
    assert found.outcome is not None
    step = next(step for step in found.outcome.working if step.label == "Release")
    return step.how.text(Display())


def test_a_roll_by_is_for_class_1_and_2_only():
    """232.205(c)(8) and 232.209(b)(4) name it; 232.211 and 232.215 do not. Only Class I notes it."""
    first = release_words(ask())
    assert "10 mph or less" in first
    assert "notes it on the record" in first
    second = release_words(ask(event="added", added_cars="other"))
    assert "10 mph or less" in second
    assert "told to the operator" in second
    assert "record" not in second
    for other in ({"event": "removed"}, {"train_kind": "transfer"}):
        assert "roll-by" not in release_words(ask(**other))


def test_class_3_has_its_own_floor_and_no_gradient():
    found = standings(
        ask(event="removed", rear="60", reduction="20", operative="85", control_valves="100")
    )
    assert found["rear-floor-class-3"] == "within"
    assert found["class-3-reduction"] == "as named"
    assert found["operative-brakes-moving"] == "within"
    assert "rear-gradient" not in found
    assert "brake-pipe-leakage" not in found


def test_transfer_takes_fifteen_off():
    found = standings(ask(train_kind="transfer", rear="60", reduction="15", miles_ahead="20"))
    assert found["transfer-reduction"] == "as named"
    assert found["rear-floor-transfer"] == "within"
    assert found["transfer-distance"] == "within"
    assert "class-1a-spacing" not in found


def test_class_2_by_telemetry():
    found = ask(event="added", added_cars="other", rear_fall="5", rear_rise="4")
    assert standings(found)["telemetry-fall"] == "within"
    assert standings(found)["telemetry-rise"] == "not within"


def test_telemetry_moves_five_in_any_test():
    """232.209(c): for any test requirement of the part."""
    for texts in ({"event": "removed"}, {"event": "parted"}):
        found = standings(ask(rear_fall="5", rear_rise="4.9", **texts))
        assert (found["telemetry-fall"], found["telemetry-rise"]) == ("within", "not within")


def test_an_opened_pipe_has_no_floor_and_no_reduction():
    """232.211(d)."""
    found = ask(event="parted")
    assert standings(found) == {"telemetry-rise": "not applicable"}
    assert "Charge" not in labels(found)
    assert "Before the train goes on" in labels(found)


def test_the_helpers_own_brake_is_looked_at_besides():
    found = ask(event="helper")
    assert "232.219(b)" in str(found.results()["also"])
    assert "look at the helper's own brake" in headline(found)


def test_distances_of_the_kinds_of_train():
    unit = standings(ask(train_kind="unit", event="unchanged", miles_since_test="900"))
    assert {"class-1a-spacing", "unit-train-distance"} <= set(unit)
    haul = standings(ask(train_kind="extended-haul", event="unchanged", miles_since_test="900"))
    assert "extended-haul-distance" in haul
    assert "class-1a-spacing" not in haul


def test_yard_air():
    found = ask(air="yard", brake_pipe_setting="75", rear="60")

    assert standings(found)["rear-floor-yard-air"] == "within"
    assert standings(found)["yard-air-gradient"] == "within"
    assert standings(found)["yard-air-retest"] == "not within"
    assert "made again from the locomotive" in notes(found)
    assert labels(found)[1] == "Yard air"
    assert labels(found)[-1] == "When the locomotive is coupled"
    assert "made again from the locomotive" not in notes(ask(air="yard", rear="80"))
    assert "For road service" not in notes(found), "the device's setting is not the locomotive's"


def test_a_setting_under_the_one_for_the_road_is_remarked():
    """232.103(o)(1); a note, and no refusal."""
    found = ask(brake_pipe_setting="80")
    assert "at least 90 psi, in switching to 60 psi" in notes(found)
    assert "For road service" not in notes(ask(brake_pipe_setting="90"))


def test_deeper_set_is_said_to_be_easier():
    assert "text names 20 psi" in notes(ask(reduction="26"))
    assert "text names" not in notes(ask(reduction="20"))
    assert "text names 15 psi" in notes(ask(train_kind="transfer", reduction="20"))


def test_both_readings_of_leakage_are_noted():
    found = ask(leakage="4", air_flow="50")
    assert "alternatives" in notes(found)
    assert standings(found)["air-flow"] == "within"


def test_two_air_sources_by_test():
    """Class I has 90 combined; Class II says 60 and points to it: both, and no verdict."""
    two = {"air_sources": "two-or-more", "air_flow": "70"}
    assert standings(ask(**two))["air-flow-two-sources"] == "within"
    found = ask(event="added", added_cars="other", **two)
    assert standings(found)["air-flow-two-sources-own-words"] == (
        "the texts differ: ask your railroad"
    )
    assert "air-flow-two-sources" not in standings(found)
    assert found.outcome is not None
    flow = next(step for step in found.outcome.working if step.label == "or air flow")
    assert "60 cfm by this test's own words, 90 cfm by the section" in flow.how.text(Display())
    assert "one indicator cannot show it" in notes(ask(**two))


def test_cars_added_to_an_extended_haul_train_need_more():
    found = ask(event="added", train_kind="extended-haul")
    assert found.results()["test"] == "class-1-cars"
    assert "(a)(6)" in notes(found)


def test_errors_in_words():
    wrong = answer(brake_test, {"operative": "120", "control_valves": "118"})
    assert "only 118" in wrong.errors["operative"]
    assert "control_valves" in answer(brake_test, {"control_valves": "0"}).errors


@pytest.mark.parametrize(("valves", "least"), [(100, 85), (67, 57), (60, 51), (53, 46), (20, 17)])
def test_least_operative_of_the_collection(valves, least):
    """R19, integer rule (85 n + 99) // 100."""
    assert least_operative(valves) == least == (85 * valves + 99) // 100


@settings(deadline=None)
@given(valves=st.integers(1, 600))
def test_least_operative_never_falls_short(valves):
    least = least_operative(valves)
    assert 100 * least >= 85 * valves
    assert 100 * (least - 1) < 85 * valves
    assert least == ceil(valves * 17 / 20)


@settings(deadline=None)
@given(
    event=st.sampled_from(EVENTS),
    kind=st.sampled_from(["road", "transfer", "extended-haul", "unit"]),
    added=st.sampled_from(CARS),
    hours=st.floats(0, 100),
    miles=st.floats(0, 4000),
    ahead=st.floats(0, 1000),
    own=st.none() | st.floats(0, 48),
)
def test_more_hours_and_miles_never_ask_for_less(event, kind, added, hours, miles, ahead, own):
    def strictest(extra: float) -> int:
        move = Move(
            event=event,
            train_kind=kind,
            added_cars=added,
            hours_off_air=hours + extra,
            miles_since_test=miles + 50 * extra,
            miles_since_class_1=miles + 50 * extra,
            miles_ahead=ahead,
            own_off_air_hours=own,
        )
        found = due_tests(move)
        assert found
        return STRICTEST_FIRST.index(found[0].test)

    assert strictest(10) <= strictest(0)


def test_every_answer_is_one_of_the_options():
    words = {option.value for option in TEST_DUE.options}
    assert words == set(STRICTEST_FIRST)
    outcome = brake_test.outcome()
    assert isinstance(outcome, BrakeTest)
    assert outcome.test in words
