"""How all readings of an answer stand against their limits, in one line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from calculators.base.results import Phrase, Value, rounded, say
from calculators.law.judging import Verdict

Kind = Literal["", "within", "not within", "no verdict", "not read"]

# The worst of several says how all of them stand.
_WORST_FIRST: tuple[Kind, ...] = ("not within", "no verdict", "not read", "within")
_AS_SAID: tuple[Kind, ...] = ("within", "not within", "no verdict", "not read")
_KINDS: dict[str, Kind] = {
    "within": "within",
    "not within": "not within",
    "no reading": "not read",
    "not applicable": "",
    "as named": "within",
}
# More decimals than these tell no gauge readings apart.
_MOST_DIGITS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How many readings are within, not within, without a verdict and not read; and in words.

    ``kind`` is the worst of them: a reading that is not within outweighs any number of others, and
    what was not read is never taken for within. It is empty if no limit stands beside the answer.
    """

    kind: Kind
    counts: dict[Kind, int]
    words: Phrase


def kind_of(verdict: Verdict) -> Kind:
    """How one verdict stands; a standing that says neither way is no verdict."""
    return _KINDS.get(verdict.standing, "no verdict")


def standing(verdicts: Iterable[Verdict], *, never: str = "") -> Standing:
    """Sum up the verdicts of an answer.

    A reading that is judged by the railroad's own figure and by the regulation counts once, by the
    worse of the two. ``never`` names what no reading shows: with it nothing is within as a whole.
    """
    readings = [group for group in _readings(verdicts) if _worst(group)]
    counts: dict[Kind, int] = dict.fromkeys(_WORST_FIRST, 0)
    for group in readings:
        counts[_worst(group)] += 1
    kind: Kind = next((kind for kind in _WORST_FIRST if counts[kind]), "")
    if never:
        words = _counted(counts, also=never)
        if kind == "not within":
            first = next(v for group in readings for v in group if kind_of(v) == kind)
            words = distance(first, others=counts[kind] - 1, also=f"{_said(counts)}. {never}")
        return Standing(
            kind=kind if kind in ("not within", "no verdict") else "not read",
            counts=counts,
            words=words,
        )
    return Standing(kind=kind, counts=counts, words=_words(kind, counts, readings))


def _readings(verdicts: Iterable[Verdict]) -> Iterator[tuple[Verdict, ...]]:
    own: tuple[Verdict, ...] = ()
    for verdict in verdicts:
        if verdict.own:
            own = (verdict,)
            continue
        yield (*own, verdict)
        own = ()


def _worst(group: tuple[Verdict, ...]) -> Kind:
    kinds = {kind_of(verdict) for verdict in group}
    return next((kind for kind in _WORST_FIRST if kind in kinds), "")


def _words(kind: Kind, counts: dict[Kind, int], readings: list[tuple[Verdict, ...]]) -> Phrase:
    if not kind:
        return say("No limit goes with this answer.")
    if kind == "not within":
        first = next(v for group in readings for v in group if kind_of(v) == kind)
        return distance(first, others=counts[kind] - 1)
    if len(readings) == 1:
        (group,) = readings
        verdict = next(v for v in group if kind_of(v) == kind)
        return _single(kind, verdict)
    return _counted(counts)


def _said(counts: dict[Kind, int]) -> str:
    said = [f"{counts[kind]} {kind}" for kind in _AS_SAID]
    return ", ".join(words for words in said if words not in ("0 no verdict", "0 not read"))


def _counted(counts: dict[Kind, int], *, also: str = "") -> Phrase:
    return say("{counts}.{also}", counts=_said(counts), also=f" {also}" if also else "")


def _single(kind: Kind, verdict: Verdict) -> Phrase:
    title = verdict.limit.title
    if verdict.reading is None or kind == "not read":
        return say("{title}: not read.", title=title)
    if kind == "within":
        return say(
            f"Within: {{title}}, {{reading}}; {verdict.words.template}.",
            title=title,
            reading=verdict.reading,
            **verdict.words.parts,
        )
    return say(
        "No verdict: {title}, {reading}; {standing}.",
        title=title,
        reading=verdict.reading,
        standing=verdict.standing,
    )


def distance(verdict: Verdict, *, others: int = 0, also: str = "") -> Phrase:
    """A reading that is not within, with how far it is off: "7 psi under the least of 75 psi"."""
    limit, reading = verdict.limit, verdict.reading
    assert reading is not None
    over = limit.sense == "at most" or (limit.upper is not None and reading.amount > limit.upper)
    bound = limit.upper if over and limit.upper is not None else limit.figure
    digits = _telling(abs(reading.amount - bound), max(reading.digits, limit.digits))
    whole = bound == round(bound)
    side = "over the most" if over else "under the least"
    rest = also or (f"{others} more not within." if others else "")
    return say(
        f"Not within: {{title}}, {{reading}}: {{off}} {side} of {{bound}}.{{rest}}",
        rest=f" {rest}" if rest else "",
        title=limit.title,
        reading=Value(reading.amount, reading.unit, max(digits, reading.digits)),
        off=Value(abs(reading.amount - bound), limit.unit, digits),
        bound=Value(bound, limit.unit, 0 if whole else max(1, limit.digits)),
    )


def _telling(amount: float, digits: int) -> int:
    """Enough decimals that the distance does not read as none."""
    while digits < _MOST_DIGITS and not float(rounded(amount, digits).replace(",", "")):
        digits += 1
    return digits
