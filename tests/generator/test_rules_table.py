"""Every rule by section: complete, in order, and the same on the page and as CSV."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest

from calculators.catalog import CALCULATORS
from calculators.law.limit_list import LIMITS
from generator.citations import cited_on_pages, places
from generator.embeds import Block
from generator.rules_table import ALL_LIMITS, HEADS, RulesTable

CONTENT = Path(__file__).parents[2] / "content"
SECTION = re.compile(r"49 CFR (\d+)\.(\d+)")


@pytest.fixture(scope="module")
def table() -> RulesTable:
    return RulesTable.read(CONTENT)


@pytest.fixture(scope="module")
def page(table: RulesTable) -> str:
    block = Block(subject="by-section", settings={}, number=1, page=Path("rules.md"))
    return table.block(block)


def test_every_limit_stands_under_every_section_it_names(table: RulesTable):
    for limit in LIMITS.values():
        if not limit.section.startswith("49 CFR"):
            continue
        here = [row.section for row in table.rows if row.says.startswith(f"{limit.title}: ")]
        named = limit.section.removeprefix("49 CFR ").split("; ")
        for place in named:
            assert any(section.endswith(place) for section in here), (limit.id, place)


def test_sections_come_in_the_order_of_the_regulation(table: RulesTable):
    found = [SECTION.match(row.section) for row in table.rows]
    numbers = [(int(m[1]), int(m[2])) for m in found if m]
    assert numbers == sorted(numbers)
    assert not any(found[len(numbers) :]), "other texts come last"


def test_every_row_says_where_it_is_used(table: RulesTable):
    assert all(row.used and row.says and row.edition and row.how_read for row in table.rows)


def test_a_judged_limit_names_its_calculator(table: RulesTable):
    used = {path for row in table.rows if "232.103(m)(1)" in row.section for path in row.used}
    assert Path("calculators/rear-pressure.md") in used
    assert Path("tests/air-going-wrong.md") in used


def test_the_csv_holds_every_row(table: RulesTable):
    rows = list(csv.reader(io.StringIO(table.csv())))
    assert tuple(rows[0]) == HEADS
    assert len(rows) == len(table.rows) + 1
    assert {len(row) for row in rows} == {len(HEADS)}


def test_the_page_says_the_same(table: RulesTable, page: str):
    assert page.count("<li>") == len(table.rows)
    for heading in ("## 49 CFR 232.205 {", "## 49 CFR 220.305 {", "## Other texts {"):
        assert heading in page
    assert '<span class="figure">' in page
    assert not re.findall(r'\S<span class="figure">', page)


def test_every_paragraph_that_a_page_cites_is_a_row_that_names_the_page(table: RulesTable):
    """A reader with a newer text finds by it every page to hold beside it."""
    rows = [(place, row) for row in table.rows for place in places(row.section)]
    wrong = {
        (page, cited)
        for page, all_cited in cited_on_pages(CONTENT).items()
        for cited in all_cited
        if not any(
            place.touches(cited) and page in row.used
            if cited.letter
            else place.section == cited.section
            for place, row in rows
        )
    }
    assert wrong == set()


def test_every_section_that_a_calculator_cites_is_a_row(table: RulesTable):
    held = {place.section for row in table.rows for place in places(row.section)}
    named = {
        citation.source.removeprefix("CFR-").replace("-", ".")
        for calculator in CALCULATORS.values()
        for citation in calculator.sources
        if re.fullmatch(r"CFR-(229|232)-\d+", citation.source)
    }
    assert named - held == set()


def test_what_a_paragraph_asks_stands_where_a_reader_needs_it(table: RulesTable):
    """Not in the list of limits alone: that holds figures, not what to do."""
    said = [row for row in table.rows if not row.figure]
    assert [row.section for row in said if set(row.used) == {ALL_LIMITS}] == []


@pytest.mark.parametrize("used", [[], ["no-such-page.md"], ["no-calculator"]])
def test_a_row_that_leads_nowhere_is_refused(tmp_path: Path, used: list[Any]):
    row = ["232.205(a)", "Something.", used]
    text = f"[[text]]\nedition = 'x'\nhow_read = 'x'\nrules = [{row!r}]\n"
    (tmp_path / "rules.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"232\.205"):
        RulesTable.read(tmp_path)


def test_another_subject_is_refused(table: RulesTable):
    with pytest.raises(ValueError, match="by-section"):
        table.block(Block(subject="all", settings={}, number=1, page=Path("rules.md")))
