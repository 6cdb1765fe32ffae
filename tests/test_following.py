"""Answers with a part that follows: one way for all who ask."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Annotated

import pytest

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished, follow, with_results
from calculators.answering.shown import STILL_OPEN, result_rows
from calculators.base.quantities import Quantity
from calculators.base.results import Outcome, Progress, Reading, ToFollow, psi, say
from calculators.declaring.registry import calculator
from calculators.law.records import Citation
from calculators.rendering.answers.html import answer_html
from calculators.rendering.answers.json_form import answer_object
from calculators.rendering.answers.text import answer_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Slow(Outcome):
    soon: Annotated[float, Quantity(term="Soon", unit="psi")]
    late: Annotated[float | None, Quantity(term="Late", unit="psi")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    figure: Annotated[float, Quantity(term="Figure", unit="psi", low=0)] = 75.0


@calculator(
    "slow",
    title="Slow",
    question="How long does it take?",
    sources=(Citation("RLE"),),
    validity=("Always.",),
    leaves_out=("Nothing.",),
)
def slow(given: Asked) -> Slow:
    figure = given.figure

    def work() -> Generator[Progress, None, Slow]:
        yield Progress(done=1, of=2)
        return Slow(
            soon=figure,
            late=2 * figure,
            bands={"late": 3.0},
            headline=say("Done."),
            readings=(Reading(limit="rear-floor-class-1", value=psi(figure)),),
        )

    return Slow(
        soon=figure,
        late=None,
        headline=say("Begun."),
        to_follow=ToFollow(what="the snail", fills=("late",), of=Progress(done=0, of=2), work=work),
    )


def test_the_first_answer_says_what_is_open():
    first = answer(slow, {})
    rows = {row.name: row.text for row in result_rows(first)}
    assert rows == {"soon": "75 psi", "late": STILL_OPEN}
    assert "Still to come: what the snail adds." in answer_text(first)
    shown = answer_html(first, id="x")
    assert '<progress max="2" value="0"' in shown
    assert "The snail has run 0 of 2 s." in shown
    assert answer_object(first)["results"]["late"] is None


def test_progress_then_the_whole_answer_with_its_verdicts():
    part, last = follow(answer(slow, {}))
    assert part == Progress(done=1, of=2)
    assert isinstance(last, Answer)
    rows = {row.name: row.text for row in result_rows(last)}
    assert rows == {"soon": "75 psi", "late": "150 ± 3 psi"}
    assert [verdict.standing for verdict in last.verdicts] == ["within"]
    assert "progress" not in answer_html(last, id="x")
    assert answer_object(last)["bands"] == {"late": 3.0}
    assert finished(answer(slow, {})).results() == last.results()


def test_the_railroads_own_limit_judges_what_follows():
    own = finished(answer(slow, {"limit.rear-floor-class-1": "80"}))
    assert (own.verdicts[0].own, own.verdicts[0].standing) == (True, "not within")


def test_an_answer_with_errors_has_nothing_to_follow():
    wrong = answer(slow, {"figure": "x"})
    assert list(follow(wrong)) == [wrong]


def test_only_who_asks_for_a_late_result_waits_for_it():
    first = answer(slow, {})
    assert with_results(first, ("soon",)) is first
    assert with_results(first, ("soon", "late")).results()["late"] == 150
    whole = finished(first)
    assert with_results(whole, ("late",)) is whole


def test_a_band_that_names_no_result_is_no_harm_to_equality():
    assert answer(slow, {}).outcome == answer(slow, {}).outcome


@pytest.mark.parametrize("typed", ["", "  ", "10000"])
def test_a_follow_up_never_raises(typed: str):
    *_, last = follow(answer(slow, {"figure": typed}))
    assert isinstance(last, Answer)
