"""The train run: what is said at once, what the run adds, what is refused.

The physics has its own tests (tests/train); here is what the calculator makes of it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished, follow
from calculators.answering.shown import result_rows
from calculators.base.results import Display, Progress
from calculators.cli import main
from calculators.equipment import running
from calculators.equipment.train import Car, Command, Train, equal_cars, run
from calculators.figures.thresholds import WIDEST_TRIED_GAP
from calculators.questions.shared.spacing import gaps
from calculators.questions.train_run.asked import AskedRun
from calculators.questions.train_run.declaration import FILLS, TrainRun, train_run
from calculators.questions.train_run.words import _earlier, headline, ranges
from calculators.rendering.answers.text import answer_text

PLAIN = Display()


def at_once(**texts: str) -> Answer:
    found = answer(train_run, texts)
    assert found.errors == {}
    return found


def whole(**texts: str) -> TrainRun:
    outcome = finished(at_once(**texts)).outcome
    assert isinstance(outcome, TrainRun)
    return outcome


def refused(**texts: str) -> dict[str, str]:
    return dict(answer(train_run, texts).errors)


def warnings(found: TrainRun) -> str:
    return " ".join(n.text.text(PLAIN) for n in found.notes if n.kind == "warning")


def notes(found: TrainRun) -> str:
    return " ".join(n.text.text(PLAIN) for n in found.notes)


def working(found: TrainRun) -> str:
    return " ".join(f"{s.label}: {s.how.text(PLAIN)}" for s in found.working)


SOUND = 1126.1
"""Adiabatic sound at 68 °F, √(γ R T) = 343.24 m/s. [ft/s]"""


def rounded_down(seconds: float) -> float:
    return int(seconds * 10.0 + 1e-9) / 10.0


class TestAtOnce:
    def test_sound_is_the_bound(self):
        """10 cars of 50 ft and two locomotives of 70: 615 ft to the last valve at 1,126 ft/s.

        √(γ R T) at 68 °F is 343.2 m/s (tests/air checks it); the time is rounded down to a tenth.
        """
        found = at_once(cars="10", car_length="50", rear_device="none")
        assert found.results()["soonest"] == pytest.approx(rounded_down(615 / SOUND))
        assert all(found.results()[name] is None for name in FILLS)
        assert found.outcome is not None
        assert "nothing outruns sound" in found.outcome.headline.text(PLAIN)

    @pytest.mark.parametrize(
        ("texts", "feet", "wait"),
        [
            # From both ends the last car hears of it from whichever end is sooner.
            ({"command": "emergency"}, 615, 0.0),
            ({"command": "emergency", "rear_delay": "0"}, 25, 0.0),
            ({"command": "emergency", "emergency_from": "rear"}, 25, 1.0),
            ({"command": "emergency", "emergency_from": "rear", "rear_device": "none"}, 0, 0.0),
            ({"command": "emergency", "emergency_from": "car"}, 250, 0.0),
            ({"command": "emergency", "emergency_from": "car", "emergency_car": "9"}, 50, 0.0),
            ({"remote_after": "8", "link_delay": "0"}, 75, 0.0),
            ({"moves": "7 s service 10"}, 615, 7.0),
        ],
    )
    def test_sound_from_wherever_it_starts(self, texts, feet, wait):
        found = at_once(cars="10", car_length="50", **texts)
        assert found.results()["soonest"] == pytest.approx(rounded_down(wait + feet / SOUND))

    def test_no_application_has_no_bound(self):
        found = at_once(command="charge", cars="3")
        assert found.results()["soonest"] is None
        assert found.outcome is not None
        assert "3 cars followed for 120 s" in found.outcome.headline.text(PLAIN)

    @pytest.mark.parametrize(
        ("texts", "pressure"),
        [
            ({}, 18),
            ({"command": "emergency"}, 77),
            ({"command": "release"}, None),
            ({"moves": "0 s service 10"}, None),
            ({"from_pressure": "80"}, None),
        ],
    )
    def test_a_cylinder_by_volumes(self, texts, pressure):
        """H11 and H9: 10 off 90 gives 18, an emergency 77."""
        found = at_once(**texts).results()["by_volumes"]
        assert found == (None if pressure is None else pytest.approx(pressure, abs=0.5))

    @pytest.mark.parametrize(
        ("texts", "seconds"),
        [
            ({}, 90),
            ({"command": "emergency"}, 30),
            ({"command": "release"}, 240),
            ({"command": "charge"}, 3540),
            ({"moves": "0 s service 5; 100 s release"}, 190),
            ({"moves": "10000 s release", "cars": "250"}, 10160),
            ({"seconds": "12"}, 12),
        ],
    )
    def test_how_long_it_is_followed(self, texts, seconds):
        outcome = at_once(**texts).outcome
        assert outcome is not None
        assert outcome.to_follow is not None
        assert outcome.to_follow.of == Progress(done=0.0, of=seconds)


class TestTheRun:
    def test_it_is_the_train_models_run(self):
        found = whole(cars="20", rear_device="none")
        *_, last = running.follow(
            Train(cars=equal_cars(20), locomotives=2),
            (Command(at_seconds=0.0, action="service", reduction=10.0),),
            seconds=40.0,
        )
        plain = last.run
        assert plain is not None
        assert found.first_car_starts == plain.first_car_starts
        assert found.last_car_starts == plain.last_car_starts
        assert found.propagation_speed == plain.propagation_speed
        assert found.last_car_cylinder == plain.samples[-1].brake_cylinder[-1]
        assert found.mass_error == plain.mass_error < 1e-9
        assert found.to_follow is None

    def test_progress_comes_first_and_reaches_the_end(self):
        *parts, last = follow(at_once(cars="5", seconds="20"))
        assert isinstance(last, Answer)
        assert len(parts) > 5
        done = [part.done for part in parts if isinstance(part, Progress)]
        assert done == sorted(done)
        assert 0 < done[0] < done[-1] < 20

    def test_nothing_starts_before_sound_gets_there(self):
        for texts in ({}, {"command": "emergency"}, {"command": "emergency", "remote_after": "20"}):
            found = whole(cars="40", seconds="15", **texts)
            assert found.soonest is not None
            assert found.last_car_starts is not None
            assert found.soonest <= found.last_car_starts

    def test_cylinder_settles_where_volumes_say(self):
        found = whole(cars="5", reduction="20", seconds="90")
        assert found.by_volumes is not None
        assert found.last_car_cylinder == pytest.approx(found.by_volumes, abs=2.0)

    def test_bands_stand_beside_every_figure_of_the_run(self):
        found = whole(cars="5")
        without = {"soonest", "by_volumes", "detection", "mass_error"}
        figures = {
            name
            for name in train_run.outputs()
            if isinstance(getattr(found, name), float) and name not in without
        }
        assert set(found.bands) == figures
        assert found.bands["last_car_cylinder"] >= 2.0
        assert "no measured train was compared" in notes(found)
        assert "Band of service times, 20% either way" in notes(found)
        assert "not verified" in notes(found)

    def test_an_emergency_from_both_ends_meets_in_the_middle(self):
        found = whole(cars="40", command="emergency", seconds="10")
        assert found.last_car_starts is not None
        assert found.latest_car_starts is not None
        assert found.latest_car_starts > found.last_car_starts
        assert found.propagation_speed is None
        assert found.detection is None
        assert "Band of emergency times" in notes(found)

    def test_an_emergency_from_the_head_runs_at_its_speed(self):
        found = whole(cars="60", command="emergency", rear_device="none", seconds="15")
        assert found.propagation_speed is not None
        assert "900 ft/s to 950 ft/s for emergency is from memory" in notes(found)
        assert "nine tenths of its cylinder" in found.headline.text(PLAIN)

    def test_a_release(self):
        found = whole(cars="10", command="release", held="40")
        assert found.first_car_releases is not None
        assert found.last_car_releases is not None
        assert 40 < found.first_car_releases <= found.last_car_releases
        assert "the handle went to release at 40 s" in found.headline.text(PLAIN)
        assert found.last_car_cylinder == pytest.approx(0.0, abs=0.5)
        assert [line.name for line in found.series[3].lines] == [
            "Starts to apply", "Nine tenths of its cylinder", "Lets go",
        ]  # fmt: skip
        assert "Band of release times" in notes(found)

    def test_what_checks_the_arithmetic_is_not_among_the_results_that_a_crew_is_shown(self):
        found = answer(train_run, {"cars": "10"})
        assert "mass_error" in found.results()
        assert "mass_error" not in {row.name for row in result_rows(found)}
        assert "arithmetic" not in answer_text(found)

    def test_a_release_that_does_not_come_to_its_end(self):
        found = whole(cars="10", moves="0 s service 10; 20 s release", seconds="20")
        assert found.last_car_releases is None
        assert "after 20 s: still applied cars 1 to 10" in found.headline.text(PLAIN)

    def test_a_charge(self):
        found = whole(cars="3", command="charge", seconds="100")
        assert found.first_car_starts is None
        assert found.cars_not_applied == "none was asked to"
        assert found.last_car_auxiliary is not None
        assert 30 < found.last_car_auxiliary < 90
        assert "3 cars not charged after 1.7 min" in found.headline.text(PLAIN)
        assert "Band of charging times" in notes(found)
        # It still moves: the band counts what slower charging would leave.
        assert found.bands["last_car_auxiliary"] > 5.0
        assert "None: the handle is in release" in working(found)

    def test_a_closed_angle_cock(self):
        found = whole(cars="12", cock_car="4")
        assert found.cars_not_applied == "5 to 12"
        assert found.last_car_starts is None
        assert found.rear == pytest.approx(90.0, abs=0.5)
        assert "Cars 5 to 12 did not apply" in warnings(found)
        assert "the last car does not start to apply" in found.headline.text(PLAIN)
        assert "the angle cock behind car 4 is closed" in working(found)

    def test_a_partly_blocked_pipe_is_slower(self):
        free = whole(cars="12", seconds="30")
        blocked = whole(cars="12", cock_car="4", cock_opening="3", seconds="30")
        assert free.last_car_starts is not None
        assert blocked.last_car_starts is None or blocked.last_car_starts > free.last_car_starts

    def test_a_list_of_moves_takes_the_place_of_the_move(self):
        found = whole(cars="3", command="emergency", moves="0 s service 10; 30 s service 15")
        assert found.last_car_cylinder == pytest.approx(32.0, abs=3.0)
        assert "At 30 s service, 15 psi off" in working(found)

    def test_a_handle_moved_part_of_the_way_back(self):
        found = whole(
            cars="3", moves="0 s service 15; 30 s service 8; 40 s release; 90 s service 8"
        )
        assert notes(found).count("takes nothing more") == 1
        assert "8 psi off after 15 psi off takes nothing more" in notes(found)

    def test_moves_after_the_end(self):
        found = whole(cars="3", moves="0 s service 10; 90 s release", seconds="30")
        assert "never made: 1" in warnings(found)

    def test_lap_without_maintaining_leaks_on(self):
        texts = {"cars": "10", "leakage": "10", "reduction": "10", "seconds": "120"}
        held = whole(**texts)
        lapped = whole(**texts, moves="0 s service 10; 30 s cut out")
        assert held.head is not None
        assert lapped.head is not None
        assert lapped.head < held.head - 1.0

    def test_cut_out_cars_stay_released(self):
        found = whole(cars="6", cut_out_cars="3, 6", seconds="30")
        last = found.grids[0].layers[0].values[-1]
        assert [pressure < 1.0 for pressure in last] == [False, False, True, False, False, True]

    def test_retaining_valves_hold_on_some_cars(self):
        found = whole(
            cars="4", command="release", reduction="20", retaining_valve="high-pressure",
            retained_cars="2",
        )  # fmt: skip
        last = found.grids[0].layers[0].values[-1]
        assert last[0] == pytest.approx(20.0, abs=3.0)
        assert last[3] == pytest.approx(0.0, abs=0.5)

    def test_lengths_one_after_another(self):
        found = at_once(cars="4", car_lengths="50, 90", locomotives="1", rear_device="none")
        assert found.results()["soonest"] == pytest.approx(rounded_down((280 - 45 + 70) / SOUND))
        assert found.outcome is not None
        assert "4 cars of different lengths" in working(finished(found).outcome)  # type: ignore[arg-type]

    def test_a_leak_further_back_makes_more_gradient(self):
        """KC77 and AH88 in kind."""
        near = whole(cars="40", leakage="30", leak_car="2", seconds="5")
        far = whole(cars="40", leakage="30", leak_car="38", seconds="5")
        assert near.rear is not None
        assert far.rear is not None
        assert far.rear < near.rear - 1.0

    def test_every_cars_nine_tenths(self):
        found = whole(cars="20", moves="0 s service 10", cut_out_cars="3")
        starts, full = (dict(line.points) for line in found.series[3].lines)
        assert set(full) == set(starts) == {float(n) for n in range(1, 21) if n != 3}
        assert full[20.0] == found.last_car_90_percent
        assert all(full[car] > starts[car] for car in full)
        # A run that ends as the brakes begin has starts, and cylinders without air.
        early = whole(cars="20", seconds="2")
        assert len(early.series[3].lines[1].points) < len(early.series[3].lines[0].points)

    def test_main_reservoirs_and_compressor_charge_the_train(self):
        large, small = (
            whole(cars="40", command="charge", seconds="120", reservoir_volume=volume)
            for volume in ("100000", "10000")
        )
        assert large.last_car_auxiliary is not None
        assert small.last_car_auxiliary is not None
        assert large.last_car_auxiliary > small.last_car_auxiliary + 2.0

    @pytest.mark.parametrize("place", ["59", "118"])
    def test_an_emergency_from_the_train_ends_the_feed(self, place):
        """ARMY-223 p. 4-78: the charging cut-off; the head gauge falls with the wave."""
        found = whole(command="emergency", emergency_from="car", emergency_car=place, seconds="12")
        assert found.head == pytest.approx(0.0, abs=0.5)
        assert found.head_flow == pytest.approx(0.0, abs=0.01)
        assert warnings(found) == ""


class TestNotAssured:
    """From memory: below about 45 psi an emergency may not start or not run through."""

    def test_a_train_that_starts_too_low(self):
        low = {"cars": "3", "command": "emergency", "from_pressure": "30"}
        before = at_once(**low).outcome
        assert before is not None
        assert before.headline.text(PLAIN).startswith("3 cars: emergency not assured from 30 psi")
        found = whole(**low)
        assert found.headline.text(PLAIN) == (
            "3 cars: emergency not assured from 30 psi in the brake pipe."
        )
        assert warnings(found).startswith("Emergency not assured: it is asked for")
        assert "may not start or not run through" in warnings(found)

    @pytest.mark.parametrize("texts", [{"from_pressure": "30"}, {"command": "charge"}])
    def test_a_train_that_starts_too_low_and_asks_for_none(self, texts):
        found = whole(cars="3", seconds="5", **texts)
        assert "Emergency not assured: the train starts at" in warnings(found)
        assert "emergency not assured" not in found.headline.text(PLAIN)

    def test_brought_too_low_by_what_was_done_before(self):
        found = whole(cars="3", moves="0 s service 60; 60 s emergency both", seconds="80")
        assert "Emergency not assured: it is asked for" in warnings(found)
        assert "emergency not assured from 30 psi" in found.headline.text(PLAIN)
        # At once nothing is known of it.
        outcome = at_once(cars="3", moves="0 s service 60; 60 s emergency").outcome
        assert outcome is not None
        assert [note for note in outcome.notes if note.kind == "warning"] == []

    def test_charged_by_then_it_is_not_warned_of(self):
        found = whole(cars="1", moves="200 s emergency", from_pressure="30", seconds="210")
        assert "it is asked for" not in warnings(found)
        assert "the train starts at 30 psi" in warnings(found)

    def test_a_second_emergency_is_not_warned_of(self):
        found = whole(cars="3", moves="0 s emergency; 20 s emergency rear", seconds="30")
        assert "not assured" not in warnings(found)


class TestOutsideWhatWasFitted:
    @pytest.mark.parametrize(
        "texts",
        [
            {"car_length": "110"},
            {"car_lengths": "5 cars of 50, 20 of 125"},
            {"command": "release", "car_length": "96"},
        ],
    )
    def test_long_cars(self, texts):
        found = warnings(whole(cars="30", seconds="5", **texts))
        assert "of brake pipe for one working brake" in found
        assert "only up to 95 ft" in found
        assert "Do not take from this run whether" in found

    @pytest.mark.parametrize(
        "texts",
        [
            {"car_length": "95"},
            {"car_length": "110", "command": "emergency"},
            {"car_length": "110", "command": "charge"},
            {"car_lengths": "20 of 55, 5 of 125"},
            {"cut_out_cars": "10, 11"},
        ],
    )
    def test_what_was_tried(self, texts):
        assert "Do not take" not in warnings(whole(cars="30", seconds="5", **texts))

    def test_an_emergency_from_the_train_shuts_the_feed(self):
        """ARMY-223 p. 4-78: the handle goes to emergency, then to release."""
        shut = whole(cars="10", moves="0 s emergency rear; 90 s release", seconds="200")
        assert "charging cut-off stays shut" in warnings(shut)
        assert shut.cars_still_applied == "1 to 10"
        moves = "0 s emergency rear; 60 s emergency head; 150 s release"
        again = whole(cars="10", moves=moves, seconds="400")
        assert "charging cut-off" not in warnings(again)
        assert again.cars_still_applied == "none"

    @pytest.mark.parametrize("setting", ["70", "90", "110"])
    @pytest.mark.parametrize("length", ["75", "125"])
    def test_a_reduction_relay_takes_a_set_along_long_cars(self, length: str, setting: str):
        found = whole(
            cars="80",
            car_length=length,
            brake_pipe_setting=setting,
            moves="0 s service 10",
            seconds="40",
            reduction_relay="with",
        )
        assert found.cars_not_applied == "none"
        assert found.undesired_actions == "none"
        # The range of the trade, from memory, that the valve was fitted to on cars of 50 ft; 2 %.
        assert found.propagation_speed is not None
        assert 490.0 <= found.propagation_speed <= 612.0
        assert "Do not take" not in warnings(found)

    def test_without_it_the_warning_stays(self):
        found = whole(cars="100", car_length="110", moves="0 s service 10", seconds="60")
        assert found.cars_not_applied != "none"
        assert "Do not take" in warnings(found)

    def test_many_cars_cut_out_in_a_row(self):
        found = whole(cars="80", cut_out_cars="61, 62, 63, 64, 65, 66", moves="0 s service 10")
        assert found.cars_not_applied == "67 to 80"
        assert "Between two working brakes there are 385 ft of brake pipe." in warnings(found)

    def test_no_working_brake(self):
        found = whole(cars="2", cut_out_cars="1, 2", seconds="5")
        assert found.first_car_starts is None
        assert "Do not take" not in warnings(found)

    @pytest.mark.parametrize("length", [40.0, 55.0, 90.0])
    def test_the_widest_gap_is_crossed(self, length):
        """The figure that the warning gives, at the lightest set."""
        out = int(WIDEST_TRIED_GAP.value // length) - 1
        working, bare = Car(length=length), Car(length=length, cut_out=True)
        cars = (*[working] * 60, *[bare] * out, *[working] * 40)
        made = run(
            Train(cars=cars, brake_pipe_setting=70.0),
            (Command(at_seconds=0.0, action="service", reduction=7.0),),
            seconds=90.0,
            sample_seconds=10.0,
        )
        assert max(gaps(cars)) > WIDEST_TRIED_GAP.value - length
        assert made.cars_not_applied == ()


class TestMoreOfTheRun:
    def test_undesired_actions_are_warned_of(self):
        """A leaking train cut out of its brake valve applies by itself: no move asked for it."""
        found = whole(cars="10", leakage="150", moves="0 s cut out", seconds="60")
        assert found.undesired_actions.startswith("application: ")
        assert "no move asked for" in warnings(found)

    def test_chosen_cars_in_the_curves(self):
        found = whole(cars="9", show_cars="9, 2", seconds="10")
        names = [line.name for line in found.series[1].lines]
        assert names == ["Car 2", "Car 9", "Equalizing reservoir"]
        one = whole(cars="1", seconds="10")
        assert [line.name for line in one.series[0].lines] == ["Car 1"]
        assert "1 car: the last one" in one.headline.text(PLAIN)

    def test_pictures_hold_every_car(self):
        grid = whole(cars="30", seconds="60").grids[0]
        assert grid.names == tuple(str(n) for n in range(1, 31))
        assert len(grid.at) <= 41
        assert (grid.at[0], grid.at[-1]) == (0.0, 60.0)
        assert {layer.name for layer in grid.layers} == {
            "Brake cylinder", "Brake pipe", "Auxiliary reservoir", "Emergency reservoir",
        }  # fmt: skip
        for layer in grid.layers:
            assert all(len(column) == 30 for column in layer.values)


class TestWords:
    def test_many_ranges_are_cut_short(self):
        assert ranges(range(1, 30, 2)) == "1, 3, 5, 7, 9, 11, 13, 15, 7 more"

    def test_a_run_that_ends_as_the_last_car_starts(self):
        asked = AskedRun(
            train=Train(cars=equal_cars(2)),
            move="service",
            commands=(Command(at_seconds=0.0, action="service", reduction=10.0),),
            seconds_given=3.0,
            shown=(1,),
            needs=45.0,
        )
        made = run(asked.train, asked.commands, seconds=3.0)
        said = headline(asked, replace(made, last_car_90_percent=None)).text(PLAIN)
        assert said.startswith("2 cars: the last one starts at ")
        assert "nine tenths" not in said


class TestRefused:
    @pytest.mark.parametrize(
        ("field", "texts"),
        [
            ("emergency_car", {"emergency_car": "11"}),
            ("cut_out_cars", {"cut_out_cars": "1, 11"}),
            ("retained_cars", {"retained_cars": "11"}),
            ("leak_car", {"leak_car": "11"}),
            ("cock_car", {"cock_car": "11"}),
            ("remote_after", {"remote_after": "11"}),
            ("show_cars", {"show_cars": "11"}),
        ],
    )
    def test_cars_that_are_not_there(self, field, texts):
        found = refused(cars="10", **texts)
        assert list(found) == [field]
        assert "is 11; this train has 10 cars." in found[field]

    def test_too_many_curves(self):
        assert "at most 5" in refused(show_cars="1, 2, 3, 4, 5, 6")["show_cars"]

    def test_more_than_the_pipe_holds(self):
        assert "holds only 60 psi" in refused(brake_pipe_setting="60", reduction="61")["reduction"]
        assert (
            "holds only 60 psi" in refused(brake_pipe_setting="60", moves="0 s service 61")["moves"]
        )

    def test_a_list_that_cannot_be_read(self):
        assert "the moves are" in refused(moves="0 s jump")["moves"]


@settings(max_examples=25, deadline=None)
@given(
    cars=st.integers(1, 12),
    car_length=st.floats(40, 125),
    setting=st.floats(60, 110),
    command=st.sampled_from(["service", "emergency", "release", "charge"]),
    reduction=st.floats(1, 60),
    leakage=st.sampled_from([0.0, 5.0, 40.0]),
    rear_device=st.sampled_from(["two-way", "none"]),
    seconds=st.floats(1, 30),
)
def test_whatever_is_asked_is_answered(
    cars, car_length, setting, command, reduction, leakage, rear_device, seconds
):
    found = whole(
        cars=str(cars),
        car_length=f"{car_length:.3f}",
        brake_pipe_setting=f"{setting:.3f}",
        command=command,
        reduction=f"{reduction:.3f}",
        leakage=f"{leakage:.0f}",
        rear_device=rear_device,
        held="5",
        seconds=f"{seconds:.3f}",
    )
    assert found.mass_error is not None
    assert found.mass_error < 1e-9
    assert all(band > 0 for band in found.bands.values())
    assert found.headline.text(PLAIN)


def test_the_command_line_gives_the_same_series(capsys: pytest.CaptureFixture[str]):
    asked = {"cars": "4", "seconds": "20", "show_cars": "1, 4"}
    assert main(["train-run", "--json", *(f"{k}={v}" for k, v in asked.items())]) == 0
    printed = json.loads(capsys.readouterr().out)
    found = whole(**asked)

    assert printed["results"]["last_car_starts"] == found.last_car_starts
    assert printed["bands"] == dict(found.bands)
    for ours, theirs in zip(found.series, printed["series"], strict=True):
        lines = {line.name: [list(point) for point in line.points] for line in ours.lines}
        assert lines == theirs["lines"]
    layers = printed["grids"][0]["layers"]
    assert layers["Brake pipe"]["values"][-1] == list(found.grids[0].layers[1].values[-1])

    assert main(["train-run", *(f"{k}={v}" for k, v in asked.items())]) == 0
    text = capsys.readouterr().out
    assert "Brake cylinder of the chosen cars" in text
    assert "Car by time: Emergency reservoir, psi" in text
    assert "± 2 psi" in text


@pytest.mark.parametrize(("share", "stands_at"), [(0.0, 110), (0.1, 101), (0.25, 90), (1.0, 60)])
def test_a_slower_run_ends_where_this_one_stood_earlier(share: float, stands_at: int):
    """By proportion: 100 s from the last move on, at a pace 1 + share times as slow."""
    samples = tuple(SimpleNamespace(seconds=float(second)) for second in range(111))
    earlier = _earlier(samples, since=10.0, share=share)  # type: ignore[arg-type]
    assert earlier.seconds == stands_at
