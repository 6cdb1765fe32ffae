"""The one declaration of a calculator, from which everything else is read.

The function takes its inputs as one dataclass (`declaring.inputs`), the result class says the
results, the decorator adds title, question, sources and limits of use.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import cast, get_type_hints

from calculators.base.fields import Plain
from calculators.base.quantities import Choice, Description, Quantity, Text
from calculators.base.results import Outcome
from calculators.declaring.first_screen import NOTHING_FIRST, FirstScreen
from calculators.declaring.inputs import description_of, entries, given
from calculators.law.records import Citation

# On the button that fills in the readings of the example train.
EXAMPLE_READINGS = "Example readings: train JF-3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculator:
    """A declared calculator.

    ``question`` is what a user asks; ``first`` is the first screen of its page; ``validity`` says where the
    answer holds, ``leaves_out`` what it does not know. ``example`` fills inputs that have no
    default of their own, for the prerendered answer and the tests. ``offers`` are sets of entries
    that the form fills in at a tap, by the words on the button. ``example_readings`` are one of them:
    no reading is ever filled in by itself, and an answer that rests on these says so. ``judges`` are
    the limits that its readings may be laid beside, by id. ``estimate`` marks answers that are for
    learning only and say so above the figures.
    """

    name: str
    title: str
    question: str
    first: FirstScreen
    function: Callable[..., Outcome]
    sources: tuple[Citation, ...]
    validity: tuple[str, ...]
    leaves_out: tuple[str, ...]
    example: Mapping[str, str]
    offers: Mapping[str, Mapping[str, str]]
    example_readings: Mapping[str, str]
    judges: tuple[str, ...] = ()
    estimate: str = ""

    def inputs(self) -> Mapping[str, Description]:
        """Descriptions of the inputs by name, in the published order."""
        return _inputs(self.function)

    def defaults(self) -> Mapping[str, Plain]:
        """Default of every input in the trade's unit; None where it must or may stay empty."""
        return _defaults(self.function)

    def outputs(self) -> Mapping[str, Description]:
        """Descriptions of the results by name, in the order they are shown."""
        return _outputs(self.function)

    def outcome(self, **values: Plain) -> Outcome:
        """Answer for values by the inputs' names, in trade units; the rest as by default.

        Raises
        ------
        InputError
            If the values do not go together.
        TypeError
            If a name is none of the inputs.
        """
        return self.function(given(_inputs_class(self.function), values))

    def groups(self) -> tuple[str, ...]:
        """The parts of the form, in order; the first stays open."""
        found: dict[str, None] = {}
        for description in self.inputs().values():
            assert isinstance(description, Quantity | Choice | Text)
            found.setdefault(description.group)
        return tuple(found)


def calculator(
    name: str,
    *,
    title: str,
    question: str,
    first: FirstScreen = NOTHING_FIRST,
    sources: tuple[Citation, ...],
    validity: tuple[str, ...],
    leaves_out: tuple[str, ...],
    example: Mapping[str, str] | None = None,
    offers: Mapping[str, Mapping[str, str]] | None = None,
    example_readings: Mapping[str, str] | None = None,
    judges: tuple[str, ...] = (),
    estimate: str = "",
) -> Callable[[Callable[..., Outcome]], Calculator]:
    """Declare a calculator; the decorated name becomes the ``Calculator`` itself.

    The plain function stays at ``.function``; ``.outcome`` calls it with values by name.
    """

    def declare(function: Callable[..., Outcome]) -> Calculator:
        return Calculator(
            name=name,
            title=title,
            question=question,
            first=first,
            function=function,
            sources=sources,
            validity=validity,
            leaves_out=leaves_out,
            example=dict(example or {}),
            offers={
                **({EXAMPLE_READINGS: dict(example_readings)} if example_readings else {}),
                **(offers or {}),
            },
            example_readings=dict(example_readings or {}),
            judges=judges,
            estimate=estimate,
        )

    return declare


@cache
def _inputs_class(function: Callable[..., Outcome]) -> type:
    """The dataclass that the function takes."""
    hints = get_type_hints(function)
    hints.pop("return")
    (asked,) = hints.values()
    if not is_dataclass(asked):
        raise TypeError(f"{function.__name__} takes no dataclass of inputs")
    return cast(type, asked)


@cache
def _inputs(function: Callable[..., Outcome]) -> Mapping[str, Description]:
    asked = entries(_inputs_class(function))
    return {name: entry.description for name, entry in asked.items()}


@cache
def _defaults(function: Callable[..., Outcome]) -> Mapping[str, Plain]:
    return {name: entry.default for name, entry in entries(_inputs_class(function)).items()}


@cache
def _outputs(function: Callable[..., Outcome]) -> Mapping[str, Description]:
    outcome = get_type_hints(function)["return"]
    shared = {field.name for field in fields(Outcome)}
    hints = get_type_hints(outcome, include_extras=True)
    return {
        field.name: description_of(field.name, hints[field.name])
        for field in fields(outcome)
        if field.name not in shared and not field.metadata.get("carried")
    }
