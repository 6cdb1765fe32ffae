"""Picture, gauges, steps and moments: figures of the calculator, ids that fit, bytes that repeat."""

import json
import math
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.base.results import Display, psi
from calculators.browser import reply
from calculators.circuits.sheet.parts import LEAD, PIPES, SHEETS
from calculators.rendering.circuit.moments import keyed_moment, moments, shown_frame, story_in
from calculators.rendering.circuit.page import circuit_element, circuit_reply, moments_json
from calculators.rendering.circuit.picture import moment_keys, picture
from calculators.rendering.circuit.symbols import ports, symbol
from calculators.rendering.elements import html
from tests.circuits.asked import CIRCUIT, asked, every_stage, settings_of_a_locomotive, told

# Which text of the picture or panel shows which result.
SHOWN = {
    "value-main_reservoir": "supply",
    "value-equalizing_reservoir": "equalizing_reservoir",
    "value-train-pipe": "brake_pipe",
    "value-train": "rear_brake_pipe",
    "value-control_reservoir": "control_reservoir",
    "value-pipe-16": "pipe_16",
    "value-pipe-20": "pipe_20",
    "value-brake_cylinder": "brake_cylinder",
    "gauge-main_reservoir": "supply",
    "gauge-equalizing_reservoir": "equalizing_reservoir",
    "gauge-brake_pipe": "brake_pipe",
    "gauge-rear": "rear_brake_pipe",
    "gauge-brake_cylinder": "brake_cylinder",
}


def rebuilt(data: dict[str, Any], number: int) -> dict[str, dict[str, str]]:
    """A whole moment again: what stays and what changes."""
    frame = data["frames"][number]
    return {kind: data["base"][kind] | frame[kind] for kind in ("texts", "classes", "widths")}


@settings(max_examples=50)
@given(
    st.sampled_from(every_stage), settings_of_a_locomotive, st.sampled_from(("psi", "kPa", "bar"))
)
def test_the_picture_shows_the_calculators_figures(stage, setting, unit):
    circuit, number = stage
    found = asked(circuit=circuit, stage=number, pressure_unit=unit, **setting)
    data = moments(story_in(found), found.display)
    texts = rebuilt(data, -1)["texts"]

    for key, result in SHOWN.items():
        value = found.results()[result]
        if key in texts and isinstance(value, float):
            assert texts[key] == found.display.value(psi(value)), key


@pytest.mark.parametrize("stage", every_stage, ids="-".join)
def test_every_key_has_its_element_once(stage):
    circuit, number = stage
    found = asked(circuit=circuit, stage=number)
    page = html(circuit_element(found, id="x"))
    ids = re.findall(r'\sid="([^"]+)"', page)
    data = moments(story_in(found), found.display)

    assert len(ids) == len(set(ids))
    for frame in range(len(data["frames"])):
        for keys in rebuilt(data, frame).values():
            assert {f"x-{key}" for key in keys} <= set(ids)


@pytest.mark.parametrize("unit", ["service-application", "trailing-unit", "hauled-dead"])
def test_the_picture_is_sound_svg_with_name_and_description(unit):
    found = asked(circuit=unit)
    story = story_in(found)
    keyed = moment_keys(story.sheet, story.frames[-1].moment, Display())
    svg = picture(story.sheet, keyed, id="x", title="A <title> & more", words="Words")

    again = ElementTree.fromstring(ElementTree.tostring(svg))
    assert again.get("role") == "img"
    assert again.get("aria-labelledby") == "x-title x-desc"
    assert [child.tag for child in again[:2]] == ["title", "desc"]
    assert again[0].text == "A <title> & more"
    # Nothing that the content security policy would drop.
    assert "style=" not in html(svg)


def test_the_page_stands_complete_without_scripts():
    found = asked(circuit="service-application")
    page = html(circuit_element(found, id="x", title="What moves?"))

    assert "What moves?" in page
    assert "25 psi" in page
    assert page.count("<li") >= 8
    for gauge in ("Main reservoir", "Equalizing reservoir", "Brake pipe, at the rear"):
        assert gauge in page
    assert "For training and reference only" in page


def test_a_page_is_the_same_every_time():
    pages = {html(circuit_element(asked(circuit="bail-off"), id="x")) for _ in range(2)}
    assert len(pages) == 1


def test_the_begin_is_before_the_move_unless_a_moment_is_asked():
    begins = asked(circuit="service-application")
    at_rest = asked(circuit="service-application", moment="")
    early = asked(circuit="service-application", moment="0")
    last = len(story_in(begins).frames) - 1

    assert shown_frame(begins, story_in(begins)) == 0
    assert shown_frame(at_rest, story_in(at_rest)) == last
    assert shown_frame(early, story_in(early)) == 0


def test_every_picture_can_be_asked_for_by_its_moment():
    found = asked(circuit="release-and-recharge")
    data = moments(story_in(found), found.display)
    for number, frame in enumerate(data["frames"]):
        again = asked(circuit="release-and-recharge", moment=frame["moment"])
        assert shown_frame(again, story_in(again)) == number


def test_moments_for_a_script_hold_no_closing_tag():
    text = moments_json(asked(circuit="service-application"), id="x")
    assert "<" not in text
    assert json.loads(text)["frames"]


def test_the_reply_to_a_page():
    request = {"kind": "circuit", "calculator": "circuit", "id": "x", "form": True}
    said = json.loads(
        reply(json.dumps(request | {"entries": {"circuit": "bail-off", "stage": "2"}}))
    )

    assert said["errors"] == {}
    assert said["frames"][-1]["moment"] == ""
    assert said["go_on"]["from_bail_off"] == "released"
    assert said["operated"]["bail_off"] == "released"
    assert '<form class="asking"' in said["form"]
    assert 'name="handle"' not in said["form"]
    assert "stage=2" in said["link"]
    assert "Bail-off" not in said["steps"]


def test_a_refused_reply_names_the_field():
    said = circuit_reply(answer(CIRCUIT, {"reduction": "500"}), id="x", with_form=False)
    assert set(said) == {"errors"}
    assert "reduction" in said["errors"]


def test_the_settings_own_figures_are_used():
    request = {
        "kind": "circuit",
        "calculator": "circuit",
        "id": "x",
        "entries": {"circuit": "service-application"},
        "settings": {"brake_pipe_setting": "80"},
    }
    said = json.loads(reply(json.dumps(request)))

    assert said["texts"]["brake_pipe_setting"] == "80"
    assert "70 psi" in said["frames"][-1]["status"]


def test_air_that_is_fed_shows_as_flow():
    """3 psi/min as read at 90 is cfm = V x fall / 14.7 (H70) at that pressure."""
    found = asked(circuit="service-lap", brake_pipe_setting="90", reduction="0", from_reduction="0")
    story = story_in(found)
    flow = keyed_moment(story, story.frames[-1], Display()).texts["gauge-flow"]

    # Two locomotives of 70 ft and 118 cars of 55 ft, bore 1.278 in, 60 cu in of branch a car.
    volume = math.pi / 4.0 * 1.278**2 * 12.0 * (2 * 70.0 + 118 * 55.0) + 118 * 60.0
    by_hand = volume / 1728.0 * 3.0 / 14.7
    assert float(flow.split()[0]) == pytest.approx(by_hand, abs=1.0)


def test_the_pilots_line_carries_the_pipe_that_won():
    independent = told(circuit="independent-brake")
    keyed = moment_keys(independent.sheet, independent.frames[-1].moment, Display())
    assert "carries-pipe_20" in keyed.classes["joint-pilot"]

    automatic = told(circuit="service-application")
    keyed = moment_keys(automatic.sheet, automatic.frames[-1].moment, Display())
    assert "carries-pipe_16" in keyed.classes["joint-pilot"]


@pytest.mark.parametrize(
    ("entries", "part", "position", "words"),
    [
        ({"circuit": "service-application"}, "handle_valve", "at-lap", "lap"),
        (
            {"circuit": "service-application", "moment": "1"},
            "handle_valve",
            "at-exhaust",
            "letting down",
        ),
        ({"circuit": "service-application", "moment": "1"}, "control_valve", "at-feed", "applying"),
        (
            {"circuit": "service-application", "reduction": "30"},
            "limiting_valve",
            "at-shut",
            "holds at 60 psi",
        ),
        ({"circuit": "service-application"}, "cut_off_valve", "at-open", "IN: open"),
        ({"circuit": "cut-out"}, "cut_off_valve", "at-shut", "OUT: shut"),
        ({"circuit": "emergency-from-train"}, "cut_off_valve", "at-shut", "shut by 53"),
        ({"circuit": "emergency-from-handle"}, "cut_off_valve", "at-shut", "shut"),
        ({"circuit": "charging", "moment": "1"}, "cut_off_valve", "at-shut", "< 25 psi"),
        ({"circuit": "emergency-from-handle"}, "vent_valve", "at-open", "open"),
        ({"circuit": "emergency-from-handle", "moment": "0.1"}, "vent_valve", "at-open", "blowing"),
        (
            {"circuit": "emergency-from-handle"},
            "emergency_limiting_valve",
            "at-shut",
            "holds at 70 psi",
        ),
        (
            {"circuit": "emergency-from-handle", "moment": "0.3"},
            "emergency_limiting_valve",
            "at-open",
            "open to 70 psi",
        ),
        ({"circuit": "bail-off"}, "actuating_valve", "at-open", "pressed"),
        ({"circuit": "service-application"}, "double_check", "at-a", "pipe 16 passes"),
        ({"circuit": "independent-brake"}, "double_check", "at-b", "pipe 20 passes"),
        ({"circuit": "charging"}, "double_check", "at-neither", "no air on either side"),
        ({"circuit": "hauled-dead"}, "dead_engine_device", "at-open", "feeds up to 25 psi"),
        ({"circuit": "charging", "moment": "5"}, "control_valve", "at-exhaust", "released"),
        (
            {"circuit": "service-application", "moment": "0"},
            "control_valve",
            "at-exhaust",
            "released",
        ),
        ({"circuit": "service-application"}, "control_valve", "at-lap", "lap"),
        ({"circuit": "independent-brake", "stage": "2"}, "relay_valve", "at-exhaust", "released"),
        (
            {"circuit": "penalty-and-recovery"},
            "emergency_limiting_valve",
            "at-shut",
            "holds at 70 psi",
        ),
        (
            {"circuit": "penalty-and-recovery", "moment": "40"},
            "emergency_limiting_valve",
            "at-shut",
            "shut",
        ),
        ({"circuit": "trailing-unit"}, "lead_unit", "", "handle in service"),
    ],
)
def test_parts_say_where_they_stand(entries, part, position, words):
    found = asked(**entries)
    story = story_in(found)
    moment = entries.get("moment")
    frame = story.frame_at(float(moment)) if moment else story.frames[-1]
    keyed = moment_keys(story.sheet, frame.moment, Display())

    assert keyed.texts[f"state-{part}"] == words
    assert position in keyed.classes[f"part-{part}"]


@pytest.mark.parametrize("component", LEAD.components, ids=lambda component: component.id)
def test_a_pilot_or_a_hand_stands_beside_the_square_it_brings_in(component):
    """ISO 1219-1: what works on a valve pushes the square next to it onto the lines."""
    works = {"pipe_relay": "feed", "relay_valve": "feed", "actuating_valve": "open"}
    drawn = {
        square.get("class", "").split("-")[-1]: square.get("transform", "")
        for square in symbol(component).iter("g")
        if square.get("class", "").startswith("square")
    }
    if component.id in works:
        assert drawn[works[component.id]] == "translate(28 0)"  # their pilot or button is right
    if component.id == "control_valve":
        # The control reservoir is left of it and applies, the brake pipe right of it and releases.
        assert ports(component)["left"][0] < component.at[0] < ports(component)["right"][0]
        assert drawn["feed"] == "translate(-28 0)"
        assert drawn["exhaust"] == "translate(28 0)"


def test_the_caption_names_every_pipe_number_of_the_sheet():
    for sheet in SHEETS.values():
        assert {joint.number for joint in sheet.joints if joint.number} <= set(PIPES)
    page = html(circuit_element(asked(circuit="service-application"), id="x"))
    caption = page[page.index("<figcaption>") : page.index("</figcaption>")]
    assert "1 brake pipe" in caption
    assert "20 independent" in caption
    hauled = html(circuit_element(asked(circuit="hauled-dead"), id="x"))
    assert "13 actuating" not in hauled


def test_the_piston_is_out_when_the_cylinder_holds_air():
    story = told(circuit="service-application")
    first, last = (
        moment_keys(story.sheet, story.frames[n].moment, Display()).classes["part-brake_cylinder"]
        for n in (0, -1)
    )
    assert "at-in" in first
    assert "at-out" in last
