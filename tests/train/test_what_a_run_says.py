"""What a run must say of a train that did not do as asked, and moves that must not set off an emergency."""

from __future__ import annotations

from typing import Any

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.results import Display, Outcome
from calculators.equipment.train import Car, Command, Leak, Remote, Run, Train, equal_cars, run
from calculators.questions.train_run.declaration import train_run

SET_TEN = Command(at_seconds=5.0, action="service", reduction=10.0)


def told(**entries: str) -> Outcome:
    """The whole answer of `train-run`."""
    outcome = finished(answer(train_run, entries)).outcome
    assert outcome is not None
    return outcome


def text(outcome: Outcome) -> str:
    """Headline and warnings as they are read."""
    warnings = [note.text for note in outcome.notes if note.kind == "warning"]
    return " ".join(phrase.text(Display()) for phrase in (outcome.headline, *warnings))


def result(outcome: Outcome | None, name: str) -> Any:
    """A result by its published name."""
    return getattr(outcome, name)


def emergencies(followed: Run) -> int:
    return sum(one.kind == "emergency" for one in followed.movements)


@pytest.mark.parametrize("main_reservoir", [60.0, 85.0, 89.0])
def test_a_low_main_reservoir_takes_nothing_back_from_the_equalizing_reservoir(
    main_reservoir: float,
) -> None:
    followed = run(
        Train(cars=equal_cars(20), main_reservoir=main_reservoir), (SET_TEN,), seconds=30
    )

    before = [sample for sample in followed.samples if sample.seconds < SET_TEN.at_seconds]
    assert {round(sample.equalizing_reservoir, 6) for sample in before} == {90.0}
    assert emergencies(followed) == 0
    assert followed.first_car_starts is not None
    assert followed.first_car_starts > SET_TEN.at_seconds


@pytest.mark.parametrize("over", [1.0, 5.0, 15.0])
@pytest.mark.parametrize("cars", [1, 20, 60])
def test_an_overcharge_let_down_by_the_regulating_valve_is_no_emergency(
    over: float, cars: int
) -> None:
    """It may set the brakes as any slow fall does; it falls no faster than a service application."""
    train = Train(cars=equal_cars(cars), starting_pressure=90.0 + over)
    followed = run(train, (), seconds=60.0)

    reservoir = [sample.equalizing_reservoir for sample in followed.samples]
    assert reservoir[0] == pytest.approx(90.0 + over)
    assert reservoir[-1] == pytest.approx(90.0, abs=0.05)
    assert reservoir == sorted(reservoir, reverse=True)
    assert emergencies(followed) == 0


def test_opening_a_cock_that_is_open_does_nothing() -> None:
    train = Train(cars=equal_cars(20))
    opened = Command(at_seconds=1.0, action="open-angle-cock", behind_car=10)

    with_it = run(train, (opened, SET_TEN), seconds=20.0)
    without = run(train, (SET_TEN,), seconds=20.0)

    assert with_it.first_car_starts == pytest.approx(without.first_car_starts, abs=0.05)
    assert with_it.samples[-1].rear == pytest.approx(without.samples[-1].rear, abs=0.05)


def test_a_cock_closed_further_is_never_opened_on_the_way() -> None:
    """Nearly closed, then told to close to more than that: it stays nearly closed."""
    train = Train(cars=equal_cars(20), starting_pressure=70.0)
    nearly = Command(at_seconds=0.0, action="close-angle-cock", behind_car=10, opening=0.02)
    less = Command(at_seconds=5.0, action="close-angle-cock", behind_car=10, opening=0.5)

    rears = [
        run(train, moves, seconds=40.0).samples[-1].rear
        for moves in ((nearly,), (nearly, less), (less,))
    ]

    # A move has the pipe looked at in short steps for a while, which is worth some hundredths.
    assert rears[1] == pytest.approx(rears[0], abs=0.1)
    assert rears[2] > rears[0] + 1.0


def test_headline_and_result_name_the_cars_that_stay_applied() -> None:
    """Long before the last car can let go, the run is over: nobody may read "released"."""
    outcome = told(
        cars="118", brake_pipe_setting="80", moves="0 s service 15; 5 s release", seconds="60"
    )
    still = result(outcome, "cars_still_applied")

    assert still.endswith("118")
    assert f"still applied cars {still}" in text(outcome)
    assert f"Still applied at the end of this run: cars {still}" in text(outcome)


def test_a_release_is_followed_until_every_car_has_let_go() -> None:
    outcome = told(cars="118", brake_pipe_setting="80", moves="0 s service 15; 5 s release")

    assert result(outcome, "cars_still_applied") == "none"
    assert "the latest lets go" in text(outcome)


def test_an_emergency_that_stops_on_the_way_is_said() -> None:
    outcome = told(
        cars="60",
        command="emergency",
        rear_device="none",
        cut_out_cars="21,22,23,24,25,26,27,28",
    )

    assert result(outcome, "cars_not_in_emergency") == "29 to 60"
    assert "cars 29 to 60 did not go to emergency" in text(outcome)


def test_an_emergency_that_goes_through_leaves_no_car_out() -> None:
    followed = run(
        Train(cars=equal_cars(30)), (Command(at_seconds=0.0, action="emergency"),), seconds=20.0
    )
    cut_out = run(
        Train(cars=(*equal_cars(5), Car(cut_out=True), *equal_cars(5))),
        (Command(at_seconds=0.0, action="emergency"),),
        seconds=20.0,
    )

    assert followed.cars_not_in_emergency == ()
    # A car that is cut out has no brake to go to emergency.
    assert cut_out.cars_not_in_emergency == ()


@pytest.mark.parametrize(("temperature", "expected"), [("68", 5.8), ("120", 5.5)])
def test_the_bound_of_an_emergency_is_adiabatic_sound_rounded_down(
    temperature: str, expected: float
) -> None:
    """By hand: √(1.4 · 287.05 · T) is 1,126 ft/s at 68 °F and 1,180 ft/s at 120 °F (ISO 2533).

    From the head of two 70 ft locomotives to the middle of the last of 118 cars of 55 ft it is
    6,602.5 ft.
    """
    outcome = answer(
        train_run,
        {"command": "emergency", "rear_device": "none", "temperature": temperature},
    ).outcome

    assert result(outcome, "soonest") == expected


@pytest.mark.parametrize("leakage", [0.0, 40.0])
def test_with_the_link_lost_a_remote_that_feeds_on_keeps_the_cars_behind_it_released(
    leakage: float,
) -> None:
    """A service application stops at it; an emergency runs through the pipe all the same."""
    leaks = (Leak(flow=leakage),)
    train = Train(
        cars=equal_cars(60), remote=Remote(after_car=30, link="lost-feeds-on"), leaks=leaks
    )

    service = run(train, (SET_TEN,), seconds=60.0)
    emergency = run(train, (Command(at_seconds=0.0, action="emergency"),), seconds=20.0)

    assert set(range(31, 61)) <= set(service.cars_not_applied)
    assert emergency.cars_not_in_emergency == ()


def test_with_the_link_lost_a_remote_that_cuts_out_lets_the_application_by() -> None:
    train = Train(cars=equal_cars(60), remote=Remote(after_car=30, link="lost-cuts-out"))

    assert run(train, (SET_TEN,), seconds=120.0).cars_not_applied == ()
    # At rest, and while the pipe is fed for its leaks alone, it stays cut in.
    leaking = Train(
        cars=equal_cars(60),
        remote=Remote(after_car=30, link="lost-cuts-out"),
        leaks=(Leak(flow=40.0),),
    )
    rested = run(leaking, (), seconds=120.0)
    assert rested.samples[-1].rear == pytest.approx(rested.samples[0].rear, abs=0.2)


def test_a_charge_says_when_every_car_is_charged() -> None:
    outcome = told(cars="10", command="charge")
    after = result(outcome, "charged_after")
    short = told(cars="10", command="charge", seconds=str(int(after / 2)))

    assert after is not None
    assert "10 cars charged after" in text(outcome)
    assert result(short, "charged_after") is None
    assert "not charged after" in text(short)
