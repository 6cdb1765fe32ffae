"""What is left after sets and short waits: never flattering, said out loud, monotone in waiting."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.repeated_applications.declaration import (
    RepeatedApplications,
    repeated_applications,
)

# The car of the check rows; the calculator itself counts the longest travel a test leaves.
CHECK_CAR = {"rear": "90", "piston_travel": "8"}


def ask(**texts: str) -> Answer:
    found = answer(repeated_applications, texts)
    assert found.errors == {}
    return found


def notes(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def working(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(f"{s.label}: {s.how.text(Display())}" for s in found.outcome.working)


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def test_full_service_on_and_then_released():
    # H2/H9: 26 off 90 gives 64 and leaves 77.2 for an emergency.
    on = ask(reductions="26", waits="0", **CHECK_CAR).results()
    assert on["brake_cylinder"] == pytest.approx(64, abs=0.01)
    assert on["auxiliary"] == pytest.approx(64, abs=0.01)
    assert on["emergency_left"] == pytest.approx(77.2, abs=0.06)
    # By hand (Boyle): 3,500 at 90, 847 of pipe at 64 and 2,500 at 64 meet at 77.3; 64 alone gives
    # a full service of 44.7. The auxiliary may have none of what the emergency reservoir gave:
    # (78.7 x 2,500 + 92.0 x 3,500 + 14.7 x 243) / 6,871.3 - 14.7 = 61.3 for an emergency.
    released = ask(reductions="26", waits="0", last_set="released", **CHECK_CAR).results()
    assert released["brake_cylinder"] == 0
    assert released["emergency_reservoir"] == pytest.approx(77.3, abs=0.06)
    assert released["full_service_left"] == pytest.approx(44.7, abs=0.06)
    assert released["emergency_left"] == pytest.approx(61.3, abs=0.06)


def test_past_full_service_counts_for_what_it_moved():
    # H2/H9: 26 of the 40 psi count.
    assert ask(reductions="40", waits="0", **CHECK_CAR).results()["last_set_worth"] == (
        pytest.approx(26, abs=0.01)
    )


def test_unknown_rear_is_taken_fifteen_under():
    # R3: within 15 psi is all that a brake test asks for.
    found = ask(reductions="0", waits="0")
    assert found.results()["auxiliary"] == 75
    assert "15 psi that a brake test allows" in working(found)
    assert "The rear gauge was not given" in notes(found, "note")
    given_rear = ask(reductions="0", waits="0", rear="88")
    assert given_rear.results()["auxiliary"] == 88
    assert "Your reading at the rear" in working(given_rear)
    # A rear gauge that reads over the setting is not believed above it.
    assert ask(reductions="0", waits="0", rear="93").results()["auxiliary"] == 90


def test_second_set_counts_from_the_auxiliary():
    # H136 in kind: a set after a short wait is worth much less than it reads, and that is said.
    found = ask(reductions="10, 14", waits="2", **CHECK_CAR)
    assert found.results()["last_set_worth"] == pytest.approx(4, abs=0.9)
    assert "The last set reads 14 psi off and is worth" in notes(found)


def test_a_set_no_deeper_than_the_last_is_worth_nothing():
    found = ask(reductions="12, 12", waits="0", **CHECK_CAR)
    assert found.results()["brake_cylinder"] == 0
    assert found.results()["last_set_worth"] == 0
    assert "worth nothing" in working(found)
    # ARRC-96, rule 64-2: a reapplication goes 5 below the earlier one.
    assert "a set after a release go 5 psi below" in notes(found)


def test_too_light_a_further_set_is_said():
    assert "too little to put anything in the cylinder" in working(
        ask(reductions="10, 12", waits="0", **CHECK_CAR)
    )


def test_all_off_leaves_no_emergency_to_count_on():
    found = ask(reductions="90", waits="0", **CHECK_CAR)
    assert found.results()["emergency_left"] is None
    assert headline(found).endswith("emergency is NOT assured.")
    assert "All the air was taken off" in notes(found)
    assert "Emergency not assured" in notes(found)
    # H2/H9: the service that stands in the cylinders is the full 64, and it leaks.
    assert found.results()["brake_cylinder"] == pytest.approx(64, abs=0.01)


def test_a_penalty_let_go_at_once_leaves_no_emergency():
    # The auxiliaries still hold air, the pipe does not.
    found = ask(reductions="90", waits="0", last_set="released", **CHECK_CAR)
    assert found.results()["emergency_left"] is None
    assert found.results()["brake_pipe"] == 0


def test_emergency_needs_its_pipe():
    texts = {"reductions": "40", "waits": "0", **CHECK_CAR}
    assert ask(**texts).results()["emergency_left"] is not None
    assert ask(emergency_needs="51", **texts).results()["emergency_left"] is None


def test_a_low_charge_is_never_an_assured_emergency():
    found = ask(rear="44", reductions="0", waits="0")
    assert found.results()["emergency_left"] is None


def test_deep_plan_is_warned_of():
    # ARRC-96, rule 64: 15 psi in all, 18 in mountain territory, before the plan is changed.
    assert "no more than 15 psi off (18 psi in mountain territory)" in notes(
        ask(reductions="16", waits="0")
    )
    assert "mountain territory" not in notes(ask(reductions="15", waits="0"))


def test_nothing_gone_nothing_said():
    assert "What is gone" not in notes(ask(reductions="0", waits="0"))
    assert "What is gone" in notes(ask())


@pytest.mark.parametrize(
    ("texts", "refused"),
    [
        ({"reductions": "10, 12", "waits": "2"}, False),
        ({"reductions": "10, 12", "waits": "2, 3"}, False),
        ({"reductions": "10, 12", "waits": "2", "last_set": "released"}, True),
        ({"reductions": "10, 12", "waits": "2, 3", "last_set": "released"}, False),
        ({"reductions": "10, 12", "waits": "2, 3, 4"}, True),
        ({"reductions": "10, 12, 14", "waits": "2"}, True),
    ],
)
def test_sets_and_waits_must_go_together(texts, refused):
    found = answer(repeated_applications, texts)
    assert ("waits" in found.errors) == refused


def test_a_wait_after_a_set_that_is_on_does_not_count():
    one, other = (ask(reductions="10, 14", waits=text) for text in ("2", "2, 30"))
    assert one.results() == other.results()


def test_curve_follows_the_train():
    found = ask(reductions="10, 16", waits="5, 8", last_set="released", **CHECK_CAR)
    assert found.outcome is not None
    (curve,) = found.outcome.series
    for line in curve.lines:
        minutes = [x for x, _ in line.points]
        assert minutes == sorted(minutes)
        assert minutes[-1] == 13
    assert curve.lines[0].points[0] == (0.0, 90.0)


@given(
    setting=st.floats(50, 110),
    reductions=st.lists(st.floats(0, 40), min_size=1, max_size=5),
    data=st.data(),
    cars=st.integers(1, 250),
    last_set=st.sampled_from(["on", "released"]),
)
def test_waiting_less_never_gives_more(setting, reductions, data, cars, last_set):
    number = len(reductions)
    waits = data.draw(st.lists(st.floats(0, 60), min_size=number, max_size=number))
    shares = data.draw(st.lists(st.floats(0, 1), min_size=number, max_size=number))

    def left(minutes: list[float]) -> RepeatedApplications:
        found = repeated_applications.outcome(
            brake_pipe_setting=setting,
            cars=float(cars),
            reductions=tuple(reductions),
            waits=tuple(minutes),
            last_set=last_set,
        )
        assert isinstance(found, RepeatedApplications)
        return found

    rich = left(waits)
    poor = left([wait * share for wait, share in zip(waits, shares, strict=True)])
    assert poor.full_service_left <= rich.full_service_left + 1e-7
    assert poor.auxiliary <= rich.auxiliary + 1e-7
    assert poor.brake_cylinder <= rich.brake_cylinder + 1e-7
    if poor.emergency_left is not None:
        assert rich.emergency_left is not None
        assert poor.emergency_left <= rich.emergency_left + 1e-7


@given(cars=st.integers(1, 249), length=st.floats(30, 120), wait=st.floats(0, 60))
def test_a_longer_train_never_has_more(cars, length, wait):
    def left(number: float, feet: float) -> RepeatedApplications:
        found = repeated_applications.outcome(
            cars=number, car_length=feet, reductions=(12.0, 16.0), waits=(wait,)
        )
        assert isinstance(found, RepeatedApplications)
        return found

    assert left(cars + 1.0, length).full_service_left <= (
        left(float(cars), length).full_service_left + 1e-9
    )
