"""What the text and the HTML form of an answer share: rows ready to be laid out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.answering import Answer
from calculators.base.quantities import Choice, Description, Quantity
from calculators.base.results import Axis, Display, Progress, Value, rounded
from calculators.base.rules import Verdict
from calculators.base.sources import find_source


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One result: its name, words, shown text and explanation."""

    name: str
    term: str
    text: str
    help: str = ""


# In the place of a result that is still being worked out.
STILL_OPEN = "still to come"


def shown(description: Description, value: object, display: Display, *, band: float = 0.0) -> str:
    """A result as it is shown: rounded, with its unit and band; or the words of a choice."""
    if value is None:
        blank = description.blank if isinstance(description, Quantity) else ""
        return blank or "not assured"
    if isinstance(description, Quantity) and isinstance(value, float | int):
        return display.value(Value(float(value), description.unit, description.digits, band))
    if isinstance(description, Quantity) and isinstance(value, tuple):
        numbers = (Value(float(n), description.unit, description.digits) for n in value)
        return ", ".join(display.value(number) for number in numbers)
    if isinstance(description, Choice) and isinstance(value, str):
        return description.words_of(value)
    return str(value)


def result_rows(answer: Answer) -> Iterator[Row]:
    """The results in the order they are declared."""
    assert answer.outcome is not None
    results, outcome = answer.results(), answer.outcome
    still_open = outcome.to_follow.fills if outcome.to_follow is not None else ()
    for name, description in answer.calculator.outputs().items():
        band = outcome.bands.get(name, 0.0)
        yield Row(
            name=name,
            term=description.term,
            text=(
                STILL_OPEN
                if name in still_open
                else shown(description, results[name], answer.display, band=band)
            ),
            help=description.help,
        )


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
        return "your railroad's own figure, from your settings"
    return f"{limit.section}, {limit.edition} ({limit.how_read})"


def citation_words(source_id: str, place: str) -> str:
    """A source as it is printed under an answer."""
    source = find_source(source_id)
    where = f", {place}" if place else ""
    return f"{source.issuer}: {source.title}, {source.edition}{where} ({source.how_read})"


def link_remarks(answer: Answer) -> Iterator[str]:
    """What a link brought that needs saying: old names, unknown fields, other settings."""
    if answer.rests_on_example_readings():
        yield "These readings are those of the example train JF-3, not yours."
    if answer.later_version:
        yield (
            "This link was made by a later version of the reference. "
            "Look for an update; what this copy knows is answered below."
        )
    yield from answer.carried
    for name, text in answer.unknown.items():
        yield f'This copy knows no field "{name[:40]}" (given as "{text[:40]}"); it was left out.'
    for difference in answer.differences:
        yield (
            f"{difference.term} is {difference.here} here; "
            f"your own settings say {difference.settings}."
        )
