"""The box that comes first wherever a page leads somebody to the equipment.

It is made once, with its sources, so that no page says less than another.
"""

from __future__ import annotations

from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.base.results import Display
from calculators.law.limit_list import find_limit
from calculators.rendering.elements import element, html
from generator.addresses import address_of
from generator.embeds import Block

FENCE = "```protection\n"
ANCHOR = "before-anyone-touches-the-equipment"
TITLE = "Before anyone touches the equipment"
SOURCES = ("CFR-232-103", "CFR-218-B", "CFR-232-205", "CFR-232-15", "ARRC-96")
"""Where the box was read; a page that embeds it gets them at its foot."""

_SECUREMENT = Path("tests/securement.md")


def protection(block: Block) -> str:
    """``equipment``: what must be true before pistons, cocks, hoses or reservoirs are touched."""
    if block.subject != "equipment":
        raise LookupError(f'the protection is called "equipment", not "{block.subject}"')
    securement = element("a", "Securing", href=address_of(_SECUREMENT, seen_from=block.page))
    made = element(
        "div",
        element("p", TITLE, class_="admonition-title"),
        element(
            "p",
            "Your railroad's rules come first and usually ask for more. "
            "This is the least that any of them builds on.",
        ),
        element(
            "ul",
            _item(
                "Held by hand brakes.",
                securement,
                " means enough hand brakes, tried with the air brakes released. Air is never "
                "counted on to hold unattended equipment: 49 CFR 232.103(n)(1), (n)(2).",
            ),
            _item(
                "Protected from being moved.",
                "The blue-signal rules protect people who work on, under or between equipment: "
                "49 CFR part 218, subpart B. Only parts of that text were read for this page, and "
                "whom it covers depends on the job. Read the text in force.",
            ),
            _item(
                "The engineer knows.",
                "Tell the engineer what you will do and where, and wait for the answer.",
            ),
            _item(
                "No hand in the rigging while air can move it.",
                "Before work on piston travel or rigging the branch cut-out cock is closed and "
                "the air in the car is let out: 49 CFR 232.205(f).",
            ),
            _item(
                "Hoses part only when they are dead.",
                "Both angle cocks closed, and the air between them let out.",
            ),
            _item(
                "Bleeding a car, or cutting it out, takes its brake away.",
                "On a car that is standing, the hand brake goes on first (Alaska Railroad "
                "manual, p. 63-9).",
            ),
            _item(
                "Afterwards the train must still have enough brakes.",
                f"Operative: {_figure('operative-brakes-moving')}. Without a working brake: not "
                f"the last car, and {_figure('inoperative-together')} together. Each one tagged "
                "on both sides, or in an approved tracking system: 49 CFR 232.103(e) and 232.15. "
                "A train that needs a Class I test there leaves with all of them working.",
            ),
        ),
        class_="admonition danger protection",
        id=ANCHOR,
    )
    return html(made)


def _item(first: str, *rest: Element | str) -> Element:
    return element("li", element("strong", first), " ", *rest)


def _figure(limit: str) -> str:
    return find_limit(limit).words().text(Display())
