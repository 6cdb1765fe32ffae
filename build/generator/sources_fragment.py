"""The list of all published texts behind the figures, with what cites them."""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree.ElementTree import Element

from calculators.catalog import every_calculator
from calculators.law.records import Source
from calculators.law.source_list import SOURCES
from calculators.rendering.elements import element, html
from generator.embeds import Block


def sources(block: Block) -> str:
    """Every source once, in the order of the list, with the calculators that cite it."""
    if block.subject != "all":
        raise LookupError(f'the list of sources is called "all", not "{block.subject}"')
    cited = _cited()
    rows = (_row(source, cited) for source in SOURCES.values())
    return html(element("div", element("ul", *rows, class_="limits"), class_="limit-list"))


def _cited() -> Mapping[str, tuple[str, ...]]:
    """Titles of the calculators by the source that they cite."""
    found: dict[str, list[str]] = {}
    for calculator in sorted(every_calculator().values(), key=lambda one: one.title):
        for id in dict.fromkeys(citation.source for citation in calculator.sources):
            found.setdefault(id, []).append(calculator.title)
    return {id: tuple(titles) for id, titles in found.items()}


def _row(source: Source, cited: Mapping[str, tuple[str, ...]]) -> Element:
    """A source with its anchor, as the limits stand on their list: a phone has no room for columns."""
    edition = f"{source.edition} ({source.how_read})"
    by = ", ".join(cited.get(source.id, ())) or "limits and checks"
    return element(
        "li",
        element("p", element("strong", source.title), f", {edition}. {source.issuer}."),
        element("p", f"Cited by: {by}. ", element("small", source.id)),
        id=source.id.lower(),
    )
