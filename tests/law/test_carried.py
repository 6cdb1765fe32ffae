"""What stood in version 0.1.0 still opens: every limit, edition, option, input and link of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

import pytest

from calculators.answering.answer import answer
from calculators.base.quantities import Choice
from calculators.cards.pocket import card
from calculators.catalog import CALCULATORS
from calculators.kept.settings import check, settings, settings_for
from calculators.kept.text import as_text, from_text
from calculators.law.carried import CARRIED, EDITION_INPUTS, carried_to, carry_over
from calculators.law.limit_list import LIMITS

OLD: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "carried" / "version-0-1-0.json").read_text(encoding="utf-8")
)
RENAMED = {row.old for row in CARRIED if row.kind == "limit"}
DROPPED_RESULTS = {row.old for row in CARRIED if row.kind == "result"}
LINKS = [
    *OLD["links"],
    *([name, calculator["example"]] for name, calculator in OLD["calculators"].items()),
]


@pytest.mark.parametrize("id", OLD["limits"])
def test_a_limit_of_then_is_a_limit_now_or_carries_over(id: str):
    assert (id in LIMITS) != (id in RENAMED)


@pytest.mark.parametrize("row", CARRIED, ids=lambda row: row.old)
def test_a_row_leads_from_what_was_to_what_is(row):
    assert row.why
    assert all(new in LIMITS for new in row.new)
    if row.kind == "limit":
        assert row.old in OLD["limits"]
        assert all(row in carried_to(new) for new in row.new)
    elif row.kind == "edition":
        edition, option = row.old.split("=")
        assert option in OLD["editions"][edition]
    else:
        calculator, result = row.old.split(".", 1)
        name, option = result.split("=")
        assert option in OLD["calculators"][calculator]["results"][name]


def test_every_choice_of_edition_is_in_the_table():
    assert {row.old for row in CARRIED if row.kind == "edition"} == {
        f"{edition}={option}" for edition, options in OLD["editions"].items() for option in options
    }


@pytest.mark.parametrize("name", OLD["calculators"])
def test_inputs_results_and_options_of_then_are_those_of_now(name: str):
    calculator, then = CALCULATORS[name], OLD["calculators"][name]
    for kind, now in (("inputs", calculator.inputs()), ("results", calculator.outputs())):
        for field, options in then[kind].items():
            if kind == "inputs" and field in EDITION_INPUTS:
                continue
            assert field in now
            if options is None:
                continue
            description = now[field]
            assert isinstance(description, Choice)
            gone = set(options) - {option.value for option in description.options}
            assert {f"{name}.{field}={option}" for option in gone} <= DROPPED_RESULTS


@pytest.mark.parametrize(("name", "query"), LINKS, ids=[f"{n}?{q[:40]}" for n, q in LINKS])
def test_a_link_of_then_opens(name: str, query: str):
    found = answer(CALCULATORS[name], dict(parse_qsl(query, keep_blank_values=True)))
    assert (found.errors, found.unknown) == ({}, {})
    assert found.outcome is not None


def test_a_chosen_edition_stays_as_the_railroads_own_figure():
    test = CALCULATORS["brake-test"]
    asked = {"event": "unchanged", "hours_off_air": "6"}
    for link in ({"edition_off_air_hours": "4"}, {"edition.off-air-hours": "4"}):
        found = answer(test, asked | link)
        assert found.results()["test"] == "class-1"
        assert len(found.carried) == 1
        assert "own figure stays: 4" in found.carried[0]
        again = answer(test, dict(parse_qsl(found.link_query(), keep_blank_values=True)))
        assert again.results() == found.results()
        assert again.carried == ()
    later = answer(test, asked | {"edition_off_air_hours": "24"})
    assert later.results()["test"] == "none"
    assert "is gone" in later.carried[0]
    assert answer(test, asked | {"edition_off_air_hours": "not-chosen"}).carried == ()


def test_what_is_no_option_of_then_is_reported_as_unknown():
    found = answer(CALCULATORS["brake-test"], {"edition_off_air_hours": "7"})
    assert found.unknown == {"edition_off_air_hours": "7"}


def test_of_two_old_figures_the_lesser_counts_and_todays_name_wins():
    old = {"limit.off-air-hours-24": "20", "limit.off-air-hours-4": "3"}
    assert carry_over(old).entries == {"limit.off-air-hours": "3"}
    assert carry_over(old | {"limit.off-air-hours": "8"}).entries == {"limit.off-air-hours": "8"}
    words = carry_over({"limit.off-air-hours-24": "20", "limit.off-air-hours-4": "3 h"})
    assert words.entries == {"limit.off-air-hours": "20"}


def test_nothing_else_is_touched():
    record = {"cars": "90", "limit.air-flow": "50", "edition.other": "1", "limit.nothing": "2"}
    carried = carry_over(record)
    assert (dict(carried.entries), carried.said) == (record, ())
    assert carry_over({"limit.off-air-hours-4": " "}) == carry_over({})


KEPT = {
    "limit.off-air-hours-4": "3",
    "limit.end-of-train-calibration": "300",
    "edition.air-flow-two-sources": "60",
    "cars": "90",
}


def test_a_kept_record_of_then_is_read_in_every_way():
    carried = carry_over(KEPT)
    assert check(carried.entries).unknown == {}
    assert check(carried.entries).errors == {}
    assert len(carried.said) == 3
    assert card(KEPT).errors == {}
    flow = CALCULATORS["leakage-and-flow"]
    asked = {"air_flow": "70", "air_sources": "two-or-more"}
    found = answer(flow, asked, settings=settings_for(flow, KEPT))
    assert [(v.own, v.standing) for v in found.verdicts][:2] == [
        (True, "not within"),
        (False, "within"),
    ]
    assert found.carried


def test_a_settings_text_of_then_is_read_and_says_what_became_of_it():
    text = "version = 1\n" + "\n".join(f"{key} = {value}" for key, value in KEPT.items())
    read = from_text(text)
    assert set(read.record) <= set(settings())
    assert read.record["limit.off-air-hours"] == "3"
    assert read.record["limit.end-of-train-sensor-test"] == "300"
    assert read.record["limit.air-flow-two-sources"] == "60"
    assert len(read.problems) == 3
    assert from_text(as_text(read.record)).record == read.record


@pytest.mark.parametrize("key", OLD["settings"])
def test_a_setting_of_then_is_a_setting_now_or_carries_over(key: str):
    options = OLD["settings"][key]
    text = options[-1] if options else "1"
    assert key in settings() or carry_over({key: text}).said
