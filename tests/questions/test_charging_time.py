"""The least charging time, its words, and the rule beside it (H26, H110, H111)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.results import Display
from calculators.questions.charging_time.declaration import ChargingTime, charging_time


def ask(**texts: str) -> Answer:
    found = answer(charging_time, texts)
    assert found.errors == {}
    return found


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(note.text.text(Display()) for note in found.outcome.notes)


def test_hand_work_without_leakage():
    """One car of 55 ft: 6,000 + 846.6 cu in, 90 psi: 24.26 cu ft; at 1 cfm as many minutes."""
    found = ask(cars="1", delivery="1").results()
    assert found["time_lower_bound"] == pytest.approx(6846.6 / 1728 * 90 / 14.7, rel=1e-4)
    assert found["time"] is None


def test_half_charged_train_takes_half():
    whole, half = ask(cars="50"), ask(cars="50", from_pressure="45")
    assert half.results()["air_needed"] == pytest.approx(
        0.5 * float(str(whole.results()["air_needed"]))
    )


def test_leakage_takes_its_part():
    tight, leaking = ask(), ask(leakage_flow="30")
    assert float(str(leaking.results()["time_lower_bound"])) > float(
        str(tight.results()["time_lower_bound"])
    )
    assert leaking.outcome is not None
    assert any("leakage takes" in step.how.text(Display()) for step in leaking.outcome.working)


def test_leakage_that_takes_everything():
    found = ask(leakage_flow="60", delivery="60")
    assert found.results()["time_lower_bound"] is None
    assert "find the leak first" in notes(found)
    assert found.outcome is not None
    assert found.outcome.headline.text(Display()).startswith("Never")
    assert [line.name for line in found.outcome.series[0].lines] == [
        "Rule of five minutes for ten cars"
    ]


def test_little_air_is_warned_of():
    assert "already over the rule" in notes(ask(delivery="20"))
    assert "already over the rule" not in notes(ask(delivery="60"))


def test_charged_train_needs_nothing():
    found = ask(from_pressure="90").results()
    assert (found["air_needed"], found["time_lower_bound"]) == (0, 0)
    assert found["rule_delivery"] is None


def test_overcharged_train_is_an_error_in_words():
    found = answer(charging_time, {"from_pressure": "95"})
    assert "over the setting, 90 psi" in found.errors["from_pressure"]


@settings(deadline=None)
@given(
    cars=st.integers(1, 250),
    length=st.floats(30, 125),
    start=st.floats(0, 80),
    delivery=st.floats(5, 500),
    leakage=st.floats(0, 100),
)
def test_never_sooner_than_air_over_delivery(cars, length, start, delivery, leakage):
    found = charging_time.outcome(
        cars=float(cars),
        car_length=length,
        from_pressure=start,
        delivery=delivery,
        leakage_flow=leakage,
    )
    assert isinstance(found, ChargingTime)
    if found.time_lower_bound is None:
        assert leakage >= delivery
    else:
        assert found.time_lower_bound * delivery >= found.air_needed * (1 - 1e-9)


def test_the_last_car_s_reservoirs_stay_under_the_pipe_that_feeds_them():
    """By direction of flow: while a train charges from empty nothing of a car is above its own pipe."""
    found = finished(ask(cars="40", leakage_flow="30"))
    assert found.outcome is not None
    lines = {line.name: line.points for one in found.outcome.series for line in one.lines}
    rear, head = lines["Rear gauge"], lines["Head gauge"]
    assert max(h - r for (_, h), (_, r) in zip(head, rear, strict=True)) > 5.0
    for name in ("Last car's auxiliary", "Last car's emergency reservoir"):
        assert [t for t, _ in lines[name]] == [t for t, _ in rear]
        assert lines[name][-1][1] > 0.9 * rear[-1][1]
        for (_, held), (_, feeds) in zip(lines[name], rear, strict=True):
            assert held <= feeds + 0.1
