"""Pages meant for the ground, and the one sentence on phones that each of them carries."""

from __future__ import annotations

import re
from pathlib import Path

from calculators.rendering.elements import element, html
from generator.addresses import address_of
from generator.protection import FENCE

ON_DUTY = Path("about/on-duty.md")
SENTENCE = "On duty your own phone is off: study this before, or print it."
_FOLDERS = ("tests", "recovering")
_PAGES = frozenset({Path("test-record.md")})
# Asked for beside the train; what they answer stands first there, so the sentence closes the page.
_CALCULATORS = frozenset(
    Path(f"calculators/{name}.md")
    for name in (
        "brake-test",
        "cylinder-leak-off",
        "daily-brake-test",
        "exhaust-time",
        "find-fault",
        "hand-brakes",
        "leakage-and-flow",
        "rear-pressure",
    )
)
_HEADING = re.compile(r"^# .*\n", re.MULTILINE)


def for_the_ground(page: Path, written: str) -> bool:
    """Whether a page leads somebody to equipment, or is read beside it."""
    return page.parts[0] in _FOLDERS or page in _PAGES or page in _CALCULATORS or FENCE in written


def with_sentence(finished: str, *, written: str, page: Path) -> str:
    """The page with the sentence: under its heading, on a calculator's page at the end."""
    if not for_the_ground(page, written):
        return finished
    link = element("a", "Phones on duty", href=address_of(ON_DUTY, seen_from=page))
    made = html(element("p", SENTENCE, " ", link, class_="on-duty", data_search_exclude=""))
    if page in _CALCULATORS:
        return f"{finished.rstrip()}\n\n{made}\n"
    return _HEADING.sub(lambda match: f"{match[0]}\n{made}\n", finished, count=1)
