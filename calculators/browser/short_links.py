"""A page's link made short, and a short link read."""

from __future__ import annotations

from typing import Any

from calculators.base.errors import InputError
from calculators.short_links.packing import opened, shortened

BESIDE = (
    "The address holds a short link and something else beside it, so nothing of it was taken. "
    "Take away what stands behind the short link, or scan the code again."
)


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``short`` for a ``query`` of the page ``subject``, or the ``query`` of a ``short`` one.

    ``do`` is ``make`` or ``open``; ``beside`` names what else stands in the address. What cannot be made or read gives an ``error`` in words.
    """
    subject = str(asked.get("subject", ""))
    try:
        if asked.get("beside"):
            return {"error": BESIDE}
        if asked.get("do") == "open":
            return {"query": opened(subject, str(asked.get("short", "")))}
        return {"short": shortened(subject, str(asked.get("query", "")))}
    except InputError as error:
        return {"error": error.message}
