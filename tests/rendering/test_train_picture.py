"""Pictures of rows by columns: every figure can be had without telling shades apart."""

from __future__ import annotations

from xml.etree.ElementTree import Element

import pytest

from calculators.base.results import Axis, Display, Gauge, Grid, Layer
from calculators.rendering.drawing.train_picture import MOST_ROWS, evenly, train_picture
from calculators.rendering.elements import html

PLAIN = Display()


def made(rows: int = 3, columns: int = 4, display: Display = PLAIN, note: str = "") -> Element:
    """Row r at column c holds 10 c + r psi."""
    grid = Grid(
        title="Car by time",
        columns=Axis(term="Time", unit="s", digits=1),
        at=tuple(2.5 * c for c in range(columns)),
        row="Car",
        names=tuple(str(r + 1) for r in range(rows)),
        layers=(
            Layer(
                name="Brake <pipe>",
                unit="psi",
                values=tuple(tuple(10.0 * c + r for r in range(rows)) for c in range(columns)),
                color="brake_pipe",
            ),
            Layer(
                name="The same",
                unit="psi",
                values=((7.0,) * rows,) * columns,
                color="reservoir",
            ),
        ),
        gauges=(Gauge(name="Head", unit="cfm", values=tuple(float(c) for c in range(columns))),),
        note=note,
    )
    return train_picture(grid, display, id="x")


def readings(picture: Element) -> dict[str, Element]:
    rows = picture.findall(".//dl/div")
    return {row.findtext("dt", ""): row.find("dd") for row in rows}  # type: ignore[misc]


def test_readings_hold_every_figure_by_column_and_row():
    found = readings(made())
    assert list(found) == ["Time", "Head", "Car", "Brake <pipe>", "The same"]
    assert found["Time"].get("data-texts") == "0.0;2.5;5.0;7.5"
    assert found["Head"].get("data-texts") == "0;1;2;3"
    assert found["Brake <pipe>"].get("data-texts") == "0|1|2;10|11|12;20|21|22;30|31|32"
    assert found["Car"].get("data-texts") == ";".join(["1|2|3"] * 4)


def test_without_script_they_stand_at_the_end():
    found = readings(made())
    assert [cell.text for cell in found.values()] == ["7.5 s", "3 cfm", "3", "32 psi", "7 psi"]
    sliders = made().find(".//div[@hidden]")
    assert sliders is not None
    assert [one.get("max") for one in sliders.iter("input")] == ["3", "2"]


def test_pressures_follow_the_unit_chosen():
    found = readings(made(display=Display(pressure="kPa")))
    assert found["Brake <pipe>"].text == "221 kPa"
    assert "kPa" in (made(display=Display(pressure="kPa")).findtext(".//figcaption") or "")


def test_shades_run_together_and_have_a_legend():
    picture = made().find(".//figure")
    assert picture is not None
    cells = [one for one in picture.iter("rect") if one.get("x")]
    # Bounds every 10 psi from 0 to 32: each of the three rows changes at every column.
    assert len(cells) == 12
    assert {one.get("class") for one in cells} > {
        "heat-0 fill-brake_pipe",
        "heat-8 fill-brake_pipe",
    }
    legend = picture.find("ul")
    assert legend is not None
    words = ["".join(item.itertext()).strip() for item in legend]
    assert words[0] == "under 10"
    assert words[-1].endswith("and over, psi")


def test_a_layer_that_is_the_same_everywhere():
    picture = made().findall(".//figure")[1]
    assert len([one for one in picture.iter("rect") if one.get("x")]) == 3
    legend = picture.find("ul")
    assert legend is not None
    assert ["".join(item.itertext()).strip() for item in legend] == ["the same everywhere"]


def test_figures_stand_in_the_picture_and_in_the_table():
    picture = made().find(".//figure")
    assert picture is not None
    printed = picture.find(".//g[@class='heat-figures']")
    assert printed is not None
    assert [text.text for text in printed] == [
        str(10 * column + row) for column in range(4) for row in range(3)
    ]
    rows = picture.findall(".//tbody/tr")
    assert [[cell.text for cell in row] for row in rows][1] == ["2", "1", "11", "21", "31"]


def test_a_long_train_is_sampled_evenly_with_its_ends():
    found = readings(made(rows=250, columns=2))
    cars = (found["Car"].get("data-texts") or "").split(";")[0].split("|")
    assert len(cars) == MOST_ROWS
    assert (cars[0], cars[-1]) == ("1", "250")


def test_it_is_named_and_described():
    picture = made().find(".//svg[@role='img']")
    assert picture is not None
    assert picture.findtext("title") == "Brake <pipe>: car by time"
    assert "At 7.5 s 30 psi at car 1 and 32 psi at car 3." in (picture.findtext("desc") or "")
    assert picture.get("aria-labelledby") == "x-0-title x-0-desc"


def test_a_note_and_escaping():
    shown = html(made(note="Mind <this>"))
    assert "Mind &lt;this&gt;" in shown
    assert "<pipe>" not in shown


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (1, 5), (40, 1)])
def test_the_smallest_of_grids(rows: int, columns: int):
    assert readings(made(rows=rows, columns=columns))["Time"].text


def test_even_places():
    assert evenly(1, 5) == [0]
    assert evenly(5, 3) == [0, 2, 4]
