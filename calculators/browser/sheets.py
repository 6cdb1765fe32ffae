"""What leaves the page: an answer or a circuit's moment as one sheet of paper, its curves as a table."""

from __future__ import annotations

from typing import Any

from calculators.answering.follow import finished
from calculators.browser.answers import first
from calculators.rendering.answers import sheet
from calculators.rendering.answers.tables import curves_csv
from calculators.rendering.circuit import sheet as circuit_sheet


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``html`` of the sheet and the ``link`` that asks the same; or of the ``curves`` their ``csv``."""
    found = finished(first(asked))
    if asked.get("kind") == "curves":
        return {"csv": curves_csv(found)}
    of_circuit = found.calculator.name == "circuit"
    made = circuit_sheet.sheet_html(found) if of_circuit else sheet.sheet_html(found)
    return {"html": made, "link": found.link_query()}
