"""A grid of figures as pictures, sliders and tables: cars down, time across.

The drawing knows no brakes. Every text is made here, by column and row; script only moves the
texts that belong to the sliders' places into the readings. Shades say how much, and the figures
stand in the picture, in the readings and in the table as well.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise
from xml.etree.ElementTree import Element

from calculators.base.results import Display, Gauge, Grid, Layer
from calculators.base.units import convert
from calculators.rendering.common import axis_words
from calculators.rendering.drawing.chart import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, ticks
from calculators.rendering.elements import append, element

MOST_ROWS = 24
TABLE_COLUMNS = 10
SHADES = 8
# Figures printed in the picture itself: so many across and down.
_PRINTED_ACROSS, _PRINTED_DOWN = 4, 4
_COLUMN_MARK, _ROW_MARK = ";", "|"


def evenly(count: int, most: int) -> list[int]:
    """At most so many of the numbers below ``count``, evenly, the first and the last among them.

    >>> evenly(3, 5), evenly(118, 4)
    ([0, 1, 2], [0, 39, 78, 117])
    """
    if count <= most:
        return list(range(count))
    return [round(number * (count - 1) / (most - 1)) for number in range(most)]


def train_picture(grid: Grid, display: Display, *, id: str) -> Element:
    """All of a grid: sliders with their readings, a picture and a table for every layer."""
    rows = evenly(len(grid.names), MOST_ROWS)
    made = element("train-picture", class_="train-picture")
    append(
        made,
        element("h2", grid.title),
        element("p", grid.note, class_="curve-note") if grid.note else None,
        _sliders(grid, display, rows, id),
        _readings(grid, display, rows),
    )
    for number, layer in enumerate(grid.layers):
        append(made, _figure(grid, layer, display, rows, f"{id}-{number}"))
    return made


def _amounts(display: Display, part: Layer | Gauge, values: Iterable[float]) -> list[str]:
    return [display.amount(value, part.unit, part.digits) for value in values]


def _times(grid: Grid, display: Display) -> list[str]:
    return [display.amount(at, grid.columns.unit, grid.columns.digits) for at in grid.at]


def _sliders(grid: Grid, display: Display, rows: Sequence[int], id: str) -> Element:
    unit = display.unit_for(grid.columns.unit)
    names = [grid.names[row] for row in rows]
    return element(
        "div",
        _slider(grid.columns.term, "column", _times(grid, display), unit, f"{id}-column"),
        _slider(grid.row, "row", names, "", f"{id}-row"),
        class_="fields sliders",
        hidden="hidden",
    )


def _slider(term: str, moves: str, texts: Sequence[str], unit: str, id: str) -> Element:
    """A slider over places; ``moves`` says whether they are columns or rows."""
    last = str(len(texts) - 1)
    control = element(
        "input",
        id=id,
        type="range",
        min="0",
        max=last,
        value=last,
        step="1",
        data_moves=moves,
        data_texts=_COLUMN_MARK.join(texts),
        data_unit=unit,
    )
    return element("div", element("label", term, for_=id), control, class_="field")


def _readings(grid: Grid, display: Display, rows: Sequence[int]) -> Element:
    """What the gauges and the chosen row read; as made, at the last column and the last row."""
    made = element("dl", class_="results readings")
    unit = display.unit_for(grid.columns.unit)
    _reading(made, grid.columns.term, [[text] for text in _times(grid, display)], unit)
    for gauge in grid.gauges:
        texts = [[text] for text in _amounts(display, gauge, gauge.values)]
        _reading(made, gauge.name, texts, display.unit_for(gauge.unit))
    names = [grid.names[row] for row in rows]
    _reading(made, grid.row, [names] * len(grid.at), "")
    for layer in grid.layers:
        texts = [_amounts(display, layer, [column[row] for row in rows]) for column in layer.values]
        _reading(made, layer.name, texts, display.unit_for(layer.unit))
    return made


def _reading(parent: Element, name: str, texts: Sequence[Sequence[str]], unit: str) -> None:
    shown = f"{texts[-1][-1]} {unit}".rstrip()
    cell = element(
        "dd",
        shown,
        data_texts=_COLUMN_MARK.join(_ROW_MARK.join(column) for column in texts),
        data_unit=unit,
    )
    parent.append(element("div", element("dt", name), cell))


def _figure(grid: Grid, layer: Layer, display: Display, rows: Sequence[int], id: str) -> Element:
    unit = display.unit_for(layer.unit)
    values = [[convert(column[row], layer.unit, unit) for row in rows] for column in layer.values]
    low, high = min(map(min, values)), max(map(max, values))
    bounds = [tick for tick in ticks(low, high, 6) if low < tick <= high]
    return element(
        "figure",
        element("figcaption", f"{layer.name}, {unit}"),
        _picture(grid, layer, display, rows, values, bounds, id),
        _legend(layer, bounds, unit),
        _table(grid, layer, display, rows),
        class_="curve",
    )


def _shade(layer: Layer, level: int, levels: int) -> str:
    """The classes of one step: the lowest is the palest."""
    step = SHADES // 2 if levels == 1 else round(level * SHADES / (levels - 1))
    return f"heat-{step} fill-{layer.color}"


def _picture(
    grid: Grid,
    layer: Layer,
    display: Display,
    rows: Sequence[int],
    values: Sequence[Sequence[float]],
    bounds: Sequence[float],
    id: str,
) -> Element:
    columns = len(values)
    wide = (WIDTH - LEFT - RIGHT) / columns
    high = (HEIGHT - TOP - BOTTOM) / len(rows)
    svg = element(
        "svg",
        element("title", f"{layer.name}: {grid.title.lower()}", id=f"{id}-title"),
        element("desc", _description(grid, layer, display, rows), id=f"{id}-desc"),
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        role="img",
        aria_labelledby=f"{id}-title {id}-desc",
        class_="curve-picture heat-picture",
        data_left=f"{LEFT / WIDTH:.4f}",
        data_right=f"{1 - RIGHT / WIDTH:.4f}",
        data_top=f"{TOP / HEIGHT:.4f}",
        data_bottom=f"{1 - BOTTOM / HEIGHT:.4f}",
    )
    cells = element("g")
    for place in range(len(rows)):
        levels = (bisect_right(bounds, column[place]) for column in values)
        start = 0
        for level, run in groupby(levels):
            length = len(list(run))
            cells.append(
                element(
                    "rect",
                    **_span("x", "width", LEFT + start * wide, length * wide),
                    **_span("y", "height", TOP + place * high, high),
                    class_=_shade(layer, level, len(bounds) + 1),
                )
            )
            start += length
    append(svg, cells, _axes(grid, display, rows, wide, high))
    svg.append(_printed(layer, display, rows, wide, high))
    append(
        svg,
        element(
            "line",
            x1=f"{WIDTH - RIGHT - wide / 2:.1f}",
            x2=f"{WIDTH - RIGHT - wide / 2:.1f}",
            y1=str(TOP),
            y2=str(HEIGHT - BOTTOM),
            class_="heat-cursor",
            data_cursor="column",
            data_first=f"{LEFT + wide / 2:.2f}",
            data_step=f"{wide:.3f}",
        ),
        element(
            "line",
            x1=str(LEFT),
            x2=str(WIDTH - RIGHT),
            y1=f"{HEIGHT - BOTTOM - high / 2:.1f}",
            y2=f"{HEIGHT - BOTTOM - high / 2:.1f}",
            class_="heat-cursor",
            data_cursor="row",
            data_first=f"{TOP + high / 2:.2f}",
            data_step=f"{high:.3f}",
        ),
    )
    return svg


def _span(place: str, size: str, start: float, length: float) -> dict[str, str]:
    """Place and size of a cell on one axis; neighbors share their edge to the printed digit."""
    low, high = round(start, 1), round(start + length, 1)
    return {place: f"{low:.1f}", size: f"{high - low:.1f}"}


def _printed(
    layer: Layer, display: Display, rows: Sequence[int], wide: float, high: float
) -> Element:
    """A few figures in the picture itself, so that nobody has to tell shades apart."""
    made = element("g", class_="heat-figures")
    for column in _inner(len(layer.values), _PRINTED_ACROSS):
        for place in _inner(len(rows), _PRINTED_DOWN):
            (text,) = _amounts(display, layer, [layer.values[column][rows[place]]])
            made.append(
                element(
                    "text",
                    text,
                    x=f"{LEFT + (column + 0.5) * wide:.1f}",
                    y=f"{TOP + (place + 0.5) * high + 4:.1f}",
                    text_anchor="middle",
                )
            )
    return made


def _inner(count: int, most: int) -> list[int]:
    """Places in the middle of as many equal parts."""
    parts = min(count, most)
    return [int((number + 0.5) * count / parts) for number in range(parts)]


def _axes(grid: Grid, display: Display, rows: Sequence[int], wide: float, high: float) -> Element:
    made = element("g", class_="curve-grid")
    bottom = HEIGHT - BOTTOM
    times = _times(grid, display)
    for column in evenly(len(times), 5):
        made.append(
            element(
                "text",
                times[column],
                x=f"{LEFT + (column + 0.5) * wide:.1f}",
                y=f"{bottom + 18:.1f}",
                text_anchor="middle",
            )
        )
    for place in evenly(len(rows), 5):
        made.append(
            element(
                "text",
                grid.names[rows[place]],
                x=str(LEFT - 6),
                y=f"{TOP + (place + 0.5) * high + 4:.1f}",
                text_anchor="end",
            )
        )
    made.append(
        element(
            "text",
            axis_words(grid.columns, display),
            x=f"{(LEFT + WIDTH - RIGHT) / 2:.1f}",
            y=str(HEIGHT - 6),
            text_anchor="middle",
            class_="curve-axis",
        )
    )
    made.append(
        element(
            "text",
            grid.row,
            x="12",
            y=f"{(TOP + bottom) / 2:.1f}",
            text_anchor="middle",
            transform=f"rotate(-90 12 {(TOP + bottom) / 2:.1f})",
            class_="curve-axis",
        )
    )
    return made


def _description(grid: Grid, layer: Layer, display: Display, rows: Sequence[int]) -> str:
    times = _times(grid, display)
    unit = display.unit_for(layer.unit)
    words = [
        f"Shades of {layer.name.lower()}, {len(rows)} rows down and {len(times)} times across."
    ]
    for column in (0, len(times) - 1):
        first, last = _amounts(display, layer, (layer.values[column][0], layer.values[column][-1]))
        words.append(
            f"At {times[column]} {display.unit_for(grid.columns.unit)} {first} {unit} at "
            f"{grid.row.lower()} {grid.names[0]} and {last} {unit} at {grid.row.lower()} "
            f"{grid.names[-1]}."
        )
    return " ".join(words)


def _legend(layer: Layer, bounds: Sequence[float], unit: str) -> Element:
    made = element("ul", class_="curve-legend heat-legend")
    for level, words in enumerate(_steps(bounds, unit)):
        sample = element(
            "svg",
            element(
                "rect",
                width="24",
                height="12",
                class_=f"heat-sample {_shade(layer, level, len(bounds) + 1)}",
            ),
            viewBox="0 0 24 12",
            width="24",
            height="12",
            aria_hidden="true",
        )
        made.append(element("li", sample, f" {words}"))
    return made


def _steps(bounds: Sequence[float], unit: str) -> Iterator[str]:
    if not bounds:
        yield "the same everywhere"
        return
    yield f"under {bounds[0]:g}"
    for low, high in pairwise(bounds):
        yield f"{low:g} to {high:g}"
    yield f"{bounds[-1]:g} and over, {unit}"


def _table(grid: Grid, layer: Layer, display: Display, rows: Sequence[int]) -> Element:
    times = _times(grid, display)
    columns = evenly(len(times), TABLE_COLUMNS)
    head = element("tr", element("th", f"{grid.row} at {axis_words(grid.columns, display)}"))
    append(head, *(element("th", times[column], scope="col") for column in columns))
    body = element("tbody")
    for row in rows:
        texts = _amounts(display, layer, (layer.values[column][row] for column in columns))
        line = element("tr", element("th", grid.names[row], scope="row"))
        append(line, *(element("td", text) for text in texts))
        body.append(line)
    table = element("table", element("thead", head), body)
    name = f"{layer.name}, every figure of a few times"
    return element(
        "details",
        element("summary", "The figures of this picture"),
        element("div", table, class_="wide", tabindex="0", role="group", aria_label=name),
        class_="curve-data",
    )
