"""Whoever is led to the equipment is told first what protects people there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calculators.law.limit_list import find_limit
from calculators.law.source_list import SOURCES as TEXTS
from generator.embeds import Block
from generator.glossary import Glossary
from generator.page_ends import PageEnds
from generator.protection import ANCHOR, FENCE, SOURCES, TITLE, protection
from generator.reading_order import ReadingOrder

CONTENT = Path(__file__).parents[2] / "content"
OWN = ("handling", "recovering", "parts", "positions", "release-modes", "circuits")
PAGES = [page for folder in OWN for page in sorted((CONTENT / folder).glob("*.md"))]

# Words with which a page sends somebody to pistons, branch cocks, reservoirs, hoses or cocks.
LEADS = re.compile(
    r"[Cc]ut(?:ting)? (?:it|the car) out\b|\b[Bb]leed(?:ing)? it\b|[Dd]rain(?:ed)? (?:both|its|by)"
    r"|release rod|branch cut-out cock|[Ww]alk the train|[Ww]atchers|glad hand"
    r"|[Oo]pening one on a charged pipe"
)
# Pages that only describe, and lead to a page that has the box.
DESCRIBES = {
    "parts/tell-tale-holes.md",  # Its own warning keeps people away altogether.
    "parts/vent-valve.md",
    "parts/brake-pipe.md",
    "circuits/hauled-dead.md",
}


def made(page: str = "handling/hoses.md", subject: str = "equipment") -> str:
    return protection(Block(subject=subject, settings={}, number=1, page=Path(page)))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: f"{page.parent.name}/{page.stem}")
def test_a_page_that_leads_to_the_equipment_has_the_box_before_its_steps(page: Path):
    text = page.read_text(encoding="utf-8")
    name = page.relative_to(CONTENT).as_posix()
    if not LEADS.search(text) or name in DESCRIBES:
        return
    assert FENCE in text, LEADS.findall(text)
    assert text.index(FENCE) < text.index("\n## "), "before the first section"


@pytest.mark.parametrize(
    "page",
    [
        "handling/car-in-trouble.md",
        "handling/finding-a-car.md",
        "handling/hoses.md",
        "handling/end-of-train-device.md",
        "handling/distributed-power.md",
        "parts/angle-cock.md",
        "parts/cut-out-cock.md",
        "parts/car-control-valve.md",
        "recovering/emergency.md",
        "recovering/break-in-two.md",
    ],
)
def test_these_pages_have_it(page: str):
    assert FENCE in (CONTENT / page).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "words",
    [
        "hand brakes, tried with the air brakes released",
        "49 CFR 232.103(n)(1), (n)(2)",
        "49 CFR part 218, subpart B",
        "Only parts of that text were read",
        "No hand in the rigging while air can move it",
        "49 CFR 232.205(f)",
        "Both angle cocks closed",
        "the hand brake goes on first",
        "not the last car",
        "Each one tagged",
        "232.15",
    ],
)
def test_the_box_says_each_part_of_it(words: str):
    assert words in made()


def test_its_figures_are_those_of_the_limits():
    assert find_limit("operative-brakes-moving").figure == 85
    assert "at least 85%" in made()
    assert "at most 2 together" in made()


def test_its_sources_stand_at_the_foot_of_a_page_that_embeds_it():
    assert set(SOURCES) <= set(TEXTS)
    written = f"---\ntitle: A page\nsources: [CFR-232-15]\n---\n\n{FENCE}equipment\n```\n"
    ends = PageEnds(glossary=Glossary.read(CONTENT), order=ReadingOrder(()))
    foot = ends.add(f"{made()}\n", written=written, page=Path("a.md"))
    for id in SOURCES:
        assert TEXTS[id].title in foot
    assert foot.count(TEXTS["CFR-232-15"].title) == 1


def test_it_can_be_linked_and_names_no_other_subject():
    assert f'id="{ANCHOR}"' in made()
    assert TITLE in made()
    assert 'href="../../tests/securement/"' in made()
    with pytest.raises(LookupError, match='not "hoses"'):
        made(subject="hoses")
