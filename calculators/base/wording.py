"""How words are put into a sentence: at its begin, or inside it."""

from __future__ import annotations


def at_begin(words: str) -> str:
    """Words as a sentence or a line begins with them: their first letter large."""
    return words[:1].upper() + words[1:]


def inside(words: str) -> str:
    """Words as they stand inside a sentence; what is written in capitals, such as OUT, stays."""
    first, _, _ = words.partition(" ")
    return words if len(first) > 1 and first.isupper() else words[:1].lower() + words[1:]


def spoken(id: str) -> str:
    """The id of a place, such as ``relay-exhaust``, as it is said."""
    return id.replace("-", " ")
