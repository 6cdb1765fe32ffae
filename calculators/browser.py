"""What the page's worker calls: JSON text in, JSON text out.

Requests hold ``calculator``, ``entries`` (texts as typed), optional ``settings`` and ``id``.
``kind`` is ``answer`` (the default), ``restate``, which says the pressures in another unit,
``settings``, which reads a railroad's settings, ``card``, the pocket card for them, or ``circuit``,
the moments of a circuit's move.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from calculators.answering import Answer, answer, follow, restated
from calculators.base.carried import carry_over
from calculators.base.errors import UnknownNameError
from calculators.catalog import find_calculator
from calculators.railroad import pocket_card, text
from calculators.railroad import settings as railroad
from calculators.rendering.card import card_html, card_text
from calculators.rendering.common import progress_words
from calculators.rendering.html import answer_html, headline_text
from calculators.rendering.text import answer_text


def reply(request: str) -> str:
    """Answer one request of the page.

    Returns
    -------
    str
        JSON: ``html``, ``text``, ``headline``, ``errors`` by field, ``link`` and whether something
        is ``to_follow`` for an answer;
        ``entries`` for a restatement; ``failed`` with the reason for a request that names
        nothing this copy knows. See ``_settings`` and ``_card`` for the other kinds.
    """
    asked: dict[str, Any] = json.loads(request)
    kinds = {
        "restate": _restatement,
        "settings": _settings,
        "card": _card,
        "circuit": _circuit,
    }
    try:
        replied = kinds.get(str(asked.get("kind")), _answer)(asked)
    except UnknownNameError as error:
        replied = {"failed": str(error)}
    return json.dumps(replied, ensure_ascii=False)


def stream(request: str) -> Iterator[str]:
    """Work out an answer's long part.

    Yields
    ------
    str
        JSON: ``progress`` (``done``, ``of`` and ``words``) any number of times, and last the whole
        answer as ``reply`` gives it; or ``failed`` with the reason.
    """
    asked: dict[str, Any] = json.loads(request)
    try:
        first = _first(asked)
    except UnknownNameError as error:
        yield json.dumps({"failed": str(error)}, ensure_ascii=False)
        return
    rest = first.outcome.to_follow if first.outcome is not None else None
    for part in follow(first):
        if isinstance(part, Answer):
            said = _rendered(asked, part)
        else:
            assert rest is not None
            words = progress_words(rest.what, part)
            said = {"progress": {"done": part.done, "of": part.of, "words": words}}
        yield json.dumps(said, ensure_ascii=False)


def _first(asked: dict[str, Any]) -> Answer:
    """What can be said at once."""
    calculator = find_calculator(str(asked.get("calculator", "")))
    entries = _texts(asked.get("entries"))
    own = railroad.settings_for(calculator, _texts(asked.get("settings")))
    found = answer(calculator, entries, settings=own)
    return replace(found, differences=railroad.differences(found, entries, own))


def _answer(asked: dict[str, Any]) -> dict[str, Any]:
    return _rendered(asked, _first(asked))


def _rendered(asked: dict[str, Any], found: Answer) -> dict[str, Any]:
    own = railroad.settings_for(found.calculator, _texts(asked.get("settings")))
    return {
        "html": answer_html(found, id=str(asked.get("id", found.calculator.name))),
        "text": answer_text(found),
        "headline": headline_text(found),
        "errors": dict(found.errors),
        "link": found.link_query(),
        "pressure_unit": found.display.pressure,
        "texts": {item.name: item.text for item in found.inputs},
        "settings_notes": railroad.field_notes(found, own),
        "to_follow": found.outcome is not None and found.outcome.to_follow is not None,
    }


def _circuit(asked: dict[str, Any]) -> dict[str, Any]:
    """The moments of a move; see `calculators.rendering.circuit_page.circuit_reply`."""
    # Loaded when first asked for: most pages show no circuit.
    from calculators.rendering.circuit_page import circuit_reply

    found = _first(asked)
    own = railroad.settings_for(found.calculator, _texts(asked.get("settings")))
    id = str(asked.get("id", found.calculator.name))
    said = circuit_reply(found, id=id, with_form=bool(asked.get("form")))
    return said | {"settings_notes": railroad.field_notes(found, own)}


def _restatement(asked: dict[str, Any]) -> dict[str, Any]:
    calculator = find_calculator(str(asked.get("calculator", "")))
    unit = str(asked.get("unit", "psi"))
    return {"entries": restated(calculator, _texts(asked.get("entries")), unit)}


def _settings(asked: dict[str, Any]) -> dict[str, Any]:
    """Read settings: ``do`` is ``check``, ``export``, ``import`` (of ``text``) or ``restate``."""
    record = _texts(asked.get("settings"))
    problems: tuple[str, ...] = ()
    if asked.get("do") == "export":
        return {"text": text.as_text(record)}
    if asked.get("do") == "restate":
        return {"settings": railroad.restated(record, str(asked.get("unit", "psi")))}
    if asked.get("do") == "import":
        imported = text.from_text(str(asked.get("text", "")))
        record, problems = dict(imported.record), imported.problems
    carried = carry_over(record)
    checked = railroad.check(carried.entries)
    return {
        "settings": dict(carried.entries),
        "problems": list(problems),
        "carried": list(carried.said),
        "errors": dict(checked.errors),
        "remarks": dict(checked.remarks),
        "unknown": dict(checked.unknown),
    }


def _card(asked: dict[str, Any]) -> dict[str, Any]:
    """The pocket card for ``settings``: ``html``, ``text``, and ``errors`` by key."""
    record = _texts(asked.get("settings"))
    card = pocket_card.card(record)
    return {
        "html": card_html(card, own=bool(record)),
        "text": card_text(card, own=bool(record)),
        "errors": dict(card.errors),
    }


def _texts(given: object) -> dict[str, str]:
    """Only texts by name count; whatever else a stored record or link held is dropped."""
    if not isinstance(given, dict):
        return {}
    return {str(name): text for name, text in given.items() if isinstance(text, str)}
