"""Colors of error messages: none, for nobody in the page reads them in a terminal.

The module it replaces makes a score of data classes at every start.
"""

from typing import Any


class _Plain:
    """A theme, and any part of one: every color is no text at all."""

    def __getattr__(self, name: str) -> Any:
        return ""


class _Theme:
    traceback = _Plain()


def can_colorize(*, file: object = None) -> bool:
    """Say that no file takes colors."""
    return False


def get_theme(**options: object) -> _Theme:
    """Give the theme without colors, whatever is asked for."""
    return _Theme()
