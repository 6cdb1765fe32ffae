"""Fifteen tasks of a hand at the track side: taps, keys and screens counted.

The server is stopped and the page's processor four times slower; the device has no own settings,
no group was ever opened, and nothing is scrolled to: what is tapped must be in sight.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Page, Playwright, expect

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.catalog import CALCULATORS
from generator.serving import SiteServer
from tests.browser.conftest import PHONE, SITE
from tests.support.hand import Hand, figure, in_sight
from tests.support.visitor import Visitor, wait_until_ready
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

LOCOMOTIVE = "calculators/locomotive-brake/"
START_MS = 60_000
SLOWER = 4
# Stands for the device's own list of apps: it keeps what it is given.
SHARES = "navigator.share = (what) => { window.shared = what; return Promise.resolve(); };"


@pytest.fixture(scope="module")
def away(
    playwright: Playwright, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Visitor, str]]:
    """A phone that holds the whole copy, and the address it came from; no server answers there."""
    with Visitor(
        playwright,
        tmp_path_factory.mktemp("phone"),
        left_open=False,
        viewport=PHONE,
        has_touch=True,
    ) as visitor:
        with SiteServer(SITE) as server:
            wait_until_ready(visitor.open(server.url))
            root = server.url
        visitor.restart()
        yield visitor, root


@pytest.fixture
def root(away: tuple[Visitor, str]) -> str:
    return away[1]


@pytest.fixture
def touch(away: tuple[Visitor, str]) -> Iterator[Page]:
    """A page on which nothing was kept or opened, four times slower."""
    visitor, root = away
    page = visitor.open(f"{root}units/", new_tab=True)
    page.evaluate("localStorage.clear()")
    visitor.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    yield page
    page.close()


def live(page: Page) -> None:
    expect(page.locator("brake-calculator[data-live]")).to_be_attached()


def module_says(name: str, result: str, **entries: str) -> str:
    found = answer(CALCULATORS[name], entries)
    return {row.name: row.text for row in result_rows(found)}[result]


def test_twelve_off_eighty_five_in_three_taps_and_five_keys(touch: Page, root: str):
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.locator('article a[href*="locomotive-brake"]').first)
    live(touch)
    hand.tap(touch.get_by_role("button", name="Reduction 12"))
    hand.tap(touch.locator(".rest > summary"))
    expect(touch.locator("[name=brake_pipe_setting]")).to_be_focused()
    hand.type("85")
    expect(figure(touch, "brake_pipe")).to_have_text("73 psi", timeout=START_MS)
    expect(figure(touch, "brake_cylinder")).to_have_text("30 psi")
    expect(touch.locator(".asked")).to_contain_text("12 off 85 psi")
    assert in_sight(figure(touch, "brake_cylinder").locator(".."))
    assert in_sight(touch.locator(".asked"))
    assert hand.taps <= 3
    assert hand.keys <= 5


def test_rear_and_flow_judged_in_four_taps_and_five_keys(touch: Page, root: str):
    """From the brake test's page; the way there from the home page is one more tap."""
    touch.goto(f"{root}calculators/brake-test/")
    hand = Hand(touch)
    hand.taps += 1
    live(touch)
    hand.tap(touch.locator("[name=rear]"))
    hand.type("79")
    hand.tap(touch.locator("[name=air_flow]"))
    hand.type("48")
    rear = touch.locator("[data-beside=rear]")
    flow = touch.locator("[data-beside=air_flow]")
    expect(rear.locator('[data-standing="within"]')).to_have_count(2, timeout=START_MS)
    expect(flow.locator('[data-standing="within"]')).to_have_count(1)
    for place in (rear, flow, touch.locator(".standing-line")):
        assert in_sight(place)
    assert hand.taps <= 4
    assert hand.keys <= 5


def test_a_bad_rear_reads_as_bad_in_the_first_line(touch: Page, root: str):
    touch.goto(f"{root}calculators/rear-pressure/?rear=68&brake_pipe_setting=80")
    bar = touch.locator(".standing-line")
    expect(bar).to_contain_text("7 psi under the least of 75 psi", timeout=START_MS)
    assert bar.get_attribute("data-standing") == "not within"
    assert in_sight(bar)
    expect(touch.locator(".answer-headline")).to_contain_text("Not within")


def test_five_point_nine_bar_in_two_taps(touch: Page, root: str):
    touch.goto(f"{root}calculators/full-service-figures/")
    live(touch)
    hand = Hand(touch)
    hand.tap(touch.locator("[name=brake_pipe_setting]"))
    hand.type("5.9")
    hand.tap(touch.locator("[data-unit-of=brake_pipe_setting]"))
    expect(touch.locator(".asked")).to_contain_text("85.6 psi", timeout=START_MS)
    expect(touch.locator("[id$=brake_pipe_setting-settings]")).to_have_text("Read as 85.6 psi.")
    assert (hand.taps, hand.keys) == (2, 3)
    # The link says it as it was typed, and comes back to the same field.
    assert "brake_pipe_setting=5.9+bar" in urlsplit(touch.url).query
    touch.reload()
    expect(touch.locator("[name=brake_pipe_setting]")).to_have_value("5.9")
    expect(touch.locator("[data-unit-of=brake_pipe_setting]")).to_contain_text("bar")


def test_the_handle_and_the_bail_off_are_one_tap_each(touch: Page, root: str):
    touch.goto(root + LOCOMOTIVE)
    live(touch)
    hand = Hand(touch)
    hand.tap(touch.locator(".big-key", has_text="handle pressed"))
    expect(figure(touch, "brake_cylinder")).to_have_text("0 psi", timeout=START_MS)
    hand.tap(touch.locator(".big-key", has_text="emergency"))
    expect(figure(touch, "brake_pipe")).to_have_text("0 psi")
    # What does not count for this handle is not there to be touched.
    expect(touch.locator("[name=reduction]")).to_be_hidden()
    hand.tap(touch.get_by_role("button", name="Independent brake: more"))
    expect(touch.locator(".asked")).to_contain_text("independent 1 psi")
    assert hand.taps == 3


def test_the_gauge_reads_something_else(touch: Page, root: str):
    touch.goto(f"{root}{LOCOMOTIVE}?reduction=12&brake_pipe_setting=85")
    expect(figure(touch, "brake_cylinder")).to_have_text("30 psi", timeout=START_MS)
    hand = Hand(touch)
    hand.tap(touch.locator("[data-differs=brake_cylinder]"))
    expect(touch.locator(".differs input")).to_be_focused()
    hand.type("0")
    said = touch.locator(".differs-answer")
    expect(said).to_contain_text("30 psi less")
    expect(said).to_contain_text("handle pressed and held instead of not used")
    assert said.get_by_role("link").evaluate("link => link.href").startswith(root)
    touch.get_by_role("button", name="Close").tap()
    expect(touch.locator(".differs")).to_be_hidden()
    expect(touch.locator("[data-differs=brake_cylinder]")).to_be_focused()


def test_what_a_car_feels_is_two_taps_from_home(touch: Page, root: str):
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.locator('a.task[href*="car-brake"]'))
    live(touch)
    hand.tap(touch.get_by_role("button", name="Reduction 15"))
    expect(figure(touch, "brake_cylinder")).to_have_text(
        module_says("car-brake", "brake_cylinder", reduction="15"), timeout=START_MS
    )
    assert in_sight(figure(touch, "brake_cylinder").locator(".."))
    assert hand.taps == 2


def test_three_settings_kept_on_one_screen(touch: Page, root: str):
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.get_by_role("link", name="My railroad"))
    expect(touch.locator(".not-started")).to_have_count(0)
    wanted = {"brake_pipe_setting": "85", "service_limit": "58", "emergency_limit": "70"}
    for key, text in wanted.items():
        hand.tap(touch.locator(f"my-railroad [name={key}]"))
        hand.type(text)
    expect(touch.locator("my-railroad > .state")).to_contain_text("3 settings kept on this device")
    assert json.loads(touch.evaluate("localStorage.getItem('my-railroad')")) == wanted
    assert touch.evaluate("scrollY") == 0
    assert (hand.taps, hand.keys) == (4, 6)


def test_a_circuit_played_stopped_and_shared_in_four_taps(touch: Page, root: str):
    touch.add_init_script(SHARES)
    touch.goto(f"{root}circuits/service-application/")
    expect(touch.locator("brake-circuit[data-live]")).to_be_attached()
    hand = Hand(touch)
    play = touch.locator("[data-do=play]")
    hand.tap(play)
    expect(play).to_have_text("Stop")
    expect(touch.locator("[data-step]")).not_to_have_value("0")
    hand.tap(play)
    expect(play).to_have_text("Play")
    hand.tap(touch.locator("[data-do=share]"))
    hand.tap(touch.get_by_role("button", name="Other apps"))
    touch.wait_for_function("() => window.shared")
    shared = touch.evaluate("window.shared.url")
    assert "circuits/service-application/?" in shared
    assert touch.evaluate("scrollY") == 0
    assert hand.taps <= 4


def test_a_word_is_looked_up_from_home_in_two_taps(touch: Page, root: str):
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.locator(".home-search"))
    expect(touch.locator("#finder input")).to_be_focused()
    hand.type("dump")
    first = touch.locator(".finder-results a").first
    expect(first).to_be_visible(timeout=START_MS)
    hand.tap(first)
    expect(touch.locator("h1")).to_contain_text("mergency", timeout=START_MS)
    assert (hand.taps, hand.keys) == (2, 4)


def test_a_limit_is_found_in_the_list_by_its_filter(touch: Page, root: str):
    touch.goto(f"{root}limits/")
    hand = Hand(touch)
    box = touch.locator("list-filter input")
    expect(box).to_be_enabled()
    hand.tap(box)
    hand.type("air flow")
    expect(touch.locator(".limits > li:not([hidden])").first).to_be_in_viewport()
    expect(box).to_be_in_viewport()
    expect(touch.locator("#air-flow")).to_be_visible()
    expect(touch.locator("#main-reservoir-leakage")).to_be_hidden()
    assert hand.taps == 1


def test_the_lesson_to_go_on_with_is_one_tap(touch: Page, root: str):
    touch.goto(f"{root}learn/")
    touch.locator(".lessons a").nth(1).click()
    expect(touch.locator(".reading-order")).to_contain_text("2 of")
    title = touch.locator("h1").inner_text()
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.locator("[data-home=lesson]"))
    expect(touch.locator("h1")).to_have_text(title)
    assert hand.taps == 1


def test_what_was_used_last_is_one_tap(touch: Page, root: str):
    touch.goto(f"{root}calculators/hand-brakes/")
    live(touch)
    # A page counts as used a moment after it was shown.
    assert wait_for(lambda: touch.evaluate("() => localStorage.getItem('last-used')"))
    touch.goto(root)
    hand = Hand(touch)
    hand.tap(touch.locator("[data-home=last] a").first)
    expect(touch.locator("h1")).to_contain_text("Hand brakes")
    assert hand.taps == 1


def test_hand_brakes_for_another_grade_in_one_tap(touch: Page, root: str):
    touch.goto(f"{root}calculators/hand-brakes/")
    live(touch)
    hand = Hand(touch)
    hand.tap(touch.get_by_role("button", name="Grade 1.5"))
    expect(touch).to_have_url(re.compile(r"[?&]grade=1\.5"), timeout=START_MS)
    asked = dict(parse_qsl(urlsplit(touch.url).query))
    assert asked["grade"] == "1.5"
    del asked["v"]
    number = figure(touch, "number")
    expect(number).to_have_text(module_says("hand-brakes", "number", **asked))
    assert in_sight(number.locator(".."))
    assert hand.taps == 1


def test_which_test_is_due_after_a_car_was_taken_out_is_one_tap(touch: Page, root: str):
    touch.goto(f"{root}calculators/brake-test/")
    live(touch)
    hand = Hand(touch)
    hand.tap(touch.locator(".big-key", has_text="one car or one block removed"))
    due = module_says("brake-test", "test", event="removed")
    expect(touch.locator(".answer-bar")).to_contain_text(due, timeout=START_MS)
    assert hand.taps == 1


def test_back_closes_the_search_and_keeps_the_page(touch: Page, root: str):
    touch.goto(root + LOCOMOTIVE)
    live(touch)
    hand = Hand(touch)
    hand.tap(touch.get_by_role("button", name="Reduction 20"))
    cylinder = figure(touch, "brake_cylinder")
    said = module_says("locomotive-brake", "brake_cylinder", reduction="20")
    expect(cylinder).to_have_text(said, timeout=START_MS)
    hand.tap(touch.get_by_role("button", name="Open the search"))
    expect(touch.locator("#finder input")).to_be_focused()
    touch.go_back()
    expect(touch.locator("#finder")).to_be_hidden()
    expect(cylinder).to_have_text(said)
