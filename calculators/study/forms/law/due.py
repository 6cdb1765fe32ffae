"""Questions on which test is due, where a distance or a train's kind is counted wrongly."""

from __future__ import annotations

from calculators.study.draws import Draws
from calculators.study.forms.law.tests import TESTS, TOPIC
from calculators.study.model import DECIDING, Drawn, Form, Seen, Slip


def _car_miles(draws: Draws) -> Drawn:
    since = draws.whole(700, 900, 10)
    return {
        "event": "unchanged",
        "miles_since_test": since,
        "miles_ahead": draws.whole(int(1010 - since), 380, 10),
        "train_miles": draws.whole(200, 500, 10),
    }


def _long_run(draws: Draws) -> Drawn:
    since = draws.whole(700, 950, 10)
    return {
        "event": "unchanged",
        "train_kind": "road",
        "miles_since_test": since,
        "miles_since_class_1": since,
        "miles_ahead": draws.whole(int(1010 - since), 450, 10),
    }


def _from_class_1a(draws: Draws) -> Drawn:
    since = draws.whole(1150, 1350, 10)
    return {
        "event": "unchanged",
        "train_kind": "extended-haul",
        "miles_since_class_1": since,
        "miles_since_test": draws.whole(150, 400, 10),
        "miles_ahead": draws.whole(int(1510 - since), 480, 10),
    }


def _transfer(draws: Draws) -> Drawn:
    return {
        "event": "made-up",
        "train_kind": "transfer",
        "next_yard": draws.whole(6, 15),
        "miles_ahead": draws.whole(22, 45),
    }


def _carried_over(draws: Draws) -> Drawn:
    return {"event": "made-up", "train_kind": "road", "miles_ahead": draws.whole(60, 400, 10)}


def _class_2_before(draws: Draws) -> Drawn:
    return {
        "event": "interchange-added",
        "added_cars": "tested-here-class-2",
        "hours_off_air": draws.whole(1, 3),
    }


def _test(seen: Seen) -> str:
    return str(seen.test)


_CLASS_1_ANYWAY = Slip(
    mistake="class-1-anyway",
    step=DECIDING,
    why="what was added up calls for less than a Class I here.",
    gives=lambda s: "class-1",
)

FORMS = (
    Form(
        id="due-car-miles",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "A train has run {train_miles:miles} since its Class I test; a car in it, picked up tested on the way, has run "
            "{miles_since_test} since its own. The next place with facilities is {miles_ahead} ahead. Which test is due before it?"
        ),
        draw=_car_miles,
        slips=(
            Slip(
                mistake="miles-of-the-train",
                step=DECIDING,
                why="the car that has run farthest decides, not the train that it is in.",
                gives=lambda s: str(s.seen(miles_since_test=s.train_miles).test),
            ),
            _CLASS_1_ANYWAY,
        ),
    ),
    Form(
        id="due-long-run",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "A road train that nobody has designated otherwise has run {miles_since_test} since its Class I test and has "
            "{miles_ahead} before it without a stop for tests. Which test is due before the end of that run?"
        ),
        draw=_long_run,
        slips=(
            Slip(
                mistake="long-run-is-extended",
                step=DECIDING,
                why="only a train that the railroad has designated may run the longer distance; a long run alone does not make it one.",
                gives=lambda s: str(s.seen(train_kind="extended-haul").test),
            ),
            _CLASS_1_ANYWAY,
        ),
    ),
    Form(
        id="due-second-pick-up",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "An extended haul train has picked up cars a second time, all of them tested. It has run "
            "{miles_since_test} since its Class I test and has {miles_ahead} before it. Which test is due before the end of that run?"
        ),
        draw=_long_run,
        slips=(
            Slip(
                mistake="second-pick-up-allowed",
                step=DECIDING,
                why="a second pick-up ends the designation, and the usual distance governs.",
                gives=lambda s: str(s.seen(train_kind="extended-haul").test),
            ),
            _CLASS_1_ANYWAY,
        ),
    ),
    Form(
        id="due-defective-set-out",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        words=(
            "A designated extended haul train set out a defective car besides the set-out that it is allowed. It has run {miles_since_class_1} "
            "since its Class I test and has {miles_ahead} before it. Continuity is proved; which test is due before the end of that run?"
        ),
        draw=lambda d: _long_run(d) | {"train_kind": "extended-haul"},
        slips=(
            Slip(
                mistake="defective-set-out-counts",
                step="No test named by the text read",
                why="a defective car's set-out does not use up the one that is allowed, so the longer distance still governs.",
                gives=lambda s: str(s.seen(train_kind="road").test),
            ),
            Slip(
                mistake="class-1-anyway",
                step="No test named by the text read",
                why="the run is within what the designation allows.",
                gives=lambda s: "class-1",
            ),
        ),
    ),
    Form(
        id="due-from-class-1a",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "A designated extended haul train: {miles_since_class_1} since its Class I test, {miles_since_test} since a Class IA made on the way; "
            "{miles_ahead} before it. Which test is due before the end of that run?"
        ),
        draw=_from_class_1a,
        slips=(
            Slip(
                mistake="miles-from-class-1a",
                step=DECIDING,
                why="an extended haul train's distance counts from the Class I test at its start.",
                gives=lambda s: str(s.seen(miles_since_class_1=s.miles_since_test).test),
            ),
            Slip(
                mistake="class-1a-is-class-1",
                step=DECIDING,
                why="past the longer distance the train is tested anew; Class IA belongs to the usual distance.",
                gives=lambda s: "class-1a",
            ),
        ),
    ),
    Form(
        id="due-transfer-length",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "A train is made up for a move between yards: {next_yard:miles} to the next yard, {miles_ahead} from its origin to its "
            "final destination. Which test is due?"
        ),
        draw=_transfer,
        slips=(
            Slip(
                mistake="next-yard-for-move",
                step=DECIDING,
                why="the move is as long as from origin to final destination, whatever yards lie between.",
                gives=lambda s: str(s.seen(miles_ahead=s.next_yard).test),
            ),
            Slip(
                mistake="class-3-for-class-1",
                step=DECIDING,
                why="continuity alone is proved only where the train was tested before.",
                gives=lambda s: "class-3",
            ),
        ),
    ),
    Form(
        id="due-after-transfer",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "Cars came in with a transfer train's test. They are made up into a {train_kind} that runs {miles_ahead}. Which test is due?"
        ),
        draw=_carried_over,
        slips=(
            Slip(
                mistake="transfer-test-carried-over",
                step=DECIDING,
                why="the transfer train's test is none of the Class tests, so nothing of it is left for a road train.",
                gives=lambda s: "class-3",
            ),
            Slip(
                mistake="short-move-as-transfer",
                step=DECIDING,
                why="that test is for the transfer move; this is a road train.",
                gives=lambda s: "transfer",
            ),
        ),
    ),
    Form(
        id="due-class-2-before",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_test,
        options=TESTS,
        until="Charge",
        words=(
            "A train is received in interchange; cars are added that had a Class II test here, {hours_off_air} off air. Which test is due?"
        ),
        draw=_class_2_before,
        slips=(
            Slip(
                mistake="class-2-as-tested",
                step=DECIDING,
                why="previously tested means a Class I test; a Class II does not count there.",
                gives=lambda s: str(s.seen(added_cars="tested-here-class-1").test),
            ),
            Slip(
                mistake="tested-tested-again",
                step=DECIDING,
                why="a Class II was made; what the paragraph misses is a Class I.",
                gives=lambda s: "class-2",
            ),
        ),
    ),
)
