"""Nothing that a curve's picture writes or draws lies outside the picture."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

import pytest

from calculators.answering.answer import answer
from calculators.base.quantities import Choice
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.catalog import every_calculator
from calculators.rendering.drawing.chart import HEIGHT, WIDTH, chart

CALCULATORS = every_calculator()

FONT = 11.0
"""Size of the lettering in the picture's own units, as the style sheet has it. [px]"""
LETTER = 0.5
"""Mean width of a letter or digit, in font sizes; a wide letter is more, a figure is not."""
ROUNDING = 1.0


def pictures(name: str) -> Iterator[tuple[dict[str, str], Element]]:
    """The curves of a calculator's example and of every option of its choices, in every unit."""
    calculator = CALCULATORS[name]
    entries: list[dict[str, str]] = [{}]
    for field, description in calculator.inputs().items():
        if isinstance(description, Choice):
            entries += [{field: option.value} for option in description.options]
    for one in entries:
        outcome = answer(calculator, one, example=True).outcome
        for number, series in enumerate(outcome.series if outcome else ()):
            for unit in PRESSURE_UNITS:
                drawn = chart(series, Display(pressure=unit), id=f"x-{number}")
                for picture in drawn.iter("svg"):
                    if picture.get("class") == "curve-picture":
                        yield one | {"shown in": unit}, picture


def extent(text: Element) -> tuple[float, float, float, float]:
    """About where a lettering lies: left, right, top, bottom."""
    x, y = float(text.get("x", "")), float(text.get("y", ""))
    width = len("".join(text.itertext())) * FONT * LETTER
    before = {"end": width, "middle": width / 2}.get(text.get("text-anchor", ""), 0.0)
    turned = re.fullmatch(r"rotate\(-90 (\S+) (\S+)\)", text.get("transform", ""))
    if turned:
        assert (float(turned[1]), float(turned[2])) == (x, y), "turned about its own place"
        return x - FONT, x, y - (width - before), y + before
    return x - before, x - before + width, y - FONT, y


@pytest.mark.parametrize("name", CALCULATORS)
def test_lettering_and_curves_lie_inside(name: str):
    for entries, picture in pictures(name):
        assert picture.get("viewBox") == f"0 0 {WIDTH} {HEIGHT}"
        for text in picture.iter("text"):
            left, right, top, bottom = extent(text)
            place = (entries, "".join(text.itertext()), (left, right, top, bottom))
            assert left >= -ROUNDING, place
            assert right <= WIDTH + ROUNDING, place
            assert top >= -ROUNDING, place
            assert bottom <= HEIGHT, place
        for line in picture.iter("polyline"):
            for x, y in (pair.split(",") for pair in line.get("points", "").split()):
                assert 0 <= float(x) <= WIDTH, (entries, x)
                assert 0 <= float(y) <= HEIGHT, (entries, y)
        for mark in picture.iter("circle"):
            assert 0 <= float(mark.get("cx", "")) <= WIDTH, entries
            assert 0 <= float(mark.get("cy", "")) <= HEIGHT, entries
