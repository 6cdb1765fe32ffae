"""Steps and pictures come from the run, in its order, and not from a text."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.base.results import Display, say
from calculators.circuits import story as story_module
from calculators.circuits.story import NO_STEP, StoryStep, moving_words
from calculators.circuits.words import MOVES_PLACE, Told
from calculators.equipment.running.following import WAYS
from tests.circuits.asked import every_stage, settings_of_a_locomotive, told


def words(event: StoryStep) -> str:
    return event.why.text(Display())


@settings(max_examples=40)
@given(st.sampled_from(every_stage), settings_of_a_locomotive)
def test_steps_stand_in_the_order_of_the_run(stage, setting):
    circuit, number = stage
    story = told(circuit=circuit, stage=number, **setting)

    seconds = [event.seconds for event in story.events]
    assert seconds == sorted(seconds)
    opened = [event.passages[0] for event in story.events if event.kind == "opens"]
    ran = [used.passage for used in story.run.used if used.passage not in NO_STEP]
    assert opened == ran


def test_the_order_does_not_come_from_the_texts(monkeypatch):
    """With every text blank the steps and their order are the same."""
    before = [(e.passages, e.seconds) for e in told(circuit="bail-off", cars="0").events]
    monkeypatch.setattr(story_module, "opening", lambda *_: Told(what="", why=say("")))
    story_now = story_module.tell

    story = told(circuit="bail-off", cars="0")
    again = story_now(story.setup, story.before, story.now, story.run)

    assert [(e.passages, e.seconds) for e in again.events] == before


@settings(max_examples=30)
@given(st.sampled_from(every_stage), settings_of_a_locomotive)
def test_pictures_run_from_rest_to_rest(stage, setting):
    circuit, number = stage
    story = told(circuit=circuit, stage=number, **setting)

    times = [frame.moment.seconds for frame in story.frames]
    assert times == sorted(times)
    assert story.frames[0].first
    assert story.frames[-1].last
    assert [frame.begun for frame in story.frames] == sorted(f.begun for f in story.frames)
    assert story.frames[-1].begun == len(story.events)
    assert all(flow == 0 for flow in story.frames[0].moment.flows.values())
    if story.run.rest_after is not None and story.setup.leakage == 0.0:
        assert set(story.frames[-1].moment.flows.values()) == {0}


def test_every_passage_has_its_words():
    assert set(MOVES_PLACE) == set(WAYS) - NO_STEP


@pytest.mark.parametrize(
    ("entries", "what", "why"),
    [
        ({"circuit": "charging"}, "The control reservoir charges", "is in release"),
        ({"circuit": "charging"}, "The brake pipe relay feeds the brake pipe", "kept shut"),
        ({"circuit": "service-lap"}, "Leakage draws on the brake pipe", "3.0 psi/min"),
        ({"circuit": "service-lap"}, "The brake pipe relay feeds what leaks", "Maintaining"),
        ({"circuit": "service-lap"}, "Air runs back along the train", "rear is lowest"),
        ({"circuit": "release-and-recharge"}, "Air runs back along the train", "118 cars"),
        ({"circuit": "emergency-from-train"}, "Air of the head runs back into the train", "open"),
        (
            {"circuit": "release-and-recharge"},
            "The control valve releases pipe 16",
            "direct-release",
        ),
        (
            {"circuit": "release-and-recharge", "release_type": "graduated"},
            "The control valve releases pipe 16",
            "in proportion",
        ),
        (
            {"circuit": "emergency-from-handle"},
            "The emergency limiting valve feeds pipe 16",
            "70 psi",
        ),
        (
            {"circuit": "emergency-from-handle"},
            "The cars' vent valves open one after the other",
            "",
        ),
        (
            {"circuit": "emergency-from-train"},
            "A parted hose opens the brake pipe in the train",
            "",
        ),
        (
            {"circuit": "emergency-from-train"},
            "The locomotive's vent valve opens",
            "has reached it",
        ),
        ({"circuit": "emergency-from-rear"}, "The end-of-train device opens the brake pipe", ""),
        ({"circuit": "independent-brake"}, "The independent valve fills pipe 20", "30 psi"),
        (
            {"circuit": "independent-brake", "stage": "2"},
            "The independent valve empties pipe 20",
            "0 psi",
        ),
        ({"circuit": "bail-off"}, "The control valve releases pipe 16", "Pipe 13 holds"),
        ({"circuit": "bail-off", "stage": "2"}, "Letting the handle go empties pipe 13", ""),
        ({"circuit": "bail-off", "stage": "3"}, "The control valve applies", "78 psi"),
        ({"circuit": "penalty-and-recovery"}, "The penalty lets the equalizing reservoir down", ""),
        (
            {"circuit": "handle-off", "stage": "2"},
            "The handle's valve lets the equalizing reservoir down",
            "Handle off",
        ),
        (
            {"circuit": "trailing-unit"},
            "On the lead unit the handle's valve lets the equalizing reservoir down",
            "10 psi",
        ),
        (
            {"circuit": "trailing-unit", "stage": "2"},
            "On the lead unit the handle's valve charges the equalizing reservoir",
            "",
        ),
        (
            {"circuit": "trailing-unit", "stage": "3"},
            "On the lead unit the independent valve fills pipe 20",
            "30 psi",
        ),
        (
            {"circuit": "trailing-unit", "bail_off": "held"},
            "On the lead unit pressing the handle charges pipe 13",
            "",
        ),
        (
            {"circuit": "hauled-dead", "stage": "2"},
            "On the lead unit the brake valve opens the brake pipe to atmosphere",
            "",
        ),
        (
            {"circuit": "penalty-and-recovery"},
            "The emergency limiting valve feeds pipe 16",
            "The brake pipe is so low",
        ),
        (
            {"circuit": "independent-brake", "relay_ratio_independent": "1.6"},
            "The relay valve fills the cylinders",
            "1.6 times as much",
        ),
        (
            {
                "circuit": "service-application",
                "cut_off": "passenger",
                "handle": "service",
                "reduction": "5",
                "from_handle": "service",
                "from_reduction": "15",
                "from_cut_off": "passenger",
            },
            "The handle's valve charges the equalizing reservoir",
            "In this position",
        ),
    ],
)
def test_steps_say_what_opened_and_why(entries, what, why):
    story = told(**entries)
    found = [event for event in story.events if event.what == what]
    assert found, [event.what for event in story.events]
    assert why in words(found[0])


def test_a_relay_that_only_stirs():
    """Bailed off while the independent comes off: the cylinder is filled and emptied again."""
    story = told(
        circuit="bail-off",
        from_handle="release",
        handle="service",
        reduction="12",
        bail_off="held",
        cars="0",
    )
    fills = [event for event in story.events if event.passages == ("relay-feed",)]
    assert all("For a moment" in words(event) for event in fills)


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({"circuit": "service-application"}, "At rest."),
        ({"circuit": "service-lap"}, "At rest, but for leakage and what feeds it."),
        ({"circuit": "cut-out"}, "Still falling: the brake pipe leaks, and nothing feeds it."),
        (
            {"circuit": "charging", "cars": "250", "compressor_delivery": "10"},
            "Not at rest: followed no further.",
        ),
    ],
)
def test_the_last_picture_says_whether_it_is_at_rest(entries, said):
    story = told(**entries)
    assert moving_words(story, story.frames[-1]).text(Display()) == said


def test_the_first_picture_says_that_it_is_before():
    story = told(circuit="service-application")
    assert moving_words(story, story.frames[0]).text(Display()) == "At rest before the move."


@pytest.mark.parametrize(
    ("circuit", "part", "words"),
    [
        ("emergency-from-train", "cut_off_valve", "IN: open"),
        ("emergency-from-handle", "emergency_limiting_valve", "shut"),
        ("bail-off", "actuating_valve", "not pressed"),
        ("independent-brake", "independent_valve", "at 0 psi"),
        ("trailing-unit", "lead_unit", "handle in release"),
        ("cut-out", "cut_off_valve", "IN: open"),
        ("charging", "emergency_limiting_valve", "shut"),
    ],
)
def test_before_the_move_the_handles_stand_where_they_were(circuit, part, words):
    state = told(circuit=circuit).frames[0].moment.parts[part]
    assert state.words is not None
    assert state.words.text(Display()) == words


def test_gauges_can_stand_while_air_still_trickles():
    story = told(circuit="service-application", cars="0")
    frame = story.frame_at((story.run.rest_after or 0.0) - 0.01)
    assert moving_words(story, frame).text(Display()) in (
        "The gauges hold still.",
        "Still moving: brake pipe.",
    )


def test_coming_to_rest_names_the_exhaust():
    """A crew hears it stop; the air in the train still evens out for some seconds after it."""
    *_, stops, last = told(circuit="service-application").events
    assert (stops.kind, last.kind) == ("rests", "rests")
    assert stops.what == "The exhaust at the brake valve stops"
    assert words(stops) == "Brake pipe at 80 psi."
    assert words(last) == "Train at 80 psi."
    assert 0 < last.seconds - stops.seconds < 15


@pytest.mark.parametrize("stage", every_stage, ids="-".join)
def test_a_place_comes_to_rest_once(stage):
    circuit, number = stage
    rests = [event for event in told(circuit=circuit, stage=number).events if event.kind == "rests"]
    places = [place for event in rests for place in event.places]
    assert len(places) == len(set(places))


def test_what_still_moves_at_the_end_is_not_called_at_rest():
    """Cut out, the pipe leaks on and the cylinder creeps up on past the minute that is followed."""
    story = told(circuit="cut-out")
    assert [event.kind for event in story.events] == ["opens"] * len(story.events)


def test_the_exhaust_of_the_lead_is_not_heard_behind_it():
    events = told(circuit="trailing-unit").events
    (stops,) = [one for one in events if one.kind == "rests" and "pipe-exhaust" in one.passages]
    assert stops.what == "Comes to rest"


def test_a_gauge_that_stands_between_two_movements_is_not_called_moving():
    """In a penalty pipe 16 stands at the service limit until the pipe is very low."""
    story = told(circuit="penalty-and-recovery")
    frame = story.frame_at(40.0)
    assert frame.moment.pressures["brake_cylinder"] == pytest.approx(60.0)
    assert frame.moving == ("equalizing_reservoir", "brake_pipe", "train")


def test_an_open_pipe_without_a_train():
    story = told(circuit="emergency-from-train", cars="0")
    assert "pipe-vent" in {event.passages[0] for event in story.events}


@pytest.mark.parametrize("cars", ["0", "1", "26", "60", "118", "250"])
@pytest.mark.parametrize("reduction", ["7", "15", "24"])
def test_the_story_begins_in_the_order_of_the_command(cars: str, reduction: str):
    """The handle moves the equalizing reservoir, that the pipe, that the locomotive: at any length."""
    events = told(circuit="service-application", cars=cars, reduction=reduction).events
    order = ("handle-exhaust", "pipe-exhaust", "control-feed", "relay-feed")
    begun = [(way, one.seconds) for one in events if one.kind == "opens" for way in one.passages]
    assert [way for way, _ in begun if way in order] == list(order)
    assert [at for _, at in begun] == sorted(at for _, at in begun)
