"""The history of versions: read whole, or refused with the line."""

import re
from pathlib import Path

import pytest

from calculators.version import RELEASED, VERSION
from generator.changes_fragment import changes, entries, read
from generator.embeds import Block

ROOT = Path(__file__).parents[2]


def test_the_history_begins_with_this_version():
    newest, *older = read((ROOT / "CHANGELOG.md").read_text(encoding="utf-8"))

    assert (newest.name, newest.date) == (VERSION, RELEASED[:10])
    assert older != []
    assert all(version.entries for version in (newest, *older))


def test_entries_become_a_list_with_code_and_without_markup(tmp_path):
    (tmp_path / "CHANGELOG.md").write_text(
        "# What changed\n\nWords.\n\n## 1.2.3, 2026-01-02\n\n- **New** A `<tag>` & more.\n"
    )
    block = Block(subject="versions", settings={}, number=1, page=Path("about/changes.md"))

    assert changes(tmp_path, block) == (
        '<h2 id="v1.2.3">Version 1.2.3, 2026-01-02</h2>\n'
        '<ul><li data-entry="1"><b>New</b> A <code>&lt;tag&gt;</code> &amp; more.</li></ul>'
    )


def test_entries_are_counted_from_the_oldest_and_all_of_them(tmp_path):
    """A new entry at the end of the newest version has the highest number: devices keep the count."""
    (tmp_path / "CHANGELOG.md").write_text(
        "## 1.1.0, 2026-01-02\n\n- **New** C.\n- **New** D.\n\n"
        "## 1.0.0, 2025-01-02\n\n- **New** A.\n- **New** B.\n"
    )
    block = Block(subject="versions", settings={}, number=1, page=Path("about/changes.md"))

    found = re.findall(r'data-entry="(\d+)"><b>New</b> (\w)', changes(tmp_path, block))

    assert found == [("3", "C"), ("4", "D"), ("1", "A"), ("2", "B")]
    assert entries(tmp_path) == 4


@pytest.mark.parametrize("line", ["- no kind", "- **Odd** x", "words", "- **New**"])
def test_a_line_that_is_no_entry_is_named(line: str):
    with pytest.raises(ValueError, match=r"CHANGELOG\.md:3: "):
        read(f"## 1.2.3, 2026-01-02\n\n{line}\n")
