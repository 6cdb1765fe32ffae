"""Gradient, floors by test, and what the rear car can give (H135, H138, R3, R4, R28-R34, R88)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.equipment.train import Leak, Steady, Train, equal_cars, steady
from calculators.law.rules import least_rear
from calculators.questions.rear_pressure import model
from calculators.questions.rear_pressure.declaration import rear_pressure
from calculators.questions.rear_pressure.inputs import TESTS
from calculators.questions.rear_pressure.model import gradient_of_leak
from calculators.rendering.common import link_remarks


def ask(**texts: str) -> Answer:
    found = answer(rear_pressure, texts)
    assert found.errors == {}
    return found


def notes(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def standings(found: Answer) -> dict[str, str]:
    return {verdict.limit.id: verdict.standing for verdict in found.verdicts}


def test_legal_least_at_ninety():
    """H135: with 75 at the rear of a 90 train full service is 52.9 against 64.0.

    Hand work with 2,500 and 3,500 cu in, 628.3 swept and 243 not swept: the air of 75 psi shared.
    """
    found = ask(rear="75").results()
    full = (89.7 * 2500 + 14.7 * 243) / 3371.3 - 14.7
    emergency = (89.7 * 6000 + 14.7 * 243) / 6871.3 - 14.7

    assert full == pytest.approx(52.9, abs=0.05)
    assert found["full_service_at_rear"] == pytest.approx(full, abs=0.02)
    assert found["full_service_at_setting"] == pytest.approx(64.0, abs=0.05)
    assert emergency == pytest.approx(64.1, abs=0.1)
    assert found["emergency_at_rear"] == pytest.approx(emergency, abs=0.02)
    assert found["emergency_at_setting"] == pytest.approx(77.2, abs=0.05)
    assert found["gradient"] == 15


@pytest.mark.parametrize("test", ["class-1", "class-1a", "class-2"])
def test_seventy_five_and_fifteen(test):
    at = {"test": test}
    assert standings(ask(rear="75", **at)) == {
        "rear-gradient": "within",
        "rear-floor-class-1": "within",
    }
    assert standings(ask(rear="74", **at)) == {
        "rear-gradient": "not within",
        "rear-floor-class-1": "not within",
    }
    # A switching move at 80 psi: 70 is within 15 and still under the floor.
    assert standings(ask(brake_pipe_setting="80", rear="70", **at)) == {
        "rear-gradient": "within",
        "rear-floor-class-1": "not within",
    }


@pytest.mark.parametrize(
    ("test", "floor"), [("class-3", "rear-floor-class-3"), ("transfer", "rear-floor-transfer")]
)
def test_sixty_without_a_gradient(test, floor):
    assert standings(ask(rear="60", test=test)) == {floor: "within"}
    assert standings(ask(rear="59", test=test)) == {floor: "not within"}


def test_yard_air_has_both():
    found = ask(brake_pipe_setting="80", rear="64", test="yard-air")
    assert standings(found) == {"yard-air-gradient": "not within", "rear-floor-yard-air": "within"}


def test_head_and_rear_displays_agree_within_three():
    assert standings(ask(rear="82", second_reading="79"))["head-rear-agreement"] == "within"
    assert standings(ask(rear="82", second_reading="86"))["head-rear-agreement"] == "not within"
    assert "head-rear-agreement" not in standings(ask())
    alone = ask(second_reading="82")
    assert "head-rear-agreement" not in standings(alone)
    assert "once the rear pressure itself is given" in notes(alone)


def test_low_rear_promises_no_emergency():
    found = ask(rear="44")
    assert found.results()["emergency_at_rear"] is None
    assert "not assured" in notes(found)
    assert ask(rear="45").results()["emergency_at_rear"] is not None


def test_what_looks_wrong_is_said():
    assert "overcharged" in notes(ask(rear="95"))
    assert "cannot come to 75 psi" in notes(ask(brake_pipe_setting="70", rear="69"))
    assert "From the head gauge the gradient would be 3 psi" in notes(ask(head="85", rear="82"))
    assert "From the head gauge" not in notes(ask(head="85"))
    assert notes(ask(head="88")) == ""
    assert "still fill" in notes(ask(), kind="note")


@pytest.mark.parametrize(
    ("rear", "standing"), [("75", "within"), ("74", "not within"), ("65", "not within")]
)
def test_fifteen_on_the_road(rear, standing):
    """232.103(m)(1). A rear of 65 under 90, which one railroad's book of 1996 asked for, is 25."""
    assert standings(ask(rear=rear, test="road")) == {"en-route-gradient": standing}
    assert "stop at the next available location" in notes(ask(rear=rear), kind="note")


@pytest.mark.parametrize("setting", ["85", "90", "110"])
def test_no_lower_rear_is_offered_as_what_to_ask_for(setting):
    found = ask(brake_pipe_setting=setting, rear="82")
    least = found.results()["least_rear"]
    assert isinstance(least, float | int)
    assert least >= 75
    assert "railroad asks for" not in notes(found, kind="note")


def test_nothing_is_read_by_itself():
    """No reading is ever filled in: an own setting alone judges nothing."""
    found = ask(brake_pipe_setting="80")
    results = found.results()
    assert results["gradient"] is results["full_service_at_rear"] is None
    assert results["emergency_at_rear"] is None
    assert set(standings(found).values()) == {"no reading"}
    assert "Gradient" not in found.outcome.headline.text(Display())  # type: ignore[union-attr]


def test_the_example_readings_say_whose_they_are():
    found = answer(rear_pressure, dict(rear_pressure.example_readings))
    assert found.rests_on_example_readings()
    assert list(link_remarks(found)) == [
        "These readings are those of the example train JF-3, not yours."
    ]
    assert not ask(rear="81").rests_on_example_readings()
    assert not ask().rests_on_example_readings()


def test_a_setting_under_the_one_for_the_road_is_remarked():
    """232.103(o)(1): 90 on the road, 60 in switching."""
    assert "at least 90 psi, in switching to 60 psi" in notes(
        ask(brake_pipe_setting="89"), kind="note"
    )
    assert "at least 90 psi" not in notes(ask(brake_pipe_setting="90"), kind="note")


def test_the_deciding_limit_is_marked():
    def deciding(setting: str) -> list[str]:
        found = ask(brake_pipe_setting=setting, rear="70")
        assert found.outcome is not None
        return [step.label for step in found.outcome.working if step.decides]

    assert deciding("80") == ["Floor"]
    assert deciding("110") == ["Within the gradient"]


def test_rear_off_the_picture_is_not_marked():
    assert rear_pressure.outcome(rear=40.0).series[0].marked == ()
    assert len(rear_pressure.outcome(rear=75.0).series[0].marked) == 1


@settings(deadline=None)
@given(
    test=st.sampled_from([option.value for option in TESTS.options]),
    operating=st.floats(40, 130),
)
def test_least_rear_is_never_under_its_floor(test, operating):
    least, _ = least_rear(test=test, operating=operating)
    floors = {"class-1": 75, "class-1a": 75, "class-2": 75, "road": operating - 15}
    assert least >= floors.get(test, 60)


@settings(deadline=None)
@given(rear=st.floats(0, 129), more=st.floats(0, 1))
def test_more_at_the_rear_never_gives_less(rear, more):
    low = rear_pressure.outcome(rear=rear)
    high = rear_pressure.outcome(rear=rear + more)
    assert high.full_service_at_rear >= low.full_service_at_rear  # type: ignore[attr-defined]


def test_a_leak_is_found_in_a_few_trains(monkeypatch: pytest.MonkeyPatch):
    """A phone settles each: to halve its way there would take twenty."""
    settled: list[Train] = []

    def counted(train: Train) -> Steady:
        settled.append(train)
        return steady(train)

    monkeypatch.setattr(model, "steady", counted)
    assert gradient_of_leak(Train(cars=equal_cars(118)), flow=60.0, at_car=None)
    assert len(settled) <= 4


@pytest.mark.parametrize("at_rear", [False, True])
@pytest.mark.parametrize("cars", [40, 90, 200])
def test_more_flow_has_more_gradient_until_the_pipe_cannot_carry_it(cars: int, at_rear: bool):
    train = Train(cars=equal_cars(cars))
    at_car = cars if at_rear else None
    found = [gradient_of_leak(train, flow=flow, at_car=at_car) for flow in range(10, 160, 20)]
    carried = [one for one in found if one is not None]
    assert found[: len(carried)] == carried == sorted(carried)
    # The largest leak that is tried says what the pipe carries: up to that there is an answer.
    most = steady(replace(train, leaks=(Leak(flow=500.0, at_car=at_car),))).flow
    for share in (0.9, 0.97, 0.995):
        assert gradient_of_leak(train, flow=share * most, at_car=at_car) is not None
    assert gradient_of_leak(train, flow=1.01 * most, at_car=at_car) is None
