"""Gradient, floors by test, and what the rear car can give (H135, H138, R3, R4, R28-R34, R88)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.law.rules import least_rear
from calculators.questions.rear_pressure.declaration import TESTS, rear_pressure


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
    # JF-7 at 80 psi: 70 is within 15 and still under the floor.
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


def test_low_rear_promises_no_emergency():
    found = ask(rear="44")
    assert found.results()["emergency_at_rear"] is None
    assert "not assured" in notes(found)
    assert ask(rear="45").results()["emergency_at_rear"] is not None


def test_what_looks_wrong_is_said():
    assert "overcharged" in notes(ask(rear="95"))
    assert "cannot come to 75 psi" in notes(ask(brake_pipe_setting="70", rear="69"))
    assert "from the head gauge the gradient would be 3 psi" in notes(ask(head="85"))
    assert notes(ask(head="88")) == ""
    assert "still fill" in notes(ask(), kind="note")


@pytest.mark.parametrize(("setting", "summit"), [("90", 65), ("100", 75), ("110", 85), ("80", 60)])
def test_summit_figures_of_one_railroad(setting, summit):
    """H96 (ARRC-96 64-13): 65/75/85 for 90/100/110, and not under 60."""
    found = notes(ask(brake_pipe_setting=setting, rear="70"), kind="note")
    assert f"asks for {summit} psi or more" in found


def test_the_deciding_limit_is_marked():
    def deciding(setting: str) -> list[str]:
        found = ask(brake_pipe_setting=setting, rear="70")
        assert found.outcome is not None
        return [step.label for step in found.outcome.working if step.decides]

    assert deciding("80") == ["Floor"]
    assert deciding("110") == ["Within the gradient"]


def test_rear_off_the_picture_is_not_marked():
    assert rear_pressure.function(rear=40.0).series[0].marked == ()
    assert len(rear_pressure.function(rear=75.0).series[0].marked) == 1


@settings(deadline=None)
@given(
    test=st.sampled_from([option.value for option in TESTS.options]),
    operating=st.floats(40, 130),
)
def test_least_rear_is_never_under_its_floor(test, operating):
    least, _ = least_rear(test=test, operating=operating)
    assert least >= (75 if test in ("class-1", "class-1a", "class-2") else 60)


@settings(deadline=None)
@given(rear=st.floats(0, 129), more=st.floats(0, 1))
def test_more_at_the_rear_never_gives_less(rear, more):
    low = rear_pressure.function(rear=rear)
    high = rear_pressure.function(rear=rear + more)
    assert high.full_service_at_rear >= low.full_service_at_rear  # type: ignore[attr-defined]
