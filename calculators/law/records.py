"""What law is made of: published texts, places in them, and limits.

Each text stands once, by a short id; a citation gives the id and the place. What is known from
memory has no source here; it carries the mark M instead. A limit is a record, not code: figure,
unit, condition, section, edition, how it was read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.results import Phrase, Value, say

HowSourceRead = Literal["read in the text", "read as an abstract", "read in part", "second-hand"]
HowLimitRead = Literal["read in the text", "summary only", "from memory"]
Sense = Literal["at most", "at least", "as named", "between", "fact"]

# A reduction is read off a gauge in whole psi: this much over the figure named is still that one.
# Ours, no rule's; under the figure there is no such room.
NAMED_SLACK = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One published text: who issued it, its title, its edition, and how it was read."""

    id: str
    issuer: str
    title: str
    edition: str
    how_read: HowSourceRead


@dataclass(frozen=True, slots=True)
class Citation:
    """A place in a source."""

    source: str
    place: str = ""


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
    how_read: HowLimitRead
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
