"""The first screen of every calculator: what is declared, said, counted and compared."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.asked import asked_words, line_words, read_as
from calculators.answering.otherwise import otherwise
from calculators.answering.standing import standing
from calculators.base.errors import InputError, UnknownNameError
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Display
from calculators.catalog import CALCULATORS, find_calculator
from calculators.declaring.first_screen import NOTHING_FIRST
from calculators.rendering.answers.bar import bar_html, spoken_text
from calculators.rendering.answers.otherwise import NO_SINGLE, otherwise_html
from calculators.rendering.forms.form import form_html
from calculators.rendering.forms.readings import readings_html

EACH = pytest.mark.parametrize("name", CALCULATORS)
LOCOMOTIVE = find_calculator("locomotive-brake")
REAR = find_calculator("rear-pressure")


# --- Declared -------------------------------------------------------------------------------------


@EACH
def test_every_calculator_declares_a_first_screen_of_its_own_names(name: str):
    calculator = CALCULATORS[name]
    first = calculator.first
    assert first is not NOTHING_FIRST
    assert first.keys
    assert set(first.figures) <= set(calculator.outputs())
    assert set(first.line) | {key.field for key in first.keys} <= set(calculator.inputs())
    assert set(first.read) <= set(calculator.outputs())
    assert set(first.read.values()) <= set(calculator.inputs())
    assert not first.decided or first.decided in calculator.outputs()


@EACH
def test_presets_and_conditions_are_what_the_fields_take(name: str):
    calculator = CALCULATORS[name]
    for key in calculator.first.keys:
        description = calculator.inputs()[key.field]
        for preset in key.presets:
            assert isinstance(description, Quantity)
            found = answer(calculator, {key.field: str(preset)}, example=True)
            assert key.field not in found.errors
        if key.only is not None:
            choice = calculator.inputs()[key.only[0]]
            assert isinstance(choice, Choice)
            assert set(key.only[1]) <= {option.value for option in choice.options}


@EACH
def test_every_option_is_said_in_words(name: str):
    """No option of the choice that picks the words leaves a hole in them."""
    calculator = CALCULATORS[name]
    first = calculator.first
    options = [""]
    if first.asked_by:
        choice = calculator.inputs()[first.asked_by]
        assert isinstance(choice, Choice)
        options = [option.value for option in choice.options]
    for option in options:
        entries = {first.asked_by: option} if first.asked_by else {}
        found = answer(calculator, entries, example=True)
        if found.outcome is not None:
            words = asked_words(found, first)
            assert words.strip()
            assert "{" not in words


# --- Said -----------------------------------------------------------------------------------------


def test_what_was_asked_in_a_railroaders_words():
    found = answer(LOCOMOTIVE, {"brake_pipe_setting": "85", "reduction": "12", "independent": "20"})
    assert asked_words(found, LOCOMOTIVE.first) == "12 off 85 psi, independent 20 psi"
    bar = bar_html(found)
    for text in ("73 <small>psi</small>", "30 <small>psi</small>", "pipe 16"):
        assert text in bar


def test_the_line_marks_the_railroads_own():
    found = answer(LOCOMOTIVE, {"brake_pipe_setting": "85", "service_limit": "58"})
    assert line_words(found, LOCOMOTIVE.first, {}) == "85 psi, limit 58 psi"
    own = {"brake_pipe_setting": "85 psi"}
    assert line_words(found, LOCOMOTIVE.first, own) == "85 psi (yours), limit 58 psi"


def test_a_bar_is_read_as_psi_to_a_tenth_and_a_comma_is_said():
    found = answer(LOCOMOTIVE, {"brake_pipe_setting": "5.9 bar", "pressure_unit": "psi"})
    assert read_as(found) == {"brake_pipe_setting": "Read as 85.6 psi."}
    comma = answer(LOCOMOTIVE, {"brake_pipe_setting": "85,5", "auxiliary_volume": "1,500"})
    assert read_as(comma) == {
        "brake_pipe_setting": "Read as 85.5 psi.",
        "auxiliary_volume": "Read as 1,500 cu in.",
    }


# --- Counted --------------------------------------------------------------------------------------


def test_a_reading_that_is_not_within_says_by_how_much():
    found = answer(REAR, {"rear": "68"})
    assert standing(found.verdicts).kind == "not within"
    words = spoken_text(found)
    assert "Not within:" in words
    assert "22 psi: 7 psi over the most of 15 psi" in words
    under = answer(REAR, {"rear": "68", "brake_pipe_setting": "80"})
    assert "68 psi: 7 psi under the least of 75 psi" in spoken_text(under)


@given(st.floats(min_value=0, max_value=130))
def test_the_worst_reading_decides_and_every_reading_counts_once(rear: float):
    found = answer(REAR, {"rear": f"{rear:.3f}"})
    stands = standing(found.verdicts)
    assert sum(stands.counts.values()) == 2
    within = [verdict.standing == "within" for verdict in found.verdicts]
    assert (stands.kind == "within") == all(within)
    assert stands.counts["within"] == sum(within)


def test_a_distance_never_reads_as_none():
    found = answer(REAR, {"rear": "74.96", "brake_pipe_setting": "80"})
    words = spoken_text(found)
    assert "0.04 psi under" in words
    assert " 0 psi under" not in words


def test_own_and_printed_figure_count_as_one_reading():
    found = answer(REAR, {"rear": "80"}, settings={"limit.rear-floor-class-1": "82"})
    stands = standing(found.verdicts)
    assert stands.counts["not within"] == 1
    assert sum(stands.counts.values()) == 2


def test_nothing_read_is_never_within():
    found = answer(find_calculator("hand-brakes"), {}, example=True)
    assert standing(found.verdicts).kind == "not read"


def test_where_texts_differ_there_is_no_verdict():
    entries = {"air_flow": "70", "air_sources": "two-or-more"}
    found = answer(find_calculator("leakage-and-flow"), entries)
    assert standing(found.verdicts).kind == "no verdict"


# --- Compared -------------------------------------------------------------------------------------

ASKED = {"brake_pipe_setting": "85", "reduction": "12"}


def compared(result: str, text: str, *, calculator=LOCOMOTIVE, raw=ASKED, unit: str = "psi") -> str:
    display = Display(pressure=unit)
    found = otherwise(calculator, raw, result=result, text=text, settings={}, display=display)
    return otherwise_html(found, display, root="../../")


def test_an_empty_cylinder_names_what_alone_empties_it():
    said = compared("brake_cylinder", "0")
    assert "handle pressed and held instead of not used" in said
    assert "release instead of service zone" in said
    assert NO_SINGLE not in said


# Each asks the calculator some hundred times over.
@settings(deadline=None, max_examples=15)
@given(st.floats(min_value=0, max_value=72))
def test_every_named_cause_gives_the_reading(read: float):
    """Asked again with a cause put in, the answer is the reading, within the gauge's error."""
    found = otherwise(
        LOCOMOTIVE,
        ASKED,
        result="brake_cylinder",
        text=f"{read:.1f}",
        settings={},
        display=Display(),
    )
    for cause in found.causes:
        if cause.template.startswith("{term}: about") and cause.parts["term"] == "Reduction":
            value = cause.parts["value"].amount  # type: ignore[union-attr]
            again = answer(LOCOMOTIVE, ASKED | {"reduction": f"{value:.4f}"})
            assert again.results()["brake_cylinder"] == pytest.approx(read, abs=3.05)


def test_no_further_apart_than_a_gauge_may_be():
    said = compared("brake_pipe", "74")
    assert "no further apart than a gauge in order may be" in said
    assert "instead of" not in said


def test_what_no_single_thing_gives_is_said_so():
    assert NO_SINGLE in compared("brake_pipe", "140")


def test_a_bare_reading_is_in_the_unit_on_show():
    assert '"figure">5.000 bar</span> read' in compared("brake_pipe", "5", unit="bar")


def test_a_reading_with_a_field_of_its_own_is_judged_by_the_answer():
    daily = find_calculator("daily-brake-test")
    said = compared("first_cylinder", "40", calculator=daily, raw={})
    bare = compared("emergency_cylinder", "40", calculator=daily, raw={})
    assert said.count("<p>") > bare.count("<p>")


def test_readings_that_are_no_figures_and_figures_that_are_none():
    with pytest.raises(InputError, match="lots"):
        compared("brake_pipe", "lots")
    with pytest.raises(UnknownNameError):
        compared("decided_by", "3")
    with pytest.raises(UnknownNameError):
        compared("time", "3", calculator=find_calculator("charging-time"), raw={})


# --- Readings one by one --------------------------------------------------------------------------

READ = {
    "rear": "79",
    "leakage": "3",
    "wait": "50",
    "air_flow": "48",
    "reduction": "20",
    "rear_fall": "5",
    "rear_rise": "5",
    "piston_travels": "7, 8",
    "operative": "120",
    "control_valves": "120",
}
# Judged by what the form says of the move, not by a reading.
OF_THE_MOVE = {"yard-air-retest"}


def every_test() -> Iterator[dict[str, str]]:
    inputs = find_calculator("brake-test").inputs()
    events, kinds = inputs["event"], inputs["train_kind"]
    assert isinstance(events, Choice)
    assert isinstance(kinds, Choice)
    for event in events.options:
        for kind in kinds.options:
            for sources in ("one", "two-or-more"):
                yield {"event": event.value, "train_kind": kind.value, "air_sources": sources}


def test_every_limit_of_a_reading_stands_beside_its_field():
    test = find_calculator("brake-test")
    known = {id for limits in test.first.readings.values() for id in limits}
    met = set()
    for asked in every_test():
        for air in ("locomotive", "yard"):
            found = answer(test, READ | asked | {"air": air})
            met |= {verdict.limit.id for verdict in found.verdicts}
    assert met - known - OF_THE_MOVE == set()
    assert known <= met


def test_what_no_reading_shows_never_turns_to_within():
    """With every reading within, the whole is still not within, for every test there is."""
    test = find_calculator("brake-test")
    for asked in every_test():
        for readings in (READ, {}):
            found = answer(test, readings | asked)
            stands = standing(found.verdicts, never=test.first.never)
            assert stands.kind != "within"
            assert stands.words.text(found.display).endswith(test.first.never)


def test_no_reading_is_there_before_it_is_typed():
    test = find_calculator("brake-test")
    found = answer(test, {}, example=True)
    for item in found.inputs:
        if item.name in test.first.readings:
            assert (item.text, item.value) == ("", None)
    assert standing(found.verdicts).counts["within"] == 0


def test_seventy_nine_at_the_rear_and_forty_eight_are_judged_beside_their_fields():
    test = find_calculator("brake-test")
    beside = readings_html(answer(test, {"rear": "79", "air_flow": "48"}))
    assert beside["rear"].count('data-standing="within"') == 2
    assert "at least" in beside["rear"]
    assert "within" in beside["air_flow"]
    assert "within" not in beside["reduction"]
    low = readings_html(answer(test, {"rear": "68"}))
    assert 'data-standing="not within"' in low["rear"]


@EACH
def test_no_key_steps_a_list(name: str):
    """One press would have put a single figure in the place of all of them."""
    calculator = CALCULATORS[name]
    form = form_html(answer(calculator, {}), id="one")
    lists = {
        field
        for field, one in calculator.inputs().items()
        if isinstance(one, Quantity) and one.many
    }
    stepped = set(re.findall(r'data-nudge="([\w-]+)"', form))
    assert not stepped & lists
    numbers = {
        key.field
        for key in calculator.first.keys
        if isinstance(calculator.inputs()[key.field], Quantity)
    }
    assert stepped == numbers - lists
