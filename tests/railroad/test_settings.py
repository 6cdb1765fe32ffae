"""The settings worth keeping: read from the declarations, checked by the calculators' own fields."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.duty import ALLOWED, DEVICE
from calculators.answering.links import OWN_INPUT_PREFIX, text_of
from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Text
from calculators.catalog import CALCULATORS, find_calculator
from calculators.kept.settings import (
    Setting,
    check,
    differences,
    field_notes,
    judged_limits,
    restated,
    settings,
    settings_for,
    touching,
)
from calculators.law.carried import OWN_LIMIT_PREFIX
from calculators.law.limit_list import LIMITS
from calculators.rendering.answers.html import answer_html
from calculators.rendering.common import link_remarks

QUESTIONS = Path(__file__).parents[2] / "calculators" / "questions"
LOCOMOTIVE = find_calculator("locomotive-brake")
EACH = pytest.mark.parametrize("key", settings())


# The air flow is read with the train charged, which is to the setting.
ONE_QUANTITY_BY_ANOTHER_NAME = {("leakage-and-flow", "flow_pressure")}


@EACH
def test_stands_in_only_where_name_and_meaning_agree(key: str):
    setting = settings()[key]
    own = key.startswith(OWN_LIMIT_PREFIX)
    for calculator, name in setting.fields:
        same_name = name.removeprefix(OWN_INPUT_PREFIX).replace("_", "-") in key
        same_term = calculator.inputs()[name].term == setting.description.term
        known = (calculator.name, name) in ONE_QUANTITY_BY_ANOTHER_NAME
        assert same_term or known or (own and same_name)
    assert bool(setting.fields) or own or key in ("pressure_unit", DEVICE, ALLOWED)


@EACH
def test_what_the_pages_start_with_is_a_setting_that_is_taken(key: str):
    for text in settings()[key].starts():
        assert check({key: text}).errors == {}


def test_no_field_has_two_settings():
    fields = [(c.name, name) for s in settings().values() for c, name in s.fields]
    assert len(fields) == len(set(fields))


def test_moves_and_readings_are_no_settings():
    for key in ("reduction", "handle", "independent", "bail_off", "rear", "leakage", "charged"):
        assert key not in settings()


@EACH
def test_refuses_what_the_field_refuses_and_in_its_words(key: str):
    setting = settings()[key]
    if isinstance(setting.description, Text):
        return
    errors = check({key: "no such figure"}).errors
    assert list(errors) == [key]
    assert setting.description.term in errors[key]
    for calculator, name in setting.fields:
        theirs = answer(calculator, {name: "no such figure"}, example=True).errors[name]
        assert calculator.inputs()[name].term in theirs
        if calculator.inputs()[name] == setting.description:
            assert theirs == errors[key]


def test_names_the_calculator_that_takes_less_than_the_form_says():
    calculator = find_calculator("leakage-and-flow")
    wide = Quantity(term="Cars", unit="", low=1, high=1000, whole=True)
    setting = Setting(
        key="cars", section="The train", description=wide, fields=((calculator, "cars"),)
    )
    assert setting.parsed("200") == 200
    with pytest.raises(InputError, match=r"must be between 1 and 250.*Leakage and air flow"):
        setting.parsed("900")


def test_blank_says_nothing():
    assert check({"brake_pipe_setting": " ", "foo": ""}).unknown == {}


def test_unknown_keys_are_told_and_left_out():
    record = {"brake_pipe_setting": "85", "reduction": "12", "later_field": "3"}
    assert check(record).unknown == {"reduction": "12", "later_field": "3"}
    assert settings_for(LOCOMOTIVE, record) == {"brake_pipe_setting": "85"}


@given(st.dictionaries(st.text(max_size=30) | st.sampled_from(list(settings())), st.text()))
def test_any_stored_record_gives_an_answer_or_an_error(record: dict[str, str]):
    checked = check(record)
    for calculator in (LOCOMOTIVE, find_calculator("leakage-and-flow")):
        own = settings_for(calculator, record)
        found = answer(calculator, {}, settings=own)
        assert (found.outcome is None) == bool(found.errors)
        field_notes(found, own)
        differences(found, record, own)
        touching(found)
        keys = {
            key
            for key, setting in settings().items()
            if any(owner is calculator for owner, _ in setting.fields)
        }
        assert bool(found.errors) >= bool(keys & set(checked.errors))


def test_the_car_s_reservoir_is_not_the_locomotive_s():
    record = {"auxiliary_volume": "2600", "locomotive-brake.auxiliary_volume": "150"}
    assert check(record).errors == {}
    assert settings_for(LOCOMOTIVE, record) == {
        "auxiliary_volume": "150",
        "car_auxiliary_volume": "2600",
    }
    assert settings_for(find_calculator("car-brake"), record) == {"auxiliary_volume": "2600"}


def test_the_worked_example_from_settings():
    """85 psi, 12 off, limiting valve 58: 73 in the pipe, 30 in pipe 16 (the trade's example)."""
    own = settings_for(LOCOMOTIVE, {"brake_pipe_setting": "85", "service_limit": "4 bar"})
    found = answer(LOCOMOTIVE, {"reduction": "12"}, settings=own)
    assert found.results()["brake_pipe"] == 73
    assert found.results()["pipe_16"] == 30
    origins = {item.name: item.origin for item in found.inputs}
    assert origins["brake_pipe_setting"] == origins["service_limit"] == "settings"
    assert origins["multiplier"] == "default"
    assert field_notes(found, own) == dict.fromkeys(own, "From your railroad's settings.")


def test_entries_beat_the_settings_and_say_so():
    own = {"brake_pipe_setting": "90", "limit.main-reservoir-over-brake-pipe": "20"}
    raw = {"brake_pipe_setting": "85", "limit.main-reservoir-over-brake-pipe": "25 psi"}
    found = answer(LOCOMOTIVE, raw, settings=own)
    told = [(d.term, d.here, d.settings) for d in differences(found, raw, own)]
    assert told == [
        ("Brake pipe setting", "85 psi", "90 psi"),
        ("Main reservoir over the brake pipe", "25 psi", "20 psi"),
    ]
    assert field_notes(found, own) == {"brake_pipe_setting": "Your railroad's settings say 90 psi."}
    assert found.verdicts[0].own
    assert found.verdicts[0].words.parts["figure"].amount == 25  # type: ignore[union-attr]


def test_entries_beat_a_setting_that_cannot_be_read():
    own, raw = {"brake_pipe_setting": "lots"}, {"brake_pipe_setting": "85"}
    found = answer(LOCOMOTIVE, raw, settings=own)
    assert [d.settings for d in differences(found, raw, own)] == ["lots"]
    assert answer(LOCOMOTIVE, {}, settings=own).errors.keys() == {"brake_pipe_setting"}


def test_an_own_figure_of_a_link_beats_the_settings():
    calculator = find_calculator("brake-test")
    own = settings_for(calculator, {"limit.off-air-hours": "4"})
    raw = {"event": "unchanged", "hours_off_air": "6", "limit.off-air-hours": "8"}
    found = answer(calculator, raw, settings=own)
    assert found.results()["test"] == "none"
    assert ("8 h", "4 h") in [(d.here, d.settings) for d in differences(found, raw, own)]


def test_a_figure_said_in_another_unit_is_the_same():
    """The form says 85 psi as 586.1 kPa, to a tenth: no other figure than the settings'."""
    own = settings_for(LOCOMOTIVE, {"brake_pipe_setting": "85"})
    said = restated({"brake_pipe_setting": "85"}, "kPa")
    assert said == {"brake_pipe_setting": "586.1 kPa"}
    found = answer(LOCOMOTIVE, said, settings=own)
    assert differences(found, said, own) == ()
    assert field_notes(found, own)["brake_pipe_setting"] == "From your railroad's settings."


def test_restates_only_pressures_that_can_be_read():
    record = {"brake_pipe_setting": "x", "car_length": "60", "service_limit": "58", "foo": "1"}
    assert restated(record, "bar") == {"service_limit": "3.999 bar"}
    assert restated({"service_limit": "58"}, "furlong") == {}


@pytest.mark.parametrize(
    ("id", "stricter", "looser"),
    [("brake-pipe-leakage", "4", "6"), ("rear-floor-class-1", "80", "70")],
)
def test_an_own_limit_that_is_not_stricter_is_remarked(id: str, stricter: str, looser: str):
    key = f"limit.{id}"
    assert check({key: stricter}).remarks == {}
    remark = check({key: looser}).remarks[key]
    assert LIMITS[id].section in remark
    assert "governs" in remark


def test_an_own_figure_fills_a_field_that_asks_for_it():
    calculator = find_calculator("brake-test")
    own = settings_for(calculator, {"limit.off-air-hours": "4"})
    assert own["own_off_air_hours"] == own["limit.off-air-hours"] == "4"
    assert field_notes(answer(calculator, {}, settings=own), own) == {
        "own_off_air_hours": "From your railroad's settings."
    }


@pytest.mark.parametrize("name", CALCULATORS)
def test_whose_device_this_is_is_shown_back_with_every_answer(name: str):
    calculator = CALCULATORS[name]
    record = {DEVICE: "own", ALLOWED: "Rule 2.21: <looking up> in the office only"}
    own = settings_for(calculator, record)
    found = answer(calculator, {}, settings=own, example=True)
    told = " ".join(link_remarks(found))
    assert "this is your own device. On duty it is off" in told
    assert "Rule 2.21: <looking up> in the office only" in told
    assert "&lt;looking up&gt;" in answer_html(found, id="x")
    assert found.results() == answer(calculator, {}, example=True).results()
    assert "You noted" not in " ".join(link_remarks(answer(calculator, {}, example=True)))


def test_a_railroads_device_needs_a_rule():
    own = settings_for(LOCOMOTIVE, {DEVICE: "railroad"})
    assert "ask before you use it on duty" in answer(LOCOMOTIVE, {}, settings=own).duty
    long = settings_for(LOCOMOTIVE, {ALLOWED: "x" * 5000})
    assert len(answer(LOCOMOTIVE, {}, settings=long).duty) < 300


def test_touching_names_what_an_answer_depends_on():
    keys = touching(answer(LOCOMOTIVE, {}))
    assert {"brake_pipe_setting", "locomotive-brake.auxiliary_volume", "pressure_unit"} <= set(keys)
    assert "limit.main-reservoir-over-brake-pipe" in keys
    assert "auxiliary_volume" in keys, "the car beside it is yours"
    assert "limit.air-flow" not in keys
    flow = touching(answer(find_calculator("leakage-and-flow"), {"air_sources": "two-or-more"}))
    assert "limit.air-flow-two-sources" in flow
    assert "limit.off-air-hours" not in flow


def test_every_limit_that_a_calculator_names_in_a_reading_is_offered():
    """Against the source: `Reading(limit="...")` with the id written out."""
    named = {
        keyword.value.value
        for module in QUESTIONS.rglob("*.py")
        for call in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Reading"
        for keyword in call.keywords
        if keyword.arg == "limit" and isinstance(keyword.value, ast.Constant)
    }
    assert named
    assert named <= set(judged_limits())


def test_defaults_are_never_typed_twice():
    """What a form says a page starts with is that page's own default."""
    for setting in settings().values():
        if setting.for_all:
            continue
        defaults = {text_of(setting.description, c.defaults()[n]) for c, n in setting.fields}
        assert set(setting.starts()) == defaults - {""}
    assert settings()["cars"].starts() == tuple(
        dict.fromkeys(f"{c.defaults()['cars']:g}" for c, _ in settings()["cars"].fields)
    )
    assert len(CALCULATORS) > 10
