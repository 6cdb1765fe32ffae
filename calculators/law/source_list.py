"""All published texts, by id; a figure known only from memory has no source here."""

from __future__ import annotations

from calculators.base.errors import UnknownNameError
from calculators.law.records import Source
from calculators.law.texts import books, manuals, regulations, reports

SOURCES: dict[str, Source] = {
    source.id: source
    for group in (regulations, manuals, reports, books)
    for source in group.SOURCES
}


def find_source(id: str) -> Source:
    """The source of that id; raises UnknownNameError if there is none."""
    if id not in SOURCES:
        raise UnknownNameError(f"no source has the id {id!r}")
    return SOURCES[id]
