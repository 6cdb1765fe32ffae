"""No figure is flattered by more leakage or more cars: each moves the way that is declared for it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.quantities import Quantity
from calculators.catalog import CALCULATORS
from calculators.questions.shared.directions import DIRECTIONS, Either
from tests.support.strategies import Texts, closed, entries, number_texts

# The fields that are each cause, where they are not the setting of that name.
LEAKS = ("leakage", "leakage_flow", "air_flow", "main_reservoir_leakage_read")
# What an answer says with no figure, where that has a place in the order: "never" is the longest
# time, "not assured" the least pressure. Elsewhere no figure is no comparison.
NEVER = {"charging-time": {"time_lower_bound", "time"}, "main-reservoir": {"time"}}
NOT_ASSURED = {
    "repeated-applications": {"emergency_left", "model_emergency"},
    "rear-pressure": {"emergency_at_rear"},
}
# A direction is one of rests: how long a circuit is followed stays as it is.
NOT_FOR_A_REST = {"circuit": ("follow_for",)}
# Whatever else: these are never better with more leakage or more cars.
NEVER_FLATTERED = {
    "charging-time": ("time_lower_bound", "time", "rear_gauge_time"),
    "cylinder-leak-off": ("brake_cylinder_left", "hours_to_needed", "hours_to_half"),
    "rear-pressure": ("full_service_at_rear", "emergency_at_rear", "spread_gradient"),
    "repeated-applications": ("full_service_left", "emergency_left", "auxiliary"),
    "stopping-distance": ("build_up_time",),
}
# The bit of a figure that its own arithmetic may move it by.
SLACK = 1e-6
# Where the running brake decides: a circuit's end is where its flows have nearly stopped, a time is
# told by the tenth of a second; less than that is no direction.
BY_THE_MODEL = {"circuit": 0.01, "release": 0.01, "exhaust-time": 0.01}


def field_of(name: str, cause: str) -> str:
    """The input of a calculator that is this cause; empty for none."""
    inputs = CALCULATORS[name].inputs()
    if cause == "cold":
        return "temperature" if "temperature" in inputs else ""
    if cause == "leakage":
        return next((field for field in LEAKS if field in inputs), "")
    key = "brake_pipe_setting" if cause == "setting" else cause
    return next((f for f, d in inputs.items() if getattr(d, "setting", "") == key), "")


CAUSES = ("leakage", "cars", "cold", "setting")
ASKED = [(n, c) for n in DIRECTIONS for c in CAUSES if c in DIRECTIONS[n]]


def results_of(name: str) -> list[str]:
    outputs = CALCULATORS[name].outputs()
    return [result for result, described in outputs.items() if isinstance(described, Quantity)]


def placed(name: str, result: str, value: object) -> float | None:
    """A figure as a place in the order; None where no figure is no comparison."""
    if isinstance(value, float | int):
        return float(value)
    if value is None and result in NEVER.get(name, ()):
        return math.inf
    if value is None and result in NOT_ASSURED.get(name, ()):
        return -math.inf
    return None


def contradicted(
    name: str, cause: str, less: Texts, more: Texts, *, wait: bool = False, slack: float = SLACK
) -> list[str]:
    """The results that moved another way than is declared between two sets of entries."""
    calculator = CALCULATORS[name]
    first, second = (answer(calculator, texts, example=True) for texts in (less, more))
    if first.errors or second.errors:
        return []
    if wait:
        first, second = finished(first), finished(second)
    wrong = []
    for result, way in DIRECTIONS[name][cause].items():  # type: ignore[index]
        a, b = (placed(name, result, found.results()[result]) for found in (first, second))
        if isinstance(way, Either) or a is None or b is None or a == b:
            continue
        room = slack * max(1.0, *(abs(x) for x in (a, b) if math.isfinite(x)), 1.0)
        if (way != "up" and b > a + room) or (way != "down" and b < a - room):
            wrong.append(f"{result} is to be {way}, and goes from {a} to {b}")
    return wrong


@st.composite
def pairs(draw: st.DrawFn, name: str, cause: str) -> tuple[Texts, Texts]:
    """The same question twice, with less and with more of the cause."""
    calculator = CALCULATORS[name]
    field = field_of(name, cause)
    quantity = calculator.inputs()[field]
    assert isinstance(quantity, Quantity)
    texts = draw(entries(calculator, without=(field, *NOT_FOR_A_REST.get(name, ()))))
    values = sorted((draw(number_texts(quantity)), draw(number_texts(quantity))), key=float)
    less, more = reversed(values) if cause == "cold" else values
    return texts | {field: less}, texts | {field: more}


def holds(name: str, cause: str, data: st.DataObject) -> None:
    less, more = data.draw(pairs(name, cause))
    slack = BY_THE_MODEL.get(name, SLACK)
    assert contradicted(name, cause, less, more, slack=slack) == [], (less, more)


@pytest.mark.parametrize(("name", "cause"), [a for a in ASKED if a[0] in closed()])
@settings(max_examples=12)
@given(data=st.data())
def test_each_figure_moves_as_declared(name: str, cause: str, data: st.DataObject):
    """Over 300 examples of the closed sums, shared out."""
    holds(name, cause, data)


@pytest.mark.parametrize("cause", [c for n, c in ASKED if n == "circuit"])
@settings(max_examples=7)
@given(data=st.data())
def test_circuits_move_as_declared(cause: str, data: st.DataObject):
    holds("circuit", cause, data)


def test_a_long_leaky_train_charges_a_control_reservoir_a_little_less():
    """Drawn at random in a longer trial: a train that leaks 30 psi/min draws the head down."""
    asked = {"circuit": "release-and-recharge", "reduction": "21.760", "leakage": "30"}
    reservoirs = [
        answer(CALCULATORS["circuit"], asked | {"cars": cars}).results()["control_reservoir"]
        for cars in ("3", "125")
    ]
    assert 89.0 < float(str(reservoirs[1])) < float(str(reservoirs[0])) - 0.1 < 90.0


@pytest.mark.parametrize(
    ("name", "cause"), [a for a in ASKED if a[0] in ("exhaust-time", "release")]
)
@settings(max_examples=6)
@given(data=st.data())
def test_what_follows_moves_as_declared(name: str, cause: str, data: st.DataObject):
    """The part that the train model adds to an answer."""
    less, more = data.draw(pairs(name, cause))
    assert contradicted(name, cause, less, more, wait=True, slack=BY_THE_MODEL[name]) == []


# What a run is asked: short trains, so that one takes a tenth of a second.
RUN = ("command", "reduction", "rear_device", "car_length", "temperature", "leakage")


def run_holds(cause: str, data: st.DataObject) -> None:
    """A run along a train moves as declared, but for what the model's own step can move."""
    calculator = CALCULATORS["train-run"]
    field = field_of("train-run", cause)
    quantity = calculator.inputs()[field]
    assert isinstance(quantity, Quantity)
    left_out = (set(calculator.inputs()) - set(RUN)) | {field}
    texts = {"cars": "12"} | data.draw(entries(calculator, without=left_out, most=4))
    most = 40.0 if cause == "cars" else None
    numbers = number_texts(quantity, high=most)
    values = sorted((data.draw(numbers), data.draw(numbers)), key=float)
    less, more = reversed(values) if cause == "cold" else values
    wrong = contradicted(
        "train-run", cause, texts | {field: less}, texts | {field: more}, wait=True, slack=0.02
    )
    assert wrong == [], (texts, field, less, more)


@pytest.mark.parametrize("cause", [c for n, c in ASKED if n == "train-run"])
@settings(max_examples=5)
@given(data=st.data())
def test_a_run_moves_as_declared(cause: str, data: st.DataObject):
    run_holds(cause, data)


@pytest.mark.long
@pytest.mark.parametrize("cause", [c for n, c in ASKED if n == "train-run"])
@settings(max_examples=250)
@given(data=st.data())
def test_a_run_moves_as_declared_at_length(cause: str, data: st.DataObject):
    run_holds(cause, data)


@pytest.mark.long
@pytest.mark.parametrize(("name", "cause"), [a for a in ASKED if a[0] in closed()])
@settings(max_examples=1800)
@given(data=st.data())
def test_each_figure_moves_as_declared_at_length(name: str, cause: str, data: st.DataObject):
    """Over 50,000 examples of the closed sums, shared out."""
    holds(name, cause, data)


@pytest.mark.long
@pytest.mark.parametrize("cause", [c for n, c in ASKED if n == "circuit"])
@settings(max_examples=340)
@given(data=st.data())
def test_circuits_move_as_declared_at_length(cause: str, data: st.DataObject):
    holds("circuit", cause, data)


def test_every_result_has_a_direction_for_each_cause_that_its_calculator_asks_for():
    for name in CALCULATORS:
        for cause in CAUSES:
            declared = DIRECTIONS.get(name, {}).get(cause, {})  # type: ignore[call-overload]
            # Of a run only what has one direction whatever the moves are is declared.
            if field_of(name, cause):
                missing = set(results_of(name)) - declared.keys() - {"parts"}
                assert name == "train-run" or missing == set(), (name, cause)
            else:
                assert not declared, (name, cause)
            assert declared.keys() <= set(results_of(name)), (name, cause)


def test_at_most_a_fifth_may_move_either_way_and_each_says_why():
    ways = [
        way for causes in DIRECTIONS.values() for ways in causes.values() for way in ways.values()
    ]
    either = [way for way in ways if isinstance(way, Either)]
    assert all(len(way.why.split()) > 4 for way in either)
    assert len(either) <= len(ways) / 5, f"{len(either)} of {len(ways)}"


def test_what_is_never_flattered_is_declared_so():
    good_when_high = ("left", "auxiliary", "at_rear", "hours")
    for name, results in NEVER_FLATTERED.items():
        for cause in {"leakage", "cars"} & DIRECTIONS[name].keys():
            for result in results:
                way = DIRECTIONS[name][cause][result]  # type: ignore[index]
                better = any(word in result for word in good_when_high)
                assert way in (("down", "same") if better else ("up", "same")), (
                    name,
                    cause,
                    result,
                )


def test_a_flattered_figure_would_be_found():
    """The test itself: a declaration turned round is contradicted at once."""
    texts = ({"cars": "10"}, {"cars": "100"})
    assert contradicted("charging-time", "cars", *texts) == []
    assert contradicted("charging-time", "cars", *reversed(texts)) != []
