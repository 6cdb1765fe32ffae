"""The locomotive in time: it ends where `at_rest` says, keeps its air, and takes its time."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.equipment.locomotive import Command, Equipment, at_rest
from calculators.equipment.locomotive_time import Run, Setup, carried_on, run, start_from_empty
from tests.circuits.locomotives import PLAIN, RELEASED, commands, equipments, service

LIGHT = Setup(equipment=PLAIN)


def went(setup: Setup, before: Command, wanted: Command) -> Run:
    rest = at_rest(setup.equipment, before)
    move = carried_on(setup.equipment, before, rest, wanted, setup.equipment)
    return run(setup, before, move)


def ends_at_rest(made: Run, setup: Setup, *, slack: float = 1e-6) -> None:
    end, rest = made.samples[-1], made.after
    found = {
        "equalizing_reservoir": rest.equalizing_reservoir,
        "brake_pipe": rest.brake_pipe,
        "pipe_16": rest.pipe_16,
        "pipe_20": rest.pipe_20,
        "brake_cylinder": rest.brake_cylinder,
        "main_reservoir": rest.supply,
    }
    assert {place: end.pressure(place) for place in found} == pytest.approx(found, abs=slack)
    assert made.rest_after is not None


@settings(max_examples=150, deadline=None)
@given(equipments, commands, commands, st.booleans())
def test_two_moves_end_at_what_at_rest_says(
    equipment: Equipment, first: Command, second: Command, behind_a_train: bool
) -> None:
    setup = Setup(equipment=equipment, cars=26 if behind_a_train else 0)
    start = replace(RELEASED, vented="nowhere")
    rest = at_rest(equipment, start)
    before = carried_on(equipment, start, rest, first, equipment)

    made = went(setup, before, second)

    ends_at_rest(made, setup, slack=1e-4 if behind_a_train else 1e-6)
    assert abs(made.mass_error) < 1e-11
