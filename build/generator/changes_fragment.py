"""The list of what changed, by version, made from CHANGELOG.md."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.rendering.elements import append, element, html
from generator.embeds import Block

FILE = "CHANGELOG.md"
KINDS = ("Figures", "New", "Mended", "Wording")
_HEADING = re.compile(r"## (?P<name>\d+\.\d+\.\d+), (?P<date>\d{4}-\d{2}-\d{2})$")
_ENTRY = re.compile(r"- \*\*(?P<kind>\w+)\*\* (?P<text>\S.*)$")
_CODE = re.compile(r"`([^`]+)`")


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """One version: its name, its date, and its entries as (kind, text), oldest first."""

    name: str
    date: str
    entries: tuple[tuple[str, str], ...]


def read(text: str) -> tuple[Version, ...]:
    """The versions of the history, newest first.

    Raises
    ------
    ValueError
        If a line under a version is no entry of a known kind.
    """
    found: list[tuple[str, str, list[tuple[str, str]]]] = []
    for number, line in enumerate(text.splitlines(), 1):
        heading, entry = _HEADING.match(line), _ENTRY.match(line)
        if heading:
            found.append((heading["name"], heading["date"], []))
        elif found and entry and entry["kind"] in KINDS:
            found[-1][2].append((entry["kind"], entry["text"]))
        elif found and line.strip():
            raise ValueError(f"{FILE}:{number}: an entry reads - **{KINDS[0]}** and its text")
    return tuple(Version(name=name, date=date, entries=tuple(own)) for name, date, own in found)


def changes(root: Path, block: Block) -> str:
    """The history as headings and lists."""
    if block.subject != "versions":
        raise LookupError(f'no history is called "{block.subject}"; known: versions')
    versions = read((root / FILE).read_text(encoding="utf-8"))
    left = sum(len(version.entries) for version in versions)
    pieces = []
    for version in versions:
        left -= len(version.entries)
        pieces += [html(piece) for piece in _pieces(version, left)]
    return "\n".join(pieces)


def entries(root: Path) -> int:
    """How many entries the history holds: a copy with more is a newer one."""
    versions = read((root / FILE).read_text(encoding="utf-8"))
    return sum(len(version.entries) for version in versions)


def _pieces(version: Version, older: int) -> Iterator[Element]:
    """Its heading and its list; the entries are counted on from the ``older`` ones."""
    yield element("h2", f"Version {version.name}, {version.date}", id=f"v{version.name}")
    items = element("ul")
    for place, (kind, text) in enumerate(version.entries, older + 1):
        item = element("li", element("b", kind), " ", data_entry=str(place))
        for number, part in enumerate(_CODE.split(text)):
            append(item, element("code", part) if number % 2 else part)
        items.append(item)
    yield items
