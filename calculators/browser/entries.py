"""Texts by name, out of whatever a page, a link or a stored record sent."""

from __future__ import annotations


def texts(given: object) -> dict[str, str]:
    """Only texts by name count; whatever else a stored record or link held is dropped."""
    if not isinstance(given, dict):
        return {}
    return {str(name): text for name, text in given.items() if isinstance(text, str)}
