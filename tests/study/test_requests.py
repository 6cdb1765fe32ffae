"""What a page asks for drills, and what it gets: whole or refused in words, never a traceback."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from calculators.base.cautions import CAUTION
from calculators.browser import reply
from calculators.study.catalog import SKILLS
from calculators.study.items import DRAWN_AS
from calculators.study.schedule import STAGES

NOW = 1_800_000_000_000
SKILL = "loco-cylinder.limit-forgotten"


def said(**asked: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(reply(json.dumps({"kind": "study", "now": NOW, **asked})))
    return found


def about(**more: Any) -> dict[str, Any]:
    return {"skill": SKILL, "seed": "1", "fades": False, **more}


def test_a_wrong_figure_is_named_and_may_be_tried_again():
    question = said(do="question", **about())
    assert question["answered"] == "figure"
    again = about(entries=question["entries"])
    wrong = said(do="answer", text="999", **again)
    assert not wrong["right"]
    assert "record" not in wrong
    assert wrong["answer"] not in wrong["said"] + wrong["html"]
    right = said(do="answer", text=wrong["answer"], tries=1, **again)
    assert right["right"]
    assert right["record"]["right"] == 1
    assert CAUTION.split(".")[0] in right["html"]
    # After a wrong try it comes back sooner than right at once.
    at_once = said(do="answer", text=wrong["answer"], **again)
    assert right["record"]["due"] < at_once["record"]["due"]


def test_a_mistake_marks_its_step_in_the_working():
    found = said(do="answer", gives_up=True, **about())
    figure = float(found["answer"].split()[0])
    for off in range(1, 400):
        told = said(do="answer", text=str(figure + off), tries=1, **about())
        if "Forgetting the limiting valve" in told["said"]:
            marked = re.findall(r'<li class="slipped"><b>(.*?)</b>', told["html"])
            assert marked == ["Service limiting valve"]
            assert "Service limiting valve" in told["said"]
            return
    pytest.fail("no figure was taken for the mistake")


def test_an_example_asks_for_the_mistake():
    shown = said(do="question", **about(fades=True))
    assert shown["answered"] == "why"
    right = said(do="answer", text="Forgetting the limiting valve", **about(fades=True))
    assert right["right"]
    assert right["record"]["stage"] == 1
    other = re.findall(r'data-answer="(.*?)"', shown["html"])
    wrong = next(one for one in other if one != "Forgetting the limiting valve")
    told = said(do="answer", text=wrong, **about(fades=True))
    assert not told["right"]
    assert "It was: Forgetting the limiting valve" in told["said"]


@pytest.mark.parametrize("skill", SKILLS)
def test_a_question_does_not_give_its_answer_away(skill: str):
    for seed in ("1", "2"):
        shown = said(do="question", skill=skill, seed=seed, fades=False)
        kept = {"entries": shown["entries"]}
        told = said(do="answer", skill=skill, seed=seed, fades=False, gives_up=True, **kept)
        assert said(do="question", skill=skill, seed=seed, fades=False, **kept) == shown
        if shown["answered"] == "figure":
            assert f">{told['answer']}<" not in shown["html"]
        else:
            assert f'data-answer="{told["answer"]}"' in shown["html"].replace("&amp;", "&")
        for name in ("title", "desc"):
            for words in re.findall(rf"<{name}[^>]*>(.*?)</{name}>", shown["html"]):
                assert not re.search(r"\d|rises|falls|stands", words)


def test_the_same_question_comes_again_from_what_was_kept():
    first = said(do="question", **about())
    again = said(do="question", **about(entries=first["entries"]))
    assert again == first
    # Settings that change meanwhile do not change what was drawn.
    own = {"brake_pipe_setting": "75", "service_limit": "41"}
    assert said(do="question", **about(entries=first["entries"], settings=own)) == first


def test_a_link_of_another_version_draws_nothing():
    drawn = said(do="drill", topics=["tests"], seed="5", v=str(DRAWN_AS))
    assert len(drawn["skills"]) == 12
    assert drawn == said(do="drill", topics=["tests"], seed="5", v=str(DRAWN_AS))
    assert "another" in said(do="drill", topics=["tests"], seed="5", v=str(DRAWN_AS + 1))["refused"]
    assert "skills" not in said(do="drill", topics=["banana"], seed="5")


def test_a_file_is_read_whole_or_changes_nothing():
    record = said(do="answer", gives_up=True, **about())["record"]
    file = {"format": "study record", "version": 1, "records": {SKILL: record}}
    assert said(do="read", text=json.dumps(file))["records"] == {SKILL: record}
    for text in (
        "",
        "x",
        "[]",
        "{}",
        "[" * 5000,
        json.dumps(file | {"format": "another"}),
        json.dumps(file | {"version": 2}),
        json.dumps(file | {"records": [record]}),
        json.dumps(file | {"records": {SKILL: record, "other": record | {"stage": STAGES}}}),
    ):
        assert "Nothing was changed" in said(do="read", text=text)["refused"], text[:40]


@pytest.mark.parametrize(
    "asked",
    [
        {"do": "banana"},
        {"do": "question", "skill": "none"},
        {"do": "question", "skill": SKILL, "seed": "1", "entries": {"reduction": "<b>"}},
        {"do": "question", "skill": SKILL, "seed": "1", "record": {"due": "x"}},
        {"do": "answer", "skill": SKILL, "seed": "1", "text": "5", "now": 9e99, "fades": False},
        {"do": "sitting", "records": [], "until": "x"},
        {"do": "sitting", "records": {"x": 1}, "until": NOW, "most": 10**9},
        {"do": "drill", "most": "many"},
    ],
)
def test_nothing_asked_raises(asked: dict[str, Any]):
    assert isinstance(said(**asked), dict)
