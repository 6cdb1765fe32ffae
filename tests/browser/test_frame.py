"""The frame around every page: search, menu, day and night, home, lists, tables, the newer copy."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from calculators.answering.answer import answer
from calculators.catalog import CALCULATORS
from tests.browser.conftest import DESK, NARROW, PHONE, Regulars, Tab
from tests.browser.test_accessibility import violations
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

METHOD = "tests/leakage/"
LOCOMOTIVE = "calculators/locomotive-brake/"
LEAST_TEXT_PX = 13.9
FIGURES_CONTRAST = 7.0


@pytest.fixture
def touch(regulars: Regulars) -> Tab:
    return regulars.tab(has_touch=True, is_mobile=True)


def find(page: Page, query: str) -> None:
    page.get_by_role("button", name="Open the search").click()
    page.locator("#finder-query").fill(query)
    expect(page.locator(".finder-results a").first).to_be_visible()


# --- search


def test_the_search_is_loaded_when_it_is_opened(phone: Tab):
    asked: list[str] = []  # by the page, not by the service worker, which keeps a copy
    page = phone.open(METHOD)
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    assert asked
    assert not [url for url in asked if "search_index" in url]
    find(page, "big hole")
    assert [url for url in asked if url.endswith("search/search_index.json")]
    expect(page.locator(".finder-results a strong").first).to_have_text("Emergency")


def test_a_result_opens_and_back_leads_to_the_page_below(phone: Tab):
    page = phone.open(METHOD)
    find(page, "equalising reservoir")
    page.locator(".finder-results a", has_text="Equalizing reservoir").first.click()
    expect(page.locator("h1")).to_contain_text("Equalizing reservoir")
    expect(page.locator("#finder")).to_be_hidden()
    page.go_back()
    expect(page.locator("h1")).to_contain_text("Leakage method")
    expect(page.locator("#finder")).to_be_hidden()
    assert phone.complaints == []


def test_enter_opens_the_first_result(phone: Tab):
    page = phone.open("")
    page.locator(".home-search").click()
    page.locator("#finder-query").fill("glad hand")
    expect(page.locator(".finder-results a").first).to_be_visible()
    page.keyboard.press("Enter")
    page.wait_for_url("**/glossary/#glad-hand")
    expect(page.locator("#glad-hand")).to_be_in_viewport()


def test_results_say_their_kind_and_that_there_are_none(phone: Tab):
    page = phone.open("")
    find(page, "retaining valve")
    headings = page.locator(".finder-results h2").all_inner_texts()
    assert {heading.casefold() for heading in headings} >= {"answers", "parts", "words"}
    page.locator("#finder-query").fill("xylophone")
    expect(page.locator(".finder-state")).to_have_text('Nothing here goes by "xylophone".')


@pytest.mark.parametrize("how", ["back", "escape", "button"])
def test_back_closes_the_search_before_it_leaves(phone: Tab, how: str):
    page = phone.open("")
    page.goto(f"{phone.root}{METHOD}")
    find(page, "leakage")
    if how == "back":
        page.go_back()
    elif how == "escape":
        page.keyboard.press("Escape")
    else:
        page.locator(".finder-close").click()
    expect(page.locator("#finder")).to_be_hidden()
    expect(page.locator("h1")).to_contain_text("Leakage method")
    page.wait_for_timeout(300)
    page.go_back()
    expect(page.locator("h1")).to_contain_text("What do you need to know?")


# --- menu and home


def test_back_closes_the_menu_before_it_leaves(phone: Tab):
    page = phone.open("")
    page.goto(f"{phone.root}{METHOD}")
    opener = page.get_by_role("button", name="Open the menu")
    opener.click()
    expect(page.locator("#__drawer")).to_be_checked()
    # The step in the history is taken with the word that a screen reader hears.
    expect(opener).to_have_attribute("aria-expanded", "true")
    page.go_back()
    expect(page.locator("#__drawer")).not_to_be_checked()
    expect(page.locator("h1")).to_contain_text("Leakage method")


def test_a_page_from_the_menu_is_one_step(phone: Tab):
    page = phone.open(METHOD)
    page.get_by_role("button", name="Open the menu").click()
    page.locator(".md-nav--primary a", has_text="Air flow method").click()
    expect(page.locator("h1")).to_contain_text("Air flow method")
    page.go_back()
    expect(page.locator("h1")).to_contain_text("Leakage method")


def test_home_is_one_tap_from_every_page(phone: Tab):
    for path in (METHOD, "parts/pipe-16/", "about/this-copy/"):
        page = phone.open(path)
        home = page.get_by_role("link", name=re.compile("^Home"))
        box = home.bounding_box()
        assert box
        assert min(box["width"], box["height"]) >= 47.5
        home.click()
        expect(page.locator(".home-search")).to_be_visible()


@pytest.mark.inside
def test_the_first_screen_of_home(phone: Tab):
    page = phone.open("")
    expect(page.locator(".home-chip")).to_have_text(re.compile("offline", re.IGNORECASE))
    tiles = page.locator("a.task")
    expect(tiles).to_have_count(6)
    boxes = [tile.bounding_box() for tile in tiles.all()]
    assert all(box and box["height"] >= 47.5 for box in boxes)
    assert len({round(box["x"]) for box in boxes if box}) == 2
    for place in (
        ".home-search",
        ".home-chip",
        "a.task >> nth=5",
        ".home-lines",
        ".twelve tr >> nth=1",
    ):
        box = page.locator(place).bounding_box()
        assert box, place
        assert box["y"] + box["height"] <= PHONE["height"], place


def test_home_is_one_screen_on_a_desk(regulars: Regulars):
    page = regulars.tab(DESK).open("")
    box = page.locator(".twelve").bounding_box()
    assert box
    assert box["y"] + box["height"] <= DESK["height"]


def noted(page: Page) -> str:
    """What the device has noted of the pages used; a moment after a page was shown."""
    return str(page.evaluate("() => localStorage.getItem('last-used')"))


def test_home_knows_what_was_used_and_the_lesson(phone: Tab):
    page = phone.open("")
    expect(page.locator("[data-home=last]")).to_be_hidden()
    page.locator("a.task").first.click()
    expect(page.locator("h1")).to_contain_text("Locomotive brake")
    assert wait_for(lambda: "locomotive-brake" in noted(page))
    phone.open("learn/").locator(".lessons a").nth(3).click()
    expect(page.locator(".reading-order")).to_contain_text("4 of")
    assert wait_for(lambda: '"number":4' in noted(page))
    page.get_by_role("link", name=re.compile("^Home")).click()
    expect(page.locator("[data-home=last]")).to_contain_text("Locomotive brake")
    lesson = page.locator("[data-home=lesson]")
    expect(lesson).to_contain_text(re.compile(r"Go on with lesson 4 of \d+"))
    lesson.click()
    expect(page.locator(".reading-order")).to_contain_text("4 of")


@pytest.mark.parametrize(
    "kept", ["{", "[]", '{"pages": [{"path": "javascript:1", "title": "x"}]}', "3"]
)
def test_a_broken_memory_of_visits_is_none(phone: Tab, kept: str):
    phone.page.add_init_script(f"localStorage.setItem('last-used', {json.dumps(kept)})")
    page = phone.open("")
    expect(page.locator(".home-chip")).not_to_be_empty()
    expect(page.locator("[data-home=last]")).to_be_hidden()
    assert phone.complaints == []


def test_the_twelve_figures_are_for_own_settings(phone: Tab):
    record = {"brake_pipe_setting": "80", "service_limit": "20"}
    phone.page.add_init_script(f"localStorage.setItem('my-railroad', '{json.dumps(record)}')")
    page = phone.open("")
    expect(page.locator("[data-home=whose]")).to_have_text("your own settings")
    expect(page.locator("[data-home=settings]")).to_have_text("brake pipe 80 psi, 1 more")
    found = answer(CALCULATORS["full-service-figures"], {"brake_pipe_setting": "80"})
    pressure = found.results()["full_service_pressure"]
    assert isinstance(pressure, float)
    full = f"{round(pressure)} psi"
    expect(page.locator(".twelve tbody tr").first).to_contain_text(full)
    expect(page.locator(".twelve")).not_to_have_attribute("data-example", "yes")


def test_figures_that_cannot_follow_are_marked(newcomer: Callable[..., Tab]):
    tab = newcomer()
    tab.page.add_init_script("localStorage.setItem('my-railroad', '{\"cars\": \"90\"}')")
    tab.page.route("**/runtime/**", lambda route: route.abort())
    page = tab.open("")
    words = page.locator(".twelve").evaluate("e => getComputedStyle(e, '::before').content")
    assert words == '"Example settings, not yours."'


# --- day and night


def scheme(page: Page) -> str:
    return str(page.locator("body").get_attribute("data-md-color-scheme"))


def test_night_follows_the_device_until_the_reader_chooses(phone: Tab):
    page = phone.open(METHOD)
    assert scheme(page) == "default"
    page.emulate_media(color_scheme="dark")
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.reload()
    assert scheme(page) == "slate"
    page.emulate_media(color_scheme="light")
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "default")

    page.locator(".frame-night-foot").click()
    assert scheme(page) == "slate"
    page.reload()
    assert scheme(page) == "slate"
    expect(page.locator(".frame-night-foot")).to_have_attribute("aria-pressed", "true")
    page.emulate_media(color_scheme="dark")
    page.emulate_media(color_scheme="light")
    assert scheme(page) == "slate"
    # What the device has anyway is no choice: it leads again.
    page.locator(".frame-night-foot").click()
    assert scheme(page) == "default"
    page.emulate_media(color_scheme="dark")
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")


CONTRAST = """node => {
  const of = (color) => color.match(/[\\d.]+/g).map(Number);
  const light = (color) => {
    const [r, g, b] = of(color).map((one) => one / 255).map((one) =>
      one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  let below = node;
  while (below && /, 0\\)$|transparent/.test(getComputedStyle(below).backgroundColor)) below = below.parentElement;
  const [one, two] = [getComputedStyle(node).color, below ? getComputedStyle(below).backgroundColor : "rgb(255,255,255)"].map(light);
  return (Math.max(one, two) + 0.05) / (Math.min(one, two) + 0.05);
}"""


@pytest.mark.parametrize("color_scheme", ["light", "dark"])
def test_figures_are_plain_in_the_sun_too(regulars: Regulars, color_scheme: str):
    """At least 7:1 for every figure, so that no theme of its own is needed for sunlight."""
    tab = regulars.tab(color_scheme=color_scheme)
    low: dict[str, float] = {}
    for path in ("", METHOD, "limits/", LOCOMOTIVE):
        page = tab.open(path)
        for figure in page.locator(
            ".md-content :is(.figure, .twelve td, .headline-figure, td[data-result])"
        ).all()[:60]:
            ratio = float(figure.evaluate(CONTRAST))
            if ratio < FIGURES_CONTRAST:
                low[f"{path} {figure.inner_text()[:30]}"] = ratio
    assert low == {}


# --- words, marks, addresses


def test_the_frame_has_its_own_words_and_no_address_of_a_reserved_name(phone: Tab):
    page = phone.open(METHOD)
    assert page.locator("link[rel=canonical], link[rel=prev], link[rel=next]").count() == 0
    text = page.content()
    for words in ("reference.example", "Table of contents", "Back to top", "Skip to content", "¶"):
        assert words not in text


def test_marks_behind_headings_are_not_for_fingers(touch: Tab, phone: Tab):
    page = touch.open(METHOD)
    assert not [mark for mark in page.locator("h2 .headerlink").all() if mark.is_visible()]
    page = touch.open("limits/")
    expect(page.locator("#air-flow .headerlink")).to_be_visible()
    expect(phone.open(METHOD).locator("h2 .headerlink").first).to_be_visible()


def test_going_to_a_circuit_leaves_the_console_clean(phone: Tab):
    page = phone.open("circuits/")
    page.evaluate("() => { window.mark = 1 }")
    page.locator(".md-content a", has_text="Service application").first.click()
    expect(page.locator("h1")).to_contain_text("Service application")
    expect(page.locator("brake-circuit")).to_have_attribute("data-live", "yes")
    assert page.evaluate("() => window.mark") == 1
    assert phone.complaints == []


# --- lists and tables


@pytest.mark.parametrize(
    ("path", "words", "entry"),
    [
        ("limits/", "air flow 60", "#air-flow"),
        ("glossary/", "bogie", "#truck"),
        ("about/sources/", "232.205", ".limits > li"),
    ],
)
def test_a_long_list_is_filtered_as_one_types(phone: Tab, path: str, words: str, entry: str):
    page = phone.open(path)
    every = page.locator(".limits > li, .terms > div")
    count = every.count()
    page.locator("list-filter input").fill(words)
    expect(page.locator(".list-filter-state")).to_have_text(re.compile(rf"^\d+ of {count}$"))
    shown = page.locator(":is(.limits > li, .terms > div):not([hidden])")
    assert 0 < shown.count() < count / 3
    expect(page.locator(entry).locator("visible=true").first).to_be_visible()
    assert violations(page) == []
    page.locator("list-filter input").fill("")
    expect(shown).to_have_count(count)


def test_no_text_is_small(phone: Tab):
    small: dict[str, list[str]] = {}
    for path in ("", METHOD, "limits/", "glossary/", "my-railroad/", "learn/", "parts/pipe-16/"):
        page = phone.open(path)
        found = page.locator("body").evaluate(
            """(body, least) => {
              const seen = new Set();
              const walk = document.createTreeWalker(body, NodeFilter.SHOW_TEXT);
              while (walk.nextNode()) {
                const box = walk.currentNode.parentElement;
                if (!walk.currentNode.data.trim() || !box.checkVisibility()) continue;
                if (box.closest('script, style, svg, sup, sub, .for-readers')) continue;
                if (parseFloat(getComputedStyle(box).fontSize) < least) seen.add(`${box.className || box.tagName}: ${walk.currentNode.data.trim().slice(0, 30)}`);
              }
              return [...seen];
            }""",
            LEAST_TEXT_PX,
        )
        if found:
            small[path] = found
    assert small == {}


# --- what changed since the copy that the device had


def test_what_changed_is_told_until_it_is_read(newcomer: Callable[..., Tab]):
    tab = newcomer(viewport=NARROW, service_workers="block")
    page = tab.open(METHOD)
    notice = page.get_by_role("complementary", name="What changed")
    expect(page.locator(".copy-status-live")).to_be_attached()
    expect(notice).to_have_count(0)
    kept = "() => localStorage.getItem('entries of the history')"
    assert wait_for(lambda: page.evaluate(kept))
    here = int(page.locator(".copy-status").get_attribute("data-entries") or 0)
    page.evaluate(
        "now => localStorage.setItem('entries of the history', JSON.stringify({before: 0, now, told: true}))",
        here - 2,
    )

    tab.open(METHOD)
    expect(notice).to_contain_text("2 things changed since the copy you had.")
    box = notice.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] == NARROW["height"]
    notice.get_by_role("link", name="See what changed").click()

    expect(page.locator("h1")).to_contain_text("What changed")
    expect(page.locator(".since")).to_have_count(2)
    expect(notice).to_have_count(0)
    tab.open(METHOD)
    expect(page.locator(".copy-status-live")).to_be_attached()
    expect(notice).to_have_count(0)
