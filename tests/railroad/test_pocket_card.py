"""The pocket card against the calculators, and against the trade's own example."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.answering.shown import shown
from calculators.cards import pocket as pocket_card
from calculators.cards.pocket import MAIN_LIMITS, Card, Part, card
from calculators.catalog import find_calculator
from calculators.declaring.registry import Calculator
from calculators.kept.settings import settings
from calculators.rendering.answers.card import card_html, card_text
from calculators.version import VERSION


def part(made: Card, title: str) -> Part:
    return next(one for one in made.parts if one.title.startswith(title))


def cells(made: Card, title: str, term: str) -> tuple[str, ...]:
    return next(row.cells for row in part(made, title).rows if row.term.startswith(term))


def test_the_trade_s_example():
    """Setting 85, limiting valve 58, 12 off: 73 in the pipe, 30 in the cylinder."""
    made = card({"brake_pipe_setting": "85", "service_limit": "58"})
    assert made.errors == {}
    assert cells(made, "Taken off", "12 psi")[:2] == ("73 psi", "30 psi")
    assert cells(made, "The most", "Locomotive, suppression") == ("58 psi",)


def test_the_example_card_has_the_usual_figures_of_a_car():
    """90 psi meets the cylinder at 64 after 26 off, as the volume model is fitted to."""
    made = card({})
    assert cells(made, "Taken off", "26 psi, a car's full service")[2] == "64 psi"
    assert cells(made, "The most", "Car, full service") == ("64 psi",)
    assert cells(made, "The most", "Car, reduction for it") == ("26 psi",)


@pytest.mark.parametrize("record", [{}, {"brake_pipe_setting": "70", "piston_travel": "9"}])
def test_every_reduction_is_the_calculators_answer(record: dict[str, str]):
    made = card(record)
    for row in part(made, "Taken off").rows:
        reduction = row.term.split()[0]
        for name, result, cell in (
            ("locomotive-brake", "brake_pipe", row.cells[0]),
            ("locomotive-brake", "brake_cylinder", row.cells[1]),
            ("car-brake", "brake_cylinder", row.cells[2]),
        ):
            calculator = find_calculator(name)
            found = answer(calculator, {"reduction": reduction}, settings=record)
            value = found.results()[result]
            assert cell == shown(calculator.outputs()[result], value, found.display)


def test_leakage_and_flow_are_read_at_the_railroad_s_own_pressures():
    """5 psi/min read at 70 after 20 off 90 is 20.6 cfm a hundred 55-ft cars, charged."""
    made = card({"cars": "100"})
    assert cells(made, "A train of 100 cars", "The leakage limit") == ("20.6 cfm",)


def test_own_limits_stand_first_and_are_marked():
    made = card({"limit.brake-pipe-leakage": "3", "limit.head-rear-agreement": "2"})
    rows = part(made, "Limits").rows
    assert [row.own for row in rows[:2]] == [True, False]
    assert rows[0].cells[0] == "at most 3.0 psi/min"
    assert rows[1].cells[0] == "at most 5 psi/min"
    assert any(row.own and row.cells[0] == "at most 2 psi" for row in rows)


def test_two_texts_are_said_to_differ():
    rows = [row for row in part(card({}), "Limits").rows if "ask your railroad" in row.cells[1]]
    assert [row.cells[0] for row in rows] == ["at most 60 cfm"]


def test_a_card_from_settings_of_an_earlier_version():
    """Four hours off air were a choice of edition in version 0.1.0: they stay as the own figure."""
    rows = part(card({"edition.off-air-hours": "4"}), "Limits").rows
    hours = [row for row in rows if row.term.startswith("Time off air")]
    assert [(row.own, row.cells[0]) for row in hours] == [
        (True, "at most 4.0 h"),
        (False, "at most 24 h"),
    ]


def test_whose_device_made_it_is_on_the_card():
    made = card({"device": "railroad", "device_allowed": "Rule 2.21"})
    for said in (card_html(made, own=True), card_text(made, own=True)):
        assert "your railroad supplied this device" in said
        assert "Rule 2.21" in said
    assert "You noted" not in card_html(card({}), own=False)


def test_the_unit_of_the_settings_is_the_unit_of_the_card():
    made = card({"pressure_unit": "kPa", "brake_pipe_setting": "85"})
    assert cells(made, "Set at", "Brake pipe setting") == ("586 kPa",)
    assert cells(made, "Taken off", "83 kPa")[0] == "503 kPa"


def test_settings_that_cannot_be_used_give_no_card():
    made = card({"brake_pipe_setting": "lots"})
    assert made.parts == ()
    assert list(made.errors) == ["brake_pipe_setting"]
    assert "lots" in card_html(made, own=True)
    assert card_text(made, own=True).startswith("Brake pipe setting is")


def test_what_only_a_calculator_refuses_gives_no_card(monkeypatch: pytest.MonkeyPatch):
    """Each setting may be in its range and a calculator still refuse them together."""

    def refusing(calculator: Calculator, *given: Any, **named: Any) -> Answer:
        found = answer(calculator, *given, **named)
        if calculator.name != "charging-time":
            return found
        return replace(found, outcome=None, errors={"cars": "Cars do not fit the train."})

    monkeypatch.setattr(pocket_card, "answer", refusing)
    made = card({"cars": "90"})
    assert made.parts == ()
    assert made.errors == {"cars": "Cars do not fit the train."}


def test_no_line_for_a_first_notch_of_nothing():
    terms = [row.term for row in part(card({"minimum_reduction": "0"}), "Taken off").rows]
    assert terms[0] == "8 psi"


def test_says_what_it_was_made_from_and_how_old_it_is():
    html, text = card_html(card({}), own=False), card_text(card({}), own=False)
    assert "for the example settings, not yours" in html
    own = card_text(card({"cars": "90"}), own=True)
    assert "Worked out for your railroad's settings" in own
    for said in (html, text, own):
        assert VERSION in said
        assert "a qualified person decide" in said.replace("\n", " ")


def test_the_fragment_is_well_formed_and_its_tables_have_heads():
    root = fromstring(card_html(card({}), own=False))
    tables = root.findall(".//table")
    assert len(tables) == 5
    for table in tables:
        assert all(cell.get("scope") == "col" for cell in table.findall("thead//th"))
        assert all(row.find("th") is not None for row in table.findall("tbody/tr"))


def test_every_main_limit_is_on_it():
    text = card_text(card({}), own=False)
    assert text.count(" | ") > len(MAIN_LIMITS)


@given(
    st.dictionaries(
        st.sampled_from([k for k in settings() if not k.startswith("limit.")]),
        st.sampled_from(["1", "20", "45", "60", "90", "130", "x", "4 bar", "direct", "kPa"]),
        max_size=5,
    )
)
def test_any_record_gives_a_card_or_says_why_not(record: dict[str, str]):
    made = card(record)
    assert bool(made.errors) != bool(made.parts)
    card_html(made, own=True)
    card_text(made, own=True)


@given(setting=st.integers(60, 110))
def test_full_service_is_one_figure_on_the_card(setting: int):
    made = card({"brake_pipe_setting": str(setting)})
    (row,) = [row for row in part(made, "Taken off").rows if "a car's full service" in row.term]
    most = cells(made, "The most", "Car, reduction for it")[0]
    assert abs(float(row.term.split()[0]) - float(most.split()[0])) <= 0.55, (row.term, most)
    assert row.cells[2] == cells(made, "The most", "Car, full service")[0]


def test_the_least_time_to_charge_says_what_it_assumes():
    (row,) = [r for r in part(card({"delivery": "75"}), "A train of").rows if "Charging" in r.term]
    assert "75 cfm reaching the train" in row.term
