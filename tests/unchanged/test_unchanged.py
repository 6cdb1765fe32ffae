"""Answers are what they were: a guard against a change that nobody meant.

Each file beside this holds answers of one calculator, written by it: they prove no figure (what is
checked from outside stands in ``tests/published``). The questions were drawn at random: of those
without a train to follow the ones that together run the lines that all of them ran, of the others a few
short trains; and each calculator's own example. Whoever means a change writes them anew and reads what
moved before it is kept, and CHANGELOG.md says what a reader notices:
``REFERENCE_ANSWERS=anew python3 build test tests/unchanged``
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from difflib import unified_diff
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.catalog import every_calculator
from calculators.rendering.answers.text import answer_text

HERE = Path(__file__).parent
CALCULATORS = every_calculator()
ANEW = os.environ.get("REFERENCE_ANSWERS") == "anew"
ASKED = "? "
# Limits stand a second time in tests/published; a new edition of a text would move every answer.
LEFT_OUT = ("\nLimits\n", "\nSources\n")
LEAST = 5


def questions(text: str) -> Iterator[str]:
    """What was asked, each as a link asks it."""
    yield from (line.removeprefix(ASKED) for line in text.splitlines() if line.startswith(ASKED))


def answers(name: str, asked: Iterator[str]) -> str:
    """Those questions with their answers as they are now."""
    return "".join(f"{ASKED}{link}\n{said(name, link)}\n\n" for link in asked)


def said(name: str, link: str) -> str:
    found = finished(answer(CALCULATORS[name], dict(parse_qsl(link))))
    assert found.outcome is not None, (link, found.errors, found.unknown)
    text = answer_text(found)
    ends = [place for part in LEFT_OUT if (place := text.find(part)) >= 0]
    return text[: min(ends)].rstrip()


@pytest.mark.parametrize("name", CALCULATORS)
def test_answers_are_what_they_were(name: str):
    file = HERE / f"{name}.txt"
    were = file.read_text(encoding="utf-8")
    now = answers(name, questions(were))
    if ANEW:
        file.write_text(now, encoding="utf-8")
    moved = "\n".join(unified_diff(were.splitlines(), now.splitlines(), "were", "are", lineterm=""))
    assert not moved, f"{moved}\nIf all of it is meant: see the head of this file."


def test_every_calculator_has_some():
    assert {file.stem for file in HERE.glob("*.txt")} == set(CALCULATORS)
    for file in HERE.glob("*.txt"):
        asked = list(questions(file.read_text(encoding="utf-8")))
        assert len(set(asked)) == len(asked) >= LEAST, file.name
