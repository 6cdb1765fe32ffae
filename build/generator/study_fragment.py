"""The drills in the pages: today's set, sets by topic, what is kept, and three questions at a page's foot."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.rendering.elements import append, element, html
from calculators.study.catalog import MISTAKES, SKILLS, TOPICS
from calculators.study.items import DRAWN_AS
from calculators.study.sets import AT_FOOT
from generator.embeds import Block

_TABLE = Path(__file__).parents[2] / "content" / "study" / "mistakes.toml"
_WITHOUT_SCRIPTS = "With scripts off no questions can be drawn."
# Pages that name no mistakes of their own are asked about by their subject.
_BY_FOLDER = {
    "circuits": "circuits",
    "positions": "locomotive",
    "recovering": "circuits",
    "release-modes": "cars",
    "tests": "tests",
}
# Parts, and pages on handling, each by what it belongs to; what no question is about stands in none.
_BY_PAGE = {
    "locomotive": (
        "automatic-brake-valve bail-off-path control-reservoir control-valve cut-off-selector "
        "double-check-valve dynamic-interlock emergency-limiting-valve equalizing-reservoir gauges "
        "independent-brake-valve locomotive-brake-cylinder pipe-16 pipe-20 pipe-numbers relay-valve "
        "service-limiting-valve settings"
    ),
    "cars": (
        "accelerated-release auxiliary-reservoir car-brake-cylinder car-control-valve car-in-trouble "
        "emergency-reservoir empty-load-device quick-service retaining-valve"
    ),
    "air": (
        "air-flow-indicator angle-cock brake-pipe cold compressor-and-governor distributed-power "
        "main-reservoir regulating-valve safety-valve"
    ),
    "tests": "end-of-train-device rear-end-device running-brake-test",
    "force": "hand-brake slack",
    "circuits": "break-in-two-protection cut-out-cock safety-control vent-valve",
}
_PAGE = "study/"


def study(block: Block) -> str:
    """One of the parts of the study pages, or a set of a topic's questions for a lesson."""
    if block.subject in TOPICS:
        return _embed(_sitting("lesson", block.page, topics=block.subject))
    makers = {
        "today": _today,
        "topics": _topics,
        "share": _share,
        "progress": _progress,
        "keep": _keep,
    }
    if block.subject not in makers:
        raise LookupError(
            f'no part of the drills is called "{block.subject}"; known: '
            f"{', '.join([*makers, *TOPICS])}"
        )
    return _embed(makers[block.subject](block.page))


def foot(page: Path) -> str:
    """Three questions on a page's own mistakes; nothing where no skill asks after any."""
    skills = skills_of_page(page)
    if not skills:
        return ""
    return _embed(
        element(
            "details",
            element("summary", "Three questions on this page"),
            _sitting("foot", page, topics=" ".join(skills), most=str(AT_FOOT)),
            class_="study-foot",
            data_search_exclude="",
        )
    )


def skills_of_page(page: Path) -> tuple[str, ...]:
    """The skills that ask after what a page sets right, with enough of their topic, or a topic."""
    name = page.with_suffix("").as_posix()
    if page.name == "index.md" or name.endswith("/proof"):
        return ()
    named = [one for one in _table().get(name, {}).values() if one in SKILLS]
    named += [
        skill.id
        for skill in SKILLS.values()
        if f"{name}/"
        in (MISTAKES[skill.slip.mistake].page.partition("#")[0], _calculator(skill.id))
    ]
    if named:
        beside = [s.id for s in SKILLS.values() if s.form.topic == SKILLS[named[0]].form.topic]
        some = list(dict.fromkeys(named))
        more = [one for one in beside if one not in some]
        return (*some, *more[: max(0, AT_FOOT - len(some))])
    if page.parent.name in ("parts", "handling"):
        return tuple(topic for topic, pages in _BY_PAGE.items() if page.stem in pages.split())
    folder = _BY_FOLDER.get(page.parent.name)
    return (folder,) if folder else ()


@cache
def _table() -> dict[str, dict[str, str]]:
    return tomllib.loads(_TABLE.read_text(encoding="utf-8"))


def _calculator(skill: str) -> str:
    return f"calculators/{SKILLS[skill].form.calculator}/"


def _embed(node: Element) -> str:
    return f'<div class="embed">{html(node)}</div>'


def _root(page: Path) -> str:
    """The way from a page to the site's root: pages but a folder's own stand a folder further down."""
    depth = len(page.parts) - (1 if page.name == "index.md" else 0)
    return "../" * depth


def _sitting(name: str, page: Path, *, topics: str = "", most: str = "") -> Element:
    words = {"today": "Begin today's questions", "foot": "Ask me three"}.get(name, "Ask me")
    made = element(
        "study-sitting",
        element("p", _WITHOUT_SCRIPTS, class_="state", role="status"),
        element("button", words, type="button", disabled="disabled", data_do="begin"),
        data_set=name,
        data_root=_root(page),
    )
    if topics:
        made.set("data-topics", topics)
    if most:
        made.set("data-most", most)
    return made


def _today(page: Path) -> Element:
    made = _sitting("today", page)
    made.insert(0, element("p", class_="study-words"))
    return made


def _topics(page: Path) -> Element:
    """A set by topic: a link with a seed, which another person can open too."""
    here = _root(page) + _PAGE
    items = [
        element(
            "li",
            element(
                "a",
                words,
                href=f"{here}?drill={id}&seed=1&v={DRAWN_AS}",
                data_topic=id,
                class_="study-topic",
            ),
        )
        for id, words in TOPICS.items()
    ]
    return element("ul", *items, class_="study-topics")


def _share(page: Path) -> Element:
    """A set of some topic and seed, to be handed on as a link and a code."""
    choices = [element("option", "All topics", value="")]
    choices += [element("option", words, value=id) for id, words in TOPICS.items()]
    return element(
        "study-share",
        element(
            "form",
            element("label", "Topic", element("select", *choices, name="topics")),
            element(
                "label",
                "Seed",
                element("input", name="seed", value="1", maxlength="40", autocomplete="off"),
            ),
            element("button", "Share this set", type="button", data_do="share"),
            class_="tools",
        ),
        data_page=_root(page) + _PAGE,
        data_drawn=str(DRAWN_AS),
    )


def _progress(page: Path) -> Element:
    head = element(
        "tr",
        *(element("th", t, scope="col") for t in ("Topic", "Asked so far", "Due today", "Later")),
    )
    rows = []
    for id, words in TOPICS.items():
        skills = [skill.id for skill in SKILLS.values() if skill.form.topic == id]
        row = element("tr", element("th", words, scope="row"), data_skills=" ".join(skills))
        asked = element("td", element("span", "0", data_count="asked"), f" of {len(skills)}")
        append(row, asked, *(element("td", "0", data_count=name) for name in ("due", "later")))
        rows.append(row)
    table = element("table", element("thead", head), element("tbody", *rows), class_="figures")
    box = element("div", table, class_="wide", tabindex="0", role="region", aria_label="By topic")
    return element("study-progress", box)


def _keep(page: Path) -> Element:
    return element(
        "study-keep",
        element(
            "div",
            element("button", "Save as a file", type="button", disabled="disabled", data_do="save"),
            element(
                "label",
                "Read a file: ",
                element("input", type="file", accept=".json,application/json", disabled="disabled"),
            ),
            element(
                "button", "Forget all answers", type="button", disabled="disabled", data_do="forget"
            ),
            class_="tools",
        ),
        element("div", class_="study-sure"),
        element("p", _WITHOUT_SCRIPTS, class_="state", role="status"),
    )
