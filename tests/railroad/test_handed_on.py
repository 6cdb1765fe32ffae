"""Settings handed on as a link: what is set goes along, and nothing is taken without being shown."""

from __future__ import annotations

import json
from urllib.parse import parse_qsl

from calculators.answering.duty import ALLOWED, DEVICE, DEVICE_CHOICE
from calculators.browser import reply
from calculators.kept.handed_on import NOT_SET, handed_on, offered
from calculators.kept.settings import settings
from calculators.short_links.packing import opened, shortened

RECORD = {
    "brake_pipe_setting": "85",
    "cars": "60",
    "limit.air-flow": "50",
    "pressure_unit": "kPa",
    "release_type": "graduated",
}


def link(record: dict[str, str]) -> dict[str, str]:
    return dict(parse_qsl(handed_on(record), keep_blank_values=True))


def test_only_what_is_set_goes_along():
    assert link(RECORD | {"main_reservoir": " "}) == {"v": "1", **RECORD}


def test_what_cannot_be_read_stays_behind():
    assert "cars" not in link(RECORD | {"cars": "many"})
    assert "no_such_setting" not in link(RECORD | {"no_such_setting": "1"})


def test_whose_device_it_is_is_never_handed_on_nor_taken():
    """A link must not say on somebody's phone that the railroad allows it on duty."""
    device = DEVICE_CHOICE.options[-1].value
    assert DEVICE not in link(RECORD | {DEVICE: device, ALLOWED: "anything"})
    found = offered({}, {"v": "1", DEVICE: device, ALLOWED: "anything", "cars": "60"})
    assert set(found.entries) == {"cars"}
    assert sum("only you can say that" in words for words in found.said) == 2


def test_old_and_new_stand_side_by_side():
    found = offered({"cars": "118", "pressure_unit": "kPa"}, {"v": "1", **RECORD})
    rows = {row.key: (row.old, row.new) for row in found.rows}
    assert rows["cars"] == ("118", "60")
    assert rows["brake_pipe_setting"] == (NOT_SET, "85 psi")
    assert "pressure_unit" not in rows
    assert found.same == 1
    assert found.entries == RECORD
    assert found.said == ()


def test_the_same_figure_in_another_unit_is_the_same():
    found = offered({"brake_pipe_setting": "586.1 kPa"}, {"brake_pipe_setting": "85"})
    assert found.same == 1
    assert not found.rows


def test_what_is_wrong_or_unknown_is_said_and_left_out():
    found = offered({}, {"v": "1", "cars": "many", "no_such": "1", "brake_pipe_setting": "85"})
    assert found.entries == {"brake_pipe_setting": "85"}
    assert len(found.said) == 2
    assert all(words.startswith("Left out: ") for words in found.said)


def test_another_version_offers_nothing():
    found = offered({}, {"v": "2", "cars": "60"})
    assert not found.entries
    assert "another version" in found.said[0]


def test_every_setting_can_be_offered():
    """Each one of the form comes back in words, whatever stands there now."""
    for key, setting in settings().items():
        for text in (*setting.starts(), "1"):
            found = offered({key: "nonsense"}, {"v": "1", key: text})
            assert found.rows or found.said, key


def test_the_page_asks_in_the_same_words():
    asked = {"kind": "settings", "do": "hand on", "settings": RECORD}
    query = json.loads(reply(json.dumps(asked)))["query"]
    assert opened("settings", shortened("settings", query)) == query
    asked = {"kind": "settings", "do": "offer", "settings": {}, "link": dict(parse_qsl(query))}
    said = json.loads(reply(json.dumps(asked)))
    assert said["entries"] == RECORD
    assert {row["key"] for row in said["rows"]} == set(RECORD)
