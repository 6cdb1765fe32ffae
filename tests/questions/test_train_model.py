"""What the train model adds to four calculators: after their bound, and never against it.

Two models that agree are no measurement; the limiting cases here are worked by hand.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished, follow
from calculators.base.results import Display, Progress
from calculators.catalog import find_calculator
from calculators.equipment.force.motion import SpreadBuildUp
from calculators.equipment.train import BANDS, Train, equal_cars, steady
from calculators.equipment.train.consist import CAR_LENGTHS, MOST_CARS, SETTINGS, Leak
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.questions.charging_time.inputs import ChargingTimeInputs
from calculators.questions.charging_time.model import expected, run_charging
from calculators.questions.rear_pressure.model import gradient_of_leak
from calculators.questions.repeated_applications.on_train import leakage_for
from calculators.questions.shared.train import TrainInputs
from calculators.questions.shared.train_model import (
    CHARGED_WITHIN,
    band,
    sample_seconds,
    why_not_covered,
)
from calculators.questions.stopping_distance.model import FollowedBuildUp

PLAIN = Display()
STOP = {"braking_ratio": "10", "friction": "0.3", "half_friction_speed": "150"}
# With a short train to keep each run under a second.
SHORT = {
    "charging-time": {"cars": "3", "delivery": "20"},
    "rear-pressure": {"cars": "20", "air_flow": "35", "rear": "88"},
    "repeated-applications": {"cars": "5", "rear": "90"},
    "stopping-distance": {"cars": "10", "weight": "1200", **STOP},
}
# What the train model cannot follow, and the words that say so.
NOT_COVERED = [
    ("charging-time", {"car_length": "35"}, "For this train it adds nothing"),
    ("charging-time", {"brake_pipe_setting": "50"}, "for this train it adds nothing"),
    ("charging-time", {"from_pressure": "90"}, "nothing for the train model to charge"),
    ("charging-time", {"leakage_flow": "60"}, "nothing for the train model to charge"),
    ("charging-time", {"cars": "118", "delivery": "5"}, "this train takes longer than that"),
    ("rear-pressure", {"air_flow": "30", "car_length": "30"}, "for this train it adds nothing"),
    ("repeated-applications", {"brake_pipe_setting": "120"}, "for this train it adds nothing"),
    ("repeated-applications", {"piston_travel": "3"}, "follows piston travels from 4 in to 12 in"),
    ("repeated-applications", {"unswept_volume": "10"}, "needs at least 50 cu in"),
    ("repeated-applications", {"reductions": "95", "waits": "1"}, "no more off than the setting"),
    ("repeated-applications", {"reductions": "10, 10", "waits": "300"}, "these moves take longer"),
    ("stopping-distance", {**STOP, "brake_pipe_setting": "50"}, "for this train it adds nothing"),
]


@pytest.mark.parametrize("wrong", ["none", "cars", "short", "long", "low", "high"])
@pytest.mark.parametrize("cars", [1.0, MOST_CARS])
def test_the_model_follows_up_to_its_ranges_and_no_further(wrong: str, cars: float):
    """Each end of a range belongs to it; a hair beyond one of them nothing is followed."""
    (short, long), (low, high) = CAR_LENGTHS, SETTINGS
    asked = {
        "cars": MOST_CARS + 1.0 if wrong == "cars" else cars,
        "car_length": {"short": short - 0.01, "long": long + 0.01}.get(wrong, short),
        "setting": {"low": low - 0.01, "high": high + 0.01}.get(wrong, high),
    }
    assert (why_not_covered(**asked) is None) == (wrong == "none")
    if wrong == "none":
        assert why_not_covered(cars=cars, car_length=long, setting=low) is None


def ask(name: str, **texts: str) -> Answer:
    found = answer(find_calculator(name), texts)
    assert found.errors == {}
    assert found.outcome is not None
    return found


def whole(name: str, **texts: str) -> Answer:
    return finished(ask(name, **texts))


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(note.text.text(PLAIN) for note in found.outcome.notes)


def figure(found: Answer, name: str) -> float:
    value: Any = found.results()[name]
    assert isinstance(value, float)
    return value


class TestAllFour:
    @pytest.mark.parametrize("name", SHORT)
    def test_the_bound_stands_before_and_after(self, name: str):
        first = ask(name, **SHORT[name])
        assert first.outcome is not None
        assert first.outcome.to_follow is not None
        fills, lowers = first.outcome.to_follow.fills, first.outcome.to_follow.lowers
        *parts, last = follow(first)
        assert isinstance(last, Answer)
        assert last.outcome is not None

        assert parts
        assert all(isinstance(part, Progress) and 0 < part.done <= part.of for part in parts)
        assert last.outcome.to_follow is None
        for result, value in first.results().items():
            if result in fills:
                assert value is None
                assert last.results()[result] is not None
                assert last.outcome.bands[result] > 0
            elif result in lowers:
                assert figure(last, result) <= figure(first, result)
            else:
                assert last.results()[result] == value
        assert last.outcome.working[: len(first.outcome.working)] == first.outcome.working
        assert last.outcome.notes[: len(first.outcome.notes)] == first.outcome.notes
        assert "no measured train was compared" in notes(last)
        assert last.verdicts == first.verdicts

    @pytest.mark.parametrize(("name", "texts", "words"), NOT_COVERED)
    def test_what_the_model_cannot_follow_is_said(self, name, texts, words):
        found = ask(name, **texts)
        assert found.outcome is not None
        assert found.outcome.to_follow is None
        assert words.lower() in notes(found).lower()


class TestCharging:
    def test_a_short_train_waits_for_the_compressor(self):
        """8 cfm into ten cars: all but the choke's last pound comes at the pace of the delivery.

        The locomotive's own reservoirs (220, 300 and 2,500 cu in) and its pipe come on top.
        """
        found = whole("charging-time", cars="10", delivery="8")
        assert figure(found, "time") == pytest.approx(figure(found, "time_lower_bound"), rel=0.15)

    def test_a_single_car_fills_with_its_locomotive(self):
        """1 cfm: 6,850 cu in of the car, 3,020 and 1,000 of pipe of the locomotive, by hand."""
        found = whole("charging-time", cars="1", delivery="1")
        share = (6_850 + 3_020 + 1_000) / 6_850
        bound = figure(found, "time_lower_bound")
        assert figure(found, "time") == pytest.approx(share * bound, rel=0.1)

    def test_plenty_of_air_waits_for_the_chokes(self):
        found = whole("charging-time", cars="3", delivery="1000")
        assert figure(found, "time") > 5 * figure(found, "time_lower_bound")

    @settings(max_examples=15, deadline=None)
    @given(
        cars=st.integers(1, 8),
        length=st.floats(40, 125),
        start=st.floats(0, 80),
        delivery=st.floats(5, 300),
        setting=st.floats(82, 110),
    )
    def test_never_sooner_than_the_air_is_delivered(self, cars, length, start, delivery, setting):
        """When the last car is charged, no more can be missing than the nearness allows.

        Nor can the main reservoir, which stood at the setting and stands above the car, have given
        more than its volume at that nearness.
        """
        found = whole(
            "charging-time",
            cars=str(cars),
            car_length=f"{length:.2f}",
            from_pressure=f"{start:.2f}",
            delivery=f"{delivery:.2f}",
            brake_pipe_setting=f"{setting:.2f}",
        )
        missing = CHARGED_WITHIN / (setting - start)
        given = CHARGED_WITHIN * AIR_SUPPLY.reservoir_volume / 1728.0 / 14.7 / delivery
        least = figure(found, "time_lower_bound") * (1 - missing) - given
        assert figure(found, "time") >= least * 0.999
        assert figure(found, "rear_gauge_time") <= figure(found, "time")

    def test_the_rear_comes_to_the_gradient_of_the_leakage(self):
        found = whole("charging-time", cars="30", delivery="150", leakage_flow="60")
        rear = steady(Train(cars=equal_cars(30), locomotives=1, leaks=(Leak(flow=60.0),))).rear
        assert found.outcome is not None
        assert f"within 1 psi of the {rear:.0f} psi they come to" in " ".join(
            step.how.text(PLAIN) for step in found.outcome.working
        )

    def test_a_leak_that_keeps_the_rear_down(self):
        found = whole(
            "charging-time", cars="60", car_length="125", delivery="300", leakage_flow="90",
            from_pressure="65",
        )  # fmt: skip
        assert found.results()["rear_gauge_time"] is None
        assert "the rear never came within 15 psi" in notes(found)

    def test_longer_than_the_longest_run(self, monkeypatch: pytest.MonkeyPatch):
        monkeypatch.setattr("calculators.questions.shared.train_model.LONGEST_RUN", 60.0)
        found = whole("charging-time", cars="3", delivery="20")
        assert found.results()["time"] is None
        assert found.outcome is not None
        assert "by the train model not within 180 min" in found.outcome.headline.text(PLAIN)

    def test_progress_moves_its_end_along(self):
        asked = ChargingTimeInputs(train=TrainInputs(cars=1.0), delivery=1.0)
        parts = list(run_charging(asked))
        assert parts[-1].of > expected(asked) / 60.0
        assert all(part.done <= part.of for part in parts)


class TestRearPressure:
    def test_a_leak_at_the_end_makes_three_times_the_gradient(self):
        """The square of the flow, along the pipe: one throughout, or (1 - x)² with a mean of 1/3."""
        train = Train(cars=equal_cars(100))
        spread = gradient_of_leak(train, flow=45.0, at_car=None)
        at_rear = gradient_of_leak(train, flow=45.0, at_car=100)
        assert spread is not None
        assert at_rear is not None
        assert at_rear / spread == pytest.approx(3.0, rel=0.15)

    def test_halving_alone_finds_the_same_gradient(self, monkeypatch: pytest.MonkeyPatch):
        train = Train(cars=equal_cars(100))
        quickly = gradient_of_leak(train, flow=60.0, at_car=None)
        monkeypatch.setattr("calculators.questions.rear_pressure.model._QUICK_ROUNDS", 0)
        assert gradient_of_leak(train, flow=60.0, at_car=None) == pytest.approx(quickly, rel=0.01)

    def test_no_flow_no_gradient(self):
        assert gradient_of_leak(Train(cars=equal_cars(5)), flow=0.0, at_car=None) == 0.0

    def test_more_than_the_pipe_carries(self):
        assert gradient_of_leak(Train(cars=equal_cars(200)), flow=150.0, at_car=200) is None
        found = whole("rear-pressure", air_flow="150", cars="200")
        assert found.results()["gradient_if_at_rear"] is None
        assert "gradient_if_at_rear" not in found.outcome.bands  # type: ignore[union-attr]

    @pytest.mark.parametrize(
        ("rear", "flow", "words"),
        [
            ("70", "20", "is more than this flow makes wherever it leaks"),
            ("79", "40", "the leaks lie more toward the rear"),
            ("87", "75", "the leaks lie more toward the head"),
        ],
    )
    def test_what_the_gradient_read_says(self, rear, flow, words):
        assert words in notes(whole("rear-pressure", rear=rear, air_flow=flow))

    def test_a_gradient_that_fits(self):
        found = whole("rear-pressure", rear="86", air_flow="37")
        assert "leaks lie" not in notes(found)
        assert "wherever it leaks" not in notes(found)

    def test_without_the_flow_nothing_follows(self):
        found = ask("rear-pressure")
        assert found.outcome is not None
        assert found.outcome.to_follow is None


class TestRepeatedApplications:
    @pytest.mark.parametrize(
        "texts",
        [
            {"cars": "20", "rear": "90"},
            {"cars": "80", "rear": "85", "reductions": "15, 15", "waits": "1, 1"},
            {
                "cars": "10",
                "rear": "90",
                "reductions": "26",
                "waits": "0.5",
                "last_set": "released",
            },
        ],
    )
    def test_the_bound_is_never_over_the_model(self, texts):
        found = whole("repeated-applications", **texts)
        assert figure(found, "full_service_left") <= figure(found, "model_full_service") + 0.6
        assert figure(found, "emergency_left") <= figure(found, "model_emergency") + 0.6
        assert "count on the lower figures" in notes(found)

    def test_leakage_that_brings_the_rear_where_it_is(self):
        train = Train(cars=equal_cars(80), locomotives=1)
        leakage = leakage_for(train, rear=82.0)
        assert leakage is not None
        assert steady(
            Train(cars=train.cars, locomotives=1, leaks=(Leak(flow=leakage),))
        ).rear == pytest.approx(82.0, abs=0.1)
        assert leakage_for(train, rear=90.0) == 0.0
        assert leakage_for(Train(cars=equal_cars(3)), rear=75.0) is None

    def test_a_train_too_short_for_its_gradient(self):
        found = whole("repeated-applications", cars="3", rear="75", reductions="10", waits="1")
        assert "no even leakage of so short a train" in notes(found)

    def test_a_leaking_train_says_how_much_leaks(self):
        found = whole("repeated-applications", cars="60", rear="85", reductions="10", waits="0")
        assert "leak evenly along the train, so that the rear reads 85 psi" in notes(found)

    def test_all_off_leaves_no_emergency_by_the_model_either(self):
        found = whole(
            "repeated-applications",
            cars="3",
            rear="90",
            reductions="0, 90",
            waits="0",
            last_set="on",
        )
        assert found.results()["model_emergency"] is None
        assert "model_emergency" not in found.outcome.bands  # type: ignore[union-attr]

    def test_a_released_cylinder_is_empty(self):
        found = whole(
            "repeated-applications", cars="2", rear="90", reductions="10", waits="10",
            last_set="released",
        )  # fmt: skip
        # Charged again: full service from 90 at 9 in travel, by the car's volumes 62 psi.
        assert figure(found, "model_full_service") == pytest.approx(62.0, abs=2.0)


class TestStopping:
    @pytest.mark.parametrize("command", ["emergency", "service"])
    def test_a_short_train_stops_alike_with_either_build_up(self, command):
        found = whole("stopping-distance", cars="10", weight="1200", command=command, **STOP)
        assert figure(found, "model_distance") == pytest.approx(figure(found, "distance"), rel=0.1)
        assert found.outcome is not None
        assert [line.name for line in found.outcome.series[1].lines] == [
            "by the two nominal figures",
            "by the train model",
        ]

    def test_a_train_that_is_not_held(self):
        found = whole("stopping-distance", cars="10", weight="1200", grade="6", **STOP)
        assert found.results()["model_distance"] is None
        assert found.outcome is not None
        assert found.outcome.bands == {}
        assert "farther" not in notes(found)

    def test_no_build_up_of_nothing(self):
        found = ask("stopping-distance", command="service", reduction="1", **STOP)
        assert found.outcome is not None
        assert found.outcome.to_follow is None

    def test_farther_and_less_far_are_said(self):
        slow = {"cars": "10", "weight": "1200", "fill_time": "60", **STOP}
        assert "less far than" in notes(whole("stopping-distance", **slow))
        fast = {"cars": "10", "weight": "1200", "fill_time": "0", **STOP}
        assert "farther than" in notes(whole("stopping-distance", **fast))

    def test_straight_between_points(self):
        build_up = FollowedBuildUp(((1.0, 0.0), (3.0, 1.0)), slower=2.0)
        assert [build_up.share(t) for t in (0.0, 2.0, 4.0, 6.0, 9.0)] == [0.0, 0.0, 0.5, 1.0, 1.0]
        assert build_up.ends() == (6.0,)

    def test_a_straight_build_up_is_the_nominal_one(self):
        """Cars that all start at once and fill steadily: both descriptions are the same curve."""
        nominal = SpreadBuildUp(travel_time=0.0, fill_time=8.0)
        followed = FollowedBuildUp(((0.0, 0.0), (8.0, 1.0)))
        for seconds in (0.0, 1.0, 4.0, 8.0, 20.0):
            assert followed.share(seconds) == pytest.approx(nominal.share(seconds))


@pytest.mark.parametrize(("cars", "share"), [("50", 0.3), ("118", 0.3), ("10", 1.0)])
def test_the_charging_band_of_a_short_train_is_wide(cars, share):
    found = whole("charging-time", cars=cars)
    assert found.outcome is not None
    assert found.outcome.bands["time"] == pytest.approx(share * figure(found, "time"))


def test_bands_are_the_models():
    assert band("service times", 10.0) == pytest.approx(BANDS["service times"].share * 10.0)
    assert band("settled pressures", 1.0) == BANDS["settled pressures"].at_least


def test_samples_of_a_very_long_run():
    assert sample_seconds(1e9) == 30.0
