"""Handing on: the panel, its code read by an outside reader, short links, a railroad's settings."""

from __future__ import annotations

import csv
import io
import math
import re
import struct
from pathlib import Path
from xml.etree import ElementTree

import pytest
import segno
from playwright.sync_api import Browser, Download, Locator, Page, Playwright, expect

from calculators.answering.answer import answer
from calculators.catalog import CALCULATORS
from calculators.circuits.catalog import CIRCUITS
from calculators.short_links.packing import shortened
from calculators.study.items import DRAWN_AS, in_turn, item, skills_of
from generator.serving import SiteServer
from tests.browser.conftest import SITE, Regulars, Tab
from tests.support.codes import read_code
from tests.support.visitor import Visitor, wait_until_ready

PAGE = "calculators/locomotive-brake/"
CURVED = "calculators/car-brake/"
ASKED = "v=1&reduction=15&brake_pipe_setting=85"
SIZES = {"phone": (390, 844), "small": (320, 640), "desk": (1280, 900)}
QUIET = 4
LEAST_PIXELS = 3


@pytest.fixture(params=[(s, d) for s in SIZES for d in ("light", "dark")], ids=str)
def window(request: pytest.FixtureRequest, regulars: Regulars) -> Tab:
    size, scheme = request.param
    width, height = SIZES[size]
    return regulars.tab({"width": width, "height": height}, color_scheme=scheme)


def panel_of(page: Page) -> Locator:
    return page.locator("dialog.share")


def open_panel(page: Page, opener: str = "brake-calculator [data-do=share]") -> Locator:
    page.locator(opener).click()
    panel = panel_of(page)
    expect(panel.locator("svg.code")).to_be_visible()
    return panel


def short_link(panel: Locator) -> str:
    return panel.get_by_label("Short link", exact=True).input_value()


def answered(page: Page) -> None:
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")


def test_the_code_is_read_from_the_screen(window: Tab, browser: Browser):
    page = window.open(f"{PAGE}?{ASKED}")
    answered(page)
    panel = open_panel(page)
    link = short_link(panel)
    assert link.startswith(f"{window.root}{PAGE}?z=")
    code = panel.locator("svg.code")
    code.scroll_into_view_if_needed()
    assert read_code(browser, code.screenshot()) == link
    # As large as a camera wants it, in any window.
    box = code.bounding_box()
    assert box
    modules = int((code.get_attribute("viewBox") or "").split()[-1])
    assert box["width"] >= LEAST_PIXELS * modules
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert not window.complaints


# Texts that fill a code of versions 4, 5, 6, 7, 10 and 15 at level M (ISO/IEC 18004, table 7): behind
# a shorter one segno 1.6.6 puts eight bits more than the standard asks, which no reader minds.
FULL = (62, 84, 106, 122, 213, 412)

_DRAWN = """async (text) => {
  const start = document.querySelector('script[src$="start.js"]').src;
  const { codeOf } = await import(new URL("qr-code.js", start).href);
  return (await codeOf(text, "trial")).outerHTML;
}"""


@pytest.mark.parametrize("length", FULL)
def test_the_code_has_the_modules_that_the_library_of_reference_makes(phone: Tab, length: int):
    """segno makes the same code of the same text: version, level M and mask, and four of quiet."""
    page = phone.open("about/on-duty/")
    text = "https://example.invalid/?z=1.".ljust(length, "q")
    drawn = page.evaluate(_DRAWN, text)
    dark = {
        (int(x), int(y))
        for start, y, width in re.findall(r"M(\d+) (\d+)h(\d+)", drawn)
        for x in range(int(start), int(start) + int(width))
    }
    made = [
        segno.make(text, error="m", micro=False, boost_error=False, mode="byte", mask=mask)
        for mask in range(8)
    ]
    assert f'viewBox="0 0 {made[0].symbol_size(border=QUIET)[0]} ' in drawn
    assert dark in [
        {
            (x + QUIET, y + QUIET)
            for y, row in enumerate(one.matrix)
            for x, module in enumerate(row)
            if module
        }
        for one in made
    ]


@pytest.mark.inside
def test_a_short_link_opens_long_and_answers_alike(phone: Tab):
    calculator = CALCULATORS["locomotive-brake"]
    query = answer(calculator, {"reduction": "15", "brake_pipe_setting": "85"}).link_query()
    page = phone.open(f"{PAGE}?z={shortened('locomotive-brake', query)}")
    answered(page)
    expect(page).to_have_url(f"{phone.root}{PAGE}?{query}")
    expect(page.locator('input[name="reduction"]').first).to_have_value("15")
    assert not phone.complaints


@pytest.mark.parametrize(
    ("short", "words"),
    [
        ("1.AAAA", "damaged"),
        ("77.AAAA", "later version"),
        (shortened("units", "v=1&value=5+bar"), "another page"),
        (f"{shortened('locomotive-brake', ASKED)}&ref=mail", "something else beside"),
    ],
)
def test_a_short_link_that_cannot_be_read_changes_nothing(phone: Tab, short: str, words: str):
    page = phone.open(f"{PAGE}?z={short}")
    shown = page.locator("brake-calculator")
    expect(shown).to_have_attribute("data-state", "refused")
    expect(shown.locator(".state")).to_contain_text(words)
    assert page.url.endswith(f"?z={short}")
    # The example's figures beside the example's entries: neither struck out nor another's.
    assert shown.get_attribute("data-stale") is None
    page.locator('input[name="reduction"]').first.fill("9")
    answered(page)
    assert "z=" not in page.url


@pytest.mark.inside
def test_a_circuit_moment_is_handed_on(phone: Tab, browser: Browser):
    circuit = next(iter(CIRCUITS))
    page = phone.open(f"circuits/{circuit}/")
    page.locator("brake-circuit [data-do=next]").click()
    page.locator("brake-circuit [data-do=next]").click()
    status = page.locator(".circuit-status").inner_text()
    panel = open_panel(page, "brake-circuit [data-do=share]")
    link = short_link(panel)
    assert read_code(browser, panel.locator("svg.code").screenshot()) == link
    page.goto(link)
    expect(page.locator("brake-circuit")).to_have_attribute("data-state", "answered")
    expect(page.locator(".circuit-status")).to_have_text(status)


def test_the_panel_closes_by_escape_and_by_back_and_the_focus_returns(phone: Tab):
    page = phone.open(PAGE)
    share = page.locator("brake-calculator [data-do=share]")
    open_panel(page)
    page.keyboard.press("Escape")
    expect(panel_of(page)).to_be_hidden()
    expect(share).to_be_focused()
    open_panel(page)
    page.go_back()
    expect(panel_of(page)).to_be_hidden()
    assert page.url.startswith(f"{phone.root}{PAGE}")


def test_any_page_is_handed_on_with_its_section(phone: Tab, browser: Browser):
    page = phone.open("parts/relay-valve/")
    expect(page.locator(".copy-status-live")).to_contain_text("built on")
    panel = open_panel(page, "[data-share=page]")
    link = panel.get_by_label("Link", exact=True)
    expect(link).to_have_value(f"{phone.root}parts/relay-valve/")
    marks = panel.locator("option").evaluate_all("all => all.map((one) => one.value)")
    assert len(marks) > 1
    panel.locator("select").select_option(marks[1])
    expect(link).to_have_value(f"{phone.root}parts/relay-valve/#{marks[1]}")
    expect(panel.locator("svg.code")).to_be_visible()
    assert read_code(browser, panel.locator("svg.code").screenshot()) == link.input_value()


def keep(page: Page, record: str) -> None:
    page.evaluate("record => localStorage.setItem('my-railroad', record)", record)


def kept(page: Page) -> str:
    text: str = page.evaluate("localStorage.getItem('my-railroad') ?? ''")
    return text


def test_settings_are_taken_over_only_by_a_tap(phone: Tab):
    page = phone.open("my-railroad/")
    keep(page, '{"cars":"118"}')
    page.goto(
        f"{phone.root}my-railroad/?z={shortened('settings', 'v=1&cars=60&brake_pipe_setting=85')}"
    )
    offer = page.locator(".settings-offer")
    expect(offer.locator("table")).to_be_visible()
    expect(offer).to_contain_text("Nothing has been taken yet")
    assert re.findall(r"118|60|85 psi|not set", offer.locator("table").inner_text()) == [
        *("not set", "85 psi", "118", "60")
    ]
    assert kept(page) == '{"cars":"118"}'
    offer.get_by_role("button", name="Take over").click()
    expect(offer).to_contain_text("Taken over")
    assert '"cars":"60"' in kept(page)
    assert '"brake_pipe_setting":"85"' in kept(page)
    assert "z=" not in page.url
    assert not phone.complaints


def test_settings_for_this_visit_leave_the_device_alone(phone: Tab):
    page = phone.open("my-railroad/")
    keep(page, '{"cars":"118"}')
    page.goto(f"{phone.root}my-railroad/?v=1&brake_pipe_setting=85")
    page.get_by_role("button", name="For this visit only").click()
    expect(page.locator(".visit-settings")).to_be_visible()
    assert kept(page) == '{"cars":"118"}'
    page.goto(phone.root + PAGE)
    answered(page)
    expect(page.locator('input[name="brake_pipe_setting"]').first).to_have_value("85")
    expect(page.locator(".visit-settings")).to_be_visible()
    page.get_by_role("button", name="Back to mine").click()
    expect(page.locator(".visit-settings")).to_have_count(0)
    expect(page.locator('input[name="brake_pipe_setting"]').first).to_have_value("90")
    assert kept(page) == '{"cars":"118"}'


def test_settings_of_a_damaged_link_change_nothing(phone: Tab):
    page = phone.open("my-railroad/?z=1.AAAA")
    expect(page.locator(".settings-offer")).to_contain_text("damaged")
    assert kept(page) == ""


def test_settings_are_handed_on_with_a_code(phone: Tab, browser: Browser):
    page = phone.open("my-railroad/")
    keep(page, '{"cars":"60","brake_pipe_setting":"85"}')
    page.reload()
    expect(page.locator("my-railroad")).to_have_attribute("data-state", "answered")
    panel = open_panel(page, "my-railroad [data-do=hand-on]")
    expect(panel.get_by_label("Long link", exact=True)).to_have_value(
        re.compile(r"\?v=1&brake_pipe_setting=85&cars=60$")
    )
    assert read_code(browser, panel.locator("svg.code").screenshot()) == short_link(panel)


# --- Files --------------------------------------------------------------------------------------

SVG = "{http://www.w3.org/2000/svg}"
# What a PNG file begins with, and where its width and height stand (ISO/IEC 15948, 5.2 and 11.2.2).
PNG_BEGINS = b"\x89PNG\r\n\x1a\n"
PNG_SIZE = slice(16, 24)


def saved(page: Page, panel: Locator, button: str, files: int = 1) -> list[tuple[str, bytes]]:
    """Names and bytes of the files that a button of the panel saves."""
    got: list[Download] = []

    def note(one: Download) -> None:
        got.append(one)

    page.on("download", note)
    panel.get_by_role("button", name=button).click()
    for _ in range(100):
        if len(got) >= files:
            break
        page.wait_for_timeout(100)
    page.remove_listener("download", note)
    assert len(got) == files
    return [(one.suggested_filename, one.path().read_bytes()) for one in got]


@pytest.fixture(params=["light", "dark"])
def desk(request: pytest.FixtureRequest, regulars: Regulars) -> Tab:
    return regulars.tab({"width": 1280, "height": 900}, color_scheme=request.param)


@pytest.mark.parametrize(
    ("path", "opener", "shell"),
    [
        ("circuits/service-application/", "brake-circuit [data-do=share]", "brake-circuit"),
        (f"{CURVED}?v=1&reduction=15", "brake-calculator [data-do=share]", "brake-calculator"),
    ],
    ids=["circuit", "curve"],
)
def test_a_picture_is_saved_as_svg_and_png(desk: Tab, path: str, opener: str, shell: str):
    """A file of its own: it shows alike in another program, in light colors and at its own size."""
    page = desk.open(path)
    expect(page.locator(shell)).to_have_attribute("data-live", "yes")
    panel = open_panel(page, opener)
    drawings = page.locator(f"{shell} svg:is(.curve-picture, .circuit-picture, .heat)").count()
    assert drawings
    sizes = []
    for name, drawn in saved(page, panel, "Picture (SVG)", drawings):
        assert name.endswith(".svg")
        sizes.append(size_on_its_own(drawn))
    made = saved(page, panel, "Picture (PNG)", drawings)
    for (name, drawn), (width, height) in zip(made, sizes, strict=True):
        assert name.endswith(".png")
        assert drawn.startswith(PNG_BEGINS)
        size = struct.unpack(">II", drawn[PNG_SIZE])
        assert size == (math.floor(2 * width), math.floor(2 * height))
    assert not desk.complaints


def size_on_its_own(drawn: bytes) -> tuple[float, float]:
    """Width and height of a drawing whose style is written into it, dark on white paper."""
    root = ElementTree.fromstring(drawn)
    assert root.tag == f"{SVG}svg"
    width, height = (float(root.get(side) or 0) for side in ("width", "height"))
    assert width > 100
    assert height > 100
    paper = root.find(f"{SVG}rect")
    assert paper is not None
    assert paper.get("fill") == "#fff"
    # No class of the site's is needed.
    assert not [one for one in root.iter() if one.get("class")]
    assert not any("var(" in value for one in root.iter() for value in one.attrib.values())
    texts = list(root.iter(f"{SVG}text"))
    assert texts
    for one in texts:
        color = re.findall(r"\d+", one.get("fill") or "")
        assert len(color) >= 3
        assert min(int(part) for part in color[:3]) < 140, one.get("fill")
    return width, height


@pytest.mark.inside
def test_the_figures_of_a_curve_are_saved_as_a_table(phone: Tab):
    page = phone.open(f"{CURVED}?v=1&reduction=15&brake_pipe_setting=85")
    answered(page)
    panel = open_panel(page)
    ((name, text),) = saved(page, panel, "Figures (CSV)")
    assert name.endswith(".csv")
    rows = list(csv.reader(io.StringIO(text.decode("utf-8"), newline="")))
    head = next(number for number, row in enumerate(rows) if len(row) > 2)
    found = answer(CALCULATORS["car-brake"], {"reduction": "15", "brake_pipe_setting": "85"})
    assert found.outcome is not None
    # What was asked stands above, so that the table can be made again.
    assert found.link_query() in rows[1]
    points = [
        (series.title, line.name, point, (series.x.digits, series.y.digits))
        for series in found.outcome.series
        for line in series.lines
        for point in line.points
    ]
    assert len(points) == len(rows) - head - 1 > 20
    for (title, line, point, digits), row in zip(points, rows[head + 1 :], strict=True):
        assert row[:2] == [title, line]
        for shown, value, places in zip(row[-2:], point, digits, strict=True):
            assert float(shown) == pytest.approx(value, abs=0.5 * 10**-places + 1e-9)


# --- Offline, and sets of questions ---------------------------------------------------------------


def test_a_short_link_opens_with_the_server_stopped(playwright: Playwright, tmp_path: Path):
    """Scanned where there is no signal: the copy on the device answers it, and shows it long."""
    calculator = CALCULATORS["locomotive-brake"]
    query = answer(calculator, {"reduction": "15", "brake_pipe_setting": "85"}).link_query()
    short = shortened("locomotive-brake", query)
    with SiteServer(SITE) as server, Visitor(playwright, tmp_path / "profile") as visitor:
        page = visitor.open(server.url)
        wait_until_ready(page)
        address = server.url
        server.close()
        visitor.restart()
        page = visitor.open(f"{address}{PAGE}?z={short}")
        answered(page)
        expect(page).to_have_url(f"{address}{PAGE}?{query}")
        expect(page.locator('input[name="reduction"]').first).to_have_value("15")
        page = visitor.open(f"{address}{PAGE}?z={short[:-3]}")
        expect(page.locator("brake-calculator")).to_have_attribute("data-state", "refused")
        expect(page.locator("brake-calculator .state")).to_contain_text("damaged")
        assert not visitor.errors


def test_a_set_of_questions_is_handed_on_by_topic_and_seed(phone: Tab, browser: Browser):
    page = phone.open("study/")
    chosen = page.locator("study-share")
    expect(chosen.locator("select")).to_be_enabled()
    chosen.get_by_label("Topic").select_option("tests")
    chosen.get_by_label("Seed").fill("class 7")
    panel = open_panel(page, "study-share [data-do=share]")
    link = panel.get_by_label("Link", exact=True).input_value()
    assert link == f"{phone.root}study/?drill=tests&seed=class+7&v={DRAWN_AS}"
    assert read_code(browser, panel.locator("svg.code").screenshot()) == link
    page.goto(link)
    begin = page.locator("study-sitting[data-set=today] [data-do=begin]")
    begin.click()
    asked = page.locator("study-sitting[data-set=today] .study-asked")
    expect(asked).to_be_visible()
    first = in_turn(skills_of(["tests"]), "class 7")[0]
    expect(asked).to_have_text(item(first.id, "class 7.0").question)
    # The page's own Share hands on the set that is open, and its form offers it.
    expect(page.locator("study-share input")).to_have_value("class 7")
    panel = open_panel(page, "[data-share=page]")
    expect(panel.get_by_label("Link", exact=True)).to_have_value(link)
    assert not phone.complaints
