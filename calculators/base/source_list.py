"""All published texts, by id; a figure known only from memory has no source here."""

from __future__ import annotations

from calculators.base.sources import Source
from calculators.base.texts import books, manuals, regulations, reports

SOURCES: dict[str, Source] = {
    source.id: source
    for group in (regulations, manuals, reports, books)
    for source in group.SOURCES
}

FORMER_IDS = {"ERIE-31": "RAILROAD-31"}
"""Ids that texts had before; whoever still says one finds the same text."""
