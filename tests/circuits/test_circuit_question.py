"""The `circuit` calculator: at rest it is the locomotive brake calculator, on the way it moves there."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.base.errors import UnknownNameError
from calculators.base.quantities import Choice
from calculators.base.results import Display
from calculators.circuits.asking import carried_on
from calculators.circuits.catalog import CIRCUITS, find_circuit
from calculators.circuits.story import Story
from calculators.equipment.running import Volumes
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.rendering.circuit.moments import story_in
from tests.circuits.asked import (
    CIRCUIT,
    LOCOMOTIVE,
    asked,
    every_stage,
    figures,
    settings_of_a_locomotive,
    texts,
    told,
)

SHARED = ("equalizing_reservoir", "brake_pipe", "pipe_16", "pipe_20", "brake_cylinder")


def as_locomotive_brake(story: Story, entries: dict[str, str]) -> dict[str, str]:
    """The same state as inputs of the locomotive brake calculator."""
    move, equipment = story.now.move, story.now.equipment
    kept = {name: text for name, text in entries.items() if name in LOCOMOTIVE.inputs()}
    at, setting = story.now.bailed_at, equipment.brake_pipe_setting
    stood = story.run.samples[0].pressure("brake_pipe")
    return kept | {
        "handle": "handle-off" if story.now.penalty else move.handle,
        "reduction": _typed(move.reduction),
        "independent": _typed(move.independent),
        "bail_off": move.bail_off,
        "cut_off": equipment.cut_off,
        "unit": equipment.unit,
        "earlier_reduction": _typed(round(max(0.0, setting - stood), 1)),
        "reduction_at_bail_off": "" if at is None else _typed(round(at, 1)),
    }


def within(setting: dict[str, str]) -> float:
    """A tenth of a psi in the pipe, by the valve's multiplier and the relay's ratio, and 0.2. [psi]"""
    ratio = max(1.0, float(setting["relay_ratio_automatic"]))
    return 0.2 + 0.1 * float(setting["multiplier"]) * ratio


def _typed(figure: float) -> str:
    """A figure as a person could type it: fields take no more digits than a float is good for."""
    return f"{figure:.12g}"


@settings(max_examples=25)
@given(st.sampled_from(every_stage), settings_of_a_locomotive)
def test_at_rest_every_circuit_says_what_the_locomotive_brake_says(stage, setting):
    circuit, number = stage
    entries = {"circuit": circuit, "stage": number, "leakage": "0", **setting}
    found = asked(**entries)
    story = story_in(found)
    if story.now.vented:
        return  # the locomotive brake calculator knows no emergency from the train

    theirs = answer(LOCOMOTIVE, as_locomotive_brake(story, setting))

    assert not theirs.errors, theirs.errors
    expected = {name: theirs.results()[name] for name in SHARED}
    room = within(setting)
    if circuit == "hauled-dead":
        # With the pipe empty nothing feeds its main reservoir, which then fills the cylinders alone:
        # what they take is missing there, and the rest formula does not know it.
        taken = Volumes().cylinders * Volumes().cylinder / AIR_SUPPLY.reservoir_volume
        room += taken * float(setting["dead_engine_setting"])
    assert {name: found.results()[name] for name in SHARED} == pytest.approx(expected, abs=room)


@settings(max_examples=25)
@given(
    settings_of_a_locomotive,
    st.sampled_from(("service", "minimum-reduction", "suppression", "emergency", "release")),
    texts(0, 35),
    texts(0, 50),
)
def test_any_move_of_both_handles_ends_alike(setting, handle, reduction, independent):
    moved = {"handle": handle, "reduction": reduction, "independent": independent}

    found = asked(circuit="service-application", **moved, **setting)
    theirs = answer(LOCOMOTIVE, moved | {n: t for n, t in setting.items() if n != "cars"})

    expected = {name: theirs.results()[name] for name in SHARED}
    assert {name: found.results()[name] for name in SHARED} == pytest.approx(
        expected, abs=within(setting)
    )


def test_an_emergency_from_the_train_ends_as_a_pipe_at_zero():
    """Everything but the reservoir of the brake valve is as after handle off: the pipe is empty."""
    found = figures(circuit="emergency-from-train", cars="26")
    handle_off = answer(LOCOMOTIVE, {"handle": "handle-off"}).results()

    assert found["equalizing_reservoir"] == pytest.approx(90.0)
    assert found["brake_pipe"] == pytest.approx(0.0, abs=0.1)
    assert found["brake_cylinder"] == pytest.approx(handle_off["brake_cylinder"], abs=0.2)


@pytest.mark.parametrize("unit", ["psi", "kPa", "bar"])
@pytest.mark.parametrize("stage", every_stage, ids="-".join)
def test_going_on_from_a_stage_is_going_to_the_next(stage, unit):
    """ "Go on from here" starts where the move came to rest: nothing moves until a handle does."""
    circuit, number = stage
    story = told(circuit=circuit, stage=number, cars="0", leakage="0")

    again = told(
        circuit=circuit, cars="0", leakage="0", **carried_on(story, Display(pressure=unit))
    )

    assert again.before is not None
    end, start = story.run.samples[-1], again.run.samples[0]
    for place in (*SHARED, "control_reservoir"):
        # A dead unit has given its cylinders the air of its main reservoir once more.
        slack = 0.7 if circuit == "hauled-dead" else 0.4
        assert start.pressure(place) == pytest.approx(end.pressure(place), abs=slack), place
    assert again.events == ()


def test_going_on_carries_the_bail_off():
    story = told(circuit="bail-off", stage="2", cars="0")
    go_on = carried_on(story, Display())

    further = told(circuit="bail-off", cars="0", **(go_on | {"reduction": "15"}))

    # ARMY-223 p. 2-7: after a bail-off only what comes off further counts.
    assert further.run.samples[-1].pressure("brake_cylinder") == pytest.approx(2.5 * 3, abs=0.3)


def test_entries_to_go_on_are_in_the_users_unit():
    story = told(circuit="service-application", cars="0")

    go_on = carried_on(story, Display(pressure="kPa"))

    assert go_on["from_reduction"].endswith(" kPa")
    again = figures(circuit="service-application", cars="0", pressure_unit="kPa", **go_on)
    assert again["brake_pipe"] == pytest.approx(80.0, abs=0.2)


def test_a_moment_lies_between_start_and_rest():
    start = figures(circuit="service-application", moment="0")
    middle = figures(circuit="service-application", moment="2")
    end = figures(circuit="service-application")

    assert start["brake_pipe"] == pytest.approx(90.0)
    assert start["brake_pipe"] > middle["brake_pipe"] > end["brake_pipe"]
    assert "Still moving" in middle["still_moving"]
    assert end["still_moving"] == "At rest."


def test_a_light_locomotive_has_no_rear():
    assert figures(circuit="service-application", cars="0")["rear_brake_pipe"] is None


def test_what_it_refuses():
    too_far = answer(CIRCUIT, {"circuit": "service-application", "reduction": "100"})
    no_stage = answer(CIRCUIT, {"circuit": "service-application", "stage": "2"})
    before = answer(
        CIRCUIT,
        {"circuit": "service-application", "from_handle": "service", "from_reduction": "95"},
    )

    assert "holds only 90 psi" in too_far.errors["reduction"]
    assert "service application has 1" in no_stage.errors["stage"]
    assert "from_reduction" in before.errors
    with pytest.raises(UnknownNameError, match="service-lap"):
        find_circuit("service-lop")
    with pytest.raises(UnknownNameError, match='no circuit is called "nothing like it"'):
        find_circuit("nothing like it")


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ({"circuit": "penalty-and-recovery"}, "emergency is not assured"),
        ({"circuit": "release-and-recharge"}, "head is up long before the rear"),
        ({"circuit": "cut-out"}, "the train does not"),
        ({"circuit": "service-application", "cut_off": "passenger"}, "let the whole train go"),
        ({"circuit": "bail-off"}, "acts on the locomotive only"),
        ({"circuit": "service-application"}, "a nominal car's cylinder comes to about"),
        ({"circuit": "penalty-and-recovery", "stage": "2"}, "opens no valve"),
    ],
)
def test_cautions_and_notes(entries, words):
    outcome = asked(**entries).outcome
    assert outcome is not None
    assert any(words in note.text.text(Display()) for note in outcome.notes)


def test_every_circuit_is_offered():
    choice = CIRCUIT.inputs()["circuit"]
    assert isinstance(choice, Choice)
    assert {option.value for option in choice.options} == set(CIRCUITS)


def test_the_outcome_carries_the_story_that_its_figures_are_read_from():
    found = asked(circuit="emergency-from-handle", stage="1")
    end = story_in(found).frames[-1].moment.pressures
    assert {name: found.results()[name] for name in SHARED} == {name: end[name] for name in SHARED}
    assert "story" not in found.results()
