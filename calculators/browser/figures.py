"""Figures in a page's text for a railroad's settings."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from calculators.base.errors import UnknownNameError
from calculators.browser.entries import texts
from calculators.kept.embedded import embedded_figures, with_entries

# No page asks for more; what asks for more is no page.
MOST = 150


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """Figures by the words that ask for them (``figures``), for ``settings``.

    ``above`` (``calculator``, ``entries``) is a circuit on the same page, whose locomotive and train
    go before the settings. One that cannot be had for these settings is left out: the page keeps
    the example's, marked.
    """
    record: dict[str, str] = dict(texts(asked.get("settings")))
    above = asked.get("above")
    if isinstance(above, dict):
        with suppress(UnknownNameError):
            record = with_entries(record, str(above.get("calculator")), texts(above.get("entries")))
    wanted = asked.get("figures")
    words = [str(one) for one in wanted[:MOST]] if isinstance(wanted, list) else []
    return {"figures": embedded_figures(words, record)}
