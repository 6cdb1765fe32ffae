"""Figures as they should be beside figures as they are: a table for the page, lines for the text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element

from calculators.base.results import Compared, Comparison, Display, Pair, Value
from calculators.rendering.elements import element

DIFFERS = "≠"
"""Stands before every row and figure that is other than it should be; color alone says nothing."""
_NOT_HAD = "–"


def comparison_element(compared: Comparison, display: Display) -> Element:
    """The table, each row that differs marked; a narrow window shows it as cards."""
    heads_of = _heads(compared, display)
    columns = [name for name, wanted in zip(heads_of, _wanted(compared), strict=True) if wanted]
    heads = (compared.row, *columns, *((compared.said,) if _speaks(compared) else ()))
    return element(
        "div",
        element("p", compared.title, class_="comparison-title"),
        element(
            "div",
            element(
                "table",
                element(
                    "thead", element("tr", *(element("th", one, scope="col") for one in heads))
                ),
                element("tbody", *(_row(compared, row, display) for row in compared.rows)),
                class_="figures cards comparison",
            ),
            class_="wide",
            tabindex="0",
            role="group",
            aria_label=compared.title,
        ),
        element("p", compared.note, class_="help"),
        class_="compared",
    )


def comparison_lines(compared: Comparison, display: Display) -> Iterator[str]:
    """The same as lines of text: every row, what differs with what it should be."""
    yield compared.title
    for row in compared.rows:
        words = [
            f"{name.lower()} {_text(pair, display)}"
            for name, pair, wanted in zip(
                compared.columns, row.pairs, _wanted(compared), strict=True
            )
            if wanted
        ]
        mark = f"{DIFFERS} " if row.differs else ""
        said = f". {row.said}" if row.said else ""
        yield f"{mark}{row.name}: {'; '.join(words)}{said}"
    yield compared.note


def comparison_object(compared: Comparison) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "title": compared.title,
        "rows": [
            {
                "name": row.name,
                "figures": {
                    name: {
                        "usual": _amount(pair.usual),
                        "shown": _amount(pair.shown),
                        "differs": pair.differs,
                    }
                    for name, pair in zip(compared.columns, row.pairs, strict=True)
                },
                "said": row.said,
            }
            for row in compared.rows
        ],
    }


def _wanted(compared: Comparison) -> list[bool]:
    """A column in which nothing ever stands or differs tells nothing: it is left out."""
    return [
        number < _ALWAYS or any(row.pairs[number].differs for row in compared.rows)
        for number in range(len(compared.columns))
    ]


_ALWAYS = 3
"""Columns that are shown even where nothing in them differs: what a reader looks at first."""


def _speaks(compared: Comparison) -> bool:
    return any(row.said for row in compared.rows)


def _heads(compared: Comparison, display: Display) -> list[str]:
    """The columns' names, each with the unit of its figures: so a cell is short on a phone."""
    heads = []
    for number, name in enumerate(compared.columns):
        pairs = (row.pairs[number] for row in compared.rows)
        value = next((v for pair in pairs if (v := pair.usual or pair.shown) is not None), None)
        unit = "" if value is None else display.unit_for(value.unit)
        heads.append(f"{name}, {unit}" if unit else name)
    return heads


def _row(compared: Comparison, row: Compared, display: Display) -> Element:
    mark = f"{DIFFERS} " if row.differs else ""
    cells = [
        element(
            "td",
            *_cell(pair, display),
            data_label=name,
            **({"class_": "apart"} if pair.differs else {}),
        )
        for name, pair, wanted in zip(
            _heads(compared, display), row.pairs, _wanted(compared), strict=True
        )
        if wanted
    ]
    if _speaks(compared):
        cells.append(element("td", row.said or "as in order", data_label=compared.said))
    return element(
        "tr",
        element("th", f"{mark}{row.name}", scope="row"),
        *cells,
        **({"class_": "apart"} if row.differs else {}),
    )


def _cell(pair: Pair, display: Display) -> Iterator[Element | str]:
    if not pair.differs:
        yield _bare(pair.shown or pair.usual, display)
        return
    yield element("strong", f"{DIFFERS} {_bare(pair.shown, display)}")
    yield f" not {_bare(pair.usual, display)}"


def _bare(value: Value | None, display: Display) -> str:
    return _NOT_HAD if value is None else display.amount(value.amount, value.unit, value.digits)


def _text(pair: Pair, display: Display) -> str:
    shown = _figure(pair.shown or pair.usual, display)
    return f"{shown}, in order {_figure(pair.usual, display)}" if pair.differs else shown


def _figure(value: Value | None, display: Display) -> str:
    return _NOT_HAD if value is None else display.value(value)


def _amount(value: Value | None) -> float | None:
    return None if value is None else value.amount
