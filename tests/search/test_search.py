"""The search answers as people of the trade ask: the page's own ranking on the built index."""

from __future__ import annotations

import gzip
import json
import re
import subprocess
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from calculators.catalog import CALCULATORS
from calculators.law.limit_list import LIMITS
from generator.glossary import Glossary
from generator.setup import node
from generator.setup.places import Places
from tests.browser.conftest import ROOT, SITE

# No browser is driven here, but the built site is read.
pytestmark = pytest.mark.browser

HERE = Path(__file__).parent
INDEX = SITE / "search" / "search_index.json"
RANKING = ROOT / "build" / "browser" / "search-ranking.js"
GLOSSARY = Glossary.read(ROOT / "content")
# The theme's search that this one took the place of weighed 143 kB, index and scripts, for 130 pages;
# there are more now.
INDEX_AT_MOST = 90_000

Result = dict[str, Any]


def wanted() -> dict[str, list[str]]:
    groups = tomllib.loads((HERE / "queries.toml").read_text(encoding="utf-8"))
    return {query: pages for group in groups.values() for query, pages in group.items()}


def asked(queries: Sequence[str]) -> list[list[Result]]:
    """The results of each query in the order in which a reader meets them."""
    program = node.find(Places(root=ROOT)).program
    done = subprocess.run(
        [program, HERE / "ask.mjs", RANKING, INDEX],
        input=json.dumps(queries),
        capture_output=True,
        text=True,
        check=True,
    )
    found: list[list[Result]] = json.loads(done.stdout)
    return found


def docs() -> list[Result]:
    found: list[Result] = json.loads(INDEX.read_text(encoding="utf-8"))["docs"]
    return found


def test_sixty_queries_have_what_is_wanted_among_the_first_three():
    queries = wanted()
    assert len(queries) == 60
    missed = {
        query: [result["location"] for result in results[:3]]
        for (query, pages), results in zip(queries.items(), asked([*queries]), strict=True)
        if not {result["location"] for result in results[:3]} & set(pages)
    }
    assert missed == {}


def test_what_is_wanted_is_there():
    places = {doc["location"] for doc in docs()}
    assert {page for pages in wanted().values() for page in pages} - places == set()


def own_places() -> list[tuple[str, str, str]]:
    """Every word, limit, part and calculator: its title, its kind and where it stands."""
    words = [(term.term, "word", f"glossary/#{term.id}") for term in GLOSSARY.terms]
    limits = [(limit.title, "limit", f"limits/#{id}") for id, limit in LIMITS.items()]
    parts = [
        (doc["title"], "part", doc["location"])
        for doc in docs()
        if doc["kind"] == "part" and doc["location"] != "parts/"
    ]
    calculators = [(one.title, "answer", f"calculators/{id}/") for id, one in CALCULATORS.items()]
    return [*words, *limits, *parts, *calculators]


def read(title: str) -> str:
    """A title as the search reads it: small letters, no hyphens, no plural, told apart by nothing."""
    return re.sub(r"s\b|\W+", " ", re.sub(r" \([^)]*\)$", "", title.casefold())).strip()


def test_every_title_finds_its_own_place_first():
    """Where a word, a part and a limit share a title, each is the first of its kind, and together
    they stand before everything else. Two limits of one title are told apart by their sections."""
    places = own_places()
    assert len(places) > 300
    titles = {doc["location"]: read(doc["title"]) for doc in docs()}
    wrong = []
    for (title, kind, place), results in zip(
        places, asked([title for title, _, _ in places]), strict=True
    ):
        shared = [one for one, name in titles.items() if name == read(title)]
        first = [result["location"] for result in results[: 3 * len(shared)]]
        of_kind = [one["location"] for one in results if one["kind"] == kind][: len(shared)]
        if results[0]["location"] not in shared or place not in of_kind or place not in first:
            wrong.append((title, place, first[:3]))
    assert wrong == []


def test_brackets_hyphens_and_spelling_do_not_hide_a_word():
    same = [
        ("EOT)", "eot"),
        ("bail-off", "bail off"),
        ("Equalising Reservoir", "equalizing reservoir"),
        ("brake cylinders", "brake cylinder"),
        ("retaning valve", "retaining valve"),
    ]
    answers = asked([query for pair in same for query in pair])
    for number, pair in enumerate(same):
        one, other = answers[2 * number][0], answers[2 * number + 1][0]
        assert one["location"] == other["location"], pair


def test_a_word_under_way_finds_what_it_begins():
    (results,) = asked(["equalizing res"])
    assert "parts/equalizing-reservoir/" in [one["location"] for one in results[:3]]


def test_what_is_nowhere_is_not_found():
    assert asked(["xylophone zyzzyva", "", "  ", ")("]) == [[], [], [], []]


def test_a_question_of_nothing_but_common_words_does_not_fail():
    (results,) = asked(["what is it"])
    assert isinstance(results, list)


def test_results_stand_in_groups():
    for results in asked([*wanted()]):
        kinds = [one["kind"] for one in results]
        runs = [kind for number, kind in enumerate(kinds) if kinds[number - 1 : number] != [kind]]
        # Close results and further ones: each kind at most once in either.
        assert len(runs) <= 8
        assert set(runs) <= {"answer", "limit", "part", "word"}


def test_the_index_is_lighter_than_what_it_replaced():
    assert len(gzip.compress(INDEX.read_bytes(), 6)) <= INDEX_AT_MOST
    assert not list(SITE.glob("assets/javascripts/workers/search*"))


def test_no_two_pages_share_a_title():
    titles = [doc["title"] for doc in docs() if "#" not in doc["location"]]
    assert [title for title in titles if titles.count(title) > 1] == []
