"""What a page cites, taken apart into paragraphs."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.citations import Place, cited_on_pages, places


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("49 CFR 232.103(n)(2)", [("232.103", "n", "2")]),
        ("49 CFR 232.407, (f), (g)", [("232.407", "f", ""), ("232.407", "g", "")]),
        ("232.205(c)(6), (7)", [("232.205", "c", "6"), ("232.205", "c", "7")]),
        (
            "232.211(a)(3) to (5)",
            [("232.211", "a", "3"), ("232.211", "a", "4"), ("232.211", "a", "5")],
        ),
        ("232.205(c)(1)(iv), (v)", [("232.205", "c", "1")]),
        ("229.140(a) and 229.33", [("229.140", "a", ""), ("229.33", "", "")]),
        ("at 1,232.5 psi and 90 FR 28172", []),
    ],
)
def test_citations_are_taken_apart(text: str, found: list[tuple[str, str, str]]):
    assert [(p.section, p.letter, p.number) for p in places(text)] == found


def test_a_part_touches_the_whole_and_the_whole_its_part():
    row = Place("232.103", "n", "2")
    assert row.touches(Place("232.103", "n", "2"))
    assert row.touches(Place("232.103", "n"))
    assert not row.touches(Place("232.103", "n", "3"))
    assert not row.touches(Place("232.103", "m"))
    assert not row.touches(Place("232.103"))
    assert not row.touches(Place("232.105", "n", "2"))
    assert Place("220.307").touches(Place("220.307", "a"))


def test_the_head_of_a_page_and_the_lists_do_not_count(tmp_path: Path):
    page = "---\ntitle: By 232.15(e)\n---\n\nBy 232.103(d).\n"
    for name in ("page.md", "rules.md", "limits.md"):
        (tmp_path / name).write_text(page, encoding="utf-8")
    assert cited_on_pages(tmp_path) == {Path("page.md"): {Place("232.103", "d")}}
