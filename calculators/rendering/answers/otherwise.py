"""A reading that differs from the answer, as a fragment."""

from __future__ import annotations

from urllib.parse import urlencode
from xml.etree.ElementTree import Element

from calculators.answering.otherwise import Otherwise
from calculators.base.results import Display
from calculators.rendering.elements import append, element, html, phrase_element

NO_SINGLE = (
    "No single handle or setting of those on this screen would give that reading. More than one "
    "thing may be off, the gauge too."
)
ONE_OF = "One of these alone would give it, with the rest as asked:"
FIND = "Find the fault that gives this reading"
NO_FAULT = "This compares figures and finds no fault. Look at the equipment before you believe it."


def otherwise_html(found: Otherwise, display: Display, *, root: str) -> str:
    """What the reading comes to.

    Parameters
    ----------
    found
        The comparison.
    display
        The unit of pressures on show.
    root
        The address of the site's root, seen from the page, for the link to what it means.
    """
    made = element("div", phrase_element("p", found.compared, display))
    append(made, *(phrase_element("p", words, display) for words in found.judged))
    if found.causes:
        items = (phrase_element("li", cause, display) for cause in found.causes)
        append(made, element("p", ONE_OF), element("ul", *items))
    elif not found.alike:
        append(made, element("p", NO_SINGLE))
    if found.means:
        link = element(
            "a", "What it means when a gauge shows something else", href=root + found.means
        )
        append(made, element("p", link))
    if found.entry:
        asked = urlencode({"v": "1", "observations": found.entry})
        link = element("a", FIND, href=f"{root}calculators/find-fault/?{asked}")
        append(made, element("p", link))
    append(made, element("p", NO_FAULT, class_="help"))
    return html(made)


def differs_panel(id: str) -> Element:
    """The place for a reading that differs; it opens from a figure of the answer."""
    field = f"{id}-differs"
    return element(
        "section",
        element("label", "What does the gauge read?", for_=field, class_="differs-words"),
        element(
            "div", element("input", id=field, type="text", inputmode="decimal"), class_="entry"
        ),
        element("div", role="status", class_="differs-answer"),
        element(
            "div",
            element("button", "Close", type="button", data_do="close-differs"),
            class_="tools",
        ),
        class_="differs field",
        aria_label="The gauge reads something else",
        hidden="hidden",
    )
