"""The one declaration of a calculator, from which everything else is read.

The signature says the inputs (description in the type, example or default as the default), the
result class says the results, the decorator adds title, question, sources and limits of use.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, get_type_hints

from calculators.base.fields import Plain
from calculators.base.quantities import Choice, Description, Quantity, Text
from calculators.base.results import Outcome
from calculators.law.records import Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculator:
    """A declared calculator.

    ``question`` is what a user asks and stands first on its page; ``validity`` says where the
    answer holds, ``leaves_out`` what it does not know. ``example`` fills inputs that have no
    default of their own, for the prerendered answer and the tests. ``offers`` are sets of entries
    that the form fills in at a tap, by the words on the button. ``estimate`` marks answers that
    are for learning only and say so above the figures.
    """

    name: str
    title: str
    question: str
    function: Callable[..., Outcome]
    sources: tuple[Citation, ...]
    validity: tuple[str, ...]
    leaves_out: tuple[str, ...]
    example: Mapping[str, str]
    offers: Mapping[str, Mapping[str, str]]
    estimate: str = ""

    def inputs(self) -> Mapping[str, Description]:
        """Descriptions of the inputs by name, in the order of the signature."""
        return _inputs(self.function)

    def defaults(self) -> Mapping[str, Plain]:
        """Default of every input in the trade's unit; None where it must or may stay empty."""
        return _defaults(self.function)

    def outputs(self) -> Mapping[str, Description]:
        """Descriptions of the results by name, in the order they are shown."""
        return _outputs(self.function)

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
    sources: tuple[Citation, ...],
    validity: tuple[str, ...],
    leaves_out: tuple[str, ...],
    example: Mapping[str, str] | None = None,
    offers: Mapping[str, Mapping[str, str]] | None = None,
    estimate: str = "",
) -> Callable[[Callable[..., Outcome]], Calculator]:
    """Declare a calculator; the decorated name becomes the ``Calculator`` itself.

    The plain function stays at ``.function`` and is what tests of the physics call.
    """

    def declare(function: Callable[..., Outcome]) -> Calculator:
        return Calculator(
            name=name,
            title=title,
            question=question,
            function=function,
            sources=sources,
            validity=validity,
            leaves_out=leaves_out,
            example=dict(example or {}),
            offers=dict(offers or {}),
            estimate=estimate,
        )

    return declare


@cache
def _inputs(function: Callable[..., Outcome]) -> Mapping[str, Description]:
    hints = get_type_hints(function, include_extras=True)
    hints.pop("return")
    return {name: _description(name, hint) for name, hint in hints.items()}


@cache
def _defaults(function: Callable[..., Outcome]) -> Mapping[str, Plain]:
    parameters = inspect.signature(function).parameters
    return {name: parameter.default for name, parameter in parameters.items()}


@cache
def _outputs(function: Callable[..., Outcome]) -> Mapping[str, Description]:
    outcome = get_type_hints(function)["return"]
    shared = {field.name for field in fields(Outcome)}
    hints = get_type_hints(outcome, include_extras=True)
    return {
        field.name: _description(field.name, hints[field.name])
        for field in fields(outcome)
        if field.name not in shared and not field.metadata.get("carried")
    }


def _description(name: str, hint: Any) -> Description:
    found = [item for item in getattr(hint, "__metadata__", ()) if isinstance(item, Description)]
    if not found:
        raise TypeError(f"{name} carries no description in its type")
    return found[0]
