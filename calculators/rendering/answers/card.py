"""The pocket card as HTML, to be printed on one sheet, and as text."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from calculators.base.cautions import CAUTION, NOT_CURRENT
from calculators.cards.pocket import Card, CardLine, Part
from calculators.rendering.answers.sheet import foot_element
from calculators.rendering.elements import element, html
from calculators.version import VERSION

FROM_EXAMPLE = "Worked out for the example settings, not yours."
FROM_SETTINGS = "Worked out for your railroad's settings; • marks what they say themselves."
_OWN = "• "


def card_html(card: Card, *, own: bool) -> str:
    """The card as one fragment; ``own`` says that it was made from a railroad's own settings."""
    if card.errors:
        items = [element("li", message) for message in card.errors.values()]
        return html(element("div", element("ul", *items), class_="card card-refused"))
    return html(
        element(
            "div",
            element("p", _made_from(own), class_="card-made-from"),
            element("p", card.duty, class_="card-duty") if card.duty else None,
            *(_part(part) for part in card.parts),
            element("p", f"{NOT_CURRENT} {CAUTION}", class_="caution"),
            element(
                "div",
                element("p", "Pocket card", class_="card-name"),
                element("p", _made_from(own)),
                foot_element(),
                class_="card-back",
            ),
            class_="card",
        )
    )


def card_text(card: Card, *, own: bool) -> str:
    """The card as plain text."""
    return "\n".join(_lines(card, own)) + "\n"


def _made_from(own: bool) -> str:
    return FROM_SETTINGS if own else FROM_EXAMPLE


def _part(part: Part) -> Element:
    head = element(
        "tr",
        element("th", element("span", part.title, class_="card-title"), scope="col"),
        *(element("th", words, scope="col") for words in part.heads),
    )
    return element(
        "section",
        element(
            "table",
            element("thead", head),
            element("tbody", *(_row(row) for row in part.rows)),
            class_=f"columns-{len(part.heads)}",
        ),
        element("p", part.remark, class_="help") if part.remark else None,
    )


def _row(row: CardLine) -> Element:
    term = element("th", f"{_OWN if row.own else ''}{row.term}", scope="row")
    return element(
        "tr",
        term,
        *(element("td", cell) for cell in row.cells),
        **({"class_": "own"} if row.own else {}),
    )


def _lines(card: Card, own: bool) -> Iterator[str]:
    if card.errors:
        yield from card.errors.values()
        return
    yield "Pocket card. " + _made_from(own)
    if card.duty:
        yield card.duty
    for part in card.parts:
        yield ""
        yield f"{part.title}: {' | '.join(part.heads)}"
        for row in part.rows:
            yield f"  {_OWN if row.own else ''}{row.term}: {' | '.join(row.cells)}"
        if part.remark:
            yield f"  {part.remark}"
    yield ""
    yield NOT_CURRENT
    yield CAUTION
    yield f"Air brake field reference, version {VERSION}."
