"""Figures in a page's text for a railroad's settings."""

from __future__ import annotations

from typing import Any

from calculators.base.errors import UnknownNameError
from calculators.browser.entries import texts
from calculators.kept.embedded import embedded

# No page asks for more; what asks for more is no page.
MOST = 60


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """Figures by the words that ask for them (``figures``), for ``settings``.

    One that cannot be had for these settings is left out: the page keeps the example's, marked.
    """
    record = texts(asked.get("settings"))
    found: dict[str, str] = {}
    wanted = asked.get("figures")
    for words in wanted[:MOST] if isinstance(wanted, list) else []:
        try:
            found[str(words)] = embedded(str(words), record)
        except (UnknownNameError, ValueError):
            continue
    return {"figures": found}
