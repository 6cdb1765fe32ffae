"""The glossary and the abbreviations, from ``content/glossary.toml``.

A trainee who goes through the reading order finds each term linked to the glossary where it is met
first (``page_ends``); ``met_in`` and ``linked`` know the terms in a page's prose.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby, pairwise
from pathlib import Path, PurePosixPath
from typing import Any
from xml.etree.ElementTree import Element

from calculators.base.quantities import MARKS, Mark
from calculators.law.source_list import find_source
from calculators.rendering.common import citation_words
from calculators.rendering.elements import element, html
from generator.addresses import address_of, folder_of
from generator.embeds import Block
from generator.front_matter import title_of
from generator.used_in import used_by

GLOSSARY_PAGE = Path("glossary.md")
_FILE = "glossary.toml"
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
# What stands in a page beside its prose: its head, fenced blocks, raw HTML up to a blank line,
# headings, heads of tables, where it was read; in a sentence links, embedded values, tags, code.
_ASIDE = re.compile(
    r"(^## (?:Sources|Where it was read)$.*\Z|\A---\n.*?\n---\n|^```.*?^```$|^<.*?(?=\n\n|\Z)|^(?:\#|!!!)[^\n]*|^\|[^\n]*\n\|[-:| ]+$"
    r"|\[[^\]\n]*\]\([^)\n]*\)|\{\{.*?\}\}|<span\b.*?</span>|<[^>\n]*>|`[^`\n]*`)",
    re.DOTALL | re.MULTILINE,
)
# Blanks at which no line breaks, so that a single letter is wide enough for a thumb.
_WIDE = "\u00a0" * 4
_LINK = re.compile(r"\[([^\]\n]*)\]\(")


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
    met: tuple[str, ...] = ()
    """The words by which it is known in a sentence; empty means its name."""


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

    @cached_property
    def _known(self) -> tuple[re.Pattern[str], Mapping[str, str]]:
        """What finds a term in a sentence, the longest first, and whose words they are."""
        whose = {word.lower(): term.id for term in self.terms for word in term.met or (term.term,)}
        # Only the first letter may change its case: titles of books hold the same words.
        listed = sorted({word for term in self.terms for word in term.met or (term.term,)})
        words = "|".join(
            f"(?i:{re.escape(word[0])}){re.escape(word[1:])}"
            for word in sorted(listed, key=len, reverse=True)
        )
        return re.compile(rf"(?<![\w-])({words})(?:s|es)?(?![\w-])"), whose

    def met_in(self, text: str) -> frozenset[str]:
        """The ids of the terms that a page's prose uses, within its links too."""
        words, whose = self._known
        found: set[str] = set()
        for number, part in enumerate(_ASIDE.split(text)):
            found |= {whose[match[1].lower()] for match in words.finditer(_words(number, part))}
        return frozenset(found)

    def linked(self, text: str, ids: Collection[str], *, page: Path) -> str:
        """The page with the first use of each of these terms linked to the glossary.

        Where the page links the term by itself at its first use, it stays as it is.
        """
        words, whose = self._known
        glossary = PurePosixPath("../" * len(page.parent.parts), GLOSSARY_PAGE)
        waiting = set(ids)

        def link(match: re.Match[str]) -> str:
            id = whose[match[1].lower()]
            if id not in waiting:
                return match[0]
            waiting.discard(id)
            return f"[{match[0]}]({glossary}#{id})"

        made: list[str] = []
        for number, part in enumerate(_ASIDE.split(text)):
            if number % 2:
                made.append(part)
                waiting -= {whose[m[1].lower()] for m in words.finditer(_words(number, part))}
            else:
                made.append(words.sub(link, part))
        return "".join(made)

    def block(self, block: Block) -> str:
        """``all``: every term under its letter. ``abbreviations``: those alone."""
        if block.subject == "abbreviations":
            return html(self._abbreviations())
        if block.subject != "all":
            raise LookupError(f'the glossary has "all" and "abbreviations", not "{block.subject}"')
        letters = dict.fromkeys(term.term[0].upper() for term in self.terms)
        parts = [html(element("p", *_letters(letters)))]
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
        used = used_by(f"{folder_of(GLOSSARY_PAGE).as_posix()}/#{term.id}", seen_from=page)
        short = f" ({', '.join(term.short)})" if term.short else ""
        link = element(
            "a",
            "",
            class_="headerlink",
            href=f"#{term.id}",
            title="Copy the link to this term",
        )
        return element(
            "div",
            element("dt", element("dfn", term.term), short, link),
            element("dd", term.gist),
            element("dd", f"{term.elsewhere} [P].", class_="elsewhere") if term.elsewhere else None,
            element("dd", *_parted(more), class_="see") if more else None,
            element("dd", "Used in: ", *used, ".", class_="see") if used else None,
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


def _words(number: int, part: str) -> str:
    """The prose in one part of a split page: every other part is an aside, of which links count."""
    if number % 2 == 0:
        return part
    link = _LINK.match(part)
    return link[1] if link else ""


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


def _letters(letters: Iterable[str]) -> Iterator[Element | str]:
    """The way to each letter, and to the abbreviations."""
    for letter in letters:
        yield element("a", f"{_WIDE}{letter}{_WIDE}", href=f"#letter-{letter.lower()}")
        yield " "
    yield element("a", "Abbreviations", href="#abbreviations")


def _parted(links: list[Element]) -> Iterator[Element | str]:
    yield "See "
    for number, link in enumerate(links):
        if number:
            yield ", "
        yield link
    yield "."
