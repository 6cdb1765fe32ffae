"""All figures that no regulation gives, by id."""

from __future__ import annotations

from calculators.base.errors import UnknownNameError
from calculators.figures.nominal import NOMINAL
from calculators.figures.records import Figure
from calculators.figures.thresholds import THRESHOLDS

FIGURES: dict[str, Figure] = {figure.id: figure for figure in (*THRESHOLDS, *NOMINAL)}


def find_figure(id: str) -> Figure:
    """The figure of that id; raises UnknownNameError if there is none."""
    if id not in FIGURES:
        raise UnknownNameError(f"no figure has the id {id!r}")
    return FIGURES[id]
