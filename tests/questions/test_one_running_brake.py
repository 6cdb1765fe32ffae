"""One question, one answer: what several places say of one train, held against each other."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.bench.one_answer import Agreement, AskedEverywhere, agreements

trains = st.builds(
    AskedEverywhere,
    cars=st.integers(1, 30),
    car_length=st.floats(40.0, 75.0),
    setting=st.integers(70, 110).map(float),
    reduction=st.integers(6, 26).map(float),
)


def differing(asked: AskedEverywhere) -> list[Agreement]:
    found = list(agreements(asked))
    assert len(found) >= 7
    return [one for one in found if not one.agrees()]


@pytest.mark.parametrize(
    "asked", [AskedEverywhere(cars=1), AskedEverywhere(cars=26, reduction=20.0)]
)
def test_every_place_gives_one_answer(asked: AskedEverywhere):
    assert differing(asked) == []


@settings(max_examples=5, deadline=None)
@given(asked=trains)
def test_every_place_gives_one_answer_over_trains(asked: AskedEverywhere):
    assert differing(asked) == []


@pytest.mark.long
@settings(max_examples=50, deadline=None)
@given(
    asked=st.builds(
        AskedEverywhere, cars=st.integers(1, 200), setting=st.integers(70, 110).map(float)
    )
)
def test_every_place_gives_one_answer_over_long_trains(asked: AskedEverywhere):
    assert differing(asked) == []


def test_places_that_differ_are_seen():
    """The comparison itself: a second apart, or one of them without an answer, is no agreement."""

    def agreed(*figures: float | None) -> bool:
        by_place = {str(number): one for number, one in enumerate(figures)}
        return Agreement(what="", unit="s", within=1.0, by_place=by_place).agrees()

    assert agreed(5.0, 6.0)
    assert agreed(None, None)
    assert not agreed(5.0, 6.1)
    assert not agreed(5.0, None)
