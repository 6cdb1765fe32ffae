"""Nothing of the reference is without its page, no page without its sources, no figure far away."""

from __future__ import annotations

import doctest
import json
import re
from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from calculators.base.quantities import Choice
from calculators.catalog import every_calculator
from calculators.circuits.catalog import CIRCUITS
from calculators.circuits.sheet.parts import SHEETS
from calculators.law.limit_list import LIMITS
from calculators.law.records import Limit
from calculators.law.source_list import SOURCES
from generator import abbreviations, addresses, front_matter
from generator.addresses import address_of
from generator.embeds import Block
from generator.fragments import Fragments
from generator.glossary import Glossary
from generator.limit_fragments import LimitLists
from generator.reading_order import ReadingOrder

CALCULATORS = every_calculator()

CONTENT = Path(__file__).parents[2] / "content"
PAGES = tuple(sorted(path.relative_to(CONTENT) for path in CONTENT.rglob("*.md")))
EACH_PAGE = pytest.mark.parametrize("page", PAGES, ids=str)
MINE = tuple(page for page in PAGES if page.parts[0] in ("tests", "learn", "about"))

# Pages that only lead on, or are about this copy and this device, state nothing of the trade.
NO_SOURCE_NEEDED = re.compile(
    r"(.*/)?index\.md|about/(this-copy|changes|writing|sources|licences)\.md|my-railroad\.md|pocket-card\.md"
    r"|lessons/.*|learn/juniper-fork\.md|teach/.*|study/.*|record/.*"
)

LINK = re.compile(r"\]\((?P<target>[^)#?\s]+\.md)")
TYPED = re.compile(
    r"\d[\d.,]*\s*(psi|kPa|bar|cfm|mph|miles|tons|in|ft|min|s|h|hours|minutes|days|%|°F)(?![\w])"
)
EMBED = re.compile(r"\{\{.*?\}\}")
# A figure that is typed names where it was read, or is the size that a part is called by.
NAMED = re.compile(
    r"ARRC-96|ARMY|TSB|NTSB|FRA|CFR|book of \d{4}|8 1/2-in|12-in stroke|annual edition"
)
# The twelve figures that must be two taps from home: page, and what prints the figure there.
TWELVE = {
    "full service and emergency": ("calculators/full-service-figures.md", "```calculator"),
    "cylinder for a reduction, locomotive": ("calculators/locomotive-brake.md", "```calculator"),
    "cylinder for a reduction, car": ("calculators/car-brake.md", "```calculator"),
    "leakage limit": ("tests/leakage.md", "{{ limit brake-pipe-leakage }}"),
    "flow limit": ("tests/air-flow.md", "{{ limit air-flow }}"),
    "rear-end limit": ("calculators/rear-pressure.md", "rear-pressure.least_rear"),
    "piston travel": ("tests/piston-travel.md", "{{ limit piston-travel }}"),
    "charging time": ("calculators/charging-time.md", "```calculator"),
    "retaining valve": ("release-modes/retaining-valves.md", "retaining_valve=high-pressure"),
    "main reservoir leakage": ("limits.md", "```limits\nall"),
    "test due": ("calculators/brake-test.md", "```calculator"),
    "hand-brake caution": ("tests/securement.md", "!!! danger"),
    "units": ("calculators/units.md", "```calculator"),
}


@cache
def text(page: Path) -> str:
    return (CONTENT / page).read_text(encoding="utf-8")


@cache
def meta(page: Path) -> Mapping[str, Any]:
    return front_matter.front_matter(text(page))


def body(page: Path) -> str:
    return text(page).split("---\n", 2)[2]


def block(subject: str, page: str) -> Block:
    return Block(subject=subject, settings={}, number=1, page=Path(page))


def linked(page: Path) -> set[Path]:
    """The pages that a page links to."""
    found = set()
    for match in LINK.finditer(text(page)):
        target = (CONTENT / page).parent / match["target"]
        found.add(target.resolve().relative_to(CONTENT.resolve()))
    # Home writes its tiles as HTML, by the folder that a page becomes.
    for folder in re.findall(r'href="([a-z-]+)/"', text(page)):
        index = Path(folder) / "index.md"
        found.add(index if (CONTENT / index).exists() else Path(f"{folder}.md"))
    return found


# Everything has its page.


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_calculator_has_its_page(name: str):
    assert meta(Path(f"calculators/{name}.md"))["calculator"] == name


@pytest.mark.parametrize("id", CIRCUITS)
def test_every_circuit_has_its_page(id: str):
    page = Path(f"circuits/{id}.md")
    assert meta(page)["circuit"] == id
    assert f"```circuit\n{id}" in text(page)


def test_every_component_of_the_circuits_has_its_page():
    components = {component.id for sheet in SHEETS.values() for component in sheet.components}
    claimed = [id for page in PAGES for id in meta(page).get("components", [])]
    # The lead unit on a trailing unit's sheet is the locomotive of the other sheet.
    assert components - {"lead_unit"} - set(claimed) == set()
    assert set(claimed) - components == set()


def test_every_handle_position_has_its_page():
    handle = CALCULATORS["locomotive-brake"].inputs()["handle"]
    assert isinstance(handle, Choice)
    positions = {option.value for option in handle.options}
    positions |= {"bail-off", "independent-application", "independent-release"}
    assert {page.stem for page in PAGES if page.parts[0] == "positions"} >= positions


def test_every_limit_stands_once_on_the_list_with_its_anchor():
    made = LimitLists.read(CONTENT).block(block("all", "limits.md"))
    ids = re.findall(r'<li id="([^"]+)"', made)
    assert sorted(ids) == sorted(LIMITS)
    anchors = ids + re.findall(r"\{ #([a-z0-9-]+) \}", made)
    assert len(anchors) == len(set(anchors))


# Everything says where it comes from.


@EACH_PAGE
def test_every_page_has_its_sources(page: Path):
    named = meta(page).get("sources", [])
    assert [id for id in named if id not in SOURCES] == []
    assert named or NO_SOURCE_NEEDED.fullmatch(page.as_posix()), "front matter: sources: [...]"


@pytest.mark.parametrize("limit", LIMITS.values(), ids=LIMITS.keys())
def test_every_limit_on_the_list_says_how_it_was_read(limit: Limit):
    made = LimitLists.read(CONTENT).block(block(limit.id, "tests/class-1.md"))
    assert limit.section in made
    assert limit.edition.replace("&", "&amp;") in made
    assert limit.how_read in made
    assert ("<strong>" in made) == (limit.how_read != "read in the text")
    assert ("no verdict" in made) == bool(limit.other_text)


def test_links_to_the_limits_of_version_0_1_0_still_lead_somewhere():
    """The anchors of the list are part of links; renamed limits keep their old one besides."""
    old = Path(__file__).parents[1] / "carried" / "version-0-1-0.json"
    made = LimitLists.read(CONTENT).block(block("all", "limits.md"))
    ids = re.findall(r'id="([a-z0-9-]+)"', made)
    assert len(ids) == len(set(ids))
    assert set(json.loads(old.read_text(encoding="utf-8"))["limits"]) <= set(ids)


@pytest.mark.parametrize("page", MINE, ids=str)
def test_no_figure_is_typed_that_could_be_embedded(page: Path):
    """A figure in a sentence is embedded, or the sentence names where it was read."""
    lines = [line for line in body(page).splitlines() if not NAMED.search(line)]
    wrong = [line for line in lines if TYPED.search(EMBED.sub("", line))]
    assert wrong == []


@pytest.mark.parametrize("page", MINE, ids=str)
def test_no_page_calls_anything_safe_or_lets_a_train_go(page: Path):
    assert re.search(r"\b(is safe|safe to|good to go|passes the test)\b", text(page)) is None


@pytest.mark.parametrize("page", [p for p in MINE if p.parts[0] == "tests"], ids=str)
def test_every_test_says_when_how_and_what_is_written_down(page: Path):
    if page.name == "index.md":
        return
    words = body(page)
    assert "## What is written down" in words
    assert "## Mistakes people make" in words
    assert "```limits\n" in words
    assert linked(page), "leads on to a calculator or another test"


# Nothing is far away.


def test_twelve_figures_are_two_taps_from_home():
    home = Path("index.md")
    one = linked(home)
    two = one.union(*(linked(page) for page in one))
    for figure, (page, printed) in TWELVE.items():
        assert Path(page) in two, figure
        assert printed in text(Path(page)), figure


def test_home_names_all_twelve_itself():
    assert len(re.findall(r"^\| \[", text(Path("index.md")), re.MULTILINE)) == 12


def test_every_page_can_be_reached_from_home_by_links_in_the_text():
    lists = {  # Pages whose list is made: the links are not in the text.
        Path("calculators/index.md"): {Path(f"calculators/{name}.md") for name in CALCULATORS},
        Path("learn/index.md"): {lesson.page for lesson in ReadingOrder.read(CONTENT).lessons},
    }
    reached: set[Path] = set()
    waiting = [Path("index.md")]
    while waiting:
        page = waiting.pop()
        if page not in reached:
            reached.add(page)
            waiting += [*linked(page), *lists.get(page, set())]
    assert set(PAGES) - reached == set()


# The made lists lead where they say.


@pytest.mark.parametrize(
    ("made", "seen_from"),
    [
        (lambda: LimitLists.read(CONTENT).block(block("all", "limits.md")), "limits.md"),
        (
            lambda: LimitLists.read(CONTENT).block(block("air-flow", "tests/air-flow.md")),
            "tests/air-flow.md",
        ),
        (lambda: Glossary.read(CONTENT).block(block("all", "glossary.md")), "glossary.md"),
        (
            lambda: ReadingOrder.read(CONTENT).block(block("all", "learn/index.md")),
            "learn/index.md",
        ),
        (
            lambda: ReadingOrder.read(CONTENT).around(Path("about/reading.md")),
            "about/reading.md",
        ),
    ],
    ids=["limits", "one limit", "glossary", "lessons", "around a lesson"],
)
def test_links_of_the_made_lists_exist(made: Any, seen_from: str):
    known = {address_of(page, seen_from=Path(seen_from)) for page in PAGES}
    text = made()
    ids = set(LIMITS) | set(Glossary.read(CONTENT).by_id) | {"abbreviations"}
    ids |= set(re.findall(r"\{ #([a-z0-9-]+) \}", text))
    hrefs = re.findall(r'href="([^"]+)"', text)
    assert hrefs
    for href in hrefs:
        path, _, anchor = href.partition("#")
        assert not path or path in known, href
        assert not anchor or anchor in ids, href


def test_a_limit_in_a_sentence():
    inline = Fragments(()).inline
    assert ">at most 60 cfm<" in inline("limit air-flow")
    assert ">60 cfm<" in inline("limit air-flow figure")
    assert "232.205(c)(1)" in inline("limit air-flow section")
    assert ">6 in to 9 in<" in inline("limit piston-travel figure")
    with pytest.raises(ValueError, match=r"not \['sections'\]"):
        inline("limit air-flow sections")


def test_a_limit_without_a_subject_stops_the_build(tmp_path: Path):
    (tmp_path / "page.md").write_text("---\ntitle: A page\n---\n", encoding="utf-8")
    group = '[[group]]\ntitle = "One"\nanchor = "one"\npage = "page.md"\n'
    (tmp_path / "limits.toml").write_text(
        f'{group}limits = ["air-flow", "air-flow", "no-such-limit"]\n', encoding="utf-8"
    )
    with pytest.raises(ValueError, match="no-such-limit is no limit") as refused:
        LimitLists.read(tmp_path)
    assert "rear-gradient stands in no subject" in str(refused.value)
    assert "air-flow stands twice" in str(refused.value)


@pytest.mark.parametrize(
    "written",
    ["---\ntitle: Open\n", "---\n- a list\n---\n", "---\na: [\n---\n"],
    ids=["not closed", "a list", "no YAML"],
)
def test_front_matter_that_cannot_be_read_is_refused(written: str):
    with pytest.raises(ValueError, match="front matter"):
        front_matter.front_matter(written)


def test_a_page_without_title_is_refused(tmp_path: Path):
    page = tmp_path / "page.md"
    page.write_text("# No head\n", encoding="utf-8")
    with pytest.raises(LookupError, match="has no title"):
        front_matter.title_of(page)


@pytest.mark.parametrize(
    "module", [abbreviations, addresses, front_matter], ids=lambda module: module.__name__
)
def test_examples_in_the_docstrings(module: ModuleType):
    done = doctest.testmod(module)
    assert done.attempted
    assert not done.failed


@EACH_PAGE
def test_every_column_of_a_table_has_a_heading(page: Path):
    """A screen reader reads the heading with every cell; an empty one says nothing."""
    lines = text(page).splitlines()
    headings = [
        above for above, line in pairwise(lines) if re.fullmatch(r"\|(\s*:?-+:?\s*\|)+", line)
    ]
    assert all(cell.strip() for row in headings for cell in row.strip("| ").split("|")), headings
    assert not [row for row in headings if re.match(r"\|\s*\|", row)]
