"""Says on a page whose figures its text holds, before and after a script has worked them out anew.

The text is built for the example settings. A device that keeps a railroad's own settings marks the
page's figures from the first paint, and `browser/page-figures.js` refills them once Python is there.
"""

from __future__ import annotations

import re
from html import unescape

from calculators.kept.embedded import moved_by
from calculators.rendering.elements import element, html

_ASKED = re.compile(r'data-embedded="([^"]*)"')
_TITLE = re.compile(r"^# .*$", re.MULTILINE)
# The answer of a page that is a calculator's or a circuit's stands first; it says itself whose it is.
_EMBED = re.compile(r"^<div class=\"embed\"><brake-.*$", re.MULTILINE)
# The home page's own box says whose its figures are.
_SAYS_ITSELF = 'class="twelve"'

BEFORE = "The figures in this text are for the example settings, not yours."


def embedded_on(text: str) -> tuple[str, ...]:
    """What the embedded figures of a page ask, each once, in order."""
    return tuple(dict.fromkeys(unescape(words) for words in _ASKED.findall(text)))


def with_notice(text: str) -> str:
    """A finished page with the notice below its title or answer, if any figure follows settings.

    It names the settings that can change one of them: only a device that keeps one of these shows
    it, before any script has come.
    """
    asked = embedded_on(text)
    if not asked:
        return text
    keys = sorted(set().union(*(moved_by(words) for words in asked)))
    notice = html(
        element(
            "p",
            element("span", BEFORE, class_="example-mark", hidden="hidden"),
            element("span", class_="own-mark", hidden="hidden"),
            class_="page-figures",
            role="status",
            data_example="yes",
            data_fields=" ".join(keys),
            data_search_exclude="",
        )
    )
    place = _EMBED.search(text) or _TITLE.search(text)
    if place is None or _SAYS_ITSELF in text:
        return text
    return f"{text[: place.end()]}\n\n{notice}\n{text[place.end() :]}"
