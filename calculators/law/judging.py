"""The judging of a reading against the limits.

The railroad's own stricter figure is judged first and marked as theirs. Where two texts differ and
no text read says which governs, both stand, and a reading between them gets no verdict.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from calculators.base.results import Phrase, Reading, Value, say
from calculators.law.limit_list import find_limit
from calculators.law.records import Limit

Standing = Literal[
    "within",
    "not within",
    "as named",
    "less than named",
    "more than named",
    "the texts differ: ask your railroad",
    "not applicable",
    "no reading",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Railroad:
    """What the user's railroad adds: own figures by limit id.

    ``given_here`` names those that came with the question, not from the settings.
    """

    own_limits: Mapping[str, float]
    given_here: frozenset[str] = frozenset()


NO_RAILROAD = Railroad(own_limits={})


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One reading beside one limit. ``own`` marks the railroad's own figure."""

    limit: Limit
    words: Phrase
    reading: Value | None
    standing: Standing
    own: bool = False
    why: Phrase | None = None


def judge(reading: Reading, railroad: Railroad = NO_RAILROAD) -> tuple[Verdict, ...]:
    """Judge one reading: the railroad's own figure first, then the regulation's."""
    limit = find_limit(reading.limit)
    standing, why = _standing(limit, reading)
    verdicts: list[Verdict] = []
    own = railroad.own_limits.get(limit.id)
    if own is not None and limit.upper is None and limit.sense != "fact":
        if reading.not_applicable is None:
            given_here = limit.id in railroad.given_here
            verdicts.append(_judge_own(limit, own, reading, given_here=given_here))
        if standing == "more than named" and own > limit.figure:
            why = say("Your railroad asks for more than the text names.")
    verdicts.append(
        Verdict(limit=limit, words=limit.words(), reading=reading.value, standing=standing, why=why)
    )
    return tuple(verdicts)


def looser(limit: Limit, own: float) -> bool:
    """Whether a railroad's own figure lets through what the regulation's does not."""
    return own > limit.figure if limit.sense == "at most" else own < limit.figure


def _judge_own(limit: Limit, own: float, reading: Reading, *, given_here: bool) -> Verdict:
    theirs = replace(
        limit,
        figure=own,
        section="your railroad's own figure",
        edition="given with this question" if given_here else "from your settings",
        other_text="",
    )
    standing, _ = _standing(theirs, reading)
    not_stricter = say(
        "This figure of yours is not stricter than the regulation below; the stricter governs."
    )
    return Verdict(
        limit=theirs,
        words=_own_words(theirs),
        reading=reading.value,
        standing=standing,
        own=True,
        why=not_stricter if looser(limit, own) else None,
    )


def _own_words(theirs: Limit) -> Phrase:
    figure = Value(theirs.figure, theirs.unit, theirs.digits)
    if theirs.sense == "as named":
        return say("{figure} by your railroad", figure=figure)
    return say(f"{theirs.sense} {{figure}}", figure=figure)


def _standing(limit: Limit, reading: Reading) -> tuple[Standing, Phrase | None]:
    if reading.not_applicable is not None:
        return "not applicable", reading.not_applicable
    if reading.value is None:
        return "no reading", None
    amount = reading.value.amount
    within = limit.holds(amount)
    if limit.other_text and within != find_limit(limit.other_text).holds(amount):
        return "the texts differ: ask your railroad", None
    if limit.sense != "as named":
        return ("within" if within else "not within"), None
    if within:
        return "as named", None
    return ("less than named" if amount < limit.figure else "more than named"), None
