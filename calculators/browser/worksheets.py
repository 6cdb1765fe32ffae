"""Worksheets: both papers, the table for other programs, the link that makes the same again."""

from __future__ import annotations

from typing import Any

from calculators.base.errors import InputError
from calculators.browser.entries import texts
from calculators.rendering.worksheets import worksheet_html
from calculators.worksheets.asking import worksheet
from calculators.worksheets.exchange import as_csv


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``html``, ``csv``, ``link`` and ``said`` for ``entries``; or ``errors`` by field."""
    try:
        sheet = worksheet(texts(asked.get("entries")))
    except InputError as error:
        return {"errors": {error.field: error.message}}
    return {
        "html": worksheet_html(sheet),
        "csv": as_csv(sheet),
        "link": sheet.query(),
        "said": list(sheet.said),
    }
