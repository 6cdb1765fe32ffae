"""Errors in the words that the page and the command line show."""

from __future__ import annotations


class InputError(ValueError):
    """One input cannot be used; the message names it, its value and the limit."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


class UnknownNameError(LookupError):
    """A calculator, field, limit or source that does not exist was asked for."""
