"""Who is due which test: every row of the table typed from the regulation's text."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from calculators.answering.answer import answer
from calculators.base.quantities import Choice
from calculators.catalog import find_calculator
from calculators.questions.brake_test.due import STRICTEST_FIRST, TEST_WORDS

TABLE = Path(__file__).parents[1] / "published" / "law" / "brake-test-decisions.toml"
ROWS = [tuple(row) for row in tomllib.loads(TABLE.read_text(encoding="utf-8"))["rows"]]
BRAKE_TEST = find_calculator("brake-test")


def asked(facts: str):
    entries = dict(pair.split("=", 1) for pair in facts.split())
    found = answer(BRAKE_TEST, entries)
    assert (found.errors, found.unknown) == ({}, {})
    return found


def test_the_table_is_long_enough_and_says_nothing_twice():
    assert len(ROWS) >= 80
    assert len({facts for _, _, facts in ROWS}) == len(ROWS)


@pytest.mark.parametrize(("paragraph", "due", "facts"), ROWS, ids=[row[2] for row in ROWS])
def test_due_as_the_paragraph_says(paragraph: str, due: str, facts: str):
    found = asked(facts)
    results = found.results()
    first, *besides = due.split(" + ")

    assert results["test"] == first
    reasons = [
        step.how.text(found.display)
        for step in found.outcome.working
        if step.label.lower() in {words.lower() for words in TEST_WORDS.values()}
    ]
    if first != "none":
        assert paragraph in " ".join(reasons)
    also = results["also"]
    assert [test for test in STRICTEST_FIRST if f"{TEST_WORDS[test]} (" in also] == besides


@pytest.mark.parametrize("test", STRICTEST_FIRST)
def test_every_test_stands_in_the_table(test: str):
    assert any(test in due.split(" + ") for _, due, _ in ROWS)


def test_every_event_and_every_kind_of_train_and_cars_stand_in_the_table():
    for name in ("event", "train_kind", "added_cars"):
        description = BRAKE_TEST.inputs()[name]
        assert isinstance(description, Choice)
        for option in description.options:
            default = BRAKE_TEST.defaults()[name] == option.value
            assert default or any(f"{name}={option.value}" in facts.split() for *_, facts in ROWS)


class TestWhatFollows:
    def test_class_2_says_that_class_1_comes_next(self):
        """232.209(d)."""
        found = asked("event=added added_cars=other")
        warnings = [n.text.text(found.display) for n in found.outcome.notes if n.kind == "warning"]
        assert any("232.209(d)" in words and "next forward location" in words for words in warnings)

    def test_a_class_2_made_here_before_asks_too(self):
        """232.211(a)(5) gives Class III now; 232.209(d) may hold besides: ask."""
        found = asked("event=added added_cars=tested-here-class-2")
        notes = [n.text.text(found.display) for n in found.outcome.notes]
        assert any("232.209(d)" in words and "Ask your railroad" in words for words in notes)

    def test_a_car_that_fails_class_1_has_no_way_out(self):
        """232.15(a)(8), 232.103(d)."""
        found = asked("event=made-up")
        notes = " ".join(n.text.text(found.display) for n in found.outcome.notes)
        assert "does not go in this train" in notes
        assert "232.15(a)(8)" in notes
        later = asked("event=unchanged miles_since_test=1100")
        assert "does not go in this train" not in " ".join(
            n.text.text(later.display) for n in later.outcome.notes
        )

    def test_the_record_holds_what_the_text_asks_for(self):
        """232.205(e): date, time, number of freight cars, who, where; and off air over 24 hours."""
        found = asked("event=made-up")
        record = next(
            words
            for words in (n.text.text(found.display) for n in found.outcome.notes)
            if "205(e)" in words
        )
        for item in ("date", "time", "number of freight cars", "who made", "place", "24 h"):
            assert item in record

    def test_beyond_the_extended_haul(self):
        """232.213(a)(6): the next leg of 1,000 miles divides the two ways on."""
        found = asked(
            "event=unchanged train_kind=extended-haul miles_since_class_1=1490 miles_ahead=20"
        )
        notes = " ".join(n.text.text(found.display) for n in found.outcome.notes)
        assert "1,000 miles" in notes
        assert "(a)(6)" in notes
