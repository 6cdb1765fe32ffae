"""What the text and the HTML form of an answer share: rows ready to be laid out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from calculators.answering.answer import Answer
from calculators.base.results import Axis, Display, Part, Phrase, Progress, Value, rounded
from calculators.law.judging import Verdict
from calculators.law.source_list import find_source

# More would not settle what binary arithmetic itself leaves open.
_MOST_MORE_DIGITS = 6


def progress_words(what: str, progress: Progress) -> str:
    """How far a long computation is, in words.

    >>> progress_words("the train model", Progress(done=20, of=60))
    'The train model has run 20 of 60 s.'
    """
    done, of = rounded(progress.done, 0), rounded(progress.of, 0)
    return f"{what[:1].upper()}{what[1:]} has run {done} of {of} {progress.unit}."


def axis_words(axis: Axis, display: Display) -> str:
    """What an axis of a curve measures, with its unit where it has one."""
    unit = display.unit_for(axis.unit)
    return f"{axis.term}, {unit}" if unit else axis.term


def verdict_words(verdict: Verdict) -> str:
    """Which limit this is and where it stands: section, edition, how it was read."""
    limit = verdict.limit
    if verdict.own:
        return f"your railroad's own figure, {limit.edition}"
    return f"{limit.section}, {limit.edition} ({limit.how_read})"


def decided(verdict: Verdict, display: Display) -> tuple[Value | None, Phrase]:
    """The reading and the requirement with the digits that decide.

    Rounded alike, 15.04 and "at most 15" would contradict "not within"; and a limit of 5 psi/min
    shown as 0.34 bar/min is not what 0.345 is judged against.
    """
    reading, limit = verdict.reading, verdict.limit
    if reading is None or verdict.standing in ("not applicable", "no reading"):
        return reading, verdict.words
    figures = [
        part
        for part in verdict.words.parts.values()
        if isinstance(part, Value) and part.amount in (limit.figure, limit.upper)
    ]
    for more in range(_MOST_MORE_DIGITS + 1):
        read = replace(reading, digits=reading.digits + more)
        finer = [replace(figure, digits=figure.digits + more) for figure in figures]
        if all(
            _side(_shown_as(read, display), _shown_as(shown, display))
            == _side(reading.amount, figure.amount)
            for figure, shown in zip(figures, finer, strict=True)
        ):
            return read, _with_digits(
                verdict.words, dict(zip(figures, finer, strict=True)), display
            )
    return reading, verdict.words


def _side(amount: float, figure: float) -> int:
    """On which side of a figure an amount lies; 0 for the figure itself."""
    if abs(amount - figure) <= 1e-9 * max(1.0, abs(figure)):
        return 0
    return 1 if amount > figure else -1


def _shown_as(value: Value, display: Display) -> float:
    return float(display.amount(value.amount, value.unit, value.digits).replace(",", ""))


def _with_digits(words: Phrase, finer: Mapping[Value, Value], display: Display) -> Phrase:
    """The sentence with its figures in more digits, where those say anything more."""

    def better(part: Part) -> Part:
        if not isinstance(part, Value) or part not in finer:
            return part
        fine = finer[part]
        return part if _shown_as(part, display) == _shown_as(fine, display) else fine

    return Phrase(words.template, {name: better(part) for name, part in words.parts.items()})


def citation_words(source_id: str, place: str) -> str:
    """A source as it is printed under an answer."""
    source = find_source(source_id)
    where = f", {place}" if place else ""
    return f"{source.issuer}: {source.title}, {source.edition}{where} ({source.how_read})"


def link_remarks(answer: Answer) -> Iterator[str]:
    """What needs saying above an answer: whose device, old names, other settings."""
    if answer.duty:
        yield answer.duty
    if answer.rests_on_example_readings():
        yield "These readings are those of the example train JF-3, not yours."
    yield from answer.carried
    for difference in answer.differences:
        yield (
            f"{difference.term} is {difference.here} here; "
            f"your own settings say {difference.settings}."
        )
