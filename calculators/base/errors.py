"""Errors in the words that the page and the command line show."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


class InputError(ValueError):
    """One input cannot be used; the message names it, its value and the limit."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


class UnknownNameError(LookupError):
    """A calculator, field, limit or source that does not exist was asked for."""


def near(name: str, known: Iterable[str]) -> str:
    """Which known names come near a wrong one, as the end of a sentence; empty if none does.

    >>> near("brake_cylnder", ["brake_cylinder", "pilot"])
    '; near it: brake_cylinder'
    """
    found = get_close_matches(name, list(known), n=3)
    return f"; near it: {', '.join(found)}" if found else ""
