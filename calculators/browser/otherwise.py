"""What a gauge shows beside an answer."""

from __future__ import annotations

from typing import Any

from calculators.answering.otherwise import otherwise
from calculators.base.errors import InputError
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.browser.entries import texts
from calculators.catalog import find_calculator
from calculators.kept import settings
from calculators.rendering.answers.otherwise import otherwise_html

# From a calculator's page to the site's root; pages of our own stand two folders down.
_ABOVE = "calculators/"


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``html`` with what the reading ``text`` of a ``result`` comes to, or an ``error`` in words."""
    calculator = find_calculator(str(asked.get("calculator", "")))
    unit = str(asked.get("unit", ""))
    display = Display(pressure=unit) if unit in PRESSURE_UNITS else Display()
    page = str(asked.get("page", ""))
    try:
        found = otherwise(
            calculator,
            texts(asked.get("entries")),
            result=str(asked.get("result", "")),
            text=str(asked.get("text", "")),
            settings=settings.settings_for(calculator, texts(asked.get("settings"))),
            display=display,
        )
    except InputError as error:
        return {"error": error.message}
    return {"html": otherwise_html(found, display, root=page.partition(_ABOVE)[0])}
