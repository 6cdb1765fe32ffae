"""All published texts, by id; a figure known only from memory has no source here."""

from __future__ import annotations

from calculators.base.errors import UnknownNameError, near
from calculators.law.records import Source
from calculators.law.texts import books, manuals, regulations, reports

SOURCES: dict[str, Source] = {
    source.id: source
    for group in (regulations, manuals, reports, books)
    for source in group.SOURCES
}

FORMER_IDS = {"ERIE-31": "RAILROAD-31"}
"""Ids that texts had before; whoever still says one finds the same text."""


def find_source(id: str) -> Source:
    """The source of that id, or of an id it had before; raises UnknownNameError if none has it."""
    now = FORMER_IDS.get(id, id)
    if now not in SOURCES:
        raise UnknownNameError(f"no source has the id {id!r}{near(id, SOURCES)}")
    return SOURCES[now]
