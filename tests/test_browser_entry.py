"""What the page's worker calls, called here in this Python."""

from __future__ import annotations

import json
from typing import Any

from calculators.answering import answer
from calculators.browser import reply
from calculators.catalog import find_calculator
from calculators.rendering.html import answer_html

ENTRIES = {
    "brake_pipe_setting": "85",
    "reduction": "12",
    "service_limit": "58",
    "independent": "20",
}


def ask(**request: Any) -> dict[str, Any]:
    return dict(json.loads(reply(json.dumps(request))))


def test_answers_with_the_fragment_of_the_page():
    found = ask(calculator="locomotive-brake", entries=ENTRIES, id="x")
    same = answer(find_calculator("locomotive-brake"), ENTRIES)
    assert found["html"] == answer_html(same, id="x")
    assert found["link"] == same.link_query()
    assert found["headline"].startswith("Brake pipe 73 psi, locomotive cylinder 30 psi")
    assert found["errors"] == {}
    assert found["texts"]["multiplier"] == "2.5"


def test_errors_by_field():
    found = ask(calculator="locomotive-brake", entries=ENTRIES | {"reduction": "x"})
    assert list(found["errors"]) == ["reduction"]


def test_restates_in_another_unit():
    found = ask(
        calculator="locomotive-brake", kind="restate", unit="bar", entries={"reduction": "10"}
    )
    assert found["entries"]["reduction"] == "0.689476 bar"


def test_names_nothing_known():
    assert "no calculator is called" in ask(calculator="nothing")["failed"]


def test_only_texts_count():
    found = ask(
        calculator="locomotive-brake", entries={"reduction": 5, "handle": "release"}, settings=[1]
    )
    assert found["texts"]["reduction"] == "10"
    assert found["texts"]["handle"] == "release"
