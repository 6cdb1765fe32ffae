"""Every rule by section: complete, in order, and the same on the page and as CSV."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest

from calculators.law.limit_list import LIMITS
from generator.embeds import Block
from generator.rules_table import HEADS, RulesTable

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
