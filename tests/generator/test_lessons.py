"""Lessons: questions with folded answers, the example's own record, and what stops the build."""

from __future__ import annotations

import itertools
import re
from html import unescape
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from calculators.answering.answer import answer
from calculators.base.errors import UnknownNameError
from calculators.catalog import CALCULATORS, find_calculator
from calculators.questions.shared.juniper_fork import DOWN_GRADE, LINE, READINGS, SPUR_GRADE
from calculators.questions.shared.train import TRAINS
from calculators.study.items import items
from generator.embeds import Block, EmbedError, expand
from generator.fault_case import fault
from generator.fragments import Fragments
from generator.lesson_fragments import drill, scenario

PAGE = Path("lessons/one.md")
SCENARIO = Path(__file__).parents[2] / "content/learn/juniper-fork.md"


def block(subject: str, **settings: str) -> Block:
    return Block(subject=subject, settings=settings, number=1, page=PAGE)


def test_a_drill_holds_the_questions_of_its_seed():
    made = drill(block("locomotive", number="4", seed="a"))
    drawn = items(["locomotive"], 4, "a")
    assert made.count("<summary>") == len(drawn) == 4
    for item in drawn:
        assert item.right.words in re.sub(r"<[^>]*>", "", made)
    assert made == drill(block("locomotive", number="4", seed="a"))
    assert made != drill(block("locomotive", number="4", seed="b"))
    assert 'href="../../calculators/' in made


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (block("no-such-topic"), "no-such-topic"),
        (block("locomotive", number="none"), "whole number"),
        (block("locomotive", number="99"), "whole number"),
        (block("locomotive", sead="1"), "sead"),
    ],
)
def test_a_drill_that_is_not_understood_stops_the_build(asked: Block, words: str):
    with pytest.raises((LookupError, ValueError), match=words):
        drill(asked)


READ = {"observations": "ten-off cylinder 12; thirty-off cylinder 30; independent cylinder 22"}


def test_a_case_shows_its_readings_and_folds_up_what_fits():
    """With a relay that gives half, every cylinder reading is half: TRADE's ratio, by hand."""
    made = fault(block("relay-ratio-low", stages="ten-off independent"))
    seen, solved = (re.sub(r"<[^>]*>", "", part) for part in made.split("<details"))
    off, full = answer(CALCULATORS["locomotive-brake"], {"reduction": "10"}), 45
    right = float(str(off.results()["brake_cylinder"]))
    said = [float(n) for n in re.findall(r"brake cylinder (\d+) psi", seen)]
    assert said == pytest.approx([right / 2, full / 2], abs=1)
    assert "example locomotive" in seen
    assert "gives too little" not in seen
    assert "Relay gives too little" in solved
    query = parse_qs(urlsplit(html_of(made, "calculators/find-fault/")).query)
    same = answer(find_calculator("find-fault"), {"observations": query["observations"][0]})
    assert str(same.results()["faults"]) in solved


def html_of(made: str, page: str) -> str:
    """The address of the one link to a page."""
    (found,) = re.findall(rf'href="([^"]*{page}[^"]*)"', made)
    return unescape(found)


def test_readings_may_be_given():
    made = re.sub(r"<[^>]*>", "", fault(block("readings", **READ)))
    assert "10 off: brake cylinder 12 psi." in made
    assert "Fits best: relay gives too little" in made
    assert "Put in" not in made


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (block("relay-ratio-lw"), "near it: relay-ratio-low"),
        (block("relay-ratio-low", stages="tenoff"), "near it: ten-off"),
        (block("relay-ratio-low", stage="ten-off"), "near it: stages"),
        (block("readings"), "needs a line observations"),
        (block("readings", observations="ten-off cylnder 30"), "near it: cylinder"),
        (block("readings", observations="train-ten rear 80"), "no reading of the locomotive"),
        # Charged alone, a blocked pipe 16 reads as a locomotive in order.
        (block("pipe-16-blocked", stages="charged"), "does not lead to pipe-16-blocked"),
    ],
)
def test_a_case_that_is_not_understood_is_told_with_near_names(asked: Block, words: str):
    with pytest.raises((LookupError, ValueError)) as refused:
        fault(asked)
    assert words in str(refused.value)


def test_and_stops_the_build_with_file_and_line():
    text = "# A\n\nWords.\n\n```fault\nrelay-ratio-lw\n```\n"
    with pytest.raises(EmbedError, match=r"lessons/one\.md:5: .*near it: relay-ratio-low"):
        expand(text, file=PAGE, blocks={"fault": fault}, inline=str)


def test_a_lesson_of_the_example_has_a_case():
    lessons = (SCENARIO.parents[1] / "lessons").glob("*.md")
    assert any("```fault\n" in lesson.read_text(encoding="utf-8") for lesson in lessons)


def test_the_scenario_is_the_record_that_the_calculators_start_from():
    trains, line, read = (scenario(block(one)) for one in ("trains", "line", "readings"))
    assert all(name in trains for name in TRAINS)
    assert line.count("<tr>") == len(LINE) + 1
    assert CALCULATORS["grade-balance"].defaults()["grade"] == DOWN_GRADE
    assert CALCULATORS["hand-brakes"].defaults()["grade"] == SPUR_GRADE
    for calculator in CALCULATORS.values():
        for name, text in calculator.example_readings.items():
            assert READINGS[name] == text, calculator.name
            assert calculator.title in read
    with pytest.raises(LookupError, match="weather"):
        scenario(block("weather"))


def test_the_line_runs_through_without_a_gap():
    for one, following in itertools.pairwise(LINE):
        assert one.end == following.start
        assert one.to_mile == following.from_mile
        assert one.from_mile < one.to_mile


def test_no_figure_of_the_scenario_is_typed():
    text = SCENARIO.read_text(encoding="utf-8").split("---\n", 2)[2]
    bare = re.sub(r"\{\{.*?\}\}|JF-[37]|\]\([^)]*\)", "", text)
    assert not re.search(r"\d", bare)


def test_a_reading_in_a_sentence():
    made = Fragments(()).inline("scenario air_flow")
    assert ">48 cfm<" in made
    with pytest.raises(UnknownNameError, match="weather"):
        Fragments(()).inline("scenario weather")


def test_a_run_starts_from_its_train():
    made = Fragments(()).train_run(block("JF-7", seconds="5"))
    assert 'data-calculator="train-run"' in made
    assert "&quot;cars&quot;: &quot;26&quot;" in made
    with pytest.raises(LookupError, match="JF-9"):
        Fragments(()).train_run(block("JF-9"))


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("locomotive-brake.brake_cylnder", "brake_cylinder"),
        ("locomotive-brake.brake_cylinder reducton=12", "reduction"),
        ("limit air-flw", "air-flow"),
        ("source CFR-232-20", "CFR-232-205"),
        ("locomotive-brak.brake_cylinder", "locomotive-brake"),
    ],
)
def test_a_wrong_name_is_told_with_those_near_it(words: str, meant: str):
    with pytest.raises(LookupError) as refused:
        Fragments(()).inline(words)
    assert meant in str(refused.value).partition(";")[2]
