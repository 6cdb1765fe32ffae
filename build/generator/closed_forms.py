"""Pages as they are before their script has started: every field closed, and a word about it.

A figure on the screen belongs to the entries beside it. Until the script that answers has started,
nothing would: so what it will open (``build/browser/going-live.js``) is closed in the page, and
words stand ready for a page whose script never comes. A page can then hold no entry that it does
not answer, with scripts off, with one file missing, and in the second before the script is there.
"""

import re
from pathlib import Path

from calculators.rendering.elements import element, html
from generator.policy import pages

LIVE = (
    "brake-calculator",
    "brake-circuit",
    "fault-series",
    "my-railroad",
    "pocket-card",
    "work-sheet",
    "class-screen",
    "study-share",
)
# Beside these stand no figures that could be taken for an answer.
_WITHOUT_FIGURES = ("my-railroad", "fault-series", "study-share")

_SHELLS = re.compile(rf"(<({'|'.join(LIVE)})\b[^>]*>)(.*?)(</\2>)", re.DOTALL)
_CONTROLS = re.compile(r"<(input|select|textarea|button)\b(?![^>]*\sdisabled\b)")
_PARTS = re.compile(r'(<script data-parts=")[^"]*(")')

_NOT_TAKEN = "The fields stay closed."
_EXAMPLE = (
    " The figures below are the example's that this page was made with: not those of a link, "
    "nor of your own settings."
)


class ClosedFormsError(LookupError):
    """The pages lack what this step fills in; the message says what."""


def close_forms(site: Path) -> None:
    """Close every field and button that needs a script, and name the scripts to the page's watch.

    Raises
    ------
    ClosedFormsError
        If a page has no place for the names of the scripts.
    """
    parts = " ".join(script.name for script in sorted((site / "browser").glob("*.js")))
    for page in pages(site):
        text = _SHELLS.sub(_closed, page.read_text(encoding="utf-8"))
        text, count = _PARTS.subn(rf"\g<1>{parts}\g<2>", text)
        if count != 1:
            raise ClosedFormsError(
                f"{page.relative_to(site)} has {count} watching scripts, not one"
            )
        page.write_text(text, encoding="utf-8", newline="\n")


def _closed(shell: re.Match[str]) -> str:
    start, tag, inside, end = shell.groups()
    closed = _CONTROLS.sub(r'<\1 disabled="disabled" data-closed="yes"', inside)
    return f"{start}{_not_started(figures=tag not in _WITHOUT_FIGURES)}{closed}{end}"


def _not_started(*, figures: bool) -> str:
    """The words for a page whose script did not start; the style shows them after a while."""
    rest = _NOT_TAKEN + (_EXAMPLE if figures else " What this device keeps is not lost.")
    again = element("a", "Load this page again", href="", target="_self")
    return html(
        element(
            "div",
            element("noscript", element("p", "Scripts are off in this browser.")),
            element("p", "The script that works this out has not started. " + rest),
            element("p", again, class_="load-again"),
            class_="not-started",
        )
    )
