"""The glossary and the abbreviations, from ``content/glossary.toml``."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

from calculators.base.quantities import MARKS, Mark
from calculators.base.sources import find_source
from calculators.rendering.common import citation_words
from calculators.rendering.elements import element, html
from generator.addresses import address_of
from generator.embeds import Block
from generator.front_matter import title_of

_FILE = "glossary.toml"
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One term: what it means here, where that comes from, what others call it."""

    term: str
    id: str
    gist: str
    source: str = ""
    place: str = ""
    mark: Mark = ""
    short: tuple[str, ...] = ()
    elsewhere: str = ""
    page: str = ""
    page_title: str = ""
    see: tuple[str, ...] = ()


@dataclass(frozen=True)
class Glossary:
    """All terms in order, and what every abbreviation stands for."""

    terms: tuple[Term, ...]
    abbreviations: Mapping[str, str]

    @classmethod
    def read(cls, content: Path) -> Glossary:
        """Read ``content/glossary.toml``.

        Raises
        ------
        ValueError
            If terms are out of order, an id is taken or malformed, a definition has neither a
            source nor a mark, or something named does not exist.
        LookupError
            If a source or a page that a term names does not exist.
        """
        data = tomllib.loads((content / _FILE).read_text(encoding="utf-8"))
        terms = tuple(_term(table, content) for table in data["term"])
        problems = list(_problems(terms))
        short = {name: term.term for term in terms for name in term.short}
        for table in data["abbreviation"]:
            if table["short"] in short:
                problems.append(f"{table['short']} stands for two things")
            short[table["short"]] = table["words"]
        if problems:
            raise ValueError(f"content/{_FILE}: {'; '.join(problems)}")
        return cls(terms, dict(sorted(short.items())))

    @cached_property
    def by_id(self) -> Mapping[str, Term]:
        """The terms by their anchor."""
        return {term.id: term for term in self.terms}

    def block(self, block: Block) -> str:
        """``all``: every term under its letter. ``abbreviations``: those alone."""
        if block.subject == "abbreviations":
            return html(self._abbreviations())
        if block.subject != "all":
            raise LookupError(f'the glossary has "all" and "abbreviations", not "{block.subject}"')
        parts: list[str] = []
        for letter, terms in groupby(self.terms, key=lambda term: term.term[0].upper()):
            entries = element(
                "dl", *(self._entry(term, block.page) for term in terms), class_="terms"
            )
            # The heading stays Markdown, so that it has a place in the table of contents.
            parts.append(f"## {letter} {{ #letter-{letter.lower()} }}\n\n{html(entries)}")
        return "\n\n".join(parts)

    def _entry(self, term: Term, page: Path) -> Element:
        more = [element("a", self.by_id[other].term, href=f"#{other}") for other in term.see]
        if term.page:
            address = address_of(Path(term.page), seen_from=page)
            more.insert(0, element("a", term.page_title, href=address))
        short = f" ({', '.join(term.short)})" if term.short else ""
        link = element(
            "a",
            "¶",
            class_="headerlink",
            href=f"#{term.id}",
            title="Copy the link to this term",
        )
        return element(
            "div",
            element("dt", element("dfn", term.term), short, link),
            element("dd", term.gist),
            element("dd", f"{term.elsewhere}.", class_="elsewhere") if term.elsewhere else None,
            element("dd", *_parted(more), class_="see") if more else None,
            element("dd", _where(term), class_="where"),
            id=term.id,
        )

    def _abbreviations(self) -> Element:
        rows = (
            element("tr", element("th", short, scope="row"), element("td", words))
            for short, words in self.abbreviations.items()
        )
        head = element(
            "tr", *(element("th", t, scope="col") for t in ("Abbreviation", "Stands for"))
        )
        table = element("table", element("thead", head), element("tbody", *rows))
        return element(
            "div", table, class_="wide", tabindex="0", role="group", aria_label="Abbreviations"
        )


def _term(table: dict[str, Any], content: Path) -> Term:
    settings: dict[str, Any] = {
        name: tuple(v) if isinstance(v, list) else v for name, v in table.items()
    }
    if page := settings.get("page"):
        settings["page_title"] = title_of(content / page)
    if source := settings.get("source"):
        find_source(source)
    return Term(**settings)


def _problems(terms: tuple[Term, ...]) -> Iterator[str]:
    ids = [term.id for term in terms]
    names = [term.term.lower() for term in terms]
    for before, after in pairwise(names):
        if _sorted_by(after) <= _sorted_by(before):
            yield f'"{after}" stands behind "{before}"'
    for term in terms:
        if not _ID.fullmatch(term.id) or ids.count(term.id) > 1:
            yield f"{term.id!r} cannot be an anchor, or is one twice"
        if (not term.source) == (not term.mark) or term.mark not in ("", "P", "M"):
            yield f"{term.term} needs either a source or the mark P or M"
        yield from (f"{term.term} points to {other}" for other in term.see if other not in ids)


def _sorted_by(name: str) -> str:
    """Where a term stands in the order: letter by letter, without blanks and hyphens."""
    return re.sub(r"[^a-z0-9]+", "", name)


def _where(term: Term) -> str:
    if term.source:
        return citation_words(term.source, term.place)
    return f"[{term.mark}] {MARKS[term.mark]}" if term.mark else ""


def _parted(links: list[Element]) -> Iterator[Element | str]:
    yield "See "
    for number, link in enumerate(links):
        if number:
            yield ", "
        yield link
    yield "."
