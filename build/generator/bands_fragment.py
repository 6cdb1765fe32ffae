"""The table of the train model's bands: how far each kind of its answers can be trusted."""

from __future__ import annotations

from calculators.base.results import rounded
from calculators.equipment.train import BANDS
from calculators.rendering.elements import element, html

NAME = "The train model's bands"


def bands_table() -> str:
    """Every kind of answer, its band, and what the band rests on."""
    head = element(
        "tr", *(element("th", t, scope="col") for t in ("Answer", "Band", "What it rests on"))
    )
    rows = (
        element(
            "tr",
            element("th", kind, scope="row"),
            element("td", f"± {rounded(100.0 * band.share, 0)}%"),
            element("td", band.rests_on),
        )
        for kind, band in BANDS.items()
    )
    table = element("table", element("thead", head), element("tbody", *rows))
    return html(element("div", table, class_="wide", tabindex="0", role="region", aria_label=NAME))
