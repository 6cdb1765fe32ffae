"""Where the pages cite a paragraph of the regulations: "49 CFR 232.103(n)(2)", "232.407, (f), (g)".

A paragraph is compared by its first two levels, "(n)(2)": what lies deeper belongs to the same place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

# Lists of everything: a citation there is no use of the rule.
LISTS = frozenset({Path("rules.md"), Path("limits.md")})
_LEVELS = r"(?:\([a-zA-Z0-9]+\))+"
_CITED = re.compile(rf"(?<![\d.,])(2\d\d\.\d+)((?:,? ?(?:(?:and|to) )?{_LEVELS})*)")
_TOKEN = re.compile(rf"(?P<to>to )?(?P<levels>{_LEVELS})")


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A paragraph of a section; empty letter for the whole section, empty number for all of it."""

    section: str
    letter: str = ""
    number: str = ""

    def touches(self, cited: Place) -> bool:
        """Whether what is cited is this paragraph, a part of it, or what it is a part of.

        A section cited as a whole touches only what is held as a whole.
        """
        if self.section != cited.section or (not cited.letter and self.letter):
            return False
        if not self.letter:
            return True
        if self.letter != cited.letter:
            return False
        return not self.number or not cited.number or self.number == cited.number


def places(text: str) -> Iterator[Place]:
    """Every paragraph that a text cites, ranges and lists taken apart.

    Examples
    --------
    >>> [f"{p.letter}{p.number}" for p in places("49 CFR 232.103(n)(6) to (n)(8), (o)")]
    ['n6', 'n7', 'n8', 'o']
    >>> [f"{p.letter}{p.number}" for p in places("232.205(c)(1)(iv), (v); 232.407, (f), (g)")]
    ['c1', 'f', 'g']
    >>> list(places("229.33"))
    [Place(section='229.33', letter='', number='')]
    """
    for cited in _CITED.finditer(text):
        section, rest = cited[1], cited[2]
        if not rest:
            yield Place(section)
            continue
        yield from _taken_apart(section, rest)


def _taken_apart(section: str, rest: str) -> Iterator[Place]:
    letter, number, deep = "", "", False
    for token in _TOKEN.finditer(rest):
        levels = re.findall(r"\(([a-zA-Z0-9]+)\)", token["levels"])
        before = number
        if levels[0].isdigit():
            number = levels[0]
        elif len(levels) == 1 and deep and re.fullmatch(r"[ivx]+", levels[0]):
            continue
        else:
            letter = levels[0]
            number = levels[1] if len(levels) > 1 and levels[1].isdigit() else ""
        deep = len(levels) > 2
        if token["to"] and before.isdigit() and number.isdigit():
            for between in range(int(before) + 1, int(number)):
                yield Place(section, letter, str(between))
        yield Place(section, letter, number)


def cited_on_pages(content: Path) -> dict[Path, frozenset[Place]]:
    """What each page cites in its text; the lists of sources at its head and foot do not count."""
    found: dict[Path, frozenset[Place]] = {}
    for page in sorted(content.rglob("*.md")):
        name = page.relative_to(content)
        if name not in LISTS:
            text = page.read_text(encoding="utf-8")
            head = re.match(r"---\n.*?\n---\n", text, re.DOTALL)
            found[name] = frozenset(places(text[head.end() :] if head else text))
    return found
