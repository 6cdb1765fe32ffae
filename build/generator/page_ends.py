"""What every page gets at its foot: its sources, its place in the reading order, abbreviations."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from calculators.rendering.common import citation_words
from calculators.rendering.elements import element, html
from generator.abbreviations import definitions
from generator.front_matter import front_matter
from generator.glossary import Glossary
from generator.reading_order import ReadingOrder

# A calculator's declaration names its sources itself, each with its place.
_DECLARES = "```reference\n"


@dataclass(frozen=True, slots=True)
class PageEnds:
    """Finishes the foot of a page; holds the glossary and the reading order, read once."""

    glossary: Glossary
    order: ReadingOrder

    def add(self, finished: str, *, written: str, page: Path) -> str:
        """The page with its foot.

        Parameters
        ----------
        finished
            The page's Markdown with everything embedded.
        written
            The page as its author wrote it.
        page
            Its path below ``content/``.
        """
        named = front_matter(written).get("sources") or []
        parts = [finished.rstrip("\n")]
        if named and _DECLARES not in written:
            items = (element("li", citation_words(str(id), "")) for id in named)
            made = element("ul", *items, class_="page-sources")
            parts.append(f"## Sources\n\n{html(made)}")
        if around := self.order.around(page):
            parts.append(around)
        if words := definitions(finished, self.glossary.abbreviations):
            parts.append(words.rstrip("\n"))
        return "\n\n".join(parts) + "\n"
