"""The answer first: what a page shows before anything is opened or scrolled to, in every window.

What a hand does with it is counted in ``test_tasks``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from calculators.answering.shown import shown_outputs
from calculators.catalog import every_calculator
from generator.serving import SiteServer
from tests.browser.conftest import PHONE, SITE, new_device
from tests.browser.test_accessibility import violations
from tests.support.hand import figure
from tests.support.python_beside import answer_beside

CALCULATORS = every_calculator()

pytestmark = pytest.mark.browser

LOCOMOTIVE = "calculators/locomotive-brake/"
START_MS = 60_000
SIZES = {
    "narrow": {"width": 320, "height": 640},
    "phone": PHONE,
    "low": {"width": 800, "height": 360},
    "desk": {"width": 1280, "height": 900},
}


@pytest.fixture(scope="module")
def device(browser: Browser, served: SiteServer) -> Iterator[BrowserContext]:
    """A phone without a copy of the site; its first page stays open."""
    context = new_device(browser, has_touch=True)
    answer_beside(context)
    context.new_page().goto(served.url)
    yield context
    context.close()


@pytest.fixture
def touch(device: BrowserContext) -> Iterator[Page]:
    """A page of a phone without own settings, on which no group was ever opened."""
    device.pages[0].evaluate("localStorage.clear()")
    page = device.new_page()
    yield page
    page.close()


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
    # What keeps the groups comes with the form's script.
    expect(touch.locator("brake-calculator")).to_have_attribute("data-live", "yes")
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
    for result in shown_outputs(CALCULATORS[name]):
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
    touch: Page, served: SiteServer, size: str, name: str
):
    page = touch
    page.set_viewport_size(SIZES[size])  # type: ignore[arg-type]
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
    assert hidden == []


def test_at_twice_the_text_nothing_is_cut_off(touch: Page, served: SiteServer):
    page = touch
    page.goto(served.url + LOCOMOTIVE)
    page.evaluate("document.documentElement.style.setProperty('font-size', '250%', 'important')")
    own = page.locator("[data-own-page]")
    assert own.evaluate("e => e.scrollWidth <= e.clientWidth + 1")
    cut = page.locator("[data-own-page] :is(.big-key span, .line-words, .asked)").evaluate_all(
        "all => all.filter(e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth).map(e => e.textContent)"
    )
    assert cut == []


def test_the_bar_sticks_only_where_there_is_room(touch: Page, served: SiteServer):
    for size, sticks in (("phone", True), ("low", False)):
        touch.set_viewport_size(SIZES[size])  # type: ignore[arg-type]
        touch.goto(served.url + LOCOMOTIVE)
        position = touch.locator(".answer-bar").evaluate("e => getComputedStyle(e).position")
        assert (position == "sticky") == sticks, size


def test_a_pressed_key_shows_in_forced_colors(touch: Page, served: SiteServer):
    touch.emulate_media(forced_colors="active")
    touch.goto(served.url + LOCOMOTIVE)
    colors = touch.locator(".big-key").evaluate_all(
        "all => all.map(e => [e.matches(':has(:checked)'), getComputedStyle(e).backgroundColor])"
    )
    pressed = {color for checked, color in colors if checked}
    others = {color for checked, color in colors if not checked}
    assert pressed
    assert not pressed & others


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_closed_and_differing_states_by_every_rule(touch: Page, served: SiteServer, scheme: str):
    page = touch
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
    page.goto(f"{served.url}calculators/brake-test/?rear=60&air_flow=80")
    expect(page.locator("[data-own-page][data-state=answered]")).to_be_attached(timeout=START_MS)
    assert violations(page) == []
    page.goto(served.url + LOCOMOTIVE)
    page.locator("[data-differs=brake_pipe]").click()
    page.keyboard.type("60")
    expect(page.locator(".differs-answer")).to_contain_text("less", timeout=START_MS)
    assert violations(page) == []
