"""When a skill comes back: the library's own figures, another implementation, and a learner's clock."""

from __future__ import annotations

import json
import random
import subprocess
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from fsrs import Card, Rating, Scheduler

from calculators.study.schedule import (
    LEAST_SECONDS,
    STAGES,
    Outcome,
    Record,
    at,
    graded,
    new,
    read,
)
from calculators.study.sets import MOST, MOST_NEW, todays
from generator.setup import node
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]
NOON = datetime(2026, 11, 29, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def at_due(outcomes: list[Outcome]) -> list[float]:
    """Days to the next showing where every answer is given the moment it is due."""
    record, found = new(NOON), []
    for outcome in outcomes:
        now = record.due
        record = graded(record, outcome, now=now)
        found.append((record.due - now) / DAY)
    return found


def test_intervals_are_the_publishers():
    # Printed in the library's own test suite (test_review_card, version 6.3): good six times,
    # again twice, good five times; whole days, under a day 0.
    rights: list[Outcome] = ["right"] * 6
    outcomes: list[Outcome] = [*rights, "wrong", "wrong", *rights[:5]]
    days = [int(one) for one in at_due(outcomes)]
    assert days == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_intervals_of_the_study():
    # Measured in the study's paper with two libraries alike, days rounded.
    outcomes: list[Outcome] = ["right", "right", "right", "right", "wrong", "right", "right"]
    found = [round(one, 2) for one in at_due(outcomes)]
    assert found == [0.01, 2, 11, 46, 0.01, 3, 8]


def test_documented_example():
    # The library's front page: a new card rated good is due within ten minutes.
    card, log = Scheduler(enable_fuzzing=False).review_card(Card(), Rating.Good)
    assert log.rating == Rating.Good
    assert card.last_review is not None
    assert card.due - card.last_review == timedelta(minutes=10)


def histories() -> list[list[tuple[int, float]]]:
    drawn = random.Random(5)
    return [
        [(drawn.choice((1, 2, 3)), drawn.choice((0.003, 0.01, 1, 3, 9, 30))) for _ in range(12)]
        for _ in range(200)
    ]


def test_another_implementation_agrees():
    project = Places(root=ROOT)
    other = node.package_folder(project, node.TEST_TOOLS, "ts-fsrs") / "dist" / "index.mjs"
    asked = histories()
    done = subprocess.run(
        [node.find(project).program, Path(__file__).with_name("intervals.mjs"), other],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=True,
    )
    outcomes: dict[int, Outcome] = {1: "wrong", 2: "right after help", 3: "right"}
    for history, theirs in zip(asked, json.loads(done.stdout), strict=True):
        record, now = new(NOON), datetime(2026, 1, 1, 12, tzinfo=UTC)
        for (rating, wait), (days, stability, difficulty) in zip(history, theirs, strict=True):
            record = graded(record, outcomes[rating], now=now)
            ours = (record.due - now) / DAY
            now += wait * DAY
            # What is known of the skill is the same. Of the interval only this differs: within a day
            # each has steps of its own, and the other one keeps "good" a day behind "hard".
            assert record.stability == pytest.approx(stability, rel=1e-5), history
            assert record.difficulty == pytest.approx(difficulty, rel=1e-5), history
            assert (ours < 1) == (days < 1), history
            assert abs(ours - days) <= 1.01, history


def test_wrong_comes_back_before_help_before_right():
    known = new(NOON)
    for _ in range(4):
        known = graded(known, "right", now=known.due)
    outcomes: tuple[Outcome, ...] = ("wrong", "right after help", "right")
    dues = [graded(known, outcome, now=known.due).due for outcome in outcomes]
    assert all(sooner < later for sooner, later in pairwise(dues))


def test_a_clock_set_back_gives_no_interval_under_nothing():
    first = graded(new(NOON), "right", now=NOON)
    later = graded(first, "right", now=NOON - 400 * DAY)
    assert later.last == first.last
    assert later.due > NOON
    assert graded(later, "wrong", now=NOON - 9 * DAY).due > NOON


def test_an_answer_faster_than_reading_counts_for_nothing():
    record = new(NOON)
    assert graded(record, "right", now=NOON, seconds=LEAST_SECONDS - 0.01) is record
    assert graded(record, "right", now=NOON, seconds=LEAST_SECONDS).right == 1
    slow = graded(record, "right", now=NOON, seconds=900)
    assert slow == graded(record, "right", now=NOON)


def test_a_sum_fades_after_two_right_answers():
    record, stages = new(NOON), []
    for _ in range(7):
        record = graded(record, "right", now=record.due)
        stages.append(record.stage)
    assert stages == [1, 1, 2, 2, 3, 3, 3]
    assert record.stage == STAGES - 1
    stumbled = graded(graded(record, "wrong", now=record.due), "right", now=record.due)
    assert (stumbled.stage, stumbled.in_row) == (3, 1)


def test_a_record_survives_the_store():
    record = graded(graded(new(NOON), "right", now=NOON), "wrong", now=NOON + DAY)
    assert read(json.loads(json.dumps(record.as_data()))) == record
    for _ in range(5):
        record = graded(record, "right", now=record.due)
    again = read(json.loads(json.dumps(record.as_data())))
    assert again is not None
    assert abs(again.due - record.due) < timedelta(milliseconds=1)


BAD: list[Any] = [
    None,
    [],
    "x",
    {},
    {"due": 1.8e12},
    *(
        new(NOON).as_data() | changed
        for changed in (
            {"due": 9e99},
            {"due": float("nan")},
            {"due": True},
            {"due": -1},
            {"state": 7},
            {"state": 2},
            {"step": -1},
            {"step": None},
            {"stability": 1.0},
            {"stability": -1.0, "difficulty": 5.0},
            {"stage": STAGES},
            {"right": 1.5},
            {"wrong": -1},
            {"last": 1.8e12},
            {"in_row": "2"},
        )
    ),
]


@pytest.mark.parametrize("data", BAD, ids=str)
def test_what_is_no_record_is_refused(data: object):
    assert read(data) is None


def test_no_moment_of_a_clock_stops_the_grading():
    for moment in (946_684_800_000, 1.8e12, 1e13):
        assert graded(new(at(moment)), "right", now=at(moment)).due > at(moment)
    for wrong in (9e99, float("nan"), -1e15):
        with pytest.raises((ValueError, OverflowError)):
            at(wrong)


# --- Which skills a day asks -----------------------------------------------------------------------


def test_the_first_day_asks_a_few_new_ones():
    skills = todays({}, until=NOON, seed="d")
    assert len(skills) == MOST_NEW == len(set(skills))
    assert not todays({}, until=NOON, started_today=MOST_NEW, seed="d")


def test_what_is_due_comes_before_what_is_new():
    everything = todays({}, until=NOON, seed="d", most=60, started_today=-60)
    due = {skill: Record(due=NOON - DAY) for skill in everything[:9]}
    later = {skill: Record(due=NOON + DAY) for skill in everything[9:20]}
    asked = todays(due | later, until=NOON, seed="d")
    assert len(asked) == MOST
    assert set(due) <= set(asked)
    assert not set(later) & set(asked)
    assert not todays(
        later | {"of another version": Record(due=NOON - DAY)}, until=NOON, started_today=5
    )


def test_a_day_is_mixed():
    asked = todays({}, until=NOON, seed="d", most=12, started_today=-12)
    topics = [skill.partition("-")[0] for skill in asked]
    assert len(set(topics)) > 4
