"""Reports of wrong figures, the printed pocket card, and the page about this copy."""

from __future__ import annotations

import json
import re
import shlex
import subprocess

import pytest
from playwright.sync_api import Locator, Page, expect

from calculators.version import VERSION
from generator.licences import TEXTS, collect
from tests.browser.conftest import ROOT, SITE, Tab
from tests.browser.test_accessibility import violations
from tests.railroad.test_in_the_browser import LOCOMOTIVE, calculator, store

pytestmark = pytest.mark.browser

ABOUT = "about/this-copy/"
CARD = "pocket-card/"
SHEET = {"letter": ("Letter", 816, 1056), "a4": ("A4", 794, 1123)}
# Nine millimeters on either side, in a screen's points.
EDGE = 34


def dialog(page: Page) -> Locator:
    return page.get_by_role("dialog", name="Report a wrong figure")


def open_report(page: Page) -> None:
    calculator(page).get_by_role("button", name="Report a wrong figure").click()
    expect(dialog(page)).to_be_visible()


@pytest.mark.inside
def test_a_report_holds_all_that_is_needed(phone: Tab):
    store(phone, json.dumps({"service_limit": "58"}))
    page = phone.open(LOCOMOTIVE)
    calculator(page).locator("[name=reduction]").fill("12")
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    open_report(page)
    page.get_by_label("What is wrong").fill("The gauge read 33, not 30.")
    page.get_by_role("button", name="Copy the report").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    text = page.evaluate("navigator.clipboard.readText()")
    assert "The gauge read 33, not 30." in text
    assert f"version {VERSION}" in text
    assert "reduction = 12 psi" in text
    (command,) = [line for line in text.splitlines() if "python3 -m calculators" in line]
    words = shlex.split(command)
    assert words[:4] == ["python3", "-m", "calculators", "locomotive-brake"]
    assert {"brake_pipe_setting=90 psi", "reduction=12 psi", "handle=service"} <= set(words[4:])
    assert len({word.split("=")[0] for word in words[4:]}) == len(words[4:])
    assert "service_limit = 58" in text
    assert "locomotive cylinder 30 psi" in text
    assert phone.root + LOCOMOTIVE in text


HOSTILE = "$(touch x) `y` 'z' \" \\ ; & !"


def test_a_report_is_safe_to_paste_into_a_shell(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    calculator(page).locator("[name=reduction]").fill(HOSTILE)
    expect(calculator(page)).to_have_attribute("data-state", "refused")
    open_report(page)
    page.get_by_role("button", name="Copy the report").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    text = page.evaluate("navigator.clipboard.readText()")
    (command,) = [line for line in text.splitlines() if "python3 -m calculators" in line]

    words = subprocess.run(
        ["sh", "-c", f"printf '%s\\n' {command.strip()}"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()

    assert words[:4] == ["python3", "-m", "calculators", "locomotive-brake"]
    assert [word for word in words if HOSTILE in word]
    assert all("=" in word for word in words[4:])


def test_a_report_waits_and_is_found_again(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    open_report(page)
    page.get_by_label("What is wrong").fill("Cylinder figure.")
    page.get_by_role("button", name="Keep for later").click()
    expect(dialog(page)).to_contain_text("Kept on this device")
    page.keyboard.press("Escape")
    expect(dialog(page)).to_have_count(0)
    expect(calculator(page).get_by_role("button", name="Report a wrong figure")).to_be_focused()

    page = phone.open(ABOUT)
    waiting = page.locator("kept-reports details")
    expect(waiting).to_have_count(1)
    waiting.locator("summary").click()
    expect(waiting.locator("pre")).to_contain_text("Cylinder figure.")
    expect(waiting.locator("pre")).to_contain_text("reduction = 10 psi")
    assert violations(page) == []
    waiting.get_by_role("button", name="Delete it").click()
    expect(page.locator("kept-reports")).to_contain_text("No report waits on this device.")
    assert all(request.startswith((phone.root, "blob:")) for request in phone.requests)


def test_a_list_of_reports_that_cannot_be_read_is_shown(phone: Tab):
    phone.page.add_init_script("localStorage.setItem('figure-reports', '{oh')")
    page = phone.open(ABOUT)
    expect(page.locator("kept-reports pre")).to_have_text("{oh")
    page = phone.open(LOCOMOTIVE)
    open_report(page)
    page.get_by_role("button", name="Keep for later").click()
    expect(dialog(page)).to_contain_text("Not kept")
    assert page.evaluate("localStorage.getItem('figure-reports')") == "{oh"


def test_storage_that_takes_no_report(phone: Tab):
    phone.page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError') }"
    )
    page = phone.open(LOCOMOTIVE)
    open_report(page)
    page.get_by_role("button", name="Keep for later").click()
    expect(dialog(page)).to_contain_text("Copy the report instead")
    expect(page.get_by_role("button", name="Keep for later")).to_be_enabled()


def test_any_page_can_be_reported(phone: Tab):
    page = phone.open("about/reading/")
    page.get_by_role("button", name="Report a wrong figure on this page").click()
    expect(page.get_by_label("What goes along")).to_have_value(
        re.compile("Address: .*about/reading/")
    )
    assert violations(page) == []
    page.get_by_role("button", name="Close").click()
    expect(dialog(page)).to_have_count(0)


@pytest.mark.parametrize("sheet", SHEET)
@pytest.mark.parametrize(
    "record",
    [{}, {"pressure_unit": "kPa", "limit.brake-pipe-leakage": "3", "limit.air-flow": "50"}],
)
def test_the_card_prints_on_one_sheet(phone: Tab, sheet: str, record: dict[str, str]):
    if record:
        store(phone, json.dumps(record))
    page = phone.open(CARD)
    expect(page.locator("pocket-card")).to_have_attribute(
        "data-state", "answered" if record else "prerendered"
    )
    printed = page.pdf(format=SHEET[sheet][0], landscape=True, prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1
    page.emulate_media(media="print")
    expect(page.locator(".card .caution")).to_be_visible()
    expect(page.locator(".page-caution")).to_be_hidden()
    expect(page.locator("pocket-card .tools")).to_be_hidden()
    # On the sheet's own width nothing runs into a fourth panel.
    page.set_viewport_size({"width": SHEET[sheet][2] - 2 * EDGE, "height": SHEET[sheet][1]})
    assert page.locator(".card").evaluate(
        """card => [...card.children].every((part) =>
            [...part.getClientRects()].every(({ right }) => right <= card.getBoundingClientRect().right + 1))"""
    )


def test_the_card_has_a_back_with_the_day_and_a_code(phone: Tab):
    store(phone, json.dumps({"brake_pipe_setting": "85", "cars": "60"}))
    phone.page.add_init_script("window.print = () => { document.body.dataset.printed = '1' }")
    page = phone.open(CARD)
    expect(page.locator("pocket-card")).to_have_attribute("data-state", "answered")
    page.locator("pocket-card").get_by_role("button", name="Print the card").click()
    expect(page.locator("body")).to_have_attribute("data-printed", "1")
    address = page.locator(".card .paper-address").text_content() or ""
    assert re.search(r"/my-railroad/\?z=1\.", address)
    assert "Printed" in (page.locator(".card .paper-day").text_content() or "")
    assert page.locator(".card svg.code").count() == 1


def test_the_card_is_the_same_as_text(phone: Tab):
    store(phone, json.dumps({"brake_pipe_setting": "85", "service_limit": "58"}))
    page = phone.open(CARD)
    expect(page.locator("pocket-card")).to_have_attribute("data-state", "answered")
    page.locator("pocket-card").get_by_role("button", name="Copy as text").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    text = page.evaluate("navigator.clipboard.readText()")
    assert "12 psi: 73 psi | 30 psi" in text
    assert "your railroad's settings" in text


def test_a_card_of_settings_that_cannot_be_used(phone: Tab):
    store(phone, json.dumps({"brake_pipe_setting": "lots"}))
    page = phone.open(CARD)
    expect(page.locator("pocket-card")).to_have_attribute("data-state", "refused")
    expect(page.locator("pocket-card")).to_contain_text('Brake pipe setting is "lots"')


def test_a_broken_record_makes_no_card_of_its_own(phone: Tab):
    store(phone, "{")
    page = phone.open(CARD)
    expect(page.locator("pocket-card .state")).to_contain_text("cannot be read")
    expect(page.locator("pocket-card .example-mark")).to_be_visible()


def test_the_page_about_this_copy_leads_to_every_licence(phone: Tab):
    page = phone.open(ABOUT)
    expect(page.locator(".copy-status")).to_contain_text(f"version {VERSION}")
    for part in collect(ROOT):
        link = page.locator(f"a[href$='{part.file}']")
        expect(link).to_have_text(part.licence)
        address = link.evaluate("e => e.href").removeprefix(phone.root)
        assert address == f"{TEXTS.as_posix()}/{part.file}"
        assert (SITE / address).is_file()
    ours = page.get_by_role("link", name="MIT license").evaluate("e => e.href")
    assert (SITE / ours.removeprefix(phone.root)).is_file()
