"""Every rule this reference uses, by section, with where it is used: the page and the CSV.

Two lists are joined: the limits, which hold the figures, and ``content/rules.toml``, which says in
our words what the other paragraphs ask. Where a limit is used is found in the pages' text and by
asking the calculators; where a paragraph is used stands in its row, and every page that cites it
is added.
"""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.base.cautions import NOT_CURRENT
from calculators.base.results import Display
from calculators.catalog import every_calculator
from calculators.law.limit_list import LIMITS
from calculators.law.limits.entry import ECFR_2026
from calculators.law.records import Limit
from calculators.rendering.elements import element, html
from generator.addresses import address_of
from generator.citations import Place, cited_on_pages, places
from generator.embeds import Block
from generator.front_matter import title_of

FILE = "rules.toml"
ALL_LIMITS = Path("limits.md")
HEADS = ("section", "what it asks", "figure", "edition", "how read", "used in")
_CFR = "49 CFR "
_READ = "read in the text"
_INLINE = re.compile(r"\{\{\s*limit\s+([a-z0-9-]+)")
_BLOCK = re.compile(r"^```limits\n(.*?)^```", re.MULTILINE | re.DOTALL)
# A section that is held as a whole, not one word of its definitions.
_WHOLE = re.compile(r"49 CFR \d+\.\d+")
_PARAGRAPH = re.compile(r"(?P<part>\d+)\.(?P<section>\d+)(?P<rest>.*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row: where it stands, what it asks, its figure if it has one, the pages that use it."""

    section: str
    says: str
    figure: str
    edition: str
    how_read: str
    used: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class RulesTable:
    """All rows in the order of the regulation, and the titles of the pages that use them."""

    rows: tuple[Rule, ...]
    titles: dict[Path, str]

    @classmethod
    def read(cls, content: Path) -> RulesTable:
        """Join the limits with ``content/rules.toml``.

        Raises
        ------
        ValueError
            If a row names no page or calculator, or one that does not exist.
        LookupError
            If a page has no title.
        """
        cited = cited_on_pages(content)
        rows = [
            replace(row, used=_with_citing(row, cited))
            for row in sorted((*_limits(content), *_provisions(content)), key=_place)
        ]
        pages = dict.fromkeys(page for row in rows for page in row.used)
        return cls(tuple(rows), {page: title_of(content / page) for page in pages})

    def csv(self) -> str:
        """The rows as comma-separated values; pages by their titles, parted by semicolons."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(HEADS)
        for row in self.rows:
            used = "; ".join(self.titles[page] for page in row.used)
            writer.writerow((row.section, row.says, row.figure, row.edition, row.how_read, used))
        return out.getvalue()

    def block(self, block: Block) -> str:
        """The table for the page, one section a heading."""
        if block.subject != "by-section":
            raise ValueError("the list of rules is embedded as `by-section`")
        parts: list[str] = []
        for section in dict.fromkeys(_section(row) for row in self.rows):
            rows = [row for row in self.rows if _section(row) == section]
            listed = element(
                "ul", *(self._row(row, block.page) for row in rows), class_="limits rules"
            )
            anchor = re.sub(r"[^a-z0-9]+", "-", section.lower()).strip("-")
            body = html(element("div", listed, class_="limit-list"))
            parts.append(f"## {section} {{ #{anchor} }}\n\n{body}")
        note = html(element("p", element("small", NOT_CURRENT)))
        return "\n\n".join((*parts, note))

    def _row(self, row: Rule, page: Path) -> Element:
        links: list[Element | str] = []
        for used in row.used:
            links += [
                ", " if links else "",
                element("a", self.titles[used], href=address_of(used, seen_from=page)),
            ]
        figure = element("span", row.figure, class_="figure") if row.figure else None
        return element(
            "li",
            element(
                "p",
                element("strong", row.section),
                " ",
                row.says,
                " " if row.figure else "",
                figure,
            ),
            element("p", "Used in: ", *links),
            # Nearly all were read alike; the page says so once, and a row only where it differs.
            None
            if (row.edition, row.how_read) == (ECFR_2026, _READ)
            else element("small", f"{row.edition}, {row.how_read}"),
        )


def _provisions(content: Path) -> Iterator[Rule]:
    known = {f"{name}": Path(f"calculators/{name}.md") for name in every_calculator()}
    for text in tomllib.loads((content / FILE).read_text(encoding="utf-8"))["text"]:
        for section, says, used in text["rules"]:
            pages = tuple(known.get(name, Path(name)) for name in used)
            missing = [page for page in pages if not (content / page).is_file()]
            if missing or not pages:
                raise ValueError(f"content/{FILE}: {section} is used in {missing or 'nothing'}")
            yield Rule(
                section=_CFR + section,
                says=says,
                figure="",
                edition=text["edition"],
                how_read=text["how_read"],
                used=pages,
            )


def _limits(content: Path) -> Iterator[Rule]:
    on_pages = _embedded(content)
    for limit in LIMITS.values():
        pages = on_pages.get(limit.id, [])
        pages += [
            Path(f"calculators/{name}.md")
            for name, calculator in every_calculator().items()
            if limit.id in calculator.judges
        ]
        for section in _sections(limit):
            yield Rule(
                section=section,
                says=f"{limit.title}: {limit.condition}.",
                figure=limit.words().text(Display()),
                edition=limit.edition,
                how_read=limit.how_read,
                used=tuple(dict.fromkeys((*pages, ALL_LIMITS))),
            )


def _with_citing(row: Rule, cited: Mapping[Path, frozenset[Place]]) -> tuple[Path, ...]:
    """The pages that a row names, then those that cite its paragraph; the list of limits comes last."""
    whole = _WHOLE.fullmatch(row.section)
    here = [place for place in places(row.section) if place.letter or whole]
    citing = [
        page
        for page, there in cited.items()
        if any(place.touches(other) for place in here for other in there)
    ]
    return tuple(sorted(dict.fromkeys((*row.used, *citing)), key=lambda page: page == ALL_LIMITS))


def _sections(limit: Limit) -> Iterator[str]:
    """Each section that a limit names: it is listed under all of them."""
    if not limit.section.startswith(_CFR):
        yield limit.section
        return
    for place in limit.section.removeprefix(_CFR).split("; "):
        yield _CFR + place


def _embedded(content: Path) -> dict[str, list[Path]]:
    """The pages whose text embeds a limit, by its id."""
    found: dict[str, list[Path]] = {}
    for page in sorted(content.rglob("*.md")):
        text = page.read_text(encoding="utf-8")
        ids = set(_INLINE.findall(text))
        for block in _BLOCK.findall(text):
            ids |= set(block.split()) & set(LIMITS)
        for id in ids:
            found.setdefault(id, []).append(page.relative_to(content))
    return found


def _section(row: Rule) -> str:
    """The section that a row stands under: "49 CFR 232.205", or what is no section of 49 CFR."""
    match = _PARAGRAPH.match(row.section.removeprefix(_CFR))
    if not row.section.startswith(_CFR) or match is None:
        return "Other texts"
    return f"{_CFR}{match['part']}.{match['section']}"


def _place(row: Rule) -> tuple[int, int, str, str]:
    """Part, section, paragraph: rows of other texts come last."""
    match = _PARAGRAPH.match(row.section.removeprefix(_CFR))
    if not row.section.startswith(_CFR) or match is None:
        return (10**6, 0, row.section, row.says)
    return (int(match["part"]), int(match["section"]), match["rest"], row.says)
