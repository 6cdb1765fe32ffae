"""Circuits in a real browser: stepping, handles, links, keyboard, no scripts, no sideways scrolling."""

from __future__ import annotations

import json
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import expect

from calculators.circuits.catalog import CIRCUITS
from tests.browser.conftest import DESK, PHONE, Regulars, Tab
from tests.browser.test_accessibility import violations
from tests.circuits.on_page import (
    SERVICE,
    answered,
    choose,
    close_sheet,
    element,
    module_frames,
    open_sheet,
    status,
)
from tests.support.visitor import wait_until_live

pytestmark = pytest.mark.browser


def test_every_circuit_has_its_page(phone: Tab):
    for circuit in CIRCUITS.values():
        page = phone.open(f"circuits/{circuit.id}/")
        expect(page.locator("h1")).to_contain_text(circuit.title)
        assert circuit.question in page.locator("article").inner_text()
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert phone.complaints == []


@pytest.mark.inside
def test_the_page_says_what_the_module_says(phone: Tab):
    page = phone.open(SERVICE)
    frames = module_frames(circuit="service-application")
    expect(element(page)).to_have_attribute("data-live", "yes")
    slider = element(page).locator("[data-step]")
    for number, frame in enumerate(frames["frames"]):
        slider.fill(str(number))
        expect(status(page)).to_have_text(frame["status"])
        for key, text in frame["texts"].items():
            shown = page.locator(f"[id='{element(page).get_attribute('id')}-{key}']")
            assert shown.text_content() == text, key


def test_one_key_steps_through(phone: Tab):
    page = phone.open(SERVICE)
    statuses = [f["status"] for f in module_frames(circuit="service-application")["frames"]]
    slider = element(page).locator("[data-step]")
    wait_until_live(page)
    slider.focus()
    page.keyboard.press("Home")
    for wanted in statuses[1:]:
        page.keyboard.press("ArrowRight")
        expect(status(page)).to_have_text(wanted)
    current = element(page).locator(".circuit-steps > .now")
    assert current.count() == 1


def test_buttons_step_and_play(phone: Tab):
    page = phone.open(SERVICE)
    statuses = [f["status"] for f in module_frames(circuit="service-application")["frames"]]
    buttons = element(page).locator(".step-buttons button")
    element(page).locator("[data-step]").fill("0")
    buttons.filter(has_text="Next").click()
    expect(status(page)).to_have_text(statuses[1])
    buttons.filter(has_text="Back").click()
    expect(status(page)).to_have_text(statuses[0])
    buttons.filter(has_text="Play").click()
    expect(buttons.filter(has_text="Stop")).to_be_visible()
    expect(status(page)).to_have_text(statuses[1])
    buttons.filter(has_text="Stop").click()
    expect(buttons.filter(has_text="Play")).to_be_visible()


def test_handles_by_touch(phone: Tab):
    page = phone.open(SERVICE)
    wait_until_live(page)
    open_sheet(page)
    element(page).locator("[data-more=reduction]").click()
    answered(page)
    last = module_frames(circuit="service-application", reduction="11")["frames"][-1]
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_have_text(last["status"])

    choose(page, "handle", "emergency")
    expect(element(page).locator(".circuit-steps")).to_contain_text(
        "vents the equalizing reservoir"
    )
    answered(page)
    choose(page, "cut_off", "out")
    expect(element(page).locator(".circuit-warnings")).to_be_attached()
    answered(page)
    choose(page, "bail_off", "held")
    expect(element(page).locator(".circuit-steps")).to_contain_text("charges pipe 13")


def test_handles_by_keyboard(phone: Tab):
    page = phone.open(SERVICE)
    wait_until_live(page)
    open_sheet(page)
    element(page).locator(".handles input[name=handle]:checked").focus()
    page.keyboard.press("ArrowDown")
    expect(element(page).locator(".handles input[value=suppression]")).to_be_checked()
    answered(page)
    page.keyboard.press("Tab")  # the button that takes one off
    page.keyboard.press("Tab")
    expect(element(page).locator(".handles input[name=reduction]")).to_be_focused()


@pytest.mark.inside
def test_going_on_from_here(phone: Tab):
    page = phone.open(SERVICE)
    element(page).locator("button", has_text="Go on from here").click()
    expect(status(page)).to_contain_text("brake pipe 80 psi, cylinder 25 psi")
    choose(page, "handle", "release")
    answered(page)
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_contain_text("brake pipe 90 psi, cylinder 0 psi")
    close_sheet(page)
    element(page).locator("button", has_text="Start over").click()
    expect(element(page)).to_have_attribute("data-state", "prerendered")
    assert "?" not in page.url


def test_the_moves_of_a_circuit(phone: Tab):
    page = phone.open("circuits/bail-off/")
    wait_until_live(page)
    open_sheet(page)
    element(page).get_by_text("3. More taken off").click()
    answered(page)
    element(page).locator("[data-step]").press("End")
    last = module_frames(circuit="bail-off", stage="3")["frames"][-1]
    expect(status(page)).to_have_text(last["status"])


def test_every_state_has_a_link_that_says_the_same(phone: Tab):
    page = phone.open(SERVICE)
    wait_until_live(page)
    open_sheet(page)
    element(page).locator(".handles input[name=independent]").fill("45")
    answered(page)
    close_sheet(page)
    element(page).locator("[data-step]").fill("2")
    shown = status(page).inner_text()
    element(page).locator("button", has_text="Copy link").click()
    expect(element(page).locator("button", has_text="Copied")).to_be_visible()
    link = page.evaluate("navigator.clipboard.readText()")
    query = dict(parse_qsl(urlsplit(link).query, keep_blank_values=True))
    assert query["circuit"] == "service-application"
    assert query["independent"] == "45"
    assert urlsplit(page.url).query == urlsplit(link).query

    again = phone.open(link.removeprefix(phone.root))
    answered(again)
    expect(status(again)).to_have_text(shown)
    expect(element(again).locator(".handles input[name=independent]")).to_have_value("45")


def test_a_bad_figure_is_named_and_the_old_move_stays(phone: Tab):
    page = phone.open(SERVICE)
    before = status(page).inner_text()
    wait_until_live(page)
    open_sheet(page)
    element(page).locator(".handles input[name=reduction]").fill("lots")
    expect(element(page)).to_have_attribute("data-state", "refused")
    expect(element(page).locator(".number-reduction .field-error")).to_contain_text("lots")
    expect(status(page)).to_have_text(before)


def test_settings_open_and_change_the_move(phone: Tab):
    page = phone.open(SERVICE)
    element(page).locator(".circuit-settings > summary").click()
    field = element(page).locator("form.asking input[name=brake_pipe_setting]")
    expect(field).to_have_value("90")
    field.fill("80")
    answered(page)
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_contain_text("brake pipe 70 psi")
    element(page).locator("select[name=pressure_unit]").select_option("kPa")
    expect(status(page)).to_contain_text("kPa")
    expect(element(page).locator(".handles .unit").first).to_have_text("kPa")


@pytest.mark.inside
def test_the_railroads_settings_are_used(regulars: Regulars):
    tab = regulars.tab()
    tab.page.add_init_script(
        f"localStorage.setItem('my-railroad', {json.dumps(json.dumps({'brake_pipe_setting': '100'}))})"
    )
    page = tab.open(SERVICE)
    answered(page)
    element(page).locator("[data-step]").press("End")
    expect(status(page)).to_contain_text("brake pipe 90 psi")


def test_complete_without_scripts(scriptless: Tab):
    page = scriptless.open(SERVICE)
    frames = module_frames(circuit="service-application")
    shown = status(page).inner_text()
    assert shown in [frame["status"] for frame in frames["frames"]]
    expect(page.locator("svg.circuit-picture")).to_be_visible()
    assert element(page).locator(".circuit-steps > li").count() >= 8
    assert "At rest" in element(page).locator(".gauges").inner_text()
    expect(element(page).locator(".step-buttons")).to_be_hidden()
    expect(element(page).locator(".handles")).to_be_hidden()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_accessible_in_both_themes_and_sizes(regulars: Regulars, scheme: str, size: dict[str, int]):
    tab = regulars.tab(size, color_scheme=scheme)
    page = tab.open("circuits/emergency-from-handle/")
    element(page).locator("button", has_text="Next").click()
    element(page).locator(".circuit-settings > summary").click()
    expect(element(page).locator("form.asking input").first).to_be_visible()
    assert violations(page) == []


def test_targets_are_large_enough_for_a_thumb(phone: Tab):
    page = phone.open(SERVICE)
    expect(element(page)).to_have_attribute("data-live", "yes")
    small = (
        element(page)
        .locator("button, .choice, select, input[type=text], [data-step]")
        .evaluate_all(
            """found => found.filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 48)
            .map(e => e.outerHTML.slice(0, 80))"""
        )
    )
    assert small == []


def test_the_picture_prints(phone: Tab):
    page = phone.open(SERVICE)
    page.emulate_media(media="print")
    expect(page.locator("svg.circuit-picture")).to_be_visible()
    expect(element(page).locator(".circuit-steps")).to_be_visible()
    expect(element(page).locator(".handles")).to_be_hidden()
