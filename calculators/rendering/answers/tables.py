"""The figures of an answer's curves as CSV (RFC 4180), one row a point."""

from __future__ import annotations

from calculators.answering.answer import Answer
from calculators.rendering.common import axis_words
from calculators.version import VERSION
from calculators.worksheets.exchange import cell

_HEADS = ("curve", "line", "across", "up", "x", "y")


def curves_csv(answer: Answer) -> str:
    """Every point, with what it was asked with and by which version, so that it can be made again."""
    outcome, display = answer.outcome, answer.display
    rows: list[tuple[str, ...]] = [
        ("made by", f"{answer.calculator.title}, version {VERSION}"),
        ("asked with", answer.link_query()),
        _HEADS,
    ]
    for series in outcome.series if outcome is not None else ():
        across, up = axis_words(series.x, display), axis_words(series.y, display)
        for line in series.lines:
            for x, y in line.points:
                rows.append(
                    (
                        series.title,
                        line.name,
                        across,
                        up,
                        display.amount(x, series.x.unit, series.x.digits).replace(",", ""),
                        display.amount(y, series.y.unit, series.y.digits).replace(",", ""),
                    )
                )
    return "".join(",".join(_cell(text) for text in row) + "\r\n" for row in rows)


def _cell(text: str) -> str:
    """A number as it is, minus and all; anything else as `worksheets.exchange.cell` has it."""
    try:
        float(text)
    except ValueError:
        return cell(text)
    return text
