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
from collections.abc import Iterator, Sequence
from difflib import unified_diff
from math import fsum
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.results import Axis, Outcome, say
from calculators.catalog import every_calculator
from calculators.rendering.answers.text import answer_text

HERE = Path(__file__).parent
CALCULATORS = every_calculator()
ANEW = os.environ.get("REFERENCE_ANSWERS") == "anew"
ASKED = "? "
# Limits stand a second time in tests/published; a new edition of a text would move every answer. What
# is held to them, what decided and the pictures are kept behind each answer.
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
    beside = [
        *told_by_steps(found.outcome),
        *readings(found),
        *curves(found.outcome),
        *grids(found.outcome),
    ]
    return "\n".join([text[: min(ends)].rstrip(), *beside])


def told_by_steps(outcome: Outcome) -> Iterator[str]:
    """Which steps of the working end in a result, and which decided."""
    for step in outcome.working:
        if step.shows or step.decides:
            yield f"= {step.label}: {step.shows}{' decides' if step.decides else ''}"


def readings(found: Answer) -> Iterator[str]:
    """What is held to each limit, as it is printed."""
    assert found.outcome is not None
    for one in found.outcome.readings:
        why = one.not_applicable.text(found.display) if one.not_applicable else ""
        read = say("{read}", read=one.value).text(found.display) if one.value else "nothing read"
        yield f"= {one.limit}: {why or read}"


def curves(outcome: Outcome) -> Iterator[str]:
    """Each curve by its axes, and by the ends and the mean of its lines."""
    for one in outcome.series:
        yield f"= {one.title}: {axis(one.x)} and {axis(one.y)}; {one.note}"
        marked = ", ".join(f"{x:.6g} {y:.6g}" for x, y in one.marked)
        yield f"=   marked: {marked or 'nothing'}"
        for line in one.lines:
            across, up = zip(*line.points, strict=True) if line.points else ((), ())
            yield f"=   {line.name} ({line.color}): {told(across)}; {told(up)}"


def grids(outcome: Outcome) -> Iterator[str]:
    """Each picture over two axes in the same way."""
    for one in outcome.grids:
        yield f"= {one.title}: {axis(one.columns)}, {told(one.at)}; {one.row}: {len(one.names)}; {one.note}"
        for layer in one.layers:
            every = [value for column in layer.values for value in column]
            yield f"=   {layer.name}, {layer.unit}, {layer.digits} ({layer.color}): {told(every)}"
        for gauge in one.gauges:
            yield f"=   {gauge.name}, {gauge.unit}, {gauge.digits}: {told(gauge.values)}"


def axis(one: Axis) -> str:
    return f"{one.term}, {one.unit}, {one.digits}"


def told(values: Sequence[float]) -> str:
    """How many, the first and the last, and the mean."""
    if not values:
        return "none"
    mean = fsum(values) / len(values)
    return f"{len(values)} from {values[0]:.6g} to {values[-1]:.6g}, mean {mean:.6g}"


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
