"""An answer as plain text, for the command line and for copying."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from calculators.answering.answer import Answer
from calculators.answering.deciding import deciding_step
from calculators.answering.shown import result_rows
from calculators.base.cautions import CAUTION, NOT_CURRENT
from calculators.base.results import Grid, Series
from calculators.rendering.answers.comparison import comparison_lines
from calculators.rendering.common import (
    axis_words,
    citation_words,
    decided,
    link_remarks,
    verdict_words,
)
from calculators.rendering.drawing.train_picture import evenly

_WIDTH = 96
_GRID_ROWS, _GRID_COLUMNS = 12, 9


def answer_text(answer: Answer) -> str:
    """The whole answer: headline, results, working, limits, notes, sources, caution."""
    return "\n".join(_lines(answer)) + "\n"


def error_text(answer: Answer) -> str:
    """The errors, one a line, in the words the page shows by the fields."""
    return "".join(f"{message}\n" for message in answer.errors.values())


def _lines(answer: Answer) -> Iterator[str]:
    outcome, display = answer.outcome, answer.display
    if outcome is None:
        yield from answer.errors.values()
        return
    yield answer.calculator.title
    yield from _wrapped(outcome.headline.text(display))
    if answer.calculator.estimate:
        yield from _wrapped(answer.calculator.estimate)
    yield from (line for remark in link_remarks(answer) for line in _wrapped(remark))
    for note in outcome.notes:
        if note.kind == "warning":
            yield from _wrapped("Warning: " + note.text.text(display))
    yield ""
    rows = list(result_rows(answer))
    width = max((len(row.term) for row in rows), default=0)
    yield from (f"  {row.term:<{width}}  {row.text}" for row in rows)
    if outcome.to_follow is not None:
        yield from _wrapped(f"Still to come: what {outcome.to_follow.what} adds.")
    for compared in outcome.compared:
        yield ""
        yield from (
            part
            for line in comparison_lines(compared, display)
            for part in _wrapped(line, hanging="      ")
        )
    if outcome.working:
        yield from ("", "Working")
        deciding = deciding_step(answer)
        for number, step in enumerate(outcome.working, 1):
            result = f" → {display.value(step.value)}" if step.value is not None else ""
            decides = "   ← this decided" if step is deciding else ""
            text = f"{number}. {step.label}: {step.how.text(display)}{result}{decides}"
            yield from _wrapped(text, hanging="     ")
    if answer.verdicts:
        yield from ("", "Limits")
        for verdict in answer.verdicts:
            read, words = decided(verdict, display)
            reading = f"reads {display.value(read)}; " if read else ""
            why = f" {verdict.why.text(display)}" if verdict.why else ""
            text = (
                f"- {verdict.limit.title}: {reading}{words.text(display)}: "
                f"{verdict.standing}. {verdict_words(verdict)}.{why}"
            )
            yield from _wrapped(text, hanging="    ")
        yield "  " + NOT_CURRENT
    quiet = [note for note in outcome.notes if note.kind == "note"]
    if quiet:
        yield from ("", "Notes")
        for note in quiet:
            yield from _wrapped("- " + note.text.text(display), hanging="    ")
    for series in outcome.series:
        yield from _series(answer, series)
    for grid in outcome.grids:
        yield from _grid(answer, grid)
    yield from ("", "Sources")
    for citation in answer.calculator.sources:
        yield from _wrapped("- " + citation_words(citation.source, citation.place), hanging="    ")
    yield ""
    yield from wrap(CAUTION, _WIDTH)


def _wrapped(text: str, hanging: str = "  ") -> list[str]:
    return wrap(text, _WIDTH, initial_indent="  ", subsequent_indent=hanging)


def _series(answer: Answer, series: Series) -> Iterator[str]:
    display = answer.display
    yield from ("", series.title)
    yield f"  {axis_words(series.x, display)} | {axis_words(series.y, display)}: " + " | ".join(
        line.name for line in series.lines
    )
    by_x: dict[float, dict[str, float]] = {}
    for line in series.lines:
        for x, y in line.points:
            by_x.setdefault(x, {})[line.name] = y
    for x in sorted(by_x):
        cells = [
            display.amount(by_x[x][line.name], series.y.unit, series.y.digits)
            if line.name in by_x[x]
            else "-"
            for line in series.lines
        ]
        yield f"  {display.amount(x, series.x.unit, series.x.digits):>8} | " + " | ".join(cells)


def _grid(answer: Answer, grid: Grid) -> Iterator[str]:
    """A few rows and columns of every layer; the JSON form has all of them."""
    display, unit = answer.display, grid.columns.unit
    columns = evenly(len(grid.at), _GRID_COLUMNS)
    times = [display.amount(grid.at[place], unit, grid.columns.digits) for place in columns]
    for layer in grid.layers:
        yield ""
        yield f"{grid.title}: {layer.name}, {display.unit_for(layer.unit)}"
        across = " ".join(f"{time:>7}" for time in times)
        yield f"  {grid.row} | {axis_words(grid.columns, display)}: {across}"
        for row in evenly(len(grid.names), _GRID_ROWS):
            texts = (
                display.amount(layer.values[column][row], layer.unit, layer.digits)
                for column in columns
            )
            yield f"  {grid.names[row]:>8} | " + " ".join(f"{text:>7}" for text in texts)
