"""The figures of an answer's curves, as a table."""

from __future__ import annotations

from typing import Any

from calculators.answering.follow import finished
from calculators.browser.answers import first
from calculators.rendering.answers.tables import curves_csv


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """``csv`` with every point of every curve."""
    return {"csv": curves_csv(finished(first(asked)))}
