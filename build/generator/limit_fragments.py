"""Limits in the pages: the whole list by subject, or a few where a test needs them."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.answering.pages import page_of_limit
from calculators.base.cautions import NOT_CURRENT
from calculators.base.results import Display
from calculators.base.wording import at_begin
from calculators.law.carried import carried_to
from calculators.law.limit_list import LIMITS, find_limit
from calculators.law.records import Limit
from calculators.rendering.elements import element, html
from generator.addresses import address_of
from generator.embeds import Block
from generator.front_matter import title_of
from generator.used_in import used_by

LIMITS_PAGE = Path("limits.md")
_GROUPS = "limits.toml"
_TEXTS_DIFFER = (
    "Two texts differ here: a reading between their figures gets no verdict. Ask your railroad."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitGroup:
    """One subject of the list: its title and anchor, the page that uses it, ids in order."""

    title: str
    anchor: str
    page: Path
    page_title: str
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LimitLists:
    """Makes the lists of limits; holds the subjects, read once."""

    groups: tuple[LimitGroup, ...]

    @classmethod
    def read(cls, content: Path) -> LimitLists:
        """Read the subjects from ``content/limits.toml``.

        Raises
        ------
        ValueError
            If a limit stands in no subject or in two, or a subject names one that does not exist.
        LookupError
            If the page of a subject does not exist.
        """
        text = (content / _GROUPS).read_text(encoding="utf-8")
        groups = tuple(
            LimitGroup(
                title=group["title"],
                anchor=group["anchor"],
                page=Path(group["page"]),
                page_title=title_of(content / group["page"]),
                ids=tuple(group["limits"]),
            )
            for group in tomllib.loads(text)["group"]
        )
        named = [id for group in groups for id in group.ids]
        problems = [f"{id} is no limit" for id in named if id not in LIMITS]
        problems += [f"{id} stands in no subject" for id in LIMITS if id not in named]
        problems += [f"{id} stands twice" for id in dict.fromkeys(named) if named.count(id) > 1]
        if problems:
            raise ValueError(f"content/{_GROUPS}: {'; '.join(problems)}")
        return cls(groups)

    def block(self, block: Block) -> str:
        """``all``: the subjects, then every limit under its own. Else the ids, parted by spaces."""
        if block.subject == "all":
            return "\n\n".join(
                [self._subjects(), *(self._group(group, block.page) for group in self.groups)]
            )
        limits = [find_limit(id) for id in block.subject.split()]
        rows = [_limit(limit, page=block.page, anchored=False) for limit in limits]
        note = element("p", element("small", NOT_CURRENT))
        return html(
            element("div", element("ul", *rows, class_="limits"), note, class_="limit-list")
        )

    def _subjects(self) -> str:
        """The way to each subject: the list is many screens long on a phone."""
        links = (
            element("li", element("a", group.title, href=f"#{group.anchor}"))
            for group in self.groups
        )
        return html(element("ul", *links))

    def _group(self, group: LimitGroup, page: Path) -> str:
        rows = [_limit(LIMITS[id], page=page, anchored=True) for id in group.ids]
        used = element(
            "p",
            "How it is used: ",
            element("a", group.page_title, href=address_of(group.page, seen_from=page)),
        )
        made = html(
            element("div", used, element("ul", *rows, class_="limits"), class_="limit-list")
        )
        # The heading stays Markdown, so that it has a place in the page's table of contents.
        return f"## {group.title} {{ #{group.anchor} }}\n\n{made}"


def _limit(limit: Limit, *, page: Path, anchored: bool) -> Element:
    """One limit: what, how much, when, and where that is written.

    On the list itself it carries the anchor that links name; elsewhere it links to that anchor.
    """
    where = f"{limit.section}, {limit.edition}"
    title: Element
    # Links to the names that a limit had in earlier versions still lead to it.
    old = [row.old for row in carried_to(limit.id) if row.new[0] == limit.id] if anchored else []
    if anchored:
        title = element("strong", limit.title)
        link = element(
            "a",
            "",
            class_="headerlink",
            href=f"#{limit.id}",
            title="Copy the link to this limit",
        )
    else:
        there = f"{address_of(LIMITS_PAGE, seen_from=page)}#{limit.id}"
        title, link = element("a", limit.title, href=there), None
    used = used_by(page_of_limit(limit.id), seen_from=page) if anchored else None
    return element(
        "li",
        *(element("span", id=id) for id in old),
        element(
            "p",
            title,
            ": ",
            element("span", limit.words().text(Display()), class_="figure"),
            link,
        ),
        element("p", _sentence(limit.condition)),
        element("p", _TEXTS_DIFFER) if limit.other_text else None,
        element("small", where, ", ", _how_read(limit)),
        element("small", "Used in: ", *used, ".") if used else None,
        **({"id": limit.id} if anchored else {}),
    )


def _how_read(limit: Limit) -> Element:
    """How the figure was read; memory stands out."""
    tag = "span" if limit.how_read == "read in the text" else "strong"
    return element(tag, limit.how_read)


def _sentence(words: str) -> str:
    """A condition as a sentence of its own."""
    return f"{at_begin(words)}."
