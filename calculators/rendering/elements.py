"""Small helpers to build HTML and SVG as an element tree, so that all text is escaped."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement, tostring

from calculators.base.results import Display, Phrase


def element(tag: str, *children: Element | str | None, **attributes: str) -> Element:
    """An element with attributes and children; ``_`` in a name stands for ``-``.

    A trailing underscore is dropped, so that ``class_`` and ``for_`` can be said. A child that
    is a text goes where it stands; None is left out.
    """
    made = Element(tag, {name.rstrip("_").replace("_", "-"): v for name, v in attributes.items()})
    append(made, *children)
    return made


def append(parent: Element, *children: Element | str | None) -> None:
    """Add children to an element in order."""
    for child in children:
        if child is None:
            continue
        if isinstance(child, Element):
            parent.append(child)
        elif len(parent):
            last = parent[-1]
            last.tail = (last.tail or "") + child
        else:
            parent.text = (parent.text or "") + child


def phrase_element(tag: str, phrase: Phrase, display: Display, **attributes: str) -> Element:
    """A sentence whose figures are marked, so that they never break over two lines."""
    made = element(tag, **attributes)
    for text, figure in phrase.pieces(display):
        if figure:
            SubElement(made, "span", {"class": "figure"}).text = text
        else:
            append(made, text)
    return made


def html(node: Element) -> str:
    """An element tree as HTML."""
    return tostring(node, encoding="unicode", method="html")
