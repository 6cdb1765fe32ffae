"""Find the fault on a phone: from a complaint and from the series to the group and the check that tells."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from generator.serving import SiteServer
from tests.browser.conftest import PHONE, SITE, Tab
from tests.browser.test_accessibility import violations
from tests.support.visitor import Visitor, wait_until_ready

pytestmark = pytest.mark.browser

FIND = "calculators/find-fault/"
LIVE = "fault-series[data-live='yes']"
ANSWER = "brake-calculator"
START_MS = 60_000


def read_at(page: Page, stage: str, gauge: str, figure: str) -> None:
    """Write down what a gauge reads at a stage of the series."""
    field = page.locator(f"[data-entry='{stage} {gauge} ']")
    field.fill(figure)
    field.press("Tab")


@pytest.fixture
def stopped(playwright: Playwright, tmp_path: Path) -> Iterator[tuple[str, Visitor]]:
    """A phone that holds the whole copy, and the address it came from; no server answers there."""
    with Visitor(playwright, tmp_path / "profile", viewport=PHONE, has_touch=True) as visitor:
        with SiteServer(SITE) as server:
            wait_until_ready(visitor.open(server.url))
            root = server.url
        visitor.restart()
        yield root, visitor


def test_thirty_instead_of_25_leads_to_the_group_and_to_the_check(stopped: tuple[str, Visitor]):
    """The issue's own end: offline, one reading after another."""
    root, visitor = stopped
    page = visitor.open(f"{root}{FIND}")
    page.locator(LIVE).first.wait_for()
    read_at(page, "ten-off", "cylinder", "30")
    shown = page.locator(ANSWER)
    expect(shown).to_contain_text("relay gives too much", timeout=START_MS)
    expect(shown).to_contain_text("read it again")
    expect(shown).to_contain_text("Look at next: independent full on")
    # Cautions stand before what to do; the check that was named is made.
    read_at(page, "independent", "cylinder", "54")
    expect(shown).to_contain_text("these fit: relay gives too much", timeout=START_MS)
    assert "%" not in shown.inner_text()
    assert violations(page) == []


def test_a_complaint_opens_the_answer(phone: Tab):
    page = phone.open("faults/")
    page.get_by_role("link", name="Independent lost, automatic in order").first.click()
    page.wait_for_url("**/calculators/find-fault/?*")
    expect(page.locator(ANSWER)).to_contain_text("pipe 20 blocked", timeout=START_MS)
    assert phone.complaints == []


@pytest.mark.inside
def test_the_series_writes_what_is_read_and_takes_it_back(phone: Tab):
    page = phone.open(FIND)
    page.locator(LIVE).first.wait_for()
    read_at(page, "ten-off", "cylinder", "31")
    page.locator("[data-usual='thirty-off usual']").click()
    text = page.locator("brake-calculator [name='observations']")
    expect(text).to_have_value("ten-off cylinder 31; thirty-off usual")
    expect(page.locator("[data-usual='thirty-off usual']")).to_have_attribute(
        "aria-pressed", "true"
    )
    page.get_by_role("button", name="Undo").click()
    expect(text).to_have_value("ten-off cylinder 31")
    # No device is said to be the railroad's: no timer.
    assert page.get_by_role("button", name="Start 60 s").count() == 0
    # The address follows once typing pauses.
    expect(page).to_have_url(re.compile(r"cylinder(?!.*thirty-off)"))
    page.reload()
    page.locator(LIVE).first.wait_for()
    expect(page.locator("[data-entry='ten-off cylinder ']")).to_have_value("31")


def test_timers_open_only_on_a_device_of_the_railroad(phone: Tab):
    page = phone.open("my-railroad/")
    page.evaluate("localStorage.setItem('my-railroad', JSON.stringify({device: 'railroad'}))")
    page = phone.open(FIND)
    page.locator(LIVE).first.wait_for()
    assert page.get_by_role("button", name="Start 60 s").count() > 3


def test_the_exhaust_is_timed_by_thumb_only_on_a_device_of_the_railroad(phone: Tab):
    timer = "time-keeper[data-into='train-ten exhaust '] button"
    page = phone.open(FIND)
    page.locator(LIVE).first.wait_for()
    assert page.locator(timer).count() == 0
    page.evaluate("localStorage.setItem('my-railroad', JSON.stringify({device: 'railroad'}))")
    page = phone.open(FIND)
    page.locator(LIVE).first.wait_for()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    page.locator(timer).click()
    expect(page.locator(timer)).to_contain_text(re.compile(r"[1-9]\d* s"))
    page.locator(timer).click()
    text = page.locator("brake-calculator [name='observations']")
    expect(text).to_have_value(re.compile(r"^train-ten exhaust [1-9]\d*$"))


def test_a_familys_page_puts_another_size_beside_one_in_order(phone: Tab):
    page = phone.open("faults/too-much-too-little/")
    expect(page.locator("table.comparison tbody tr")).to_have_count(17)
    page.locator("[data-fill='size'][data-value='100']").click()
    expect(page.locator(".answer-headline")).to_contain_text("broken right off", timeout=START_MS)
    assert page.locator("tr.apart").count() > 3
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert phone.complaints == []


def test_keys_and_fields_are_big_enough(phone: Tab):
    page = phone.open(FIND)
    page.locator(LIVE).first.wait_for()
    sizes = page.locator("fault-series button:visible, fault-series input:visible").evaluate_all(
        "all => all.map((one) => one.getBoundingClientRect().height)"
    )
    assert sizes
    assert min(sizes) >= 48
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
