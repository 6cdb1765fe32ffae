"""What the page asks Python about settings, in the form in which it asks."""

from __future__ import annotations

import json
from typing import Any

from calculators.browser import reply

RECORD = {"brake_pipe_setting": "85", "service_limit": "58", "later_field": "3"}


def ask(**request: Any) -> dict[str, Any]:
    return dict(json.loads(reply(json.dumps(request))))


def test_checks_a_record():
    found = ask(kind="settings", do="check", settings=RECORD | {"cars": "many"})
    assert list(found["errors"]) == ["cars"]
    assert found["unknown"] == {"later_field": "3"}
    assert found["problems"] == []


def test_writes_and_reads_text():
    text = ask(kind="settings", do="export", settings=RECORD)["text"]
    found = ask(kind="settings", do="import", text=text)
    assert found["settings"] == {"brake_pipe_setting": "85", "service_limit": "58"}
    assert found["problems"] == [
        f"Line {text.splitlines().index('later_field = 3') + 1}: "
        'this copy knows no setting "later_field".'
    ]


def test_says_pressures_in_another_unit():
    found = ask(kind="settings", do="restate", unit="kPa", settings=RECORD)
    assert found == {"settings": {"brake_pipe_setting": "586.1 kPa", "service_limit": "399.9 kPa"}}


def test_makes_the_card():
    found = ask(kind="card", settings=RECORD)
    assert "your railroad's settings" in found["html"]
    assert found["errors"] == {}
    assert "example settings" in ask(kind="card", settings={})["text"]


def test_answers_from_settings_and_notes_them_by_field():
    found = ask(calculator="locomotive-brake", entries={"reduction": "12"}, settings=RECORD)
    assert found["texts"]["brake_pipe_setting"] == "85"
    assert found["settings_notes"] == {
        "brake_pipe_setting": "From your railroad's settings.",
        "service_limit": "From your railroad's settings.",
    }
    assert "your own settings" not in found["html"]


def test_a_link_beats_them_and_says_so():
    found = ask(
        calculator="locomotive-brake", entries={"brake_pipe_setting": "80"}, settings=RECORD
    )
    assert "Brake pipe setting is 80 psi here; your own settings say 85 psi." in found["html"]


def test_settings_of_no_shape_are_no_settings():
    shapes: list[Any] = [[], "x", 5, {"brake_pipe_setting": 85}]
    for nonsense in shapes:
        assert ask(kind="settings", do="check", settings=nonsense)["settings"] == {}
