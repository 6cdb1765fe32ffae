"""What the page's worker calls: JSON text in, JSON text out.

Requests hold ``calculator``, ``entries`` (texts as typed), optional ``settings`` and ``id``.
``kind`` is ``answer`` (the default) or ``restate``, which says the pressures in another unit.
"""

from __future__ import annotations

import json
from typing import Any

from calculators.answering import answer, restated
from calculators.base.errors import UnknownNameError
from calculators.catalog import find_calculator
from calculators.rendering.html import answer_html, headline_text
from calculators.rendering.text import answer_text


def reply(request: str) -> str:
    """Answer one request of the page.

    Returns
    -------
    str
        JSON: ``html``, ``text``, ``headline``, ``errors`` by field and ``link`` for an answer;
        ``entries`` for a restatement; ``failed`` with the reason for a request that names
        nothing this copy knows.
    """
    asked: dict[str, Any] = json.loads(request)
    try:
        calculator = find_calculator(str(asked.get("calculator", "")))
    except UnknownNameError as error:
        return json.dumps({"failed": str(error)})
    entries = _texts(asked.get("entries"))
    if asked.get("kind") == "restate":
        said = restated(calculator, entries, str(asked.get("unit", "psi")))
        return json.dumps({"entries": said}, ensure_ascii=False)
    found = answer(calculator, entries, settings=_texts(asked.get("settings")))
    return json.dumps(
        {
            "html": answer_html(found, id=str(asked.get("id", calculator.name))),
            "text": answer_text(found),
            "headline": headline_text(found),
            "errors": dict(found.errors),
            "link": found.link_query(),
            "pressure_unit": found.display.pressure,
            "texts": {item.name: item.text for item in found.inputs},
        },
        ensure_ascii=False,
    )


def _texts(given: object) -> dict[str, str]:
    """Only texts by name count; whatever else a stored record or link held is dropped."""
    if not isinstance(given, dict):
        return {}
    return {str(name): text for name, text in given.items() if isinstance(text, str)}
