"""The judging of a reading against the limits.

The railroad's own stricter figure is judged first and marked as theirs. Where editions differ
there is no verdict until the user has chosen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from calculators.base.results import Phrase, Reading, Value, say
from calculators.law.limit_list import find_limit
from calculators.law.records import Limit

Standing = Literal[
    "within",
    "not within",
    "not applicable",
    "no reading",
    "choose the edition in your settings",
]

# The option of a choice of edition that stands until the user has chosen.
NOT_CHOSEN = "not-chosen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Railroad:
    """What the user's railroad adds: own figures by limit id, chosen editions by key."""

    own_limits: Mapping[str, float]
    editions: Mapping[str, str]


NO_RAILROAD = Railroad(own_limits={}, editions={})


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
    verdicts: list[Verdict] = []
    own = railroad.own_limits.get(limit.id)
    if own is not None and limit.upper is None and limit.sense != "fact":
        verdicts.append(_judge_own(limit, own, reading))
    chosen = railroad.editions.get(limit.edition_of) if limit.edition_of else None
    if limit.edition_of and chosen is None:
        standing: Standing = "choose the edition in your settings"
        why: Phrase | None = say(
            "Editions differ here; the figure your railroad works under decides."
        )
    elif limit.edition_of and chosen != limit.edition_key:
        standing, why = "not applicable", say("Your settings choose another edition.")
    else:
        standing, why = _standing(limit, reading)
    verdicts.append(
        Verdict(
            limit=limit,
            words=limit.words(),
            reading=reading.value,
            standing=standing,
            why=reading.not_applicable or why,
        )
    )
    if reading.not_applicable is not None:
        return tuple(v for v in verdicts if not v.own)
    return tuple(verdicts)


def _judge_own(limit: Limit, own: float, reading: Reading) -> Verdict:
    stricter = own < limit.figure if limit.sense == "at most" else own > limit.figure
    figure = Value(own, limit.unit, limit.digits)
    theirs = Limit(
        id=limit.id,
        row=limit.row,
        title=limit.title,
        sense=limit.sense,
        figure=own,
        unit=limit.unit,
        digits=limit.digits,
        condition=limit.condition,
        section="your railroad's own figure",
        edition="from your settings",
        how_read=limit.how_read,
    )
    standing, _ = _standing(theirs, reading)
    looser = say(
        "This figure of yours is not stricter than the regulation below; the stricter governs."
    )
    return Verdict(
        limit=theirs,
        words=say(f"{limit.sense} {{figure}}", figure=figure),
        reading=reading.value,
        standing=standing,
        own=True,
        why=None if stricter or own == limit.figure else looser,
    )


def _standing(limit: Limit, reading: Reading) -> tuple[Standing, Phrase | None]:
    if reading.not_applicable is not None:
        return "not applicable", reading.not_applicable
    if reading.value is None:
        return "no reading", None
    return ("within" if limit.holds(reading.value.amount) else "not within"), None
