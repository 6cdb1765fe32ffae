"""Whoever names a text or a row of the collection names one that is here to be looked up."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from calculators.law.source_list import FORMER_IDS, SOURCES
from generator.published import tables

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "tests" / "published" / "collection"
ROWS: dict[str, dict[str, object]] = {}
for subject in sorted(FOLDER.glob("*.toml")):
    for row, found in tomllib.loads(subject.read_text(encoding="utf-8")).items():
        assert row not in ROWS, f"{row} stands in two files"
        ROWS[row] = found

# H17, and R28-R34 or H1 to H12 for all between.
ROW = re.compile(r"(?<![\w/#.-])([HMRT])([1-9]\d{0,2})(?:(?: to |-)\1([1-9]\d{0,2}))?(?![\w.]|-\d)")
# The name of a file of texts: DEVELOPERS.md, and what is none here.
TEXT_FILE = re.compile(r"(?<![\w/.-])[A-Z][A-Z-]{2,}\.md\b")
# How sources are named: ARMY-203, NTSB-96C, DIS96, AJHR13.
SOURCE = re.compile(
    r"(?<![\w-])(?:ARMY|NTSB|TSB|ARRC|MCB|MUS|RAIL(?:ROAD)?|RAIB|NRC|TC|AAR-S)-\d[\w-]*"
    r"|(?<![\w-])(?:DIS|AB|EB|HAN|AJHR|WHITE|FRA|NTSB|KC|AH|WU)\d\d(?![\w%])"
)


# Packed data: letters and digits by chance.
NO_TEXT = (ROOT / "calculators" / "finding" / "kept.py",)


def texts() -> Iterator[tuple[str, str]]:
    """Every text of the repository that can name a source: code, tests, tables, pages."""
    for folder in ("calculators", "build", "tests", "content"):
        for file in sorted((ROOT / folder).rglob("*")):
            if file in NO_TEXT:
                continue
            if file.suffix in (".py", ".toml", ".md") and file.name != "test_collection.py":
                yield str(file.relative_to(ROOT)), file.read_text(encoding="utf-8")
    for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "pyproject.toml"):
        yield name, (ROOT / name).read_text(encoding="utf-8")


def rows_named(text: str) -> set[str]:
    """The ids of rows in a text, a range with all that lie in it and are there."""
    found = set()
    for kind, first, last in ROW.findall(text):
        found |= {f"{kind}{first}", f"{kind}{last or first}"}
    return found


def missing(name: str, text: str) -> list[str]:
    """What a text names that cannot be looked up."""
    files = [one for one in TEXT_FILE.findall(text) if not (ROOT / one).exists()]
    sources = [one for one in SOURCE.findall(text) if one not in SOURCES and one not in FORMER_IDS]
    # Pages have headings and hoses of their own that look like ids; they cite sources.
    ours = name.startswith(("calculators/", "build/", "tests/")) or name == "x.py"
    rows = rows_named(text) - set(ROWS) if ours and name.endswith((".py", ".toml")) else set()
    return sorted({*files, *sources, *rows})


def test_what_is_named_can_be_looked_up():
    assert {name: found for name, text in texts() if (found := missing(name, text))} == {}


@pytest.mark.parametrize("id", ROWS)
def test_a_row_says_where_it_was_read(id: str):
    row = ROWS[id]
    assert set(row) <= {"says", "sources", "place", "how"}
    assert str(row["says"])
    assert isinstance(row["sources"], list)
    assert [one for one in row["sources"] if one not in SOURCES] == []
    read = str(row["how"]).startswith(("read", "part read"))
    assert read == bool(row["sources"]) or "worked out" in str(row["how"])


def test_ids_of_published_rows_stand_in_the_collection():
    printed = tables(ROOT / "tests" / "published")
    named = {one for table in printed for row in table.rows for one in rows_named(row.id)}
    assert named - set(ROWS) == set()


def test_what_is_nowhere_is_found():
    assert missing("x.py", "# NOWHERE.md, section 2") == ["NOWHERE.md"]
    assert missing("x.py", "# DEVELOPERS.md; ARMY-203 p. 3 (H17)") == []
    assert missing("x.py", "# ARMY-999; H999") == ["ARMY-999", "H999"]
    assert rows_named("R28-R34, H1 to H12") == {"R28", "R34", "H1", "H12"}
