"""Judging readings: sides, the railroad's own figure, editions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.errors import UnknownNameError
from calculators.base.results import Reading, Value, psi, say
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
    own = Railroad(own_limits={LEAKAGE: 3.0}, editions={})
    assert standing(LEAKAGE, 4, own) == [(True, "not within"), (False, "within")]


def test_own_looser_figure_is_called_out():
    own = Railroad(own_limits={LEAKAGE: 9.0}, editions={})
    first, second = judge(Reading(limit=LEAKAGE, value=Value(7, "psi/min")), own)
    assert first.own
    assert first.why is not None
    assert "stricter governs" in first.why.template
    assert second.standing == "not within"


@given(st.floats(0, 20), st.floats(0, 20), st.floats(0, 20))
def test_a_stricter_limit_never_lets_more_through(reading: float, strict: float, loose: float):
    strict, loose = min(strict, loose), max(strict, loose)
    tight = standing(LEAKAGE, reading, Railroad(own_limits={LEAKAGE: strict}, editions={}))[0]
    wide = standing(LEAKAGE, reading, Railroad(own_limits={LEAKAGE: loose}, editions={}))[0]
    assert not (tight[1] == "within" and wide[1] == "not within")


def test_editions_wait_for_the_user():
    differing = [limit for limit in LIMITS.values() if limit.edition_of]
    assert differing
    for limit in differing:
        reading = Reading(limit=limit.id, value=Value(limit.figure, limit.unit))
        (open_verdict,) = judge(reading)
        assert open_verdict.standing == "choose the edition in your settings"
        chosen = Railroad(own_limits={}, editions={limit.edition_of: limit.edition_key})
        (verdict,) = judge(reading, chosen)
        assert verdict.standing in ("within", "not applicable")
        other = Railroad(own_limits={}, editions={limit.edition_of: "another"})
        (verdict,) = judge(reading, other)
        assert verdict.standing == "not applicable"


def test_not_applicable_and_no_reading():
    own = Railroad(own_limits={LEAKAGE: 3.0}, editions={})
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
