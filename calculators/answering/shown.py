"""The results of an answer as they are shown: rounded, with unit and band, or in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from calculators.answering.answer import Answer
from calculators.base.quantities import Choice, Description, Quantity
from calculators.base.results import Display, Value, time_digits
from calculators.declaring.registry import Calculator

# In the place of a result that is still being worked out.
STILL_OPEN = "still to come"


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow:
    """One result: its name, words, shown text and explanation."""

    name: str
    term: str
    text: str
    help: str = ""


def _carried(description: Quantity, band: float) -> int:
    """How many digits a result is shown with: a time no more than its band can carry."""
    return time_digits(band) if band and description.unit == "s" else description.digits


def shown(description: Description, value: object, display: Display, *, band: float = 0.0) -> str:
    """A result as it is shown: rounded, with its unit and band; or the words of a choice."""
    if value is None:
        blank = description.blank if isinstance(description, Quantity) else ""
        return blank or "not assured"
    if isinstance(description, Quantity) and isinstance(value, float | int):
        return display.value(
            Value(float(value), description.unit, _carried(description, band), band)
        )
    if isinstance(description, Quantity) and isinstance(value, tuple):
        numbers = (Value(float(n), description.unit, description.digits) for n in value)
        return ", ".join(display.value(number) for number in numbers)
    if isinstance(description, Choice) and isinstance(value, str):
        return description.words_of(value)
    return str(value)


def shown_outputs(calculator: Calculator) -> Mapping[str, Description]:
    """The results that a reader is shown: what checks the arithmetic is told by JSON alone."""
    return {
        name: description
        for name, description in calculator.outputs().items()
        if not (isinstance(description, Quantity) and description.of_the_sum)
    }


def result_rows(answer: Answer) -> Iterator[ResultRow]:
    """The results that a reader is shown, in the order they are declared."""
    assert answer.outcome is not None
    results, outcome = answer.results(), answer.outcome
    still_open = outcome.to_follow.fills if outcome.to_follow is not None else ()
    for name, description in shown_outputs(answer.calculator).items():
        band = outcome.bands.get(name, 0.0)
        yield ResultRow(
            name=name,
            term=description.term,
            text=(
                STILL_OPEN
                if name in still_open
                else shown(description, results[name], answer.display, band=band)
            ),
            help=description.help,
        )
