"""Answers held against each other: one train has one truth, whoever is asked."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.quantities import Quantity
from calculators.base.results import Display, Outcome, Value
from calculators.cards.pocket import card
from calculators.catalog import CALCULATORS
from calculators.kept.settings import settings_for
from calculators.law.limit_list import LIMITS
from calculators.questions.shared.low_emergency import is_low
from tests.support.strategies import Texts, closed, entries, records

# Pressures that a compressor, a governor or a safety valve must be set to lie over what is in use.
MARGINS = {"main-reservoir"}


def asked(name: str, record: Texts, **texts: str) -> Answer:
    """A calculator's answer on a device with these settings."""
    calculator = CALCULATORS[name]
    return answer(calculator, texts, settings=settings_for(calculator, record), example=True)


def figure(name: str, result: str, record: Texts, **texts: str) -> float | None:
    """One figure of it; None where the calculator refuses or has none."""
    found = asked(name, record, **texts)
    if found.errors:
        return None
    value = found.results()[result]
    return float(value) if isinstance(value, float | int) else None


def whole(found: Answer) -> Outcome:
    assert found.outcome is not None
    return found.outcome


# What a test, a rule or a grade asks for, whether it can be had or not.
ASKED_FOR = {"least_rear", "alerter_least", "alerter_most", "reduction_at_limit"}
# Differences and rules of thumb are no gauge's reading.
NO_GAUGE = {"gradient", "rule_of_thumb", "spread_gradient", "gradient_if_at_rear"}


def pressures(found: Answer) -> Iterator[tuple[str, float]]:
    """Every pressure among the results that a gauge could read."""
    for name, described in found.calculator.outputs().items():
        value = found.results()[name]
        if isinstance(described, Quantity) and described.kind == "pressure" and value is not None:
            assert isinstance(value, float | int)
            if name not in NO_GAUGE:
                yield name, float(value)


def highest(found: Answer) -> float:
    """The highest pressure that the question names: nothing in its answer can come to more."""
    given_ = [
        value
        for item in found.inputs
        if isinstance(item.description, Quantity) and item.description.kind == "pressure"
        for value in (item.value if isinstance(item.value, tuple) else (item.value,))
        if isinstance(value, float | int)
    ]
    return max(given_, default=0.0)


@pytest.mark.parametrize("name", closed())
@settings(max_examples=16)
@given(data=st.data())
def test_no_pressure_is_under_nothing_or_over_what_can_feed_it(name: str, data: st.DataObject):
    found = answer(CALCULATORS[name], data.draw(entries(CALCULATORS[name])), example=True)
    if found.errors:
        return
    most = highest(found)
    for what, pressure in pressures(found):
        assert pressure >= -1e-6, (what, pressure)
        if name not in MARGINS and what not in ASKED_FOR:
            assert pressure <= most + 1e-6, (what, pressure, most)


@settings(max_examples=60)
@given(record=records(), reduction=st.integers(0, 40))
def test_full_service_and_emergency_are_the_same_from_everyone(record: Texts, reduction: int):
    full = figure("car-brake", "full_service_pressure", record)
    emergency = figure("car-brake", "emergency_pressure", record)
    taken = figure("car-brake", "full_service_reduction", record)
    assert full is not None
    assert emergency is not None
    assert taken is not None
    same = {
        ("full-service-figures", "full_service_pressure"): full,
        ("rear-pressure", "full_service_at_setting"): full,
        ("full-service-figures", "emergency_pressure"): emergency,
        ("rear-pressure", "emergency_at_setting"): emergency,
        ("full-service-figures", "full_service_reduction"): taken,
        ("over-reduction", "full_service_reduction"): taken,
    }
    for (name, result), expected in same.items():
        if (value := figure(name, result, record)) is not None:
            assert value == pytest.approx(expected, abs=1e-6), (name, result)
    if (half := figure("grade-balance", "half_of_full_service", record)) is not None:
        assert half == pytest.approx(taken / 2.0, abs=1e-6)
    a_set = figure("car-brake", "brake_cylinder", record, reduction=str(reduction))
    beside = figure("locomotive-brake", "car_brake_cylinder", record, reduction=str(reduction))
    # A main reservoir under the setting charges the pipe no higher than itself, and less of the
    # reduction is left: that is of the locomotive, and the car by itself does not ask after it.
    fed = float(record.get("main_reservoir", "130")) >= float(record["brake_pipe_setting"])
    if a_set is not None and beside is not None and reduction > 0 and fed:
        assert beside == pytest.approx(a_set, abs=1e-6), "the car beside the locomotive is yours"
    over = figure("over-reduction", "brake_cylinder", record, reduction=str(reduction))
    if a_set is not None and over is not None and reduction >= taken:
        assert over == pytest.approx(a_set, abs=1e-6)


@settings(max_examples=40)
@example(record={"brake_pipe_setting": "60"}, reduction=26)
@example(record={"brake_pipe_setting": "60", "pipe_16_volume": "800"}, reduction=20)
@given(record=records(), reduction=st.integers(8, 26))
def test_the_locomotive_is_the_same_from_everyone(record: Texts, reduction: int):
    """Its gauges at rest, in the standing test, in the circuit, on the card."""
    taken = {"handle": "service", "reduction": str(reduction)}
    cylinder = figure("locomotive-brake", "brake_cylinder", record, **taken)
    pipe = figure("locomotive-brake", "brake_pipe", record, **taken)
    if cylinder is None or pipe is None:
        return
    sets = {"first_reduction": "5", "second_reduction": "5", "full_reduction": "5"}
    for result, entry in (
        ("first_cylinder", "first_reduction"),
        ("full_service_cylinder", "full_reduction"),
    ):
        more = sets | {entry: str(reduction), "second_reduction": str(reduction)}
        test = figure("daily-brake-test", result, record, **more)
        if test is not None:
            assert test == pytest.approx(cylinder, abs=1e-6), result
    display = Display()
    made = card({**record})
    if made.errors:
        return
    for part in made.parts:
        for row in part.rows:
            if part.title == "Taken off" and row.term == f"{reduction} psi":
                assert row.cells[0] == display.value(Value(pipe, "psi")), row
                assert row.cells[1] == display.value(Value(cylinder, "psi")), row


@settings(max_examples=8)
@example(record={"brake_pipe_setting": "60"}, reduction=24)
@example(record={"brake_pipe_setting": "70", "service_limit": "75"}, reduction=24)
@example(record={"brake_pipe_setting": "60", "pipe_16_volume": "800"}, reduction=20)
@given(record=records(), reduction=st.integers(8, 24))
def test_the_circuit_rests_where_the_locomotive_does(record: Texts, reduction: int):
    names = ("brake_pipe_setting", "service_limit", "pipe_16_volume")
    kept = {k: v for k, v in record.items() if k in names}
    texts = {"handle": "service", "reduction": str(reduction)}
    for result in ("equalizing_reservoir", "brake_pipe", "brake_cylinder"):
        rest = figure("locomotive-brake", result, kept, **texts)
        moved = figure("circuit", result, kept, **texts, leakage="0", cars="0")
        assert rest is not None
        assert moved == pytest.approx(rest, abs=0.6), result


@settings(max_examples=60)
@given(record=records(), data=st.data())
def test_a_bound_is_a_bound(record: Texts, data: st.DataObject):
    """What is left is never counted above what a charged train has; a shortest is the shortest."""
    calculator = CALCULATORS["repeated-applications"]
    texts = data.draw(entries(calculator, without=tuple(record), most=5))
    found = asked("repeated-applications", record, **texts)
    if not found.errors:
        charged = {"piston_travel": "9"} | record
        names = {i.name: i.value for i in found.inputs}
        fits = all(
            i.name in ("piston_travel", "brake_pipe_setting") or i.origin != "typed"
            for i in found.inputs
            if i.name in ("piston_travel", "auxiliary_volume", "emergency_volume", "atmosphere")
        )
        full = figure("car-brake", "full_service_pressure", charged)
        left = found.results()["full_service_left"]
        if full is not None and fits and isinstance(left, float) and not names.get("rear"):
            assert left <= full + 1e-6
    exhaust = asked("exhaust-time", record)
    if not exhaust.errors:
        results = exhaust.results()
        shortest, longest = results["shortest"], results["longest"]
        if isinstance(shortest, float) and isinstance(longest, float):
            assert shortest <= longest
    stop = asked("stopping-distance", record)
    if not stop.errors and isinstance(stop.results()["distance"], float):
        near, far = stop.results()["shortest"], stop.results()["longest"]
        assert near <= stop.results()["distance"] <= far  # type: ignore[operator]


def bound_against_the_model(record: Texts, cars: int) -> None:
    found = finished(asked("charging-time", record, cars=str(cars)))
    if found.errors:
        return
    bound, model = found.results()["time_lower_bound"], found.results()["time"]
    if isinstance(bound, float) and isinstance(model, float):
        assert bound <= model * 1.001, "a time that no train beats is beaten"


@settings(max_examples=20)
@given(record=records(), cars=st.integers(1, 30))
def test_the_train_model_does_not_beat_the_least_time(record: Texts, cars: int):
    bound_against_the_model(record, cars)


@pytest.mark.long
@settings(max_examples=1000)
@given(record=records(), cars=st.integers(1, 60))
def test_the_train_model_does_not_beat_the_least_time_at_length(record: Texts, cars: int):
    bound_against_the_model(record, cars)


def said(found: Answer) -> str:
    """The headline, the warnings, and what stands where a figure has none."""
    outcome = whole(found)
    lines = [outcome.headline.text(Display())]
    lines += [note.text.text(Display()) for note in outcome.notes if note.kind == "warning"]
    return " ".join(lines).casefold()


@given(pressure=st.integers(40, 70))
@settings(max_examples=30)
def test_what_is_not_assured_in_one_answer_is_assured_in_none(pressure: int):
    """A brake pipe too low for an emergency is too low in every answer that has an emergency in it."""
    low = str(pressure)
    for name, texts in {
        "car-brake": {"charged": low, "application": "emergency", "reduction": "0"},
        "full-service-figures": {"brake_pipe_setting": low},
        "repeated-applications": {"rear": low, "reductions": "0", "waits": "0"},
        "rear-pressure": {"rear": low},
    }.items():
        found = answer(CALCULATORS[name], texts, example=True)
        assert not found.errors, name
        results = found.results()
        none_given = any(
            results.get(r, 0.0) is None for r in ("emergency_left", "emergency_at_rear")
        )
        assert ("not assured" in said(found) or none_given) == is_low(pressure), (name, said(found))


@pytest.mark.parametrize("name", closed())
@settings(max_examples=16)
@given(data=st.data())
def test_the_headline_says_what_the_answer_holds(name: str, data: st.DataObject):
    """Every pressure and time in the headline is one of the results, the inputs, or the limits."""
    found = answer(CALCULATORS[name], data.draw(entries(CALCULATORS[name])), example=True)
    if found.errors:
        return
    outcome = whole(found)
    known = {
        round(float(value), 6)
        for value in (*found.results().values(), *(item.value for item in found.inputs))
        if isinstance(value, float | int)
    }
    known |= {round(s.value.amount, 6) for s in outcome.working if s.value is not None}
    known |= {round(limit.figure, 6) for limit in LIMITS.values()}
    # A result that is half of what the sentence names.
    halves = {r: v for r, v in found.results().items() if r == "half_of_full_service"}
    known |= {round(2 * v, 6) for v in halves.values() if isinstance(v, float)}
    for part in outcome.headline.parts.values():
        # How far one of them is from another is said in words of its own.
        if isinstance(part, Value) and part.unit in ("psi", "s", "min", "cfm"):
            if any(abs(abs(a - b) - part.amount) <= 1e-5 for a in known for b in known):
                continue
            near = (abs(part.amount - k) <= 1e-6 * max(1.0, abs(k)) for k in known)
            assert any(near), (part, outcome.headline.text(Display()))
