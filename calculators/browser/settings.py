"""A railroad's settings: read, checked, as a text and back, in another unit."""

from __future__ import annotations

from typing import Any

from calculators.browser.entries import texts
from calculators.kept import settings, text
from calculators.law.carried import carry_over


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """Read settings: ``do`` is ``check``, ``export``, ``import`` (of ``text``) or ``restate``."""
    record = texts(asked.get("settings"))
    problems: tuple[str, ...] = ()
    if asked.get("do") == "export":
        return {"text": text.as_text(record)}
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
