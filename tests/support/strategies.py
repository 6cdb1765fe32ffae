"""What tests of several answers draw from: a train, a locomotive, settings, entries of a calculator.

All are texts as typed, so that they go the way that every question goes.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from hypothesis import strategies as st

from calculators.base.quantities import Choice, Quantity
from calculators.catalog import CALCULATORS
from calculators.declaring.registry import Calculator
from calculators.kept.settings import settings

Texts = dict[str, str]


def number_texts(
    quantity: Quantity, *, low: float | None = None, high: float | None = None
) -> st.SearchStrategy[str]:
    """Texts of a number over the whole range of a field: its ends, near its low end, between."""
    least = (-100.0 if quantity.low is None else quantity.low) if low is None else low
    most = (1000.0 if quantity.high is None else quantity.high) if high is None else high
    if quantity.whole:
        return st.integers(int(least), int(most)).map(str)
    return st.one_of(
        st.sampled_from([f"{least:.12g}", f"{most:.12g}"]),
        st.floats(least, most).map(lambda value: f"{value:.3f}"),
        st.floats(0, 1).map(lambda share: f"{least + (most - least) * share**4:.3f}"),
    )


def field_texts(description: object) -> st.SearchStrategy[str]:
    """Texts that a field takes."""
    if isinstance(description, Choice):
        return st.sampled_from([option.value for option in description.options])
    assert isinstance(description, Quantity)
    numbers = number_texts(description)
    if description.many:
        return st.lists(numbers, min_size=1, max_size=4).map(", ".join)
    return numbers


@st.composite
def entries(
    draw: st.DrawFn, calculator: Calculator, without: Collection[str] = (), most: int = 7
) -> Texts:
    """Up to ``most`` fields of a calculator, filled with what they take."""
    fields = {
        name: description
        for name, description in calculator.inputs().items()
        if isinstance(description, Quantity | Choice) and name not in without
    }
    names = draw(st.lists(st.sampled_from([*fields]), max_size=min(most, len(fields)), unique=True))
    return {name: draw(field_texts(fields[name])) for name in names}


def _of(keys: Mapping[str, st.SearchStrategy[str]]) -> st.SearchStrategy[Texts]:
    return st.fixed_dictionaries({}, optional=dict(keys))


def trains() -> st.SearchStrategy[Texts]:
    """Settings of a train by their keys."""
    return _of(
        {
            "cars": st.integers(1, 250).map(str),
            "car_length": st.integers(30, 125).map(str),
            "pipe_bore": st.sampled_from(["1.25", "1.278", "1.38"]),
            "delivery": st.integers(20, 200).map(str),
        }
    )


def locomotives() -> st.SearchStrategy[Texts]:
    """Settings of a locomotive by their keys."""
    return _of(
        {
            "main_reservoir": st.integers(90, 150).map(str),
            "service_limit": st.integers(40, 75).map(str),
            "emergency_limit": st.integers(50, 100).map(str),
            "multiplier": st.sampled_from(["2", "2.5", "3"]),
            "minimum_reduction": st.integers(4, 8).map(str),
            "suppression_reduction": st.integers(20, 30).map(str),
            "pipe_16_volume": st.integers(30, 800).map(str),
        }
    )


def cars() -> st.SearchStrategy[Texts]:
    """Settings of a car by their keys."""
    return _of(
        {
            "piston_travel": st.sampled_from(["6", "7.5", "8", "9", "10.5"]),
            "auxiliary_volume": st.integers(2000, 4000).map(str),
            "emergency_volume": st.integers(3000, 4500).map(str),
            "quick_service_limit": st.integers(0, 15).map(str),
        }
    )


@st.composite
def records(draw: st.DrawFn) -> Texts:
    """A railroad's settings: a brake pipe setting, and what it keeps of train, locomotive, car."""
    record = {"brake_pipe_setting": str(draw(st.integers(60, 110)))}
    for part in (trains(), locomotives(), cars()):
        record |= draw(part)
    assert record.keys() <= settings().keys()
    return record


def closed() -> dict[str, Calculator]:
    """The calculators whose figures come without a run of air along a train."""
    return {name: c for name, c in CALCULATORS.items() if name not in ("circuit", "train-run")}
