"""The answer first: taps, keys and screens counted, as a hand at the track side would need them.

Nothing here opens a group beforehand, and nothing is scrolled to: what is tapped must be in sight.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from calculators.catalog import CALCULATORS
from generator.serving import SiteServer
from tests.browser.conftest import PHONE, SITE
from tests.browser.test_accessibility import violations
from tests.support.visitor import PATIENCE_MS

pytestmark = pytest.mark.browser

LOCOMOTIVE = "calculators/locomotive-brake/"
START_MS = 60_000
SIZES = {
    "narrow": {"width": 320, "height": 640},
    "phone": PHONE,
    "low": {"width": 800, "height": 360},
    "desk": {"width": 1280, "height": 900},
}


@dataclass
class Hand:
    """Counts what a hand does on a page, and touches only what is in sight."""

    page: Page
    taps: int = 0
    keys: int = 0
    touched: list[str] = field(default_factory=list)

    def tap(self, place: Locator) -> None:
        assert in_sight(place), f"{place} is not in sight"
        place.tap()
        self.taps += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.keys += len(text)


def in_sight(place: Locator) -> bool:
    """Whether a place is inside the window with nothing over it."""
    seen: bool = place.evaluate(
        """e => {
          const box = e.getBoundingClientRect();
          if (!box.width || box.top < 0 || box.bottom > innerHeight + 1) return false;
          const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
          return e === top || e.contains(top) || (top?.contains(e) ?? false);
        }"""
    )
    return seen


def fresh(browser: Browser, size: dict[str, int], **options: object) -> BrowserContext:
    context = browser.new_context(
        viewport=size,  # type: ignore[arg-type]
        has_touch=True,
        service_workers="block",
        **options,  # type: ignore[arg-type]
    )
    context.set_default_timeout(PATIENCE_MS)
    return context


@pytest.fixture
def touch(browser: Browser) -> Iterator[Page]:
    """A phone without own settings, on which no group was ever opened."""
    context = fresh(browser, PHONE)
    yield context.new_page()
    context.close()


def figure(page: Page, name: str) -> Locator:
    return page.locator(f"[data-own-page] [data-figure={name}]")


# --- Tasks ----------------------------------------------------------------------------------------


def test_twelve_off_eighty_five_in_three_taps_and_five_keys(touch: Page, served: SiteServer):
    touch.goto(served.url)
    hand = Hand(touch)
    hand.tap(touch.locator('article a[href*="locomotive-brake"]').first)
    expect(touch.locator("brake-calculator[data-live]")).to_be_attached()
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


def test_rear_and_flow_judged_in_four_taps_and_five_keys(touch: Page, served: SiteServer):
    """From the brake test's page; the way there from the home page is one more tap."""
    touch.goto(f"{served.url}calculators/brake-test/")
    hand = Hand(touch)
    hand.taps += 1
    expect(touch.locator("brake-calculator[data-live]")).to_be_attached()
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


def test_a_bad_rear_reads_as_bad_in_the_first_line(touch: Page, served: SiteServer):
    touch.goto(f"{served.url}calculators/rear-pressure/?rear=68&brake_pipe_setting=80")
    bar = touch.locator(".standing-line")
    expect(bar).to_contain_text("7 psi under the least of 75 psi", timeout=START_MS)
    assert bar.get_attribute("data-standing") == "not within"
    assert in_sight(bar)
    expect(touch.locator(".answer-headline")).to_contain_text("Not within")


def test_five_point_nine_bar_in_two_taps(touch: Page, served: SiteServer):
    touch.goto(f"{served.url}calculators/full-service-figures/")
    expect(touch.locator("brake-calculator[data-live]")).to_be_attached()
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


def test_the_handle_and_the_bail_off_are_one_tap_each(touch: Page, served: SiteServer):
    touch.goto(served.url + LOCOMOTIVE)
    expect(touch.locator("brake-calculator[data-live]")).to_be_attached()
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


def test_the_gauge_reads_something_else(touch: Page, served: SiteServer):
    touch.goto(f"{served.url}{LOCOMOTIVE}?reduction=12&brake_pipe_setting=85")
    expect(figure(touch, "brake_cylinder")).to_have_text("30 psi", timeout=START_MS)
    hand = Hand(touch)
    hand.tap(touch.locator("[data-differs=brake_cylinder]"))
    expect(touch.locator(".differs input")).to_be_focused()
    hand.type("0")
    said = touch.locator(".differs-answer")
    expect(said).to_contain_text("30 psi less")
    expect(said).to_contain_text("handle pressed and held instead of not used")
    link = said.get_by_role("link")
    response = touch.request.get(link.evaluate("link => link.href"))
    assert response.ok
    touch.get_by_role("button", name="Close").tap()
    expect(touch.locator(".differs")).to_be_hidden()
    expect(touch.locator("[data-differs=brake_cylinder]")).to_be_focused()


# --- The page -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["locomotive-brake", "car-brake", "rear-pressure"])
def test_answer_keys_and_line_on_the_first_screen(touch: Page, served: SiteServer, name: str):
    touch.goto(f"{served.url}calculators/{name}/")
    places = [".asked", ".big-figures", ".rest > summary"]
    places += [f"[id$='-{key.field}']" for key in CALCULATORS[name].first.keys]
    for place in places:
        box = touch.locator(f"[data-own-page] {place}").first.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= PHONE["height"], place


def test_calculator_pages_are_four_screens_at_most_on_average(touch: Page, served: SiteServer):
    screens = {}
    for name in CALCULATORS:
        touch.goto(f"{served.url}calculators/{name}/")
        height = touch.evaluate("document.documentElement.scrollHeight")
        screens[name] = height / PHONE["height"]
    assert sum(screens.values()) / len(screens) <= 4.0, screens


def test_groups_stay_as_they_were_left(touch: Page, served: SiteServer):
    touch.goto(served.url + LOCOMOTIVE)
    working = touch.locator("details[data-group=working]")
    expect(working).not_to_have_attribute("open", "")
    working.locator("summary").tap()
    touch.get_by_role("button", name="Reduction 20").tap()
    expect(figure(touch, "brake_pipe")).to_have_text("70 psi", timeout=START_MS)
    expect(working).to_have_attribute("open", "")
    touch.goto(f"{served.url}calculators/car-brake/")
    expect(touch.locator("details[data-group=working]")).to_have_attribute("open", "")
    expect(touch.locator("details[data-group=figures]")).not_to_have_attribute("open", "")


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_every_figure_leads_to_its_proof(name: str):
    """The proof is in the built pages: no script, one tap, and an anchor for each figure."""
    page = (SITE / "calculators" / name / "index.html").read_text(encoding="utf-8")
    proof = (SITE / "calculators" / name / "proof" / "index.html").read_text(encoding="utf-8")
    for result in CALCULATORS[name].outputs():
        assert re.search(rf'href="[^"]*proof/#figure-{result}"', page), result
        assert f'id="figure-{result}"' in proof
    for words in ("Where the answer holds", "What it leaves out", "Every input", "Sources"):
        assert words in proof
    assert 'class="published"' in proof
    # Old links to the two sections find the way there.
    assert 'id="checked-against"' in page
    assert 'id="the-declaration"' in page


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ["locomotive-brake", "brake-test", "stopping-distance"])
def test_nothing_sticks_out_and_no_focus_is_hidden(
    browser: Browser, served: SiteServer, size: str, name: str
):
    context = fresh(browser, SIZES[size])
    page = context.new_page()
    page.goto(f"{served.url}calculators/{name}/")
    expect(page.locator("brake-calculator[data-live]")).to_be_attached()
    page.locator(".rest > summary").click()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    hidden = []
    page.locator("[data-own-page] [name]").first.focus()
    for _ in range(60):
        page.keyboard.press("Tab")
        page.wait_for_timeout(20)
        inside = page.evaluate(
            "document.activeElement?.closest('[data-own-page]') ? document.activeElement.outerHTML.slice(0, 80) : ''"
        )
        if not inside:
            break
        if not page.evaluate(
            """() => {
              const e = document.activeElement;
              const box = (e.closest('.big-key') ?? e).getBoundingClientRect();
              const points = [[box.left + 4, box.top + 4], [box.left + box.width / 2, box.top + box.height / 2]];
              return points.some(([x, y]) => {
                const top = document.elementFromPoint(x, y);
                return top && (e === top || e.contains(top) || top.contains(e) || top.closest('.big-key')?.contains(e));
              });
            }"""
        ):
            hidden.append(inside)
    context.close()
    assert hidden == []


def test_at_twice_the_text_nothing_is_cut_off(browser: Browser, served: SiteServer):
    context = fresh(browser, PHONE)
    page = context.new_page()
    page.goto(served.url + LOCOMOTIVE)
    page.evaluate("document.documentElement.style.setProperty('font-size', '250%', 'important')")
    own = page.locator("[data-own-page]")
    assert own.evaluate("e => e.scrollWidth <= e.clientWidth + 1")
    cut = page.locator("[data-own-page] :is(.big-key span, .line-words, .asked)").evaluate_all(
        "all => all.filter(e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth).map(e => e.textContent)"
    )
    context.close()
    assert cut == []


def test_the_bar_sticks_only_where_there_is_room(browser: Browser, served: SiteServer):
    for size, sticks in (("phone", True), ("low", False)):
        context = fresh(browser, SIZES[size])
        page = context.new_page()
        page.goto(served.url + LOCOMOTIVE)
        position = page.locator(".answer-bar").evaluate("e => getComputedStyle(e).position")
        context.close()
        assert (position == "sticky") == sticks, size


def test_a_pressed_key_shows_in_forced_colors(browser: Browser, served: SiteServer):
    context = fresh(browser, PHONE, forced_colors="active")
    page = context.new_page()
    page.goto(served.url + LOCOMOTIVE)
    colors = page.locator(".big-key").evaluate_all(
        "all => all.map(e => [e.matches(':has(:checked)'), getComputedStyle(e).backgroundColor])"
    )
    context.close()
    pressed = {color for checked, color in colors if checked}
    others = {color for checked, color in colors if not checked}
    assert pressed
    assert not pressed & others


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_closed_and_differing_states_by_every_rule(
    browser: Browser, served: SiteServer, scheme: str
):
    context = fresh(browser, PHONE, color_scheme=scheme, reduced_motion="reduce")
    page = context.new_page()
    page.goto(f"{served.url}calculators/brake-test/?rear=60&air_flow=80")
    expect(page.locator("[data-own-page][data-state=answered]")).to_be_attached(timeout=START_MS)
    assert violations(page) == []
    page.goto(served.url + LOCOMOTIVE)
    page.locator("[data-differs=brake_pipe]").click()
    page.keyboard.type("60")
    expect(page.locator(".differs-answer")).to_contain_text("less", timeout=START_MS)
    assert violations(page) == []
    context.close()
