"""Curves as inline SVG with a data table; colors and dashes come from the page's style sheet.

The drawing knows no brakes. Lines differ by dash pattern and by a label at their end as well as
by color; the picture has a title and a description, and the table beside it holds every figure.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, isfinite, log10
from xml.etree.ElementTree import Element

from calculators.base.results import Axis, Display, Series, plain
from calculators.base.units import convert
from calculators.rendering.common import axis_words
from calculators.rendering.elements import append, element

WIDTH, HEIGHT = 360, 240
LEFT, RIGHT, TOP, BOTTOM = 44, 12, 12, 40
_TABLE_ROWS = 26


def chart(series: Series, display: Display, *, id: str) -> Element:
    """A figure with the curve's picture and its table; ``id`` must be unique on the page.

    Raises
    ------
    ValueError
        If a line has no points; leave such a line out of the series.
    """
    if empty := [line.name for line in series.lines if not line.points]:
        raise ValueError(f"{series.title}: no points in {', '.join(empty)}")
    figure = element("figure", class_="curve")
    append(
        figure,
        element("figcaption", series.title),
        _picture(series, display, id),
        _legend(series),
        element("p", series.note, class_="curve-note") if series.note else None,
        _table(series, display),
    )
    return figure


def ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Round figures between two bounds, the way an axis is marked.

    >>> ticks(0, 36)
    [0.0, 10.0, 20.0, 30.0]
    """
    span = high - low
    if not isfinite(span) or span <= 0:
        return [low]
    rough = span / about
    base = 10.0 ** floor(log10(rough))
    step = next(base * m for m in (1, 2, 5, 10) if base * m >= rough * 0.999)
    first = ceil(low / step - 1e-9)
    last = floor(high / step + 1e-9)
    return [round(n * step, 10) for n in range(first, last + 1)]


def _scaled(axis: Axis, display: Display, values: Sequence[float]) -> list[float]:
    unit = display.unit_for(axis.unit)
    return [convert(value, axis.unit, unit) for value in values]


def _picture(series: Series, display: Display, id: str) -> Element:
    # A curve may have no point of its own, where nothing moves or only a mark is left.
    xs = [x for line in series.lines for x, _ in line.points] + [x for x, _ in series.marked]
    xs = xs or [0.0]
    ys = [y for line in series.lines for _, y in line.points] + [y for _, y in series.marked]
    x_shown, y_shown = _scaled(series.x, display, xs), _scaled(series.y, display, ys)
    low_x, high_x = min(x_shown), max(x_shown)
    low_y, high_y = min([0.0, *y_shown]), max([1e-9, *y_shown]) * 1.05
    if high_x <= low_x:
        high_x = low_x + 1

    def place(x: float, y: float) -> tuple[float, float]:
        (shown_x,), (shown_y,) = _scaled(series.x, display, [x]), _scaled(series.y, display, [y])
        return (
            LEFT + (shown_x - low_x) / (high_x - low_x) * (WIDTH - LEFT - RIGHT),
            HEIGHT - BOTTOM - (shown_y - low_y) / (high_y - low_y) * (HEIGHT - TOP - BOTTOM),
        )

    svg = element(
        "svg",
        element("title", series.title, id=f"{id}-title"),
        element("desc", _description(series, display), id=f"{id}-desc"),
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        role="img",
        aria_labelledby=f"{id}-title {id}-desc",
        class_="curve-picture",
    )
    svg.append(_grid(series, display, (low_x, high_x), (low_y, high_y)))
    for number, line in enumerate(series.lines):
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (place(*point) for point in line.points))
        svg.append(
            element("polyline", points=points, class_=f"curve-line dash-{number} ink-{line.color}")
        )
    for x, y in series.marked:
        cx, cy = place(x, y)
        svg.append(element("circle", cx=f"{cx:.1f}", cy=f"{cy:.1f}", r="5", class_="curve-mark"))
    return svg


def _grid(
    series: Series, display: Display, x_range: tuple[float, float], y_range: tuple[float, float]
) -> Element:
    grid = element("g", class_="curve-grid")
    bottom, right = HEIGHT - BOTTOM, WIDTH - RIGHT
    for tick in ticks(*y_range):
        y = bottom - (tick - y_range[0]) / (y_range[1] - y_range[0]) * (bottom - TOP)
        grid.append(element("line", x1=str(LEFT), x2=str(right), y1=f"{y:.1f}", y2=f"{y:.1f}"))
        grid.append(
            element("text", plain(tick), x=str(LEFT - 6), y=f"{y + 4:.1f}", text_anchor="end")
        )
    for tick in ticks(*x_range):
        x = LEFT + (tick - x_range[0]) / (x_range[1] - x_range[0]) * (right - LEFT)
        grid.append(
            element("line", x1=f"{x:.1f}", x2=f"{x:.1f}", y1=str(bottom), y2=str(bottom + 5))
        )
        grid.append(
            element("text", plain(tick), x=f"{x:.1f}", y=str(bottom + 18), text_anchor="middle")
        )
    middle = (LEFT + right) / 2
    grid.append(
        element(
            "text",
            axis_words(series.x, display),
            x=f"{middle:.1f}",
            y=str(HEIGHT - 6),
            text_anchor="middle",
            class_="curve-axis",
        )
    )
    grid.append(
        element(
            "text",
            axis_words(series.y, display),
            x="12",
            y=f"{(TOP + bottom) / 2:.1f}",
            text_anchor="middle",
            transform=f"rotate(-90 12 {(TOP + bottom) / 2:.1f})",
            class_="curve-axis",
        )
    )
    return grid


def _description(series: Series, display: Display) -> str:
    words = [f"{axis_words(series.y, display)} against {axis_words(series.x, display)}."]
    for line in series.lines:
        (x0, y0), (x1, y1) = line.points[0], line.points[-1]
        words.append(
            f"{line.name}: from {display.amount(y0, series.y.unit, series.y.digits)} at "
            f"{display.amount(x0, series.x.unit, series.x.digits)} to "
            f"{display.amount(y1, series.y.unit, series.y.digits)} at "
            f"{display.amount(x1, series.x.unit, series.x.digits)}."
        )
    return " ".join(words)


def _legend(series: Series) -> Element:
    legend = element("ul", class_="curve-legend")
    for number, line in enumerate(series.lines):
        sample = element(
            "svg",
            element(
                "line",
                x1="0",
                x2="36",
                y1="6",
                y2="6",
                class_=f"curve-line dash-{number} ink-{line.color}",
            ),
            viewBox="0 0 36 12",
            width="36",
            height="12",
            aria_hidden="true",
        )
        legend.append(element("li", sample, " " + line.name))
    return legend


def _table(series: Series, display: Display) -> Element:
    by_x: dict[float, dict[int, float]] = {}
    for number, line in enumerate(series.lines):
        for x, y in line.points:
            by_x.setdefault(x, {})[number] = y
    # A long curve is thinned for reading; its ends always stay.
    xs = sorted(by_x)
    step = max(1, -(-len(xs) // _TABLE_ROWS))
    kept = sorted({*xs[::step], *xs[-1:]})
    head = element("tr", element("th", axis_words(series.x, display), scope="col"))
    for line in series.lines:
        unit = display.unit_for(series.y.unit)
        head.append(element("th", f"{line.name}, {unit}" if unit else line.name, scope="col"))
    body = element("tbody")
    for x in kept:
        row = element(
            "tr", element("th", display.amount(x, series.x.unit, series.x.digits), scope="row")
        )
        for number in range(len(series.lines)):
            known = by_x[x]
            text = (
                display.amount(known[number], series.y.unit, series.y.digits)
                if number in known
                else ""
            )
            row.append(element("td", text))
        body.append(row)
    return element(
        "details",
        element("summary", "The figures of this curve"),
        element(
            "div",
            element("table", element("thead", head), body, class_="figures"),
            class_="wide",
            tabindex="0",
            role="group",
            aria_label=f"{series.title}, the figures",
        ),
        class_="curve-data",
    )
