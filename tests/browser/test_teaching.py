"""Paper, worksheets, the class screen and the marks of lessons, in a real browser."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from calculators.answering.answer import answer
from calculators.catalog import CALCULATORS
from calculators.circuits.catalog import CIRCUITS
from calculators.worksheets.asking import worksheet
from tests.browser.conftest import DESK, PHONE, Regulars, Tab
from tests.support.codes import read_code

PAGE = "calculators/locomotive-brake/"
# 600 points an inch, of a screen's 96.
PRINT = 600 / 96
# What is printed stays in the page until the browser says that it was; here it never does.
NO_PRINTER = "window.print = () => document.documentElement.setAttribute('data-printed', '')"
FIGURE_AT_LEAST = 1 / 15


@pytest.fixture
def desk(regulars: Regulars) -> Tab:
    tab = regulars.tab(DESK)
    tab.page.add_init_script(NO_PRINTER)
    return tab


def sheets(page: Page, paper: str = "Letter") -> int:
    """How many sheets the page prints on."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper)))


def printed(page: Page, button: str) -> None:
    page.locator(button).first.click()
    expect(page.locator("html")).to_have_attribute("data-printed", "")


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_locomotive_answer_is_one_sheet(desk: Tab, paper: str):
    page = desk.open(f"{PAGE}?v=1&reduction=15")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")
    printed(page, "brake-calculator [data-do=print]")
    sheet = page.locator(".papers .paper")
    page.emulate_media(media="print")
    assert sheet.locator(".changed").all_inner_texts() == ["● Reduction\t15 psi"]
    expect(sheet).to_contain_text("version")
    expect(sheet).to_contain_text("Printed")
    expect(sheet).to_contain_text("Never go between equipment")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    # The frame, the menu and the form stay out of it.
    expect(page.locator(".md-header")).to_be_hidden()
    expect(page.locator("brake-calculator form")).to_be_hidden()
    # Last: with this the browser says that it has printed, and the sheet goes.
    assert sheets(page, paper) == 1
    expect(page.locator(".papers")).to_have_count(0)


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_a_circuit_is_one_sheet(desk: Tab, circuit: str):
    page = desk.open(f"circuits/{circuit}/")
    page.locator("brake-circuit [data-do=next]").click()
    printed(page, "brake-circuit [data-do=print]")
    page.emulate_media(media="print")
    sheet = page.locator(".papers .paper-circuit")
    drawn, gauges = sheet.locator(".paper-picture svg"), sheet.locator(".gauge-table")
    left, right = drawn.bounding_box(), gauges.bounding_box()
    assert left
    assert right
    assert left["x"] + left["width"] <= right["x"] + 1
    assert sheets(page) == 1


def test_the_code_on_paper_opens_the_same(browser: Browser, newcomer: Callable[..., Tab]):
    tab = newcomer(viewport=DESK, device_scale_factor=PRINT)
    tab.page.add_init_script(NO_PRINTER)
    page = tab.open(f"{PAGE}?v=1&reduction=15&brake_pipe_setting=85")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")
    printed(page, "brake-calculator [data-do=print]")
    page.emulate_media(media="print")
    link = read_code(browser, page.locator(".papers svg.code").screenshot())
    assert link == page.locator(".paper-address").inner_text().strip()
    page.emulate_media(media="screen")
    page.goto(link)
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")
    asked = {"reduction": "15", "brake_pipe_setting": "85"}
    query = answer(CALCULATORS["locomotive-brake"], asked).link_query()
    assert page.url == f"{tab.root}{PAGE}?{query}"


@pytest.mark.inside
def test_a_worksheet_is_drawn_printed_saved_and_linked(desk: Tab):
    page = desk.open("teach/worksheet/?v=1&topics=locomotive&number=4&seed=class-7&units=kPa")
    shown = page.locator("work-sheet")
    expect(shown).to_have_attribute("data-state", "answered")
    sheet = worksheet({"topics": "locomotive", "number": "4", "seed": "class-7", "units": "kPa"})
    for number, item in enumerate(sheet.items):
        expect(shown.locator(".paper-questions > li").nth(number)).to_contain_text(item.question)
        expect(shown.locator(".paper-key > li strong").nth(number)).to_have_text(item.right.words)
    with page.expect_download() as download:
        shown.locator("[data-do=table]").click()
    rows = list(csv.DictReader(io.StringIO(download.value.path().read_text(encoding="utf-8"))))
    assert [row["answer"].removeprefix("'") for row in rows] == [i.right.words for i in sheet.items]
    shown.get_by_label("Seed").fill("another")
    expect(page).to_have_url(re.compile("seed=another"))
    printed(page, "work-sheet [data-do=print]")
    assert sheets(page) <= 4
    assert not desk.complaints


def test_a_worksheet_of_another_version_says_so(desk: Tab):
    page = desk.open("teach/worksheet/?v=1&seed=1&drawn=1&version=0.0.1")
    expect(page.locator("work-sheet .state")).to_contain_text("a key printed then is not this")


PLAN = """version: 0.0.1
# not shown
What does each gauge show? <b>no markup</b>
calculators/locomotive-brake/?v=1&reduction=12
https://elsewhere.invalid/calculators/units/?v=1
javascript:alert(1)//?
circuits/service-application/?v=1
teach/worksheet/?v=1&number=1&seed=3
calculators/units/?v=1&no_such=1
"""


@pytest.mark.parametrize("window", [PHONE, DESK], ids=["phone", "desk"])
def test_a_plan_is_shown_one_thing_at_a_time(regulars: Regulars, window: dict[str, int]):
    tab = regulars.tab(window)
    page = tab.open("teach/class-screen/")
    page.locator("class-screen [data-do=show]:enabled").wait_for()
    page.locator("class-screen textarea").fill(PLAN)
    page.locator("class-screen [data-do=show]").click()
    view = page.locator("dialog.class-view")
    expect(view).to_contain_text("What does each gauge show? <b>no markup</b>")
    assert view.locator("b").count() == 0
    page.keyboard.press("PageDown")
    expect(view).to_contain_text(CALCULATORS["locomotive-brake"].question)
    assert view.locator(".screen-figure").count() == 0
    page.keyboard.press("PageDown")
    figure = view.locator(".screen-figure").first
    expect(figure).to_be_visible()
    size = float(figure.evaluate("one => parseFloat(getComputedStyle(one).fontSize)"))
    assert size >= FIGURE_AT_LEAST * window["height"]
    page.keyboard.press("b")
    expect(figure).to_be_hidden()
    page.keyboard.press(".")
    expect(figure).to_be_visible()
    page.keyboard.press("PageUp")
    assert view.locator(".screen-figure").count() == 0
    page.keyboard.press("PageDown")
    page.keyboard.press("PageDown")
    # Links that lead elsewhere are the text they are.
    expect(view).to_contain_text("https://elsewhere.invalid/calculators/units/?v=1")
    page.keyboard.press("ArrowRight")
    expect(view).to_contain_text("javascript:alert(1)//?")
    assert view.locator("a[href*=elsewhere], a[href^=javascript]").count() == 0
    page.keyboard.press("ArrowRight")
    expect(view.locator(".screen-picture svg")).to_be_visible()
    # In a narrow window a circuit has its gauges on a second page.
    for seen in (6, 7):
        while view.locator(".class-count").inner_text().startswith(f"{seen} /"):
            page.keyboard.press("ArrowRight")
    (item,) = worksheet({"number": "1", "seed": "3"}).items
    expect(view).to_contain_text(item.question)
    page.keyboard.press("ArrowRight")
    expect(view).to_contain_text(item.right.words)
    page.keyboard.press("ArrowRight")
    expect(view).to_contain_text("no_such")
    page.keyboard.press("Escape")
    expect(view).to_have_count(0)
    expect(page.locator("class-screen .state")).to_contain_text("version 0.0.1")
    assert not any("elsewhere" in request for request in tab.requests)
    assert not tab.complaints


# What is told below a view, how much of it stands below the screen, and how large its figures are.
SHOWN = """one => [
    one.querySelector(".class-count span").textContent,
    one.scrollHeight - one.clientHeight - one.scrollTop,
    [...one.querySelectorAll(".screen-figure")].map(f => parseFloat(getComputedStyle(f).fontSize)),
]"""


@pytest.mark.parametrize("window", [PHONE, DESK], ids=["phone", "desk"])
def test_every_question_fits_the_screen_or_is_turned_in_pages(
    regulars: Regulars, window: dict[str, int]
):
    """By the clicker's two keys alone: nothing stays below the screen, and figures stay large."""
    tab = regulars.tab(window)
    page = tab.open("teach/class-screen/")
    page.locator("class-screen [data-do=show]:enabled").wait_for()
    page.locator("class-screen textarea").fill("teach/worksheet/?v=1&number=40&seed=fit")
    page.locator("class-screen [data-do=show]").click()
    view = page.locator("dialog.class-view")
    views = 2 * len(worksheet({"number": "40", "seed": "fit"}).items)
    expect(view).to_contain_text(f"1 / {views}")
    pages = 0
    for number in range(1, views + 1):
        below = 2.0
        while below > 1:
            pages += 1
            told, below, figures = view.evaluate(SHOWN)
            assert re.match(rf"{number} / {views}\b", told), told
            assert all(size >= FIGURE_AT_LEAST * window["height"] for size in figures), number
            turned = re.search(r"page (\d+) of (\d+)", told)
            assert below <= 1 or (turned and int(turned[1]) < int(turned[2])), (number, told)
            page.keyboard.press("PageDown")
    # The last view stays; back from it leads through every page again.
    for _ in range(pages - 1):
        page.keyboard.press("PageUp")
    told, _, _ = view.evaluate(SHOWN)
    assert re.match(rf"1 / {views}\b(?!.*page [2-9])", told), told
    if window == DESK:
        # Hardly one of them needs a second page there.
        assert pages <= 1.05 * views


@pytest.mark.inside
def test_a_plan_comes_back_from_its_short_link(desk: Tab, browser: Browser):
    page = desk.open("teach/class-screen/")
    page.locator("class-screen [data-do=show]:enabled").wait_for()
    page.locator("class-screen textarea").fill(PLAN)
    page.locator("class-screen [data-do=share]").click()
    code = page.locator("dialog.share svg.code")
    expect(code).to_be_visible()
    link = page.locator("dialog.share").get_by_label("Short link", exact=True).input_value()
    assert read_code(browser, code.screenshot()) == link
    page.goto(link)
    expect(page.locator("class-screen textarea")).to_have_value(PLAN)


def test_a_lesson_that_was_done_is_marked_and_the_order_goes_on_behind_it(phone: Tab):
    page = phone.open("about/cautions/")
    page.locator("[data-do=lesson-done]").click()
    expect(page.locator("[data-do=lesson-done]")).to_have_attribute("aria-pressed", "true")
    page.goto(f"{phone.root}learn/")
    resume = page.locator(".lessons-resume")
    expect(resume).to_contain_text("1 of ")
    expect(resume).to_contain_text("Go on with")
    assert page.locator(".lessons li[data-done]").count() == 1
    resume.locator("a").click()
    expect(page.locator("nav.reading-order")).to_have_attribute("data-lesson", "2")
    expect(page.locator("[data-do=lesson-done]")).to_have_attribute("aria-pressed", "false")
