"""Questions: the right answer is the calculator's, every wrong one is a mistake that shows."""

from __future__ import annotations

import re
from functools import cache
from urllib.parse import parse_qsl

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.errors import UnknownNameError
from calculators.base.results import Display
from calculators.catalog import find_calculator
from calculators.study.catalog import FORMS, MISTAKES, SKILLS, TOPICS
from calculators.study.draws import Draws
from calculators.study.items import APART_PSI, OPTIONS, Item, asked_again, item, items

# A question that a whole train is run for takes as long as thirty others.
OF_RUNS, OF_SUMS = 2, 12
UNITS = ("psi", "kPa", "bar")
PARTS = 8


@cache
def drawn(skill: str) -> tuple[Item, ...]:
    runs = SKILLS[skill].form.calculator in ("circuit", "train-run")
    return tuple(item(skill, str(seed)) for seed in range(OF_RUNS if runs else OF_SUMS))


def every() -> list[Item]:
    return [one for skill in SKILLS for one in drawn(skill)]


def test_the_same_seed_draws_the_same_and_another_does_not():
    assert items(number=8, seed="a") == items(number=8, seed="a")
    assert items(number=8, seed="a") != items(number=8, seed="b")


def test_numbers_are_drawn_as_the_published_generator_draws_them():
    # SplitMix64 from state 0, first three outputs: the values printed with the generator's
    # reference code and used in the test suites of several languages.
    draws = Draws("")
    draws._state = 0
    assert [draws._next() for _ in range(3)] == [
        0xE220A8397B1DCDAF,
        0x6E789E6AA1B965F4,
        0x06C45D188009454F,
    ]


@pytest.mark.parametrize("skill", SKILLS)
def test_questions_of(skill: str):
    for one in drawn(skill):
        right_is_the_calculators(one)
        wrong_answers_name_their_mistake_and_step(one)


@pytest.mark.long
@pytest.mark.parametrize("part", range(PARTS))
def test_questions_of_ten_thousand_seeds(part: int):
    """All parts together draw ten thousand; each takes some minutes."""
    three = total = 0
    for turn in range(part, PARTS * (10_000 // PARTS // len(SKILLS) + 1), PARTS):
        for skill in SKILLS:
            one = item(skill, f"long {turn}", display=Display(pressure=UNITS[turn % 3]))
            right_is_the_calculators(one)
            wrong_answers_name_their_mistake_and_step(one)
            words = [one.right.words, *(wrong.words for wrong in one.wrong)]
            assert len(set(words)) == len(words), one
            three += len(one.options()) == OPTIONS
            total += 1
    assert total >= 10_000 / PARTS
    assert three >= 0.98 * total


def right_is_the_calculators(one: Item) -> None:
    name, _, query = one.address.partition("/?")
    calculator = find_calculator(name.removeprefix("calculators/"))
    found = answer(calculator, dict(parse_qsl(query)))
    assert not found.errors
    assert not found.unknown
    form = SKILLS[one.skill].form
    if form.follows:
        found = finished(found)
    if one.kind == "within":
        said = [f"{v.standing}: {v.words.text(found.display)}" for v in found.verdicts]
        assert any(one.right.words.startswith(words) for words in said)
        return
    if one.right.value is None:
        # The order of steps is its own words; the others are named in the form.
        assert one.kind == "order" or one.right.words in form.options.values()
        return
    assert found.results()[form.asks] == pytest.approx(one.right.value, abs=1e-9)


def wrong_answers_name_their_mistake_and_step(one: Item) -> None:
    assert one.wrong
    assert one.wrong[0].mistake == one.mistake
    labels = {line.label for line in one.working}
    for wrong in one.wrong:
        assert wrong.step in labels
        assert wrong.step in wrong.sentence()
        assert wrong.name == MISTAKES[wrong.mistake].name
        assert wrong.name in wrong.sentence()
        if wrong.value is not None and one.right.unit == "psi" and one.right.value is not None:
            assert abs(wrong.value - one.right.value) >= APART_PSI > 2 * one.right.tolerance
    assert len(set(one.options())) == min(OPTIONS, 1 + len(one.wrong))
    assert one.right.words in one.options()


def test_a_question_is_the_same_from_what_is_kept_of_it():
    for one in every():
        assert asked_again(one.skill, one.seed, one.entries) == one


def test_nearly_all_have_three_options():
    three = sum(len(one.options()) == OPTIONS for one in every())
    assert three >= 0.98 * len(every())


@pytest.mark.parametrize("unit", UNITS)
def test_no_two_options_read_alike(unit: str):
    for skill in SKILLS:
        one = item(skill, "7", display=Display(pressure=unit))
        words = [one.right.words, *(wrong.words for wrong in one.wrong)]
        assert len(set(words)) == len(words), one
        if unit != "psi":
            assert not re.search(r"\d psi", one.question), one.question


def test_the_options_order_gives_nothing_away():
    places = [one.options().index(one.right.words) for one in every() if len(one.options()) == 3]
    for place in range(3):
        assert places.count(place) > len(places) / 5


def test_topics_and_names():
    assert {form.topic for form in FORMS} == set(TOPICS)
    assert {one.mistake for one in every()} <= set(MISTAKES)
    assert all(form.id.islower() for form in FORMS)
    assert len({form.id for form in FORMS}) == len(FORMS)
    with pytest.raises(UnknownNameError, match="banana"):
        items(["banana"])


def test_papers_that_are_alike_ask_after_the_same_mistakes():
    one, other = (items(number=10, seed=seed, alike=True) for seed in "ab")
    assert [a.skill for a in one] == [b.skill for b in other]
    assert [a.entries for a in one] != [b.entries for b in other]


def test_own_settings_count_and_the_question_goes_on_if_they_hide_the_mistake():
    own = {"locomotive-brake": {"multiplier": "2"}}
    one = items(["loco-cylinder.pipe-multiplied"], 1, "3", settings=own)[0]
    assert "multiplier=2&" in one.address
    hidden = {"locomotive-brake": {"main_reservoir": "0"}}
    assert items(["loco-cylinder.limit-forgotten"], 1, "3", settings=hidden)[0].wrong
