"""Pressures as typed, said in another unit."""

from __future__ import annotations

from typing import Any

from calculators.answering.links import restated
from calculators.browser.entries import texts
from calculators.catalog import find_calculator


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``entries`` in the ``unit`` asked for."""
    calculator = find_calculator(str(asked.get("calculator", "")))
    unit = str(asked.get("unit", "psi"))
    return {"entries": restated(calculator, texts(asked.get("entries")), unit)}
