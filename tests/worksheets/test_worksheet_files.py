"""Worksheets at a desk: the same bytes twice, tagged, a code that an outside reader reads from paper."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Browser, Playwright

from calculators.short_links.packing import opened
from calculators.worksheets.asking import worksheet
from calculators.worksheets.exchange import as_qti
from generator import verbs, worksheet_files
from generator.setup import browsers
from generator.site import BuildError
from tests.support.codes import read_code
from tests.support.visitor import FLAGS

ROOT = Path(__file__).parents[2]
SITE = "https://example.invalid/brakes"
# 600 points an inch, of a screen's 96.
PRINT = 600 / 96


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    started = playwright.chromium.launch(executable_path=browsers.chromium(), args=FLAGS)
    yield started
    started.close()


def test_dates_are_overwritten_in_place():
    made = b"<</CreationDate (D:20261129062528+00'00') /Title (D: no date)>>"
    fixed = worksheet_files.with_fixed_dates(made)
    assert fixed == b"<</CreationDate (D:20240101000000+00'00') /Title (D: no date)>>"


def test_the_same_package_has_the_same_bytes(tmp_path: Path):
    files = as_qti(worksheet({"number": "2"}))
    one = worksheet_files.packed(files)
    assert one == worksheet_files.packed(dict(files))
    (tmp_path / "one.zip").write_bytes(one)
    with zipfile.ZipFile(tmp_path / "one.zip") as archive:
        assert archive.testzip() is None
        assert set(archive.namelist()) == set(files)


def test_the_words_of_the_command():
    assert worksheet_files.asked(("seed=1", "site=https://a.b/?c=d")) == {
        "seed": "1",
        "site": "https://a.b/?c=d",
    }
    for wrong in (("seed",), ("seed=1", "seed=2")):
        with pytest.raises(BuildError):
            worksheet_files.asked(wrong)
    with pytest.raises(BuildError, match="weather"):
        worksheet_files.write_worksheet(ROOT, ("topics=weather",))
    order = verbs.read(["worksheet", "seed=7", "paper=a4"])
    assert order.worksheet == ("seed=7", "paper=a4")


def test_the_code_is_read_from_print(browser: Browser):
    """The address beside it, black on white, from the printed page at 600 dots an inch."""
    sheet = worksheet({"seed": "paper", "number": "3"})
    context = browser.new_context(device_scale_factor=PRINT)
    page = context.new_page()
    page.emulate_media(media="print")
    page.set_content(worksheet_files.document(ROOT, sheet, site=SITE))
    codes = page.locator("svg.code")
    assert codes.count() == 2
    for number in range(2):
        read = read_code(browser, codes.nth(number).screenshot())
        assert read == page.locator(".paper-address").nth(number).inner_text().strip()
        parts = urlsplit(read)
        assert read.startswith(f"{SITE}/teach/worksheet/?z=")
        assert opened("worksheet", dict(parse_qsl(parts.query))["z"]) == sheet.query()
    context.close()


def test_a_circuit_on_paper_is_drawn_in_its_lines_and_can_be_read(browser: Browser):
    """Nothing large is filled with ink, each pipe has its own dashes, words are of 7 points or more."""
    sheet = worksheet({"topics": "release-rear.head-tells-rear", "number": "1", "seed": "7"})
    page = browser.new_page(viewport={"width": 700, "height": 900})
    page.emulate_media(media="print")
    page.set_content(worksheet_files.document(ROOT, sheet))
    picture = page.locator(".paper-questions svg.circuit-picture")
    inked = picture.evaluate("""svg => [...svg.querySelectorAll("rect")].filter((one) =>
        one.getBoundingClientRect().width > svg.getBoundingClientRect().width / 3 &&
        getComputedStyle(one).fill === "rgb(0, 0, 0)").length""")
    assert inked == 0
    lines = """svg => [...new Set([...svg.querySelectorAll(".line")].map(
        (one) => getComputedStyle(one).strokeDasharray))]"""
    assert len(picture.evaluate(lines)) >= 5
    points = """svg => Math.min(...[...svg.querySelectorAll("text")].map((one) =>
        parseFloat(getComputedStyle(one).fontSize) * svg.getScreenCTM().a)) * 0.75"""
    assert picture.evaluate(points) >= 7
    page.close()
