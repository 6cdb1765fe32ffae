"""The list of all figures that no regulation gives: value, how well it is known, what hangs on it."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.base.results import Display
from calculators.figures.nominal import NOMINAL
from calculators.figures.records import MARK_WORDS, Figure
from calculators.figures.thresholds import THRESHOLDS
from calculators.law.source_list import find_source
from calculators.rendering.elements import element, html
from generator.embeds import Block

_LISTS = {"thresholds": THRESHOLDS, "nominal": NOMINAL}


def figures(block: Block) -> str:
    """One of the two lists of figures, in its order."""
    if block.subject not in _LISTS:
        raise LookupError(f'figures are listed as {" or ".join(_LISTS)}, not "{block.subject}"')
    rows = (_row(figure) for figure in _LISTS[block.subject])
    return html(element("div", element("ul", *rows, class_="limits"), class_="limit-list"))


def _row(figure: Figure) -> Element:
    """A figure with its anchor, laid out as the limits are: a phone has no room for columns."""
    read_in = "; ".join(
        f"{find_source(one.source).title}{', ' if one.place else ''}{one.place}"
        for one in figure.sources
    )
    known = f"{MARK_WORDS[figure.mark]}: {read_in or figure.from_where}"
    own = " A setting of your railroad stands in for it." if figure.setting else ""
    return element(
        "li",
        element(
            "p", element("strong", figure.title), ": ", element("b", figure.words().text(Display()))
        ),
        element("p", f"{known[:1].upper()}{known[1:]}. "),
        element("p", f"What hangs on it: {figure.decides}.{own} ", element("small", figure.id)),
        id=f"figure-{figure.id}",
    )
