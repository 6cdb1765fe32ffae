"""One word for one thing, American spelling, and no words that sound translated.

The list holds over every page and over every sentence that the calculators can say.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONTENT = ROOT / "content"
# What people type into the search is theirs, in their own words.
PAGES = sorted({*CONTENT.rglob("*.md"), *CONTENT.rglob("*.toml")} - {CONTENT / "search.toml"})
MODULES = sorted((ROOT / "calculators").rglob("*.py"))

# What is not said -> what is said instead.
PREFERRED = {
    r"rear(?:-end|-of-train)? device": "end-of-train device",
    r"air-flow indicator|(?<!air )flow indicator(?! calibration relief)": "air flow indicator",
    r"unwanted release": "undesired release",
    r"tak(?:e|es|en|ing) (?:up a|a|the|one) penalty up|tak(?:e|es|en|ing) up (?:a|the) penalty"
    r"|penalty (?:is|was|has been) (?:not )?taken up": "recover from, or reset, a penalty",
    r"(?:brakes?|pipe|train|penalty(?: application)?) (?:is|are|was) got back": "is recovered",
    r"licen[c]es?\b": "license",
    r"colou?r(?<=colour)|centre\b|metre\b|equalis\w+|programme\b|whilst|towards": "American spelling",
    r"tram\b(?! brake commission)": "streetcar",
    r"\bat at\b": "at",
    r"tested so before|the declaration\b": "What this answer assumes",
    r"registry|docstring|front matter|fenced block|placeholder": "no builder's words",
}
# Where a word is no wording: names of sources and British words, ids, paths, forms to be found by.
ASIDE = re.compile(
    r"\]\([^)]*\)|^(?:id|page|met|elsewhere|anchor|short|pages?) = .*$|```\w*|\{ #[\w-]+ \}"
    r"|\{\{.*?\}\}|https?://\S+|^sources:.*$|licences/[\w.-]+",
    re.MULTILINE,
)
# A gauge, a reservoir or a reading that "stands" is a translation; what people and things that
# really stand do is not meant.
STANDS = re.compile(
    r"(?:gauges?|pipe|reservoirs?|cylinders?|auxiliar(?:y|ies)|pressure|rear|head|it|figures?"
    r"|limits?|sections?|answers?) (?:still |then |long |already )?(?:stands?|stood)\b(?! in for| out)"
)


def sentences(module: Path) -> Iterator[str]:
    """The texts in a module that are no docstrings."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    docstrings = {
        id(statement.value)
        for node in ast.walk(tree)
        if isinstance(body := getattr(node, "body", None), list)
        for statement in body
        if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in docstrings:
            continue
        # One word is a name or a key, not a sentence.
        if isinstance(node.value, str) and " " in node.value:
            yield node.value


def said(text: str) -> list[str]:
    """What a text says that is not to be said, with what to say instead."""
    found = [
        f"{match[0]!r}: {instead}"
        for words, instead in PREFERRED.items()
        for match in re.finditer(words, text, re.IGNORECASE)
    ]
    return found + [f"{match[0]!r}: is, reads, holds" for match in STANDS.finditer(text)]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_a_page_says_one_word_for_one_thing(page: Path):
    assert said(ASIDE.sub(" ", page.read_text(encoding="utf-8"))) == []


def test_the_calculators_say_the_same_words():
    wrong = {
        f"{module.relative_to(ROOT)}: {text[:80]}": found
        for module in MODULES
        for text in sentences(module)
        if (found := said(text))
    }
    assert wrong == {}


@pytest.mark.parametrize(
    "text",
    [
        "Read the rear-end device.",
        "The flow indicator shows it.",
        "An unwanted release.",
        "Suppression takes up a penalty.",
        "The penalty was not taken up.",
        "How is the brake got back? The pipe is got back.",
        "Under the MIT licence.",
        "It has at at most 5.",
        "The equalizing reservoir stands at 78.",
        "Both gauges stand.",
        "A limit stands beside it.",
        "Its colour.",
    ],
)
def test_what_is_not_to_be_said_is_found(text: str):
    assert said(text)


@pytest.mark.parametrize(
    "text",
    [
        "The end-of-train device reads 75.",
        "The air flow indicator is marked to 80 cfm.",
        "An engineer stands clear of the hose.",
        "The brake stand is on the left.",
        "A gauge there may stand in for it.",
        "The penalty is reset in suppression.",
        "What this answer assumes",
    ],
)
def test_what_is_said_is_let_be(text: str):
    assert said(text) == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_degrees_fahrenheit_come_first(page: Path):
    text = page.read_text(encoding="utf-8")
    for line in text.splitlines():
        celsius, fahrenheit = line.find("°C"), line.find("°F")
        assert celsius < 0 or 0 <= fahrenheit < celsius, line
    assert not re.search(r"degrees (?:C|Celsius)\b", text)
