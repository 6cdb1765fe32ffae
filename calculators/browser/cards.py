"""The pocket card for a railroad's settings."""

from __future__ import annotations

from typing import Any

from calculators.browser.entries import texts
from calculators.cards import pocket
from calculators.rendering.answers.card import card_html, card_text


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """The pocket card for ``settings``: ``html``, ``text``, and ``errors`` by key."""
    record = texts(asked.get("settings"))
    card = pocket.card(record)
    return {
        "html": card_html(card, own=bool(record)),
        "text": card_text(card, own=bool(record)),
        "errors": dict(card.errors),
    }
