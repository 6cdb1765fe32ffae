"""Limits with their sections, and the judging of a reading against them.

A limit is a record, not code: figure, unit, condition, section, edition, how it was read. The
railroad's own stricter figure is judged first and marked as theirs. Where two texts differ and no
text read says which governs, both stand, and a reading between them gets no verdict.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from calculators.base.errors import UnknownNameError
from calculators.base.results import Phrase, Reading, Value, say

Sense = Literal["at most", "at least", "as named", "between", "fact"]
HowRead = Literal["read in the text", "summary only", "from memory"]
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

# A reduction is read off a gauge in whole psi: this much over the figure named is still that one.
# Ours, no rule's; under the figure there is no such room.
NAMED_SLACK = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of a regulation.

    ``figure`` (and ``upper`` for a range) is in ``unit``. ``sense`` says which side is within;
    ``as named`` is a figure that a test is made with, neither less nor more; a ``fact`` is stated
    and never judged. ``other_text`` is the id of the limit that another text has for the same
    reading, where no text says which of the two governs.
    """

    id: str
    title: str
    sense: Sense
    figure: float
    upper: float | None = None
    unit: str = "psi"
    digits: int = 0
    condition: str
    section: str
    edition: str
    how_read: HowRead
    other_text: str = ""

    def words(self) -> Phrase:
        """The limit as a phrase: "at most 5 psi/min"."""
        figure = self._value(self.figure)
        if self.upper is not None:
            return say("{low} to {high}", low=figure, high=self._value(self.upper))
        if self.sense == "fact":
            return say("{figure}", figure=figure)
        if self.sense == "as named":
            return say("{figure} by the text", figure=figure)
        return say(f"{self.sense} {{figure}}", figure=figure)

    def _value(self, amount: float) -> Value:
        """A figure of the limit as its text prints it: 5, not 5.0."""
        whole = amount == round(amount)
        return Value(amount, self.unit, 0 if whole else max(1, self.digits))

    def holds(self, amount: float) -> bool:
        """Whether a reading lies within the limit; the figure itself does."""
        slack = 1e-9 * max(1.0, abs(self.figure))
        if self.sense == "at most":
            return amount <= self.figure + slack
        if self.sense == "at least":
            return amount >= self.figure - slack
        if self.sense == "as named":
            return self.figure - slack <= amount <= self.figure + NAMED_SLACK + slack
        if self.sense == "between" and self.upper is not None:
            return self.figure - slack <= amount <= self.upper + slack
        raise ValueError(f"{self.id} states a fact; nothing is judged against it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Railroad:
    """What the user's railroad adds: own figures by limit id."""

    own_limits: Mapping[str, float]


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


def find_limit(id: str) -> Limit:
    """The limit of that id; raises UnknownNameError if there is none."""
    from calculators.base.limit_list import LIMITS

    if id not in LIMITS:
        raise UnknownNameError(f"no limit has the id {id!r}")
    return LIMITS[id]


def judge(reading: Reading, railroad: Railroad = NO_RAILROAD) -> tuple[Verdict, ...]:
    """Judge one reading: the railroad's own figure first, then the regulation's."""
    limit = find_limit(reading.limit)
    standing, why = _standing(limit, reading)
    verdicts: list[Verdict] = []
    own = railroad.own_limits.get(limit.id)
    if own is not None and limit.upper is None and limit.sense != "fact":
        if reading.not_applicable is None:
            verdicts.append(_judge_own(limit, own, reading))
        if standing == "more than named" and own > limit.figure:
            why = say("Your railroad asks for more than the text names.")
    verdicts.append(
        Verdict(limit=limit, words=limit.words(), reading=reading.value, standing=standing, why=why)
    )
    return tuple(verdicts)


def below_road_setting() -> Phrase:
    """What to say of a brake pipe setting under the one for road service."""
    return say(
        "For road service the regulating device is set to at least {road}, in switching to {yard} (49 "
        "CFR 232.103(o)(1)).",
        road=Value(find_limit("brake-pipe-setting-road").figure),
        yard=Value(find_limit("brake-pipe-setting-switching").figure),
    )


def looser(limit: Limit, own: float) -> bool:
    """Whether a railroad's own figure lets through what the regulation's does not."""
    return own > limit.figure if limit.sense == "at most" else own < limit.figure


def _judge_own(limit: Limit, own: float, reading: Reading) -> Verdict:
    theirs = replace(
        limit,
        figure=own,
        section="your railroad's own figure",
        edition="from your settings",
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
