"""Judging readings: sides, figures as named, the railroad's own figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.errors import UnknownNameError
from calculators.base.results import Display, Reading, Value, psi, say
from calculators.law.judging import NO_RAILROAD, Railroad, judge
from calculators.law.limit_list import LIMITS, find_limit

LEAKAGE, REAR = "brake-pipe-leakage", "main-reservoir-over-brake-pipe"


def standing(id: str, amount: float, railroad: Railroad = NO_RAILROAD) -> list[tuple[bool, str]]:
    limit = find_limit(id)
    verdicts = judge(Reading(limit=id, value=Value(amount, limit.unit)), railroad)
    return [(v.own, v.standing) for v in verdicts]


def test_the_figure_itself_is_within():
    figure = find_limit(LEAKAGE).figure
    assert standing(LEAKAGE, figure) == [(False, "within")]
    assert standing(LEAKAGE, figure + 0.1) == [(False, "not within")]
    least = find_limit(REAR).figure
    assert standing(REAR, least) == [(False, "within")]
    assert standing(REAR, least - 0.1) == [(False, "not within")]


def test_own_stricter_figure_comes_first():
    own = Railroad(own_limits={LEAKAGE: 3.0})
    assert standing(LEAKAGE, 4, own) == [(True, "not within"), (False, "within")]


def test_own_looser_figure_is_called_out():
    own = Railroad(own_limits={LEAKAGE: 9.0})
    first, second = judge(Reading(limit=LEAKAGE, value=Value(7, "psi/min")), own)
    assert first.own
    assert first.why is not None
    assert "stricter governs" in first.why.template
    assert second.standing == "not within"


@given(st.floats(0, 20), st.floats(0, 20), st.floats(0, 20))
def test_a_stricter_limit_never_lets_more_through(reading: float, strict: float, loose: float):
    strict, loose = min(strict, loose), max(strict, loose)
    tight = standing(LEAKAGE, reading, Railroad(own_limits={LEAKAGE: strict}))[0]
    wide = standing(LEAKAGE, reading, Railroad(own_limits={LEAKAGE: loose}))[0]
    assert not (tight[1] == "within" and wide[1] == "not within")


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (0, "less than named"),
        (19.9, "less than named"),
        (20, "as named"),
        (21, "as named"),
        (21.1, "more than named"),
        (30, "more than named"),
    ],
)
def test_a_figure_that_the_text_names_is_neither_less_nor_more(made, expected):
    assert standing("application-reduction", made) == [(False, expected)]


def test_a_railroad_may_name_more():
    own = Railroad(own_limits={"transfer-reduction": 20.0})
    first, second = judge(Reading(limit="transfer-reduction", value=psi(20)), own)
    assert (first.own, first.standing) == (True, "as named")
    assert first.words.text(Display()) == "20 psi by your railroad"
    assert second.standing == "more than named"
    assert second.why is not None
    assert "asks for more" in second.why.template


def test_not_applicable_and_no_reading():
    own = Railroad(own_limits={LEAKAGE: 3.0})
    reason = say("Not on this train.")
    (verdict,) = judge(Reading(limit=LEAKAGE, value=psi(1), not_applicable=reason), own)
    assert (verdict.standing, verdict.why) == ("not applicable", reason)
    (verdict,) = judge(Reading(limit=LEAKAGE, value=None))
    assert verdict.standing == "no reading"


def test_ranges_and_facts():
    ranges = [limit for limit in LIMITS.values() if limit.sense == "between"]
    assert ranges
    for limit in ranges:
        assert limit.upper is not None
        assert limit.holds(limit.figure)
        assert limit.holds(limit.upper)
        assert not limit.holds(limit.upper + 1)
    fact = next(limit for limit in LIMITS.values() if limit.sense == "fact")
    with pytest.raises(ValueError, match="states a fact"):
        fact.holds(1)


def test_unknown_limit():
    with pytest.raises(UnknownNameError):
        find_limit("nothing")
