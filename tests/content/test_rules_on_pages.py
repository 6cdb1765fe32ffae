"""Pages against the texts of parts 229 and 232: what each must say, and what none may say."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from calculators.law.limit_list import LIMITS

ROOT = Path(__file__).parents[2]
CONTENT = ROOT / "content"
TYPED = ROOT / "tests" / "published" / "law" / "pages.toml"
ROWS: list[tuple[str, str, list[str], list[str]]] = [
    tuple(row) for row in tomllib.loads(TYPED.read_text(encoding="utf-8"))["rows"]
]
PAGES = sorted(CONTENT.rglob("*.md"))

# What contradicts the texts of June 2026, the paragraph that it contradicts, and a sentence of it.
CONTRADICTS = (
    (r"appendix B\b", "232.700: the older rules are subpart H", "Part 232, appendix B."),
    (r"not in force", "232.103(o) is; 232.700 for some", "An older rule, not in force."),
    (
        r"(?:four|4) hours? off air(?! still)(?!\. That is the text of before)",
        "232.205(a)(3): 24; four are left in 232.5 only",
        "After 4 hours off air it is tested again.",
    ),
    (r"\b[Ii]nbound\b", "232.213 has no inbound inspection", "An inbound look ends it."),
    (r"(?<!un)\bmanned\b", "232.407(g)(1): occupied", "A manned caboose."),
    (r"Helper Link", "a product's name", "A Helper Link device."),
    (
        r"rear (?:of|at) 65|65 psi at the rear",
        "232.205(c)(1)(i)(A): 75, and within 15",
        "A rear of 65 under a head of 90.",
    ),
    (
        r"368 days[^.]*telemetry",
        "232.409(d): no fixed interval",
        "Every 368 days the telemetry is tested.",
    ),
    (r"from memory[^.]*qualified person", "232.5 was read", "From memory: a qualified person."),
)


def text_of(page: Path) -> str:
    """A page's text without emphasis, on one line."""
    plain = page.read_text(encoding="utf-8").replace("**", "")
    return re.sub(r"\s+", " ", plain)


def embedded(text: str) -> set[str]:
    """The limits that a page shows, in a sentence or in a list."""
    ids = set(re.findall(r"\{\{ limit ([a-z0-9-]+)", text))
    for block in re.findall(r"```limits (.*?) ```", text):
        ids |= set(block.split())
    return ids


def lacking(page: Path, limits: list[str], words: list[str]) -> list[str]:
    """What a page should show or say, and does not."""
    text = text_of(page)
    shown = embedded(text)
    folded = text.casefold()
    return [id for id in limits if id not in shown] + [
        phrase for phrase in words if phrase.casefold() not in folded
    ]


def contradicting(text: str) -> dict[str, str]:
    """What a text says against the rule, with the paragraph."""
    return {
        match[0]: why
        for pattern, why, _ in CONTRADICTS
        for match in re.finditer(pattern, text, re.IGNORECASE)
    }


@pytest.mark.parametrize(
    ("paragraph", "page", "limits", "words"),
    ROWS,
    ids=[f"{row[0]} on {row[1]}" for row in ROWS],
)
def test_a_page_says_what_the_paragraph_asks(
    paragraph: str, page: str, limits: list[str], words: list[str]
):
    assert limits or words, f"nothing is held for {paragraph}"
    assert set(limits) <= set(LIMITS)
    assert lacking(CONTENT / page, limits, words) == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_no_page_contradicts_the_texts(page: Path):
    text = text_of(page)
    assert contradicting(text) == {}


@pytest.mark.parametrize("sentence", [row[2] for row in CONTRADICTS])
def test_a_contradiction_would_be_found(sentence: str):
    assert contradicting(sentence)


def test_a_page_that_leaves_it_out_would_be_found():
    page = CONTENT / "tests/securement.md"
    assert lacking(page, ["air-flow"], ["after a service set, always"]) == [
        "air-flow",
        "after a service set, always",
    ]


def run_together(text: str) -> list[str]:
    """Steps that would be set into the paragraph above them: no blank line parts them from it."""
    lines = text.splitlines()
    wrong = []
    for number, line in enumerate(lines):
        if not re.match(r"\d+\. ", line):
            continue
        above = number - 1
        while above >= 0 and lines[above].startswith("    "):
            above -= 1
        if above < number - 1 and above >= 0 and not lines[above]:
            wrong.append(line)
    return wrong


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_every_step_of_a_list_is_a_step(page: Path):
    assert run_together(page.read_text(encoding="utf-8")) == []


def test_a_step_that_runs_on_would_be_found():
    assert run_together("6. A\n\n    | t |\n\n    More.\n7. B") == ["7. B"]
    assert run_together("6. A\n\n    More.\n\n7. B\n    on\n8. C") == []


def test_every_kind_of_rule_is_held():
    """Each section of the two parts that a page of tests names has a row here."""
    held = {match for row in ROWS for match in re.findall(r"2(?:29|32)\.\d+", row[0])}
    named = {
        match
        for page in (CONTENT / "tests").glob("*.md")
        for match in re.findall(r"(?:49 CFR |\()(2(?:29|32)\.\d+)\(", text_of(page))
    }
    assert named - held == set()
