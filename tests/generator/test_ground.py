"""The sentence on phones: on every page meant for the ground, once, and on no other."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.ground import SENTENCE, for_the_ground, with_sentence

CONTENT = Path(__file__).parents[2] / "content"
PAGES = sorted(path.relative_to(CONTENT) for path in CONTENT.rglob("*.md"))


@pytest.mark.parametrize("page", PAGES, ids=str)
def test_a_page_for_the_ground_says_it_once(page: Path):
    text = (CONTENT / page).read_text(encoding="utf-8")
    made = with_sentence(text, written=text, page=page)
    assert made.count(SENTENCE) == int(for_the_ground(page, text))
    assert text.strip() in made or page.parts[0] != "calculators"


@pytest.mark.parametrize(
    ("page", "is_one"),
    [
        ("tests/securement.md", True),
        ("recovering/break-in-two.md", True),
        ("parts/angle-cock.md", True),
        ("test-record.md", True),
        ("calculators/brake-test.md", True),
        ("calculators/units.md", False),
        ("glossary.md", False),
        ("index.md", False),
    ],
)
def test_which_pages_are_meant(page: str, is_one: bool):
    text = (CONTENT / page).read_text(encoding="utf-8")
    assert for_the_ground(Path(page), text) == is_one


def test_the_link_leads_to_the_page():
    made = with_sentence("# A\n\nWords.\n", written="", page=Path("tests/class-1.md"))
    assert 'href="../../about/on-duty/"' in made
    assert made.index(SENTENCE) < made.index("Words.")


@pytest.mark.parametrize("page", ["index.md", "about/cautions.md", "tests/index.md"])
def test_home_and_the_cautions_lead_to_it(page: str):
    assert "on-duty.md" in (CONTENT / page).read_text(encoding="utf-8")
