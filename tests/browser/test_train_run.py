"""The train run in a real browser: followed, stopped, put together by tapping, and offline."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Locator, Page, Playwright, expect

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import STILL_OPEN, result_rows
from calculators.catalog import CALCULATORS
from tests.browser.conftest import ROOT, SITE, Tab
from tests.support.server import FaultyServer
from tests.support.visitor import Visitor, wait_until_live, wait_until_ready

pytestmark = [pytest.mark.browser, pytest.mark.inside]

PAGE = "calculators/train-run/"
RUN_MS = 60_000
SHORT = {"cars": "12", "seconds": "30"}
LONG = {"cars": "250", "seconds": "9000", "leakage": "40"}


def the_run(page: Page) -> Locator:
    return page.locator("brake-calculator[data-own-page]")


def fill(page: Page, entries: dict[str, str]) -> None:
    for field, text in entries.items():
        the_run(page).locator(f"[name={field}]").fill(text)


def whole(page: Page) -> None:
    """Wait for the whole answer to what was asked last."""
    expect(the_run(page)).to_have_attribute("data-state", "answered", timeout=RUN_MS)
    expect(the_run(page).locator(".to-follow")).to_have_count(0)


def results(page: Page) -> dict[str, str]:
    cells = the_run(page).locator("[data-result]")
    names = cells.evaluate_all("cells => cells.map(c => c.dataset.result)")
    return dict(zip(names, cells.all_text_contents(), strict=True))


def by_module(**entries: str) -> dict[str, str]:
    found = finished(answer(CALCULATORS["train-run"], entries))
    return {row.name: row.text for row in result_rows(found)}


def test_the_run_follows_the_bound_and_is_the_modules(phone: Tab):
    page = phone.open(PAGE)
    fill(page, LONG)
    calculator = the_run(page)
    expect(calculator).to_have_attribute("data-state", "following", timeout=RUN_MS)
    first = answer(CALCULATORS["train-run"], LONG)
    expect(calculator.locator("[data-result=soonest]")).to_have_text(
        next(row.text for row in result_rows(first) if row.name == "soonest")
    )
    assert results(page)["last_car_starts"] == STILL_OPEN
    expect(calculator.locator(".answer-headline")).to_contain_text("nothing outruns sound")
    fill(page, {**SHORT, "leakage": "0"})
    whole(page)
    assert results(page) == by_module(**SHORT)
    line = subprocess.run(
        [sys.executable, "-m", "calculators", "train-run", *(f"{k}={v}" for k, v in SHORT.items())],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    headline = calculator.locator(".answer-headline").inner_text()
    assert headline in " ".join(line.split())
    assert phone.complaints == []


def test_progress_moves_and_the_page_stays_smooth(phone: Tab):
    page = phone.open(PAGE)
    page.evaluate(
        """() => {
          window.longest = 0;
          let before = performance.now();
          const frame = (now) => {
            window.longest = Math.max(window.longest, now - before);
            before = now;
            requestAnimationFrame(frame);
          };
          requestAnimationFrame(frame);
        }"""
    )
    fill(page, LONG)
    words = page.locator(".progress-words")
    expect(words).to_contain_text("The train model has run", timeout=RUN_MS)
    expect(words).not_to_contain_text("has run 0 of", timeout=RUN_MS)
    bar = page.locator(".to-follow progress")
    before = float(bar.evaluate("bar => bar.value"))
    page.evaluate("() => { window.longest = 0; }")
    page.wait_for_timeout(2000)
    assert float(bar.evaluate("bar => bar.value")) > before
    # A page that Python ran in would stand still for as long as a stretch of the run takes.
    assert page.evaluate("window.longest") < 500


def test_stopping_keeps_what_was_said_at_once(phone: Tab):
    page = phone.open(PAGE)
    fill(page, LONG)
    calculator = the_run(page)
    expect(page.locator(".progress-words")).not_to_contain_text("has run 0 of", timeout=RUN_MS)
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(calculator.locator(".state")).to_contain_text("Stopped.")
    expect(page.get_by_role("button", name="Stop", exact=True)).to_be_hidden()
    run = page.get_by_role("button", name="Run the train model")
    expect(run).to_be_visible()
    stopped = page.locator(".progress-words").inner_text()
    assert results(page)["rear"] == STILL_OPEN
    # The worker is free again: another question is answered at once.
    fill(page, SHORT)
    whole(page)
    assert results(page)["rear"] == by_module(**SHORT, leakage="40")["rear"]
    assert stopped.startswith("The train model has run ")


def test_a_stopped_run_can_be_run_after_all(phone: Tab):
    page = phone.open(PAGE)
    # Long enough that it is still under way when the button is reached.
    cars = "200"
    fill(page, {"cars": cars})
    page.get_by_role("button", name="Stop", exact=True).click(timeout=RUN_MS)
    page.get_by_role("button", name="Run the train model").click()
    whole(page)
    assert results(page) == by_module(cars=cars)


def test_moves_are_put_together_by_tapping(phone: Tab):
    page = phone.open(f"{PAGE}?v=1&cars=5")
    whole(page)
    page.get_by_text("A list of moves", exact=True).click()
    builder = page.locator("list-builder")
    add = builder.get_by_role("button", name="Add to the list")
    # A figure that is missing is asked for, not added.
    add.click()
    expect(builder.get_by_label("Total off, psi")).to_be_focused()
    builder.get_by_label("Total off, psi").fill("12")
    add.click()
    builder.get_by_label("Add", exact=True).select_option(label="Release")
    expect(builder.get_by_label("Total off, psi")).to_be_hidden()
    builder.get_by_label("At, s").fill("40")
    add.click()
    text = the_run(page).locator("[name=moves]")
    expect(text).to_have_value("0 s service 12 psi; 40 s release")
    whole(page)
    moves = "0 s service 12 psi; 40 s release"
    assert results(page) == by_module(cars="5", moves=moves)
    builder.get_by_role("button", name="Take out: 40 s release").click()
    expect(text).to_have_value("0 s service 12 psi")
    expect(builder.locator("li")).to_have_count(1)
    assert phone.complaints == []


def test_moves_that_cannot_be_read_say_so_by_their_field(phone: Tab):
    page = phone.open(f"{PAGE}?v=1&cars=5&moves=0+s+jump")
    expect(the_run(page)).to_have_attribute("data-state", "refused", timeout=RUN_MS)
    expect(page.locator("[id$=moves-error]")).to_contain_text('has "0 s jump"; the moves are')
    assert page.locator("list-builder li").inner_text().startswith("0 s jump")


def test_sliders_and_taps_move_the_readings(phone: Tab):
    page = phone.open(PAGE)
    picture = page.locator("train-picture")
    found = finished(answer(CALCULATORS["train-run"], {}))
    assert found.outcome is not None
    grid = found.outcome.grids[0]

    def reading(name: str) -> str:
        return picture.locator("dl > div", has_text=name).first.locator("dd").inner_text()

    picture.get_by_label("Time", exact=True).fill("0")
    assert (reading("Time"), reading("Head gauge")) == ("0.0 s", "90 psi")
    slider = picture.get_by_label("Car", exact=True)
    slider.fill("0")
    picture.get_by_label("Time", exact=True).fill("4")
    pipe = next(layer for layer in grid.layers if layer.name == "Brake pipe")
    assert reading("Brake pipe") == f"{pipe.values[4][0]:.0f} psi"
    assert slider.get_attribute("aria-valuetext") == "1"
    first = picture.locator(".heat-picture").first
    box = first.bounding_box()
    assert box is not None
    # The right edge of the picture, at its foot: the last moment of the last car.
    first.click(position={"x": box["width"] * 0.95, "y": box["height"] * 0.825})
    assert reading("Car") == "118"
    assert reading("Time") == f"{grid.at[-1]:.1f} s"


def test_sliders_answer_to_keys(phone: Tab):
    page = phone.open(PAGE)
    slider = page.locator("train-picture").get_by_label("Time", exact=True)
    wait_until_live(page)
    slider.focus()
    page.keyboard.press("Home")
    expect(slider).to_have_attribute("aria-valuetext", "0.0 s")
    page.keyboard.press("ArrowRight")
    expect(slider).to_have_attribute("aria-valuetext", "2.5 s")


def test_a_link_holds_the_whole_question(phone: Tab):
    page = phone.open(f"{PAGE}?v=1&cars=6&moves=0+s+service+8%3B+20+s+cut+out&leakage=5&seconds=40")
    whole(page)
    before = results(page)
    page.get_by_role("button", name="Copy link").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    link = page.evaluate("navigator.clipboard.readText()")
    pairs = dict(parse_qsl(urlsplit(link).query, keep_blank_values=True))
    assert set(CALCULATORS["train-run"].inputs()) <= set(pairs)
    page.goto(link)
    whole(page)
    assert results(page) == before
    expect(the_run(page).locator("[name=moves]")).to_have_value("0 s service 8; 20 s cut out")
    assert page.locator("list-builder li").count() == 2


def test_the_example_trains(phone: Tab):
    page = phone.open(PAGE)
    page.get_by_role("button", name="JF-7").click()
    whole(page)
    expect(the_run(page).locator("[name=cars]")).to_have_value("26")
    small = by_module(cars="26", brake_pipe_setting="90", locomotives="1")
    assert results(page) == small
    the_run(page).locator("[name=pressure_unit]").select_option("kPa")
    page.get_by_role("button", name="JF-3").click()
    whole(page)
    expect(the_run(page).locator("[data-result=head]")).to_have_text("552 ± 17 kPa")


def test_the_bound_first_on_another_calculator(phone: Tab):
    page = phone.open("calculators/rear-pressure/?v=1&rear=82&air_flow=30&cars=20")
    shown = the_run(page)
    expect(shown.locator("[data-result=gradient]")).to_have_text("8 psi", timeout=RUN_MS)
    whole(page)
    expect(shown.locator("[data-result=spread_gradient]")).to_contain_text("±")


@pytest.fixture
def stopped(playwright: Playwright, tmp_path: Path) -> Iterator[tuple[FaultyServer, Visitor]]:
    """A visitor with the whole copy on the device, and the server it came from stopped."""
    server = FaultyServer(SITE)
    with Visitor(playwright, tmp_path / "profile") as visitor:
        with server:
            wait_until_ready(visitor.open(server.url))
        visitor.restart()
        yield server, visitor


def test_it_runs_with_the_server_stopped(stopped: tuple[FaultyServer, Visitor]):
    server, visitor = stopped
    page = visitor.open(f"{server.url}{PAGE}")
    fill(page, SHORT)
    whole(page)
    assert results(page) == by_module(**SHORT)
    printed = json.loads(
        subprocess.run(
            [sys.executable, "-m", "calculators", "train-run", "--json"]
            + [f"{k}={v}" for k, v in SHORT.items()],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        ).stdout
    )
    # The same series: the pictures' texts are the command line's figures, rounded; every gauge,
    # and every car's pipe, reservoirs and cylinder.
    grid = printed["grids"][0]
    texts = page.locator("train-picture dl > div").evaluate_all(
        """rows => Object.fromEntries(rows.map(row =>
             [row.querySelector("dt").textContent, row.querySelector("dd").dataset.texts]))"""
    )
    kinds = [*grid["gauges"].items(), *grid["layers"].items()]
    assert {name for name, _ in kinds} <= set(texts)
    for name, kind in kinds:
        columns = [column.split("|") for column in texts[name].split(";")]
        by_line = [v if isinstance(v, list) else [v] for v in kind["values"]]
        for shown, exact in zip(columns, by_line, strict=True):
            assert [float(text) for text in shown] == pytest.approx(exact, abs=0.5001), name
    # And the curves, in the tables under them.
    for series in printed["series"]:
        figure = page.locator("figure", has=page.locator("figcaption", has_text=series["title"]))
        rows = figure.locator("table.figures tbody tr").evaluate_all(
            "rows => rows.map(row => [...row.cells].map(cell => cell.textContent))"
        )
        assert len(rows) > 8
        for x, *shown in rows:
            for text, points in zip(shown, series["lines"].values(), strict=True):
                # The table takes some of the curve's points, at their own times or cars.
                (value,) = (value for at, value in points if abs(at - float(x)) < 0.051)
                assert float(text) == pytest.approx(value, abs=0.5001)
    assert visitor.errors == []
