"""The class screen's element: a plan to type, open, save, hand on and show."""

from __future__ import annotations

from calculators.rendering.elements import element, html
from calculators.version import VERSION
from generator.embeds import Block

PLAN = "plan"
# What the page begins with; a class begins from its own.
EXAMPLE = f"""version: {VERSION}
# One link or sentence a line. A line that begins with # is left out.
What does each gauge show after the first set?
calculators/locomotive-brake/?v=1&reduction=12
circuits/service-application/?v=1&moment=4
teach/worksheet/?v=1&topics=locomotive&number=3&seed=7
What would you look at next, and whose rule decides?
"""


def class_screen(block: Block) -> str:
    """``plan``: the plan of the example class."""
    if block.subject != PLAN:
        raise LookupError(f'a class screen embeds "{PLAN}", not "{block.subject}"')
    id = f"class-screen-{block.number}"
    made = element(
        "class-screen",
        element("p", "", class_="state", role="status"),
        element("label", "The plan", for_=f"{id}-plan"),
        element("textarea", EXAMPLE, id=f"{id}-plan", rows="10", spellcheck="false"),
        element(
            "div",
            *(
                element("button", words, type="button", data_do=do)
                for do, words in (
                    ("show", "Show it large"),
                    ("save", "Save as text"),
                    ("share", "Share"),
                )
            ),
            class_="tools",
        ),
        element("label", "Or open a file", for_=f"{id}-file"),
        element("input", type="file", id=f"{id}-file", accept=".txt,text/plain"),
        id=id,
        data_search_exclude="",
    )
    return f'<div class="embed">{html(made)}</div>'
