"""What a reader finds on a rendered page, by section: what the search knows of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

# Behind these no end tag comes.
_VOID = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "wbr")
)
_SILENT = frozenset(("script", "style", "svg", "template", "aside", "nav", "button", "select"))
_SILENT_CLASSES = frozenset(("headerlink", "copy-status", "for-readers"))
_HEADINGS = ("h1", "h2")


@dataclass(slots=True)
class Section:
    """A heading with its anchor, and the text below it."""

    anchor: str
    heading: str = ""
    text: str = ""


@dataclass(slots=True)
class PageText:
    """A page's title, what it says of itself, and its sections; the first has no heading."""

    title: str = ""
    says: str = ""
    sections: list[Section] = field(default_factory=lambda: [Section("")])


def page_text(html: str) -> PageText:
    """Read a rendered page.

    What carries ``data-search-exclude`` is left out: forms and lists that many pages share, and
    lists whose entries the search knows one by one.
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    found = reader.found
    for section in found.sections:
        section.heading = " ".join(section.heading.split())
        section.text = " ".join(section.text.split())
    # Behind the page's own title stands the site's.
    found.title = " ".join(found.title.rpartition(" - ")[0].split() or found.title.split())
    return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found = PageText()
        self._open: list[tuple[str, bool]] = []
        self._in_article = False
        self._heading = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "meta" and values.get("name") == "description":
            self.found.says = values.get("content", "")
        if tag == "article":
            self._in_article = True
        if tag in _VOID:
            self._add(" ")
            return
        silent = (
            self._silent
            or tag in _SILENT
            or "data-search-exclude" in values
            or not _SILENT_CLASSES.isdisjoint(values.get("class", "").split())
        )
        self._open.append((tag, silent))
        if silent or not self._in_article:
            return
        if tag in _HEADINGS:
            self._heading = tag
            if tag == "h2":
                self.found.sections.append(Section(values.get("id", "")))
        else:
            self._add(" ")

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass
        if tag == self._heading:
            self._heading = ""
        if tag == "article":
            self._in_article = False
        # An end parts two words only where an element is a box of its own.
        if tag not in ("a", "abbr", "b", "code", "em", "i", "mark", "span", "strong", "sub", "sup"):
            self._add(" ")

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1][0] == "title" and not self._in_article:
            self.found.title += data
        self._add(data)

    @property
    def _silent(self) -> bool:
        return bool(self._open) and self._open[-1][1]

    def _add(self, text: str) -> None:
        if not self._in_article or self._silent:
            return
        if self._heading == "h1":
            return
        if self._heading == "h2":
            self.found.sections[-1].heading += text
        else:
            self.found.sections[-1].text += text
