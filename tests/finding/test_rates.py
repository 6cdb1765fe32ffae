"""How often fault finding is right on readings drawn from the same model.

The rates asked for there; the model is this reference's own, so they are upper bounds for a locomotive.
`python3 build bench finding` prints them for more cases, with what was taken for what.
"""

from __future__ import annotations

from functools import cache

import pytest

from calculators.finding.own import EXAMPLE, finder_for
from generator.bench.finding import Arm, Case, arm, cases, sessions

pytestmark = pytest.mark.long

NUMBER = 60


@cache
def drawn() -> tuple[Case, ...]:
    return tuple(cases(finder_for(EXAMPLE), NUMBER))


@cache
def measured(sounds: bool, share: float) -> Arm:
    found, _ = arm(finder_for(EXAMPLE), drawn(), sounds=sounds, share=share)
    return found


def test_all_gauges():
    found = measured(False, 1.0)
    assert found.first >= 0.85
    assert found.three >= 0.98
    assert found.healthy >= 0.98


def test_all_gauges_and_sounds():
    found = measured(True, 1.0)
    assert found.first >= 0.95
    assert found.three >= 0.99
    assert found.healthy >= 0.98
    assert found.missed <= 0.04


@pytest.mark.parametrize("sounds", [False, True])
def test_half_of_each(sounds: bool):
    assert measured(sounds, 0.5).three >= 0.95


def test_the_next_check_takes_half_the_stages_at_an_equal_rate():
    few = drawn()[:30]
    led, in_order = (sessions(finder_for(EXAMPLE), few, led=one) for one in (True, False))
    assert led.stages <= in_order.stages / 2
    assert led.right >= in_order.right
