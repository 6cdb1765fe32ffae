"""The list of all published texts behind the figures, with what cites them."""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree.ElementTree import Element

from calculators.base.source_list import SOURCES
from calculators.base.sources import Source
from calculators.catalog import CALCULATORS
from calculators.rendering.elements import element, html
from generator.embeds import Block


def sources(block: Block) -> str:
    """Every source once, in the order of the list, with the calculators that cite it."""
    if block.subject != "all":
        raise LookupError(f'the list of sources is called "all", not "{block.subject}"')
    cited = _cited()
    rows = [_row(source, cited) for source in SOURCES.values()]
    head = element(
        "tr", *(element("th", t, scope="col") for t in ("Source", "Edition", "Cited by"))
    )
    table = element("table", element("thead", head), element("tbody", *rows))
    return html(
        element("div", table, class_="wide", tabindex="0", role="group", aria_label="Sources")
    )


def _cited() -> Mapping[str, tuple[str, ...]]:
    """Titles of the calculators by the source that they cite."""
    found: dict[str, list[str]] = {}
    for calculator in sorted(CALCULATORS.values(), key=lambda one: one.title):
        for id in dict.fromkeys(citation.source for citation in calculator.sources):
            found.setdefault(id, []).append(calculator.title)
    return {id: tuple(titles) for id, titles in found.items()}


def _row(source: Source, cited: Mapping[str, tuple[str, ...]]) -> Element:
    return element(
        "tr",
        element(
            "th",
            f"{source.issuer}: {source.title}",
            element("small", source.id),
            scope="row",
            id=source.id.lower(),
        ),
        element("td", f"{source.edition} ({source.how_read})"),
        element("td", ", ".join(cited.get(source.id, ())) or "limits and checks"),
    )
