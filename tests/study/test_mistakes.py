"""Every mistake that the trade or a page names is asked after, or stands with the reason why not."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from calculators.study.catalog import MISTAKES, SKILLS
from calculators.study.items import item

CONTENT = Path(__file__).parents[2] / "content"
TABLE = tomllib.loads((CONTENT / "study/mistakes.toml").read_text(encoding="utf-8"))
_SECTION = re.compile(r"^## [^\n]*[Mm]istakes[^\n]*\n(.*?)(?=^## |\Z)", re.DOTALL | re.MULTILINE)
_BOLD = re.compile(r"^- \*\*(.*?)\*\*", re.MULTILINE)

# The mistakes of the trade, from the physics paper's section 9, with the skill that asks after each.
OF_THE_TRADE = {
    "multiplying the brake pipe pressure instead of the reduction": "loco-cylinder.pipe-multiplied",
    "forgetting the limiting valve": "loco-cylinder.limit-forgotten",
    "adding pipes 16 and 20": "loco-cylinder.pipes-added",
    "using the rule past equalization": "car-deep.rule-past-equalization",
    "forgetting the relay ratio": "loco-ratio.ratio-forgotten",
    "mixing gauge and absolute": "car-light.gauge-and-absolute",
    "counting from the setting though not recharged": "car-not-recharged.not-recharged",
    "believing bail-off releases the train": "loco-bail-off-cars.bail-off-releases-train",
    "forgetting a bail-off afterwards": "loco-after-bail-off.bail-off-forgotten",
    "expecting graduated release on freight": "release-rise.graduated-expected",
    "believing more reduction past full service helps": "over-reduction.more-helps",
    "treating 5 psi/min and 60 cfm as the same": "leak-to-flow.limits-are-one",
    "reading the equalizing reservoir as if it were the pipe": "loco-cut-out.reservoir-for-pipe",
    "believing the head gauge tells the rear": "rear-gradient.head-tells-rear",
    "cutting in with the equalizing reservoir above the pipe": "cut-in-above.cut-in-above-pipe",
}
# The one that no question asks after: nothing in the model knows how a cock's handle is made.
NOT_ASKED = "taking a cock's position from its handle (types differ: read the mark on the cock)"


def named_on_pages() -> dict[str, list[str]]:
    found = {}
    for page in sorted(CONTENT.rglob("*.md")):
        section = _SECTION.search(page.read_text(encoding="utf-8"))
        if section:
            name = page.relative_to(CONTENT).with_suffix("").as_posix()
            found[name] = _BOLD.findall(section[1])
    return found


@pytest.mark.parametrize("page", sorted({*named_on_pages(), *TABLE}))
def test_every_mistake_of_a_page_is_in_the_table(page: str):
    assert list(TABLE.get(page, {})) == named_on_pages().get(page, [])


def test_the_table_names_skills_or_reasons():
    for page, rows in TABLE.items():
        for name, asked in rows.items():
            reason = asked.removeprefix("none: ")
            if reason == asked:
                assert asked in SKILLS, (page, name)
            else:
                assert len(reason.split()) > 4, (page, name)


@pytest.mark.parametrize("skill", OF_THE_TRADE.values(), ids=list(OF_THE_TRADE))
def test_every_mistake_of_the_trade_can_be_reached(skill: str):
    assert item(skill, "1").mistake == skill.partition(".")[2]


def test_nearly_all_mistakes_are_asked_after():
    asked = [one for rows in TABLE.values() for one in rows.values()]
    assert sum(not one.startswith("none: ") for one in asked) >= 0.85 * len(asked)


@pytest.mark.parametrize("id", MISTAKES)
def test_every_mistake_leads_to_a_page(id: str):
    path, _, anchor = MISTAKES[id].page.partition("#")
    page = CONTENT / f"{path.rstrip('/')}.md"
    text = page.read_text(encoding="utf-8")
    if anchor:
        headings = [
            re.sub(r"[^a-z0-9]+", "-", line.removeprefix("## ").lower()).strip("-")
            for line in text.splitlines()
            if line.startswith("## ")
        ]
        assert anchor in headings
