"""What every page gets: the words met first linked, and at its foot sources, order, abbreviations.

The foot has the page's sources in full, three questions, its place in the reading order and its abbreviations.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from calculators.law.source_list import find_source
from calculators.rendering.common import citation_words
from calculators.rendering.elements import element, html
from generator.abbreviations import definitions
from generator.finding_fragment import faults_looked_for
from generator.front_matter import front_matter
from generator.glossary import Glossary
from generator.ground import with_sentence
from generator.protection import FENCE, SOURCES
from generator.reading_order import ReadingOrder
from generator.study_fragment import foot
from generator.used_in import parts_shown, used_in

# A calculator's declaration names its sources itself, each with its place.
_DECLARES = "```reference\n"
# A page that says itself where it was read: the list in full follows under the same heading.
_SAYS_WHERE = re.compile(r"^## (?:Sources|Where it was read)\n(?!.*^## )", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True)
class PageEnds:
    """Finishes a page; holds the glossary and the reading order, read once."""

    glossary: Glossary
    order: ReadingOrder

    @cached_property
    def first_met(self) -> Mapping[Path, frozenset[str]]:
        """The terms that a trainee meets first on each lesson, without the lesson's own."""
        known: set[str] = set()
        found: dict[Path, frozenset[str]] = {}
        for lesson in self.order.lessons:
            met = self.glossary.met_in(lesson.text)
            own = {id for id in met if Path(self.glossary.by_id[id].page) == lesson.page}
            found[lesson.page] = met - known - own
            known |= met
        return found

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
        if FENCE in written:
            named = list(dict.fromkeys([*named, *SOURCES]))
        linked = self.glossary.linked(finished, self.first_met.get(page, frozenset()), page=page)
        parts = [with_sentence(linked, written=written, page=page).rstrip("\n")]
        if named and _DECLARES not in written:
            items = (element("li", _in_full(str(id))) for id in named)
            # Left out of the search, where every page of a subject would answer to its section.
            made = element("ul", *items, class_="page-sources", data_search_exclude="")
            says = _SAYS_WHERE.search(written)
            parts += ["In full, with the edition:" if says else "## Sources", html(made)]
        if questions := foot(page):
            parts.append(questions)
        if users := used_in(page):
            parts.append(users)
        if shown := parts_shown(page):
            parts.append(shown)
        if faults := faults_looked_for(page):
            parts.append(faults)
        if around := self.order.around(page):
            parts.append(around)
        if words := definitions(finished, self.glossary.abbreviations):
            parts.append(words.rstrip("\n"))
        return "\n\n".join(parts) + "\n"


def _in_full(id: str) -> str:
    """A source as it is listed; a section of the regulations says by itself whose it is."""
    source = find_source(id)
    whole = citation_words(id, "")
    return whole.removeprefix(f"{source.issuer}: ") if source.title.startswith("49 CFR") else whole
