"""The pages of positions, release modes, parts, recovering and handling: whole, sourced, and computed."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from calculators.base.quantities import MARKS, Choice, Quantity
from calculators.catalog import find_calculator
from calculators.circuits.sheet.parts import SHEETS
from calculators.equipment.pipes import PIPES
from calculators.law.source_list import SOURCES
from calculators.rendering.common import citation_words
from generator.embeds import expand
from generator.fragments import Fragments
from generator.protection import protection

CONTENT = Path(__file__).parents[2] / "content"
FOLDERS = ("positions", "release-modes", "parts", "recovering", "handling")
PAGES = [page for folder in FOLDERS for page in sorted((CONTENT / folder).glob("*.md"))]
PARTS = [
    page
    for page in sorted((CONTENT / "parts").glob("*.md"))
    if page.stem not in ("index", "pipe-numbers", "settings")
]
EACH = pytest.mark.parametrize("page", PAGES, ids=lambda page: f"{page.parent.name}/{page.stem}")
EACH_PART = pytest.mark.parametrize("page", PARTS, ids=lambda page: page.stem)

LOCOMOTIVE = find_calculator("locomotive-brake")
CAR = find_calculator("car-brake")


@cache
def front(page: Path) -> dict[str, Any]:
    """The front matter of a page."""
    _, head, _ = page.read_text(encoding="utf-8").split("---\n", 2)
    found = yaml.safe_load(head)
    assert isinstance(found, dict)
    return found


@cache
def body(page: Path) -> str:
    return page.read_text(encoding="utf-8").split("---\n", 2)[2]


def rows(text: str) -> list[list[str]]:
    """The cells of every table row of a page, without headings' rules."""
    found = [line.strip("| ").split(" | ") for line in text.splitlines() if line.startswith("| ")]
    return [[cell.strip() for cell in row] for row in found if not set(row[0]) <= {"-", " "}]


@EACH
def test_a_page_says_what_it_is_and_asks_its_question_first(page: Path) -> None:
    assert front(page)["title"]
    assert len(front(page)["description"]) >= 40
    heading, sentence = [line for line in body(page).splitlines() if line][:2]
    assert heading.startswith("# ")
    assert sentence[0].isupper()
    assert sentence[-1] in ".?:"


@EACH
def test_every_embed_of_a_page_can_be_made(page: Path) -> None:
    made = Fragments(())
    finished = expand(
        page.read_text(encoding="utf-8"),
        file=page.relative_to(CONTENT),
        blocks={
            "calculator": made.calculator,
            "circuit": lambda block: block.subject,
            "protection": protection,
        },
        inline=made.inline,
    )
    assert "{{" not in finished


# How these pages name a source; its full title stands at the foot of the page.
NAMES = {
    "AAR-S-400": "AAR S-400",
    "AAR-S-401": "AAR S-401",
    "AB13": "Brake Tests, 1913",
    "ARMY-203": "TM 55-203",
    "ARMY-223": "TM 55-2210-223-34",
    "ARMY-224": "TM 55-2210-224-34",
    "ARMY-224-12": "TM 55-2210-224-12",
    "ARMY-655": "subcourse 655",
    "ARMY-TC": "TC 55-88-1",
    "ARRC-96": "Alaska Railroad manual",
    "CFR-232-H": "49 CFR 232.710",
    "DIS96": "Diseases of the Air Brake System",
    "FRA-2022-02": "FRA Safety Advisory 2022-02",
    "FRA-RACK": "FRA rack tests",
    "FRA83": "1983 safety study",
    "HOWARD": "1000 practical air brake questions",
    "KC77": "ASME 77-WA/Flcs-10",
    "MUS-26": "museum's page",
    "NAVY": "Navy handbook P-301",
    "NRC-24": "National Research Council, 2024",
    "NRC-25": "National Research Council, 2025",
    "NTSB-18": "NTSB, Granite Canyon",
    "NTSB-90": "NTSB/RAR-90/02",
    "NTSB-96C": "NTSB DCA96MR002",
    "PROUT": "biography of 1921",
    "RAIB-09": "RAIB bulletin 03/2009",
    "TC-2019": "Transport Canada bulletin",
    "TEA": "Traveling Engineers' Association",
    "TSB-17Q": "TSB R17Q0061",
    "TSB-18E": "TSB R18E0007",
    "TSB-19C": "TSB R19C0015",
}


def name_of(source: str) -> str:
    if source in NAMES:
        return NAMES[source]
    _, part, section = source.split("-")
    return f"{part}.{section}"


@EACH
def test_a_page_lists_exactly_the_sources_it_names(page: Path) -> None:
    listed = set(front(page).get("sources", []))
    assert listed <= set(SOURCES)
    assert {
        id for id in listed if not re.search(rf"{re.escape(name_of(id))}(?!\w)", body(page))
    } == set()
    named = {id for id, name in NAMES.items() if re.search(rf"{re.escape(name)}(?!\w)", body(page))}
    for part, section in re.findall(r"49 CFR (\d+)\.(\d+)", body(page)):
        older = part == "232" and section.startswith("7")
        named.add("CFR-232-H" if older else f"CFR-{part}-{section}")
    assert named <= listed


def bare(page: Path) -> str:
    """The text as typed: no computed figures, no link targets, no list of what was read where."""
    text = body(page).split("\n## Where it was read\n")[0]
    return re.sub(r"\]\([^)]*\)", "]", re.sub(r"\{\{.*?\}\}", "", text))


# A figure with its unit, typed by hand, and what shows where it comes from.
TYPED = re.compile(
    r"\d(?:[\d,./]|\s1/2)*\s?(?:psi|cfm|in|ft|s|%|minutes|hours|degrees|tons|mph)(?![\w-])"
)
BACKED = re.compile(
    r"\[(?:S|S\\\*|P|M)[\],]|49 CFR|TEA question|\(pp?\. \d"
    r"|\((?:AAR|Alaska|ASME|Diseases|FRA|NTSB|RAIB|TM|TSB)\b"
)
# Lines that suppose a case, say one limit beside another, or stand under a source named above.
SUPPOSED = (
    "| 6 in |",
    "| 8 in |",
    "| 9 in |",
    "8 in travel",
    "starts at 8 in",
    "At 110 psi the cars need",
    "From 110 psi the cars need",
    "a car charged to 90 psi",
    "the pressure limit of 5 psi/min",
    "These two 3 psi",
    "**rear** pressure, or 10 psi",
    "- One set of 10 psi off, released",
    "- A full set of 26 psi, released",
)


@EACH
def test_every_figure_typed_by_hand_carries_its_source_or_mark(page: Path) -> None:
    unbacked = [
        line for line in bare(page).splitlines() if TYPED.search(line) and not BACKED.search(line)
    ]
    assert [line for line in unbacked if not any(words in line for words in SUPPOSED)] == []


@EACH
def test_no_page_gives_a_verdict(page: Path) -> None:
    words = r"\b(?:is safe|are safe|safe to|good to go|may proceed|passes the test)\b"
    assert re.findall(words, body(page), re.IGNORECASE) == []


@EACH
def test_links_lead_to_pages_that_are_there(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#?]+\.md)[^)]*\)", body(page)):
        assert (page.parent / target).resolve().is_file(), target


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_index_of_a_folder_leads_to_every_page_in_it(folder: str) -> None:
    index = (CONTENT / folder / "index.md").read_text(encoding="utf-8")
    pages = {page.name for page in (CONTENT / folder).glob("*.md")} - {"index.md"}
    assert {name for name in pages if f"({name}" not in index} == set()


def test_every_handle_position_has_its_page() -> None:
    handle = LOCOMOTIVE.inputs()["handle"]
    assert isinstance(handle, Choice)
    told = {front(page).get("handle") for page in (CONTENT / "positions").glob("*.md")}
    assert {option.value for option in handle.options} == told - {None}
    independent = {front(page).get("independent") for page in (CONTENT / "positions").glob("*.md")}
    assert independent - {None} == {"release", "application", "bail-off"}


@pytest.mark.parametrize("stem", ["release", "service", "suppression", "emergency"])
def test_a_position_says_what_every_place_does_and_how_to_leave_it(stem: str) -> None:
    text = body(CONTENT / "positions" / f"{stem}.md")
    for place in ("Equalizing reservoir", "Brake pipe", "Locomotive cylinders", "Cars"):
        assert f"| {place} |" in text
    assert "## When it is used" in text
    assert "## How to leave it" in text


def test_presets_that_stand_for_a_setting_equal_it() -> None:
    # The pages ask the car for the reduction that a position makes; both must stay the same.
    defaults = LOCOMOTIVE.defaults()
    text = body(CONTENT / "positions" / "index.md")
    assert defaults["minimum_reduction"] == 6.0
    assert "reduction=6 }}" in text
    assert defaults["suppression_reduction"] == 26.0
    assert "reduction=26 }}" in text
    assert defaults["brake_pipe_setting"] == CAR.defaults()["brake_pipe_setting"] == 90.0
    assert defaults["reduction"] == CAR.defaults()["reduction"]


@EACH_PART
def test_a_part_page_is_whole_and_short(page: Path) -> None:
    text = body(page)
    for section in ("Controlled by", "Acts on", "At rest", "How it fails", "Where it is adjusted"):
        assert f"## {section}\n" in text, section
    failures = text.split("## How it fails\n")[1].split("\n## ")[0]
    assert len(rows(failures)) >= 4, "a heading and at least three ways to fail"
    assert 25 <= len(page.read_text(encoding="utf-8").splitlines()) <= 62


def test_every_component_of_the_circuits_has_a_part_page() -> None:
    components = {component.id for sheet in SHEETS.values() for component in sheet.components}
    # The lead unit is no part: it stands on the sheet of a unit that follows it.
    claimed = {id for page in PARTS for id in front(page).get("components", [])}
    assert components - {"lead_unit"} == claimed


def test_the_table_of_pipes_says_what_the_data_says() -> None:
    printed = rows(body(CONTENT / "parts" / "pipe-numbers.md"))[1:]
    expected = [
        [
            f"[{pipe.number}]({pipe.page}.md)",
            pipe.device,
            pipe.carries,
            f"{_read_in(pipe.source)} [{pipe.mark}]".replace("*", r"\*"),
        ]
        for pipe in PIPES
    ]
    assert printed == expected


def _read_in(source: Any) -> str:
    return "common practice" if source is None else f"{NAMES[source.source]}, {source.place}"


def test_pipe_numbers_are_sourced_or_marked_as_practice() -> None:
    assert [pipe.number for pipe in PIPES] == sorted({pipe.number for pipe in PIPES})
    for pipe in PIPES:
        assert pipe.mark in MARKS
        assert (CONTENT / "parts" / f"{pipe.page}.md").is_file()
        if pipe.mark in ("S", "S*"):
            assert pipe.source is not None
            assert citation_words(pipe.source.source, pipe.source.place)
        else:
            assert pipe.source is None


# Fields of a car's form that are no setting of the car: what it was charged to, the weather.
NO_SETTING = ("charged", "unswept_volume", "empty_share", "atmosphere")


def test_every_setting_of_the_forms_is_listed_with_its_mark() -> None:
    text = body(CONTENT / "parts" / "settings.md")
    for calculator, group in ((LOCOMOTIVE, "Your locomotive"), (CAR, "The car")):
        for name, description in calculator.inputs().items():
            if not isinstance(description, Quantity | Choice) or name in NO_SETTING:
                continue
            if description.group != group or name == "auxiliary_volume":
                continue
            mark = f" [{description.mark}]".replace("*", r"\*") if description.mark else ""
            default = calculator.defaults()[name]
            starts = (
                str(default)
                if isinstance(description, Choice)
                else f"{{{{ {calculator.name}.{name} }}}}"
            )
            assert f"| {starts}{mark} |" in text, name
