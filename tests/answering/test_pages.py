"""From a line of an answer to the page that says more of it, and back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calculators.answering.answer import answer
from calculators.answering.pages import PAGES, page_of_limit, page_of_words
from calculators.catalog import CALCULATORS
from calculators.law.limit_list import LIMITS
from calculators.rendering.answers.html import answer_html
from generator.used_in import used_in, users

CONTENT = Path(__file__).parents[2] / "content"


def source(address: str) -> Path:
    return CONTENT / f"{address.rstrip('/')}.md"


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


def test_back_from_a_part_to_the_answers_that_name_it():
    made = used_in(Path("parts/relay-valve.md"))
    assert 'href="../../calculators/locomotive-brake/"' in made
    for page, names in users().items():
        if page.startswith("calculators/"):
            continue
        foot = used_in(source(page).relative_to(CONTENT))
        assert re.findall(r'calculators/([a-z-]+)/"', foot) == list(names)
    assert used_in(Path("about/cautions.md")) == ""
