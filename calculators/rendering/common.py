"""What the text and the HTML form of an answer share: rows ready to be laid out."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.answering.answer import Answer
from calculators.base.results import Axis, Display, Progress, rounded
from calculators.law.judging import Verdict
from calculators.law.source_list import find_source


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
