"""The published texts behind the figures: each stands here once, by a short id.

A citation gives the id and the place. What is known from memory has no source here; it
carries the mark M instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.errors import UnknownNameError

HowRead = Literal["read in the text", "read as an abstract", "read in part", "second-hand"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One published text: who issued it, its title, its edition, and how it was read."""

    id: str
    issuer: str
    title: str
    edition: str
    how_read: HowRead


@dataclass(frozen=True, slots=True)
class Citation:
    """A place in a source."""

    source: str
    place: str = ""


def find_source(id: str) -> Source:
    """The source of that id, or of an id it had before; raises UnknownNameError if none has it."""
    from calculators.base.source_list import FORMER_IDS, SOURCES

    now = FORMER_IDS.get(id, id)
    if now not in SOURCES:
        raise UnknownNameError(f"no source has the id {id!r}")
    return SOURCES[now]
