"""A railroad's settings: read, checked, as a text and back, in another unit."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from calculators.browser.entries import texts
from calculators.kept import handed_on, settings, text
from calculators.law.carried import carry_over


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """Read settings: ``do`` is ``check``, ``export``, ``import`` (of ``text``) or ``restate``.

    ``hand on`` gives the ``query`` of a link with them, ``offer`` lays those of a ``link`` beside them.
    """
    record = texts(asked.get("settings"))
    problems: tuple[str, ...] = ()
    if asked.get("do") == "export":
        return {"text": text.as_text(record)}
    if asked.get("do") == "hand on":
        return {"query": handed_on.handed_on(record)}
    if asked.get("do") == "offer":
        found = handed_on.offered(record, texts(asked.get("link")))
        rows = [asdict(row) for row in found.rows]
        return {
            "rows": rows,
            "same": found.same,
            "entries": dict(found.entries),
            "said": list(found.said),
        }
    if asked.get("do") == "restate":
        return {"settings": settings.restated(record, str(asked.get("unit", "psi")))}
    if asked.get("do") == "import":
        imported = text.from_text(str(asked.get("text", "")))
        record, problems = dict(imported.record), imported.problems
    carried = carry_over(record)
    checked = settings.check(carried.entries)
    return {
        "settings": dict(carried.entries),
        "problems": list(problems),
        "carried": list(carried.said),
        "errors": dict(checked.errors),
        "remarks": dict(checked.remarks),
        "unknown": dict(checked.unknown),
    }
