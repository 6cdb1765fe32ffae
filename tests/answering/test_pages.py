"""From a line of an answer to the page that says more of it, and back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calculators.answering.answer import answer
from calculators.answering.pages import (
    PAGES,
    RESULTS,
    page_of_limit,
    page_of_result,
    page_of_words,
)
from calculators.answering.shown import shown_outputs
from calculators.catalog import CALCULATORS, every_calculator
from calculators.circuits.catalog import CIRCUITS
from calculators.declaring.registry import Calculator
from calculators.law.limit_list import LIMITS
from calculators.rendering.answers.html import answer_html
from generator.embeds import Block
from generator.glossary import Glossary
from generator.limit_fragments import LimitLists
from generator.used_in import parts_shown, used_in, users

CONTENT = Path(__file__).parents[2] / "content"


def whole(name: str) -> Block:
    return Block(subject="all", settings={}, number=1, page=Path(f"{name}.md"))


LISTS = {
    "glossary/": Glossary.read(CONTENT).block(whole("glossary")),
    "limits/": LimitLists.read(CONTENT).block(whole("limits")),
}


def source(address: str) -> Path:
    """The page of an address, which may be the first of its folder."""
    place = address.partition("#")[0].rstrip("/")
    return next(p for p in (CONTENT / f"{place}.md", CONTENT / place / "index.md") if p.is_file())


@pytest.mark.parametrize("words", PAGES)
def test_every_page_is_there_and_its_words_lead_to_it(words: str):
    assert source(PAGES[words]).is_file()
    assert page_of_words(f"The {words} moves") == PAGES[words]
    assert page_of_words(f"The {words}x moves") != PAGES[words] or " " in words


def test_the_longest_name_counts():
    assert page_of_words("Emergency limiting valve") == "parts/emergency-limiting-valve/"
    assert page_of_words("The brake pipe relay opens") == "parts/automatic-brake-valve/"
    assert page_of_words("Double check valve") == "parts/double-check-valve/"


@pytest.mark.parametrize("handle", ["service", "emergency", "suppression"])
def test_every_part_in_the_locomotives_working_leads_to_its_page(handle: str):
    calculator = CALCULATORS["locomotive-brake"]
    found = answer(calculator, {"handle": handle})
    assert found.outcome is not None
    made = answer_html(found, id="x", page="../../calculators/locomotive-brake/")
    for step in found.outcome.working:
        page = page_of_words(step.label)
        assert page, step.label
        assert f'<b><a href="../../{page}">{step.label}</a></b>' in made


def test_every_limit_beside_an_answer_leads_to_the_list_of_limits():
    for calculator in CALCULATORS.values():
        if calculator.name == "train-run":
            continue
        found = answer(calculator, calculator.example_readings, example=True)
        made = answer_html(found, id="x", page=f"../../calculators/{calculator.name}/")
        for verdict in found.verdicts:
            assert f'href="../../{page_of_limit(verdict.limit.id)}"' in made
    assert {page_of_limit(id) for id in LIMITS} == {f"limits/#{id}" for id in LIMITS}


def entry_of(listed: str, anchor: str) -> str:
    """One limit or term of a list."""
    return re.split(r"<(?:li|div) id=", listed[listed.index(f'id="{anchor}"') :])[0]


# What a result may lead to: a part, a circuit, a limit, a test, a way to release, a fault or a term.
SUBJECTS = (
    "circuits/",
    "faults/",
    "glossary/#",
    "limits/#",
    "parts/",
    "recovering/",
    "release-modes/",
    "tests/",
)


def leads(calculator: Calculator) -> dict[str, str]:
    outputs = shown_outputs(calculator)
    return {name: page_of_result(calculator.name, name, one.term) for name, one in outputs.items()}


@pytest.mark.parametrize("calculator", every_calculator().values(), ids=every_calculator())
def test_every_result_leads_to_its_subject_in_one_click(calculator: Calculator):
    found = answer(calculator, calculator.example_readings, example=True)
    made = answer_html(found, id="x", page=f"../../calculators/{calculator.name}/")
    rows = dict(re.findall(r'<dt>(.*?)</dt><dd[^>]*data-result="(\w+)"', made))
    # What a sum says of itself is told by JSON alone.
    assert sorted(rows.values()) == sorted(shown_outputs(calculator))
    for row, name in rows.items():
        page = leads(calculator)[name]
        assert page.startswith(SUBJECTS), (name, page)
        assert f'href="../../{page}"' in row, name
    assert set(RESULTS.get(calculator.name, {})) <= set(calculator.outputs())


@pytest.mark.parametrize("calculator", every_calculator().values(), ids=every_calculator())
def test_and_every_subject_leads_back_in_one_click(calculator: Calculator):
    back = f'calculators/{calculator.name}/"'
    for name, page in leads(calculator).items():
        place, _, anchor = page.partition("#")
        if not anchor:
            assert back in used_in(source(page).relative_to(CONTENT)), (name, page)
            continue
        assert back in entry_of(LISTS[place], anchor), (name, page)


def test_a_circuit_leads_to_the_parts_that_it_shows_and_they_lead_back():
    for id in CIRCUITS:
        foot = parts_shown(Path(f"circuits/{id}.md"))
        parts = re.findall(r'href="../../(parts/[a-z0-9-]+/)"', foot)
        assert len(parts) >= 6
        for part in parts:
            assert 'href="../../circuits/"' in used_in(source(part).relative_to(CONTENT))
    assert parts_shown(Path("parts/relay-valve.md")) == ""
    assert parts_shown(Path("circuits/index.md")) == ""


def test_every_limit_names_the_calculators_that_judge_it():
    listed = LISTS["limits/"]
    for calculator in every_calculator().values():
        for id in calculator.judges:
            assert f'calculators/{calculator.name}/"' in entry_of(listed, id), id


def test_back_from_a_part_to_the_answers_that_name_it():
    made = used_in(Path("parts/relay-valve.md"))
    assert 'href="../../calculators/locomotive-brake/"' in made
    for page, names in users().items():
        if page.startswith("calculators/") or "#" in page:
            continue
        foot = used_in(source(page).relative_to(CONTENT))
        assert re.findall(r'calculators/([a-z-]+)/"', foot) == list(names)
    assert used_in(Path("about/cautions.md")) == ""
