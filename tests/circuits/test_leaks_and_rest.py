"""What must be true of every circuit that leaks: never under 0, never at rest before it is."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.circuits.story import Story
from tests.circuits.asked import every_stage, settings_of_a_locomotive, told

# A gauge's hand has a pin at zero; a wave may pass over what feeds it. [psi]
DUST = 1e-6
WAVES = 1.5


def pressures(story: Story) -> list[tuple[float, float]]:
    """The lowest and highest pressure of every moment, the train's rear among them. [psi]"""
    return [
        (min(*sample.pressures, sample.rear or 0.0), max(*sample.pressures, sample.rear or 0.0))
        for sample in story.run.samples
    ]


@pytest.mark.parametrize(("circuit", "stage"), every_stage)
@pytest.mark.parametrize("leakage", ["0", "5"])
def test_no_pressure_of_a_circuit_is_under_the_atmosphere(circuit: str, stage: str, leakage: str):
    story = told(circuit=circuit, stage=stage, leakage=leakage, cars="26")

    assert min(low for low, _ in pressures(story)) >= -DUST


@settings(max_examples=20)
@given(
    st.sampled_from(every_stage),
    settings_of_a_locomotive,
    st.sampled_from(("0", "1", "5", "20")),
    st.sampled_from(("release", "service", "suppression", "handle-off", "emergency")),
    st.sampled_from(("none", "penalty")),
)
def test_nothing_is_under_0_or_over_what_feeds_it(place, locomotive, leakage, handle, event):
    circuit, stage = place
    story = told(
        circuit=circuit, stage=stage, leakage=leakage, handle=handle, event=event, **locomotive
    )
    shown = pressures(story)
    start = shown[0][1]
    fed = max(
        start,
        float(locomotive["main_reservoir"]),
        # A relay of more than one to one makes no more than the main reservoir holds.
        float(locomotive["brake_pipe_setting"]),
    )

    assert min(low for low, _ in shown) >= -DUST
    assert max(high for _, high in shown) <= fed + WAVES


@pytest.mark.parametrize("event", ["penalty", "none"])
def test_a_pipe_that_is_emptied_and_leaks_comes_to_0_and_stops(event: str):
    handle = "handle-off" if event == "none" else "release"
    story = told(circuit="service-lap", event=event, handle=handle)

    assert story.run.samples[-1].pressure("brake_pipe") == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("cars", ["26", "60"])
def test_more_leakage_never_brings_a_charging_train_to_rest_sooner(cars: str):
    """Nor more cars: a train recharging after 10 off takes minutes, not seconds."""
    times = [
        told(circuit="service-lap", handle="release", leakage=leakage, cars=cars).run.rest_after
        for leakage in ("0", "1", "3", "5")
    ]

    found = [time for time in times if time is not None]
    assert len(found) == len(times)
    assert found == sorted(found)
    assert found[0] > float(cars)


def test_a_longer_train_is_never_at_rest_sooner():
    times = [
        told(circuit="service-lap", handle="release", leakage="3", cars=cars).run.rest_after
        for cars in ("5", "26", "60", "118")
    ]

    found = [time for time in times if time is not None]
    assert len(found) == len(times)
    assert found == sorted(found)


@pytest.mark.parametrize("leakage", ["0", "3"])
def test_at_rest_means_that_the_rear_has_come_up_too(leakage: str):
    """After the moment called rest, nothing along the pipe moves by more than a gauge shows."""
    run = told(circuit="service-lap", handle="release", leakage=leakage).run
    assert run.rest_after is not None
    end = run.samples[-1]

    later = [sample for sample in run.samples if sample.seconds > run.rest_after]
    assert later
    for sample in later:
        assert sample.rear == pytest.approx(end.rear, abs=0.5)
        assert sample.pressure("brake_pipe") == pytest.approx(end.pressure("brake_pipe"), abs=0.5)
