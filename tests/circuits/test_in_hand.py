"""Circuits as they are used: own units, keys alone, thumbs, no signal, links that are wrong."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Locator, Page, Playwright, expect

from calculators.answering.answer import answer
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.circuits.catalog import CIRCUITS
from calculators.rendering.circuit.moments import moments, story_in
from generator.serving import SiteServer
from tests.browser.conftest import PHONE, SITE, Regulars, Tab
from tests.circuits.asked import every_stage
from tests.circuits.on_page import (
    CIRCUIT,
    SERVICE,
    answered,
    choose,
    element,
    followed,
    module_frames,
    open_sheet,
    status,
)
from tests.support.visitor import Visitor, wait_until_live, wait_until_ready

pytestmark = pytest.mark.browser

# Widths and places of letters are measured by the browser; a hair of overlap is none. [px]
HAIR = 1.0


def with_settings(tab: Tab, **texts: str) -> Tab:
    """A phone whose railroad has been told."""
    record = json.dumps(json.dumps(texts))
    tab.page.add_init_script(f"localStorage.setItem('my-railroad', {record})")
    return tab


def bare_number(text: str) -> bool:
    return bool(re.fullmatch(r"[\d.]+", text.strip()))


# --- The user's own unit --------------------------------------------------------------------------


@pytest.mark.parametrize("unit", ["kPa", "bar"])
def test_every_figure_of_a_circuit_is_in_the_railroads_unit(phone: Tab, unit: str):
    """No bare psi figure stands beside a label that says another unit."""
    page = with_settings(phone, pressure_unit=unit, brake_pipe_setting="80 psi").open(SERVICE)
    answered(page)
    entries = {"circuit": "service-application", "brake_pipe_setting": "80", "pressure_unit": unit}
    frames = module_frames(**entries)["frames"]
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_have_text(frames[-1]["status"])
    assert unit in frames[-1]["status"]
    for place in (".gauges", ".circuit-steps", ".circuit-picture"):
        shown = element(page).locator(place).text_content() or ""
        assert unit in shown, place
        assert not re.search(r"\d psi\b", shown), place

    element(page).locator(".circuit-settings > summary").click()
    fields = element(page).locator("form.asking [data-pressure]")
    expect(fields.first).to_be_visible()
    labels = element(page).locator("[data-unit-label]").all_text_contents()
    assert set(labels) == {unit}
    inputs = {item.name: item for item in answer(CIRCUIT, entries).inputs}
    checked = 0
    for field in fields.all():
        name, text = field.get_attribute("name") or "", field.input_value()
        if not text:
            continue
        # A text is what a person would have typed: with the unit beside it, or with its own.
        typed = f"{text} {unit}" if bare_number(text) else text
        again = answer(CIRCUIT, {name: typed, "pressure_unit": unit})
        value = next(item.value for item in again.inputs if item.name == name)
        assert value == pytest.approx(inputs[name].value, abs=0.01), (name, text)
        checked += 1
    assert checked >= 8


def test_a_step_of_the_handle_suits_the_unit(phone: Tab):
    page = with_settings(phone, pressure_unit="bar").open(SERVICE)
    answered(page)
    field = element(page).locator(".handles input[name=reduction]")
    before = float(field.input_value())
    open_sheet(page)
    element(page).locator("[data-more=reduction]").click()
    answered(page)
    assert float(field.input_value()) == pytest.approx(before + 0.1, abs=1e-3)
    element(page).locator("[data-step]").press("End")
    entries = {"circuit": "service-application", "pressure_unit": "bar"}
    wanted = module_frames(**entries, reduction=f"{field.input_value()} bar")["frames"][-1]
    expect(status(page)).to_have_text(wanted["status"])


def kilopascals(page: Page) -> list[float]:
    return [float(figure) for figure in re.findall(r"(\d+) kPa", status(page).text_content() or "")]


def test_going_on_keeps_the_unit(phone: Tab):
    """The state that a move starts from stands in fields too: in the unit beside them."""
    page = with_settings(phone, pressure_unit="kPa").open(SERVICE)
    answered(page)
    element(page).locator("[data-step]").press("End")
    stood = kilopascals(page)
    element(page).locator(".circuit-settings > summary").click()
    expect(element(page).locator("form.asking input").first).to_be_visible()
    element(page).locator("button", has_text="Go on from here").click()
    answered(page)
    # What stood is made again by the moves that led there, not kept: within 0.4 psi.
    assert kilopascals(page) == pytest.approx(stood, abs=3)
    text = element(page).locator("form.asking input[name=from_reduction]").input_value()
    assert float(text) == pytest.approx(10 * 6.894757, abs=0.5)


# --- By keys alone --------------------------------------------------------------------------------


def reach(page: Page, selector: str, *, most: int = 60) -> None:
    """Go on with the tabulator until a control has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("wanted => document.activeElement?.matches(wanted) ?? false", selector):
            return
    raise AssertionError(f"the tabulator does not come to {selector}")


def test_a_whole_circuit_by_keys_alone(phone: Tab):
    page = phone.open("circuits/bail-off/")
    expect(element(page)).to_have_attribute("data-live", "yes")
    reach(page, "brake-circuit [data-step]")
    page.keyboard.press("Home")
    first = module_frames(circuit="bail-off")["frames"]
    expect(status(page)).to_have_text(first[0]["status"])
    reach(page, "brake-circuit [data-do=next]")
    page.keyboard.press("Enter")
    expect(status(page)).to_have_text(first[1]["status"])
    focused = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert focused != "none"

    reach(page, "brake-circuit [data-do=sheet]")
    page.keyboard.press("Enter")
    expect(element(page)).to_have_attribute("data-sheet", "open")
    expect(element(page).locator(".handles input[name=stage]:checked")).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    answered(page)
    expect(element(page).locator(".handles input[name=stage]:checked")).to_have_value("3")
    reach(page, "brake-circuit .handles input[name=bail_off]")
    reach(page, "brake-circuit .handles input[name=cut_off]")
    page.keyboard.press("ArrowUp")  # round to OUT
    expect(element(page).locator(".handles input[value=out]")).to_be_checked()
    expect(element(page).locator(".circuit-warnings")).to_contain_text("Cut OUT")
    reach(page, "brake-circuit [data-do=go-on]")
    page.keyboard.press("Space")
    answered(page)
    reach(page, "brake-circuit [data-do=start-over]")
    page.keyboard.press("Enter")
    expect(element(page)).to_have_attribute("data-state", "prerendered")


# --- By thumb -------------------------------------------------------------------------------------


@pytest.fixture
def thumb(regulars: Regulars) -> Tab:
    return regulars.tab(has_touch=True, is_mobile=True)


def test_stepping_and_handles_by_thumb(thumb: Tab):
    page = thumb.open("circuits/emergency-from-handle/")
    expect(element(page)).to_have_attribute("data-live", "yes")
    frames = module_frames(circuit="emergency-from-handle")["frames"]
    number = int(element(page).locator("[data-step]").input_value())
    element(page).locator("[data-do=next]").tap()
    expect(status(page)).to_have_text(frames[number + 1]["status"])
    element(page).locator("[data-do=back]").tap()
    expect(status(page)).to_have_text(frames[number]["status"])
    open_sheet(page)
    element(page).get_by_text("2. Handle to release").tap()
    answered(page)
    element(page).locator("[data-step]").press("End")
    last = module_frames(circuit="emergency-from-handle", stage="2")["frames"][-1]
    expect(status(page)).to_have_text(last["status"])
    element(page).locator(".choice", has_text="suppression").tap()
    expect(element(page).locator(".handles input[value=suppression]")).to_be_checked()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert thumb.complaints == []


def test_the_step_and_its_buttons_stay_in_sight_over_the_picture(thumb: Tab):
    page = thumb.open(SERVICE)
    expect(element(page)).to_have_attribute("data-live", "yes")
    for _ in range(3):
        element(page).locator("[data-do=next]").click()
    expect(element(page).locator(".step-now")).to_contain_text("Up to step ")
    view = element(page).locator(".circuit-view")
    view.evaluate("view => view.scrollIntoView({ block: 'start' })")
    for part in (".circuit-status", ".step-now", "[data-do=next]"):
        box = element(page).locator(part).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= PHONE["height"], part
    bar = element(page).locator(".stepper").bounding_box()
    assert bar is not None
    assert bar["height"] <= PHONE["height"] / 3.5


def test_the_picture_stays_beside_the_handles_on_a_desk(regulars: Regulars):
    page = regulars.tab({"width": 1280, "height": 900}).open(SERVICE)
    expect(element(page)).to_have_attribute("data-live", "yes")
    element(page).locator(".choice", has_text="OUT").scroll_into_view_if_needed()
    cylinder = element(page).locator("[id$=-part-brake_cylinder]").bounding_box()
    assert cylinder is not None
    assert 0 < cylinder["y"] < 900 - cylinder["height"]


# --- Without a server -----------------------------------------------------------------------------


def test_circuits_with_the_server_stopped(playwright: Playwright, tmp_path):
    """One visit, then no server and a browser started anew: pictures, moves and links go on.

    Three of them: one Python answers them all, and `test_every_page` opens every page from the device.
    """
    with Visitor(playwright, tmp_path / "profile") as visitor:
        with SiteServer(SITE) as server:
            wait_until_ready(visitor.open(server.url))
            root = server.url
        visitor.restart()
        for circuit in list(CIRCUITS.values())[::5]:
            page = visitor.open(f"{root}circuits/{circuit.id}/?circuit={circuit.id}&moment=0")
            answered(page)
            frames = module_frames(circuit=circuit.id)["frames"]
            expect(status(page)).to_have_text(frames[0]["status"])
        page = visitor.open(f"{root}{SERVICE}")
        wait_until_live(page)
        choose(page, "handle", "emergency")
        answered(page)
        element(page).locator("[data-step]").press("End")
        last = module_frames(circuit="service-application", handle="emergency")["frames"][-1]
        expect(status(page)).to_have_text(last["status"])
        assert visitor.errors == []


# --- Links ----------------------------------------------------------------------------------------


LAST_MOVES = {circuit: number for circuit, number in every_stage if number != "1"}


@pytest.mark.parametrize("stage", LAST_MOVES.items(), ids="-".join)
def test_the_last_move_has_a_link(phone: Tab, stage: tuple[str, str]):
    circuit, number = stage
    page = phone.open(f"circuits/{circuit}/?v=1&circuit={circuit}&stage={number}&moment=")
    answered(page)
    last = module_frames(circuit=circuit, stage=number)["frames"][-1]
    expect(status(page)).to_have_text(last["status"])
    expect(element(page).locator(".handles input[name=stage]:checked")).to_have_value(number)


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("reduction=500", "between 0 and 130"),
        ("reduction=120", "no more than that can come off"),
        ("stage=9", "between 1 and 3"),
        ("stage=2", "has 1"),
        ("handle=sideways", "sideways"),
        ("moment=tomorrow", "tomorrow"),
    ],
)
def test_a_link_that_cannot_be_used_is_refused_by_name(phone: Tab, query: str, said: str):
    page = phone.open(f"{SERVICE}?{query}")
    expect(element(page)).to_have_attribute("data-state", "refused")
    expect(element(page).locator(".state")).to_contain_text(said)
    expect(page.locator("svg.circuit-picture")).to_be_visible()
    assert phone.complaints == []


def test_a_link_with_markup_and_strangers_is_only_text(phone: Tab):
    page = phone.open(f"{SERVICE}?nothing=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E&reduction=12")
    expect(element(page)).to_have_attribute("data-state", "refused")
    expect(element(page).locator(".state")).to_contain_text('knows no field "nothing"')
    assert element(page).locator("img").count() == 0
    assert phone.complaints == []


def test_a_link_for_another_circuit_is_refused_by_name(phone: Tab):
    page = phone.open(f"{SERVICE}?circuit=hauled-dead")
    expect(element(page)).to_have_attribute("data-state", "refused")
    expect(element(page).locator(".state")).to_contain_text('another circuit, "hauled-dead"')


# --- The lettering --------------------------------------------------------------------------------

# Only the texts change from one moment to the next: lines and symbols are measured once a page.
_CLASHES = """
([base, sets, hair]) => {
  const id = document.querySelector("brake-circuit").id;
  const svg = document.querySelector("brake-circuit svg.circuit-picture");
  const sheet = svg.getBoundingClientRect();
  const scale = svg.viewBox.baseVal.width / sheet.width;
  const stretches = [...svg.querySelectorAll(".joint .line")].flatMap((line) => {
    const points = [...line.points].map(({ x, y }) => ({ x, y }));
    return points.slice(1).map((end, k) => {
      const start = points[k], half = 1.5 / scale;
      return {
        name: line.parentNode.id,
        left: sheet.left + Math.min(start.x, end.x) / scale - half,
        right: sheet.left + Math.max(start.x, end.x) / scale + half,
        top: sheet.top + Math.min(start.y, end.y) / scale - half,
        bottom: sheet.top + Math.max(start.y, end.y) / scale + half,
      };
    });
  });
  const squares = [...svg.querySelectorAll(".symbol .body")]
    .map((body) => body.getBoundingClientRect());
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > hair &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > hair;
  const put = (texts) => {
    for (const [key, text] of Object.entries(texts)) {
      const place = document.getElementById(`${id}-${key}`);
      if (place) place.textContent = text;
    }
  };
  const clashes = () => {
    const found = [];
    const texts = [...svg.querySelectorAll("text")].filter((text) => text.textContent);
    // The box of a text holds its leading too; letters stand within it.
    const boxes = texts.map((text) => {
      const box = text.getBoundingClientRect();
      const lead = box.height * 0.16;
      return { name: text.textContent, left: box.left, right: box.right,
               top: box.top + lead, bottom: box.bottom - lead };
    });
    boxes.forEach((box, n) => {
      if (box.left < sheet.left || box.right > sheet.right + hair) found.push(`cut off: ${box.name}`);
      boxes.slice(n + 1).forEach((other) => {
        if (meet(box, other)) found.push(`${box.name} / ${other.name}`);
      });
      for (const stretch of stretches) {
        if (meet(box, stretch)) found.push(`line ${stretch.name} through: ${box.name}`);
      }
      for (const square of squares) {
        const inside = box.left >= square.left - hair && box.right <= square.right + hair &&
          box.top >= square.top - hair && box.bottom <= square.bottom + hair;
        if (!inside && meet(box, square)) found.push(`symbol under: ${box.name}`);
      }
    });
    return [...new Set(found)];
  };
  return { measured: [svg.querySelectorAll("text").length, stretches.length, squares.length],
           found: sets.map((texts) => { put({ ...base, ...texts }); return clashes(); }) };
}
"""


def test_no_label_meets_another_or_a_line_or_the_edge(phone: Tab):
    """Measured by the browser, for every picture of every move of every circuit, in every unit."""
    wrong: dict[str, list[str]] = {}
    page = phone.page
    for circuit, number in every_stage:
        if number == "1":
            page = phone.open(f"circuits/{circuit}/")
            expect(element(page)).to_have_attribute("data-live", "yes")
        story = story_in(followed(circuit=circuit, stage=number))
        for unit in PRESSURE_UNITS:
            told = moments(story, Display(pressure=unit))
            # As many pictures have the same texts, each set is measured once.
            shown = {json.dumps(frame["texts"]): frame["texts"] for frame in told["frames"]}
            sets = list(shown.values())
            seen = page.evaluate(_CLASHES, [told["base"]["texts"], sets, HAIR])
            assert min(seen["measured"]) > 10
            for texts, found in zip(sets, seen["found"], strict=True):
                if found:
                    wrong[f"{circuit} {number} {unit} {texts}"] = found
    assert wrong == {}


# --- On paper -------------------------------------------------------------------------------------


def test_on_paper_the_sheet_is_light_and_whole(regulars: Regulars):
    page = regulars.tab(color_scheme="dark").open(SERVICE)
    expect(element(page)).to_have_attribute("data-live", "yes")
    page.emulate_media(media="print", color_scheme="dark")
    for part in (".circuit-picture", ".gauges", ".circuit-steps", ".circuit-status", ".caution"):
        expect(element(page).locator(part).first).to_be_visible()
    for part in (".step-buttons", ".handles", ".circuit-settings"):
        expect(element(page).locator(part)).to_be_hidden()
    for what in (".circuit-picture .part-name", ".circuit-steps > li", ".circuit-status"):
        place = element(page).locator(what).first
        kind = "fill" if "picture" in what else "color"
        colors = []
        for event in ("beforeprint", "afterprint"):
            page.evaluate("event => dispatchEvent(new Event(event))", event)
            colors.append(place.evaluate("(place, kind) => getComputedStyle(place)[kind]", kind))
        on_paper, on_screen = (sum(map(int, re.findall(r"\d+", color)[:3])) for color in colors)
        assert on_paper < 3 * 0x60 < 3 * 0xA0 < on_screen, (what, colors)


# --- The picture in the window --------------------------------------------------------------------


@pytest.mark.parametrize(
    "size",
    [
        PHONE,
        {"width": 320, "height": 640},
        {"width": 800, "height": 360},
        {"width": 1280, "height": 900},
    ],
    ids=["phone", "narrow", "on-its-side", "desk"],
)
def test_picture_and_steps_fit_the_window(regulars: Regulars, size: dict[str, int]):
    """The picture's box and the step buttons are in sight together, its letters 11 px at least."""
    page = regulars.tab(size).open(SERVICE)
    wait_until_live(page)
    view = element(page).locator(".circuit-view")
    view.evaluate("view => view.scrollIntoView({ block: 'end' })")
    page.wait_for_timeout(100)
    box, bar = view.bounding_box(), element(page).locator(".step-buttons").first.bounding_box()
    letters = (
        element(page)
        .locator(".circuit-picture text")
        .evaluate_all(
            """texts => {
          const svg = texts[0].ownerSVGElement;
          const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
          return Math.min(...texts.map(text => parseFloat(getComputedStyle(text).fontSize) * scale));
        }"""
        )
    )
    wide = page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert box is not None
    assert bar is not None
    assert box["height"] <= size["height"]
    assert 0 <= bar["y"] <= size["height"] - bar["height"]
    assert letters >= 11.0
    assert wide


def test_what_moves_is_followed_in_its_box(thumb: Tab):
    page = thumb.open(SERVICE)
    wait_until_live(page)
    view = element(page).locator(".circuit-view")
    assert view.evaluate("view => view.scrollTop") == 0
    element(page).locator("[data-step]").press("End")
    element(page).locator("[data-step]").press("ArrowLeft")
    page.wait_for_timeout(800)
    inside = view.evaluate(
        """view => {
          const frame = view.getBoundingClientRect();
          return [...view.querySelectorAll('.flow-forward, .flow-backward')].some(e => {
            const box = e.getBoundingClientRect();
            const middle = box.top + box.height / 2;
            return middle > frame.top && middle < frame.bottom;
          });
        }"""
    )
    assert inside


def test_play_stop_and_share_without_scrolling(regulars: Regulars):
    """From the list of circuits: choose one, play, stop, share; each button is in sight.

    The panel that opens hands the moment on; the device's own list of apps is one tap further.
    """
    tab = regulars.tab(has_touch=True, is_mobile=True)
    tab.page.add_init_script("navigator.share = data => { window.shared = data; }")
    page = tab.open(SERVICE)
    wait_until_live(page)
    taps = 1
    for button in ("[data-do=play]", "[data-do=play]", "[data-do=share]"):
        place = element(page).locator(button).first
        box = place.bounding_box()
        assert box is not None
        assert 0 <= box["y"] <= PHONE["height"] - box["height"], button
        place.tap()
        taps += 1
    panel = page.get_by_role("dialog")
    expect(panel.locator("svg").first).to_be_visible()
    assert taps <= 4
    panel.get_by_role("button", name="Other apps").tap()
    page.wait_for_function("() => window.shared")
    shared = page.evaluate("window.shared")
    assert "circuits/service-application/?" in shared["url"]


def test_what_follows_can_be_hidden(phone: Tab):
    page = phone.open(SERVICE)
    wait_until_live(page)
    steps = element(page).locator(".circuit-steps > li")
    expect(steps.last).to_be_visible()
    element(page).get_by_role("button", name="Hide what follows").click()
    expect(steps.last).to_be_hidden()
    element(page).locator("[data-step]").press("End")
    expect(steps.last).to_be_visible()


def test_the_sheet_opens_over_the_picture_and_closes(thumb: Tab):
    page = thumb.open(SERVICE)
    wait_until_live(page)
    open_sheet(page)
    sheet = element(page).locator(".operating").bounding_box()
    assert sheet is not None
    assert sheet["y"] >= PHONE["height"] * 0.4
    page.keyboard.press("Escape")
    expect(element(page).locator(".operating")).to_be_hidden()
    expect(element(page).locator("[data-do=sheet]")).to_be_focused()


# Long enough under way that somebody can stop it.
LONG = "circuits/charging/?v=1&circuit=charging&cars=200&leakage=1"


def stop_key(page: Page, name: str) -> Locator:
    return element(page).get_by_role("button", name=name, exact=True)


def first_moments_only(page: Page) -> None:
    """What was shown when it was stopped is still there, and called that."""
    state = element(page).locator(".state")
    expect(state).to_contain_text("Stopped")
    frames = element(page).locator("[data-step]").get_attribute("max")
    page.wait_for_timeout(2500)
    assert element(page).locator("[data-step]").get_attribute("max") == frames
    expect(state).to_contain_text("Stopped")
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_contain_text("the move is not over")


def test_a_following_is_stopped_by_key_and_taken_up_again(phone: Tab):
    page = phone.open(LONG)
    expect(element(page).locator(".state")).to_contain_text("so far")
    stop_key(page, "Stop following").press("Enter")
    answered(page)
    expect(element(page).locator(".state")).to_contain_text("Stopped after")
    expect(stop_key(page, "Follow to rest")).to_be_focused()
    first_moments_only(page)
    element(page).get_by_role("button", name="Go on from here").click()
    expect(element(page).locator(".state")).to_contain_text("followed to rest")
    stop_key(page, "Follow to rest").press("Space")
    expect(element(page)).to_have_attribute("data-state", "following")
    stop_key(page, "Stop following").press("Space")
    answered(page)
    # The worker is free again, and a move that is followed to its end needs no such key.
    choose(page, "handle", "emergency")
    expect(element(page)).to_have_attribute("data-state", "answered")
    assert phone.complaints == []


@pytest.mark.inside
def test_a_following_is_stopped_by_thumb_within_the_first_screen(thumb: Tab):
    page = thumb.open(LONG)
    expect(element(page)).to_have_attribute("data-state", "following")
    key = stop_key(page, "Stop following")
    box = key.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    assert 0 <= box["y"] <= PHONE["height"] - box["height"]
    key.tap()
    answered(page)
    first_moments_only(page)


def test_without_a_following_there_is_no_key_that_ends_one(phone: Tab):
    page = phone.open(SERVICE)
    wait_until_live(page)
    expect(stop_key(page, "Stop following")).to_be_hidden()
    expect(stop_key(page, "Follow to rest")).to_be_hidden()
