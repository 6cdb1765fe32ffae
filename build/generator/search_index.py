"""What the search knows: one entry a page, a limit, a word of the glossary.

Each entry has its kind (answer, limit, part, word), by which results are grouped, a title, a
sentence that is shown, other names by which people ask for it, and for a page the words of its
sections. The ranking is ``build/browser/search-ranking.js``; it knows nothing of the trade. Names
that stand on no page (what people say, other countries' and older books' words) come from the
glossary and from ``content/search.toml``.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calculators.base.results import Display
from calculators.base.wording import at_begin
from calculators.law.limit_list import LIMITS
from calculators.law.records import Limit
from generator.addresses import folder_of
from generator.glossary import GLOSSARY_PAGE, Glossary, Term
from generator.limit_fragments import LIMITS_PAGE
from generator.page_text import PageText, page_text
from generator.policy import pages
from generator.search_pieces import INDEX

_FILE = "search.toml"
_PARTS = "parts/"
_LISTS = ("limits/", "glossary/")
_WORD = re.compile(r"[^\W_]+(?:\.\d+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Words that people type, and where the page, term or limit stands that they mean."""

    words: tuple[str, ...]
    location: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchWords:
    """What ``content/search.toml`` holds."""

    common: frozenset[str]
    """Words that no question turns on."""
    same: tuple[tuple[str, ...], ...]
    """Words written in several ways, the chosen one first."""
    said: tuple[Said, ...]


def search_words(content: Path, glossary: Glossary) -> SearchWords:
    """Read ``content/search.toml``.

    Raises
    ------
    LookupError
        If a page, term or limit that it names does not exist.
    """
    data = tomllib.loads((content / _FILE).read_text(encoding="utf-8"))
    said = tuple(
        Said(words=tuple(table["words"]), location=_place(table, content, glossary))
        for table in data["said"]
    )
    same = tuple(tuple(words.split()) for words in data["same"])
    return SearchWords(common=frozenset(data["common"].split()), same=same, said=said)


def _place(table: Mapping[str, Any], content: Path, glossary: Glossary) -> str:
    if page := table.get("page"):
        if not (content / page).is_file():
            raise LookupError(f"content/{_FILE}: there is no page {page}")
        return _address(Path(page))
    if term := table.get("term"):
        if term not in glossary.by_id:
            raise LookupError(f"content/{_FILE}: the glossary has no {term}")
        return f"{_address(GLOSSARY_PAGE)}#{term}"
    limit = table.get("limit")
    if limit not in LIMITS:
        raise LookupError(f"content/{_FILE}: there is no limit {limit}")
    return f"{_address(LIMITS_PAGE)}#{limit}"


def write_search_index(site: Path, *, glossary: Glossary, words: SearchWords) -> None:
    """Write the index of a rendered site.

    Raises
    ------
    LookupError
        If somebody's words mean a place that the site does not have.
    """
    rendered = {
        file.parent.relative_to(site).as_posix().removeprefix(".") + "/": file
        for file in pages(site)
        if file.name == "index.html"
    }
    docs: list[dict[str, Any]] = []
    for location, file in sorted(rendered.items()):
        text = page_text(file.read_text(encoding="utf-8"))
        docs.append(_page(location.lstrip("/"), text, glossary, words.common))
        if location.lstrip("/") == _address(LIMITS_PAGE):
            docs += [_limit(limit) for limit in LIMITS.values()]
        if location.lstrip("/") == _address(GLOSSARY_PAGE):
            docs += [_word(term) for term in glossary.terms]
            docs += list(_abbreviations(glossary))
    _add_said(docs, words.said)
    (site / INDEX).parent.mkdir(exist_ok=True)
    index = {"common": sorted(words.common), "same": words.same, "docs": docs}
    written = json.dumps(index, ensure_ascii=False, separators=(",", ":"))
    (site / INDEX).write_text(written, encoding="utf-8", newline="\n")


def _page(
    location: str, text: PageText, glossary: Glossary, common: frozenset[str]
) -> dict[str, Any]:
    names = [
        name
        for term in glossary.terms
        if term.page and _address(Path(term.page)) == location
        for name in (term.term, *_names(term))
    ]
    known = common | _said(f"{text.title} {text.says}")
    sections = []
    for section in text.sections:
        if section.heading or section.text:
            # Of a list whose entries stand in the index themselves the headings are enough.
            text_known = known | _said(section.heading)
            words = [] if location in _LISTS else _words(section.text, text_known)
            sections.append([section.anchor, section.heading, " ".join(words)])
            # Each word counts where the page has it first.
            known |= {*words}
    kind = "part" if location.startswith(_PARTS) else "answer"
    made = {"location": location, "kind": kind, "title": text.title, "says": text.says}
    return made | _also(names) | {"sections": sections}


def _limit(limit: Limit) -> dict[str, Any]:
    figure = limit.words().text(Display())
    condition = at_begin(limit.condition)
    return {
        "location": f"{_address(LIMITS_PAGE)}#{limit.id}",
        "kind": "limit",
        "title": limit.title,
        "says": f"{figure}. {condition}. {limit.section}",
    }


def _word(term: Term) -> dict[str, Any]:
    made = {
        "location": f"{_address(GLOSSARY_PAGE)}#{term.id}",
        "kind": "word",
        "title": term.term,
        "says": term.gist,
    }
    return made | _also(_names(term))


def _abbreviations(glossary: Glossary) -> Iterator[dict[str, Any]]:
    """What stands for no term of its own: its place is the table at the glossary's end."""
    of_terms = {name for term in glossary.terms for name in term.short}
    for short, words in glossary.abbreviations.items():
        if short not in of_terms:
            yield {
                "location": f"{_address(GLOSSARY_PAGE)}#abbreviations",
                "kind": "word",
                "title": short,
                "says": words,
            }


def _names(term: Term) -> Iterator[str]:
    """By what else a term is called: in short, in a sentence, elsewhere."""
    yield from term.short
    yield from (name for name in term.met if name != term.term)
    yield from elsewhere_names(term.elsewhere)


def elsewhere_names(words: str) -> Iterator[str]:
    """The names in a term's ``elsewhere``, without whose they are.

    >>> list(elsewhere_names("British, UIC: wagon (freight), coach (passenger). Older: car"))
    ['wagon', 'coach', 'car']
    >>> list(elsewhere_names("UIC works with another figure"))
    ['UIC works with another figure']
    """
    for sentence in re.split(r"\.\s+(?=[A-Z])|;\s+", words):
        names = sentence.partition(": ")[2] or sentence
        for name in re.sub(r"\s*\([^)]*\)", "", names).split(", "):
            if name.strip():
                yield name.strip()


def _add_said(docs: Iterable[dict[str, Any]], said: Sequence[Said]) -> None:
    by_location = {doc["location"]: doc for doc in docs}
    for one in said:
        if one.location not in by_location:
            raise LookupError(f"content/{_FILE}: the site has no {one.location}")
        doc = by_location[one.location]
        doc |= _also([*doc.get("also", []), *one.words])


def _also(names: Iterable[str]) -> dict[str, list[str]]:
    found = list(dict.fromkeys(names))
    return {"also": found} if found else {}


def _words(text: str, known: Collection[str]) -> list[str]:
    """The words of a text, each once, without those that are known already."""
    found = dict.fromkeys(_WORD.findall(text.lower()))
    return [word for word in found if word not in known and _tells(word)]


def _said(text: str) -> frozenset[str]:
    return frozenset(_WORD.findall(text.lower()))


def _tells(word: str) -> bool:
    # A bare figure is on every page; a section's number is what people look for.
    return len(word) > 1 and not word.isdecimal()


def _address(page: Path) -> str:
    folder = folder_of(page).as_posix()
    return "" if folder == "." else f"{folder}/"
