"""A line of the working that shows a result shows that result, for every calculator alike.

Held over the example, every option of every choice, the offered sets of entries and random inputs;
what the train model adds later is held on short trains. A line of plain arithmetic is worked out
again from the figures it shows.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import product
from math import isclose
from string import Formatter

import pytest

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.fields import Plain
from calculators.base.quantities import Choice, Description, Quantity, Text
from calculators.base.results import Display, Outcome, Step, Value, psi, say
from calculators.base.units import UNITS, convert
from calculators.catalog import CALCULATORS
from calculators.declaring.registry import Calculator

RANDOM = 150
# An answer of these runs a brake for seconds: their examples and a few random inputs are enough.
SLOW = {"circuit": 4, "find-fault": 4}
# As near as the figures that words carry give a line's value again (32.174 for 9.80665 / 0.3048).
SAME = 1e-5
# Trains short enough to wait for, by what the train model adds to the answer.
FOLLOWED = {
    "charging-time": ({"cars": "3"}, {"cars": "5", "leakage": "4"}),
    "rear-pressure": ({"cars": "8", "rear": "86", "air_flow": "30"},),
    "repeated-applications": (
        {"cars": "4", "rear": "90", "reductions": "10, 10", "waits": "0.2"},
        {"cars": "6", "rear": "88", "reductions": "26", "waits": "0.3", "last_set": "released"},
        {"cars": "3", "rear": "60", "reductions": "20, 5", "waits": "0.1"},
    ),
    "stopping-distance": ({"cars": "4", "weight": "500", "braking_ratio": "20"},),
    "train-run": (
        {"cars": "4", "seconds": "8"},
        {"cars": "5", "seconds": "8", "command": "emergency"},
    ),
}

# Where a line parts from a result that it mostly agrees with: a main reservoir under the setting.
RARE = {
    "daily-brake-test": (
        {
            "brake_pipe_setting": "61",
            "main_reservoir": "46",
            "first_reduction": "26",
            "second_reduction": "46",
            "multiplier": "1.3",
            "service_limit": "72",
        },
    ),
}


def text_for(description: Description, rng: random.Random) -> str:
    """Something that a field takes, small figures as often as great ones."""
    if isinstance(description, Choice):
        return rng.choice(description.options).value
    assert isinstance(description, Quantity)
    low = -100.0 if description.low is None else description.low
    high = 1000.0 if description.high is None else description.high

    def one() -> str:
        if description.whole:
            return str(rng.randint(int(low), int(high)))
        return f"{low + (high - low) * rng.random() ** rng.choice([1, 4]):.3f}"

    return ", ".join(one() for _ in range(rng.randint(1, 3))) if description.many else one()


def entries(calculator: Calculator) -> Iterator[dict[str, str]]:
    """The example, what the form offers, every option, and random fields from a seed."""
    rng = random.Random(calculator.name)
    fields = {n: d for n, d in calculator.inputs().items() if not isinstance(d, Text)}
    yield {}
    yield from (dict(offer) for offer in calculator.offers.values())
    yield from RARE.get(calculator.name, ())
    for name, description in fields.items():
        if isinstance(description, Choice) and calculator.name not in SLOW:
            yield from ({name: option.value} for option in description.options)
    for _ in range(SLOW.get(calculator.name, RANDOM)):
        names = rng.sample([*fields], min(len(fields), rng.randint(1, 6)))
        yield {name: text_for(fields[name], rng) for name in names}


@cache
def answers(name: str) -> tuple[Answer, ...]:
    """All answers of one calculator that these tests look at."""
    calculator = CALCULATORS[name]
    found = [answer(calculator, texts, example=True) for texts in entries(calculator)]
    found += [finished(answer(calculator, t, example=True)) for t in FOLLOWED.get(name, ())]
    return tuple(one for one in found if one.outcome is not None)


def unit_of(calculator: Calculator, result: str) -> str | None:
    return getattr(calculator.outputs()[result], "unit", None)


def same(step: Step, result: Plain, unit: str | None) -> bool:
    """Whether a step's value is the result: both nothing, or the same amount in the result's unit."""
    if step.value is None or result is None:
        return step.value is None and result is None
    if not isinstance(result, int | float) or unit not in UNITS:
        return False
    if UNITS[step.value.unit].kind != UNITS[unit].kind:
        return False
    amount = convert(step.value.amount, step.value.unit, unit)
    return isclose(amount, result, rel_tol=1e-9, abs_tol=1e-9)


def astray(calculator: Calculator, outcome: Outcome) -> list[str]:
    """The steps of an outcome that show another figure than the result they name."""
    return [
        f"{step.label}: {step.value} is not {step.shows} {getattr(outcome, step.shows)}"
        for step in outcome.working
        if step.shows
        and not same(step, getattr(outcome, step.shows), unit_of(calculator, step.shows))
    ]


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_step_that_names_a_result_shows_it(name: str):
    calculator = CALCULATORS[name]
    for found in answers(name):
        assert found.outcome is not None
        shown = {step.shows for step in found.outcome.working} - {""}
        assert shown <= set(calculator.outputs())
        said = {item.name: item.text for item in found.inputs if item.origin == "typed"}
        assert astray(calculator, found.outcome) == [], said


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_step_that_names_a_result_is_written_as_it_is(name: str):
    """The line of the working and the result beside it are rounded alike."""
    results = CALCULATORS[name].outputs()
    for found in answers(name):
        assert found.outcome is not None
        for step in found.outcome.working:
            result = results.get(step.shows)
            if isinstance(result, Quantity) and step.value and step.value.unit == result.unit:
                assert step.value.digits == result.digits, step.label


def kind_of_line(label: str) -> str:
    """A label without its numbers: "Set 3" and "Set 4" are one kind of line."""
    return re.sub(r"\d+", "#", label)


@dataclass(slots=True)
class Seen:
    """What one kind of line showed over all answers, and which results it always agreed with."""

    values: set[float]
    agrees: set[str]
    names: bool


# A circuit's step says where the passage has led by the end of the move, its results are of the
# moment asked for; `tests/circuits` hold the two to each other.
OF_A_MOMENT = ("circuit",)


@pytest.mark.parametrize("name", [name for name in CALCULATORS if name not in OF_A_MOMENT])
def test_a_step_that_always_shows_a_result_names_it(name: str):
    """Else a slip in that line alone would be seen by nobody."""
    calculator = CALCULATORS[name]
    seen: dict[str, Seen] = {}
    for found in answers(name):
        assert found.outcome is not None
        for step in found.outcome.working:
            if step.value is None:
                continue
            kind = seen.setdefault(
                kind_of_line(step.label), Seen(set(), set(calculator.outputs()), False)
            )
            kind.values.add(round(step.value.amount, 9))
            kind.agrees &= {
                result
                for result in kind.agrees
                if same(step, getattr(found.outcome, result), unit_of(calculator, result))
            }
            kind.names |= bool(step.shows)
    unnamed = {
        label: sorted(kind.agrees)
        for label, kind in seen.items()
        if kind.agrees and not kind.names and len(kind.values) > 3
    }
    assert unnamed == {}


@pytest.mark.parametrize("name", FOLLOWED)
def test_what_the_train_model_adds_is_among_what_is_held(name: str):
    """Short trains are run to the end, and what they add is shown by a step that names it."""
    named = {
        step.shows
        for found in answers(name)
        if found.outcome is not None and found.outcome.to_follow is None
        for step in found.outcome.working
    }
    fills = {
        result
        for found in answers(name)
        if found.outcome is not None and found.outcome.to_follow is not None
        for result in found.outcome.to_follow.fills
    }
    assert named & fills, (named, fills)


ARITHMETIC = re.compile(r"[\d\s.,()+×÷/−²]*")
SIGNS = str.maketrans({"×": "*", "÷": "/", "−": "-", "²": "**2", ",": ""})
# A share may be said as a percent, minutes as hours: what a line comes to in either.
READ_AS = {"%": 100.0, "h": 1 / 60}


def sums(step: Step, before: Value | None) -> set[float]:
    """What a line of plain arithmetic comes to; empty where words say how the value was found.

    A line that begins with a sign goes on from the value of the line before it. What stands behind
    a semicolon tells more and counts nothing.
    """
    template = step.how.template.partition(";")[0]
    counted = {name for _, name, _, _ in Formatter().parse(template)}
    parts = {name: part for name, part in step.how.parts.items() if name in counted}
    bare = re.sub(r"\{\w+\}", "1", template)
    if step.value is None or not ARITHMETIC.fullmatch(bare) or not re.search(r"[+×÷/−]", bare):
        return set()
    if bare[0] in "+×÷/−":
        assert before is not None, f"{step.label} goes on from nothing"
        template, parts = "{before}" + template, parts | {"before": before}
    percents = [n for n, p in parts.items() if isinstance(p, Value) and p.unit == "%"]
    found = set()
    for shares in product((1.0, 0.01), repeat=len(percents)):
        scale = dict(zip(percents, shares, strict=True))
        amounts = {
            name: f"({part.amount * scale.get(name, 1.0)!r})"
            if isinstance(part, Value)
            else f"({str(part).replace(',', '')})"
            for name, part in parts.items()
        }
        try:
            result = eval(template.translate(SIGNS).format(**amounts), {"__builtins__": {}})
        except ZeroDivisionError:
            continue
        found |= {float(result), float(result) * READ_AS.get(step.value.unit, 1.0)}
    return found


def miscounted(outcome: Outcome) -> list[str]:
    """The lines of plain arithmetic whose value is not what their figures come to."""
    wrong = []
    before: Value | None = None
    for step in outcome.working:
        results = sums(step, before)
        before = step.value
        if results and step.value is not None:
            amount = step.value.amount
            if not any(isclose(one, amount, rel_tol=SAME, abs_tol=SAME) for one in results):
                wrong.append(f"{step.label}: {step.how.text(Display())} is not {amount}")
    return wrong


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_line_of_arithmetic_comes_to_what_it_says(name: str):
    for found in answers(name):
        assert found.outcome is not None
        said = {item.name: item.text for item in found.inputs if item.origin == "typed"}
        assert miscounted(found.outcome) == [], said


def test_a_wrong_figure_beside_a_result_is_found():
    """The slip of version 0.1.0: a plus for a minus, 154 psi beside a result of 26."""
    calculator = CALCULATORS["full-service-figures"]
    outcome = answer(calculator, {}, example=True).outcome
    assert outcome is not None
    wrong = tuple(
        replace(step, value=psi(154.0)) if step.shows == "full_service_reduction" else step
        for step in outcome.working
    )
    assert len(astray(calculator, replace(outcome, working=wrong))) == 1
    line = Step(label="x", how=say("{a} − {b}", a=psi(90), b=psi(64)), value=psi(154))
    assert sums(line, None) == {26.0}


# What turns on tenths: a slow train's friction, a start that is still no stand, the pipe over the
# auxiliary where a car lets go.
FINER = {
    ("grade-balance", "speed"),
    ("measured-stop", "speed"),
    ("stopping-distance", "speed"),
    ("release", "brake_pipe"),
}


@pytest.mark.parametrize("name", [name for name in CALCULATORS if name not in SLOW])
def test_a_figure_of_the_working_is_written_as_its_field_or_result_is(name: str):
    """A part of a line that is always one field's or one result's figure is rounded as that is."""
    calculator = CALCULATORS[name]
    described = {
        name: one
        for name, one in ({**calculator.inputs(), **calculator.outputs()}).items()
        if isinstance(one, Quantity)
    }
    values: dict[tuple[str, str], set[float]] = {}
    written: dict[tuple[str, str], set[int]] = {}
    is_always: dict[tuple[str, str], set[str]] = {}
    for found in answers(name):
        assert found.outcome is not None
        figures = {item.name: item.value for item in found.inputs} | dict(found.results())
        for step in found.outcome.working:
            for place, part in step.how.parts.items():
                if not isinstance(part, Value):
                    continue
                key = (f"{kind_of_line(step.label)}: {step.how.template}", place)
                values.setdefault(key, set()).add(round(part.amount, 6))
                written.setdefault(key, set()).add(part.digits)
                is_always[key] = {
                    one
                    for one in is_always.get(key, set(described))
                    if described[one].unit == part.unit
                    and isinstance(figure := figures.get(one), int | float)
                    and isclose(figure, part.amount, rel_tol=1e-9, abs_tol=1e-9)
                }
    held = 0
    for key, those in is_always.items():
        if not those or len(values[key]) <= 3 or {(name, one) for one in those} & FINER:
            continue
        held += 1
        assert written[key] <= {described[one].digits for one in those}, (key, those)
    # A unit is turned into another in one figure of its own.
    assert held or name == "units"
