"""The moments of a circuit's move."""

from __future__ import annotations

from typing import Any

from calculators.browser.answers import first, settings_notes
from calculators.rendering.circuit.page import circuit_reply


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """The moments of a move; see `calculators.rendering.circuit.page.circuit_reply`."""
    found = first(asked)
    id = str(asked.get("id", found.calculator.name))
    said = circuit_reply(found, id=id, with_form=bool(asked.get("form")))
    return said | {"settings_notes": settings_notes(asked, found)}
