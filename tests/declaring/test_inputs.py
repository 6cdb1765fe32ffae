"""Inputs as a dataclass: groups stand among the others under the names that were published."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated

import pytest

from calculators.base.quantities import Quantity
from calculators.base.results import Display, Outcome, say
from calculators.catalog import every_calculator
from calculators.declaring.inputs import After, Takes, description_of, entries, given
from calculators.declaring.registry import Calculator, calculator

CALCULATORS = every_calculator()


def quantity(term: str) -> Quantity:
    return Quantity(term=term, unit="psi")


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    one: Annotated[float, quantity("One")] = 1.0
    two: Annotated[float, quantity("Two")] = 2.0
    three: Annotated[float | None, quantity("Three")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    first: Annotated[float, quantity("First")] = 0.5
    group: Annotated[Group, Takes("three", "one")] = Group(one=1.5)
    between: Annotated[float, quantity("Between"), After("three")] = 9.0
    next_to_it: Annotated[float, quantity("Next"), After("three")] = 8.0
    last: Annotated[float, quantity("Last")] = 7.0


def test_published_order():
    assert list(entries(Inputs)) == ["first", "three", "between", "next_to_it", "one", "last"]


def test_defaults_come_from_the_questions_own_group():
    found = {name: entry.default for name, entry in entries(Inputs).items()}
    assert found == {
        "first": 0.5, "three": None, "between": 9.0, "next_to_it": 8.0, "one": 1.5, "last": 7.0,
    }  # fmt: skip


def test_values_go_to_their_group():
    found = given(Inputs, {"three": 3.5, "last": 6.0})
    assert found == Inputs(group=Group(one=1.5, two=2.0, three=3.5), last=6.0)


@pytest.mark.parametrize("name", ["two", "group", "else"])
def test_what_is_no_input_is_refused(name: str):
    with pytest.raises(TypeError, match=f"no input {name}"):
        given(Inputs, {name: 1.0})


def test_a_name_stands_once():
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Twice:
        one: Annotated[float, quantity("One")] = 1.0
        group: Group = Group()

    # The names of a test's own classes are not in its module.
    Twice.__annotations__ = {"one": Annotated[float, quantity("One")], "group": Group}
    with pytest.raises(TypeError, match="two inputs one"):
        entries(Twice)


def test_a_field_without_a_description_is_refused():
    with pytest.raises(TypeError, match="x carries no description"):
        description_of("x", Annotated[float, "no description"])


def test_the_calculator_reads_them():
    @calculator(
        "made-up",
        title="Made up",
        question="Is it?",
        sources=(),
        validity=(),
        leaves_out=(),
    )
    def made_up(given: Inputs) -> Outcome:
        return Outcome(headline=say(str(given.group.one + given.between)))

    assert isinstance(made_up, Calculator)
    assert list(made_up.inputs()) == list(entries(Inputs))
    assert made_up.outcome(one=2.0).headline.text(Display()) == "11.0"
    with pytest.raises(TypeError, match="no input two"):
        made_up.outcome(two=2.0)


@pytest.mark.parametrize("found", CALCULATORS.values(), ids=CALCULATORS.keys())
def test_names_are_published_once(found: Calculator):
    assert list(found.inputs()) == list(found.defaults())
    assert not {field.name for field in fields(Outcome)} & set(found.inputs())
