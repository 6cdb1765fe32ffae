"""What the page's worker calls, called here in this Python."""

from __future__ import annotations

import json
from typing import Any

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.browser import reply, stream
from calculators.catalog import find_calculator
from calculators.rendering.answers.html import answer_html

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
    assert found["entries"]["reduction"] == "0.689 bar"


def test_names_nothing_known():
    assert "no calculator is called" in ask(calculator="nothing")["failed"]


def test_only_texts_count():
    found = ask(
        calculator="locomotive-brake", entries={"reduction": 5, "handle": "release"}, settings=[1]
    )
    assert found["texts"]["reduction"] == "10"
    assert found["texts"]["handle"] == "release"


def parts_of(**request: Any) -> list[dict[str, Any]]:
    return [dict(json.loads(part)) for part in stream(json.dumps(request))]


SHORT_RUN = {"cars": "3", "seconds": "10"}


def test_a_long_answer_says_that_something_follows():
    found = ask(calculator="train-run", entries=SHORT_RUN)
    assert found["to_follow"] is True
    assert "<progress" in found["html"]
    assert "still to come" in found["text"]
    assert ask(calculator="units")["to_follow"] is False


def test_a_long_answer_comes_in_parts():
    *parts, last = parts_of(calculator="train-run", entries=SHORT_RUN, id="x")
    done = [part["progress"]["done"] for part in parts]
    assert done == sorted(done)
    assert parts[-1]["progress"]["of"] == 10
    assert parts[-1]["progress"]["words"].startswith("The train model has run ")

    same = finished(answer(find_calculator("train-run"), SHORT_RUN))
    assert last["html"] == answer_html(same, id="x")
    assert last["link"] == same.link_query()
    assert last["to_follow"] is False
    assert "<progress" not in last["html"]


def test_a_short_answer_is_its_only_part():
    (only,) = parts_of(calculator="locomotive-brake", entries=ENTRIES, id="x")
    assert only == ask(calculator="locomotive-brake", entries=ENTRIES, id="x")


def test_a_wrong_entry_is_the_only_part():
    (only,) = parts_of(calculator="train-run", entries={"cars": "many"})
    assert list(only["errors"]) == ["cars"]


def test_nothing_known_has_no_parts():
    (only,) = parts_of(calculator="nothing")
    assert "no calculator is called" in only["failed"]


def test_stopping_to_ask_ends_the_work():
    parts = stream(
        json.dumps({"calculator": "train-run", "entries": {"cars": "250", "seconds": "9000"}})
    )
    assert "progress" in json.loads(next(parts))
    parts.close()  # type: ignore[attr-defined]
    assert list(parts) == []


def test_figures_of_a_page_for_a_railroads_settings():
    words = "locomotive-brake.brake_cylinder?reduction=12"
    limited = {"brake_pipe_setting": "85", "service_limit": "20"}
    found = ask(kind="figures", figures=[words, "locomotive-brake.brake_pipe"], settings=limited)
    same = answer(find_calculator("locomotive-brake"), {"reduction": "12", **limited})
    assert found["figures"][words] == "20 psi"
    assert same.results()["brake_cylinder"] == 20
    assert found["figures"]["locomotive-brake.brake_pipe"].endswith(" psi")


def test_a_figure_that_cannot_be_had_is_left_out():
    wrong = ["nobody.value", "locomotive-brake.nothing", "locomotive-brake.brake_pipe?reduction=x"]
    settings = {"brake_pipe_setting": "85"}
    assert ask(kind="figures", figures=["", *wrong], settings=settings)["figures"] == {}
    assert ask(kind="figures", figures="x", settings=settings)["figures"] == {}
