"""What a line of a plan shows large, view by view."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl

from calculators.answering.follow import finished
from calculators.base.errors import InputError, UnknownNameError
from calculators.browser.answers import first
from calculators.catalog import find_calculator
from calculators.rendering.screens import answer_views, circuit_views, worksheet_views
from calculators.short_links.packing import FIELD, opened
from calculators.version import VERSION
from calculators.worksheets.asking import worksheet


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``views`` of the page ``path`` with the question ``query``; ``error`` in words for another.

    Without a path only this copy's ``version`` is said.
    """
    path, query = str(asked.get("path", "")).strip("/"), str(asked.get("query", ""))
    if not path:
        return {"version": VERSION}
    room, _, name = path.partition("/")
    subject = {"calculators": name, "circuits": "circuit", "teach": name}.get(room, "")
    try:
        if subject != "worksheet":
            find_calculator(subject)
        pairs = parse_qsl(query, keep_blank_values=True)
        entries = dict(pairs)
        if len(entries) < len(pairs):
            return {"error": "The link gives a field more than once."}
        if FIELD in entries:
            entries = dict(parse_qsl(opened(subject, entries[FIELD]), keep_blank_values=True))
        if subject == "worksheet":
            sheet = worksheet(entries)
            return {"views": worksheet_views(sheet), "said": list(sheet.said)}
        if room == "circuits":
            entries = {"circuit": name, **entries}
        found = first({**asked, "calculator": subject, "entries": entries})
        views = circuit_views(found) if subject == "circuit" else answer_views(finished(found))
    except (InputError, UnknownNameError) as error:
        return {"error": str(error)}
    return {"views": views}
