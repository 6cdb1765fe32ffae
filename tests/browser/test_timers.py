"""Timers for what a test has waited or read over: offered on the railroad's own device only."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Tab

pytestmark = pytest.mark.browser

METHOD = "tests/leakage/"


def on_device(phone: Tab, device: str) -> Page:
    """A page of the leakage method on a device of this kind, with a clock that the test moves."""
    page = phone.page
    page.clock.install()
    kept = json.dumps({"device": device})
    page.add_init_script(f"localStorage.setItem('my-railroad', {json.dumps(kept)})")
    return phone.open(METHOD)


def test_the_wait_says_when_it_may_go_on_and_when_it_is_over(phone: Tab):
    page = on_device(phone, "railroad")
    wait = page.locator("time-keeper").first
    button, said = wait.get_by_role("button"), wait.get_by_role("status")
    expect(button).to_have_text("Start 45 to 60 s")
    box = button.bounding_box()
    assert box is not None
    assert box["height"] >= 48
    button.click()
    page.clock.fast_forward(30_000)
    expect(button).to_have_text("30 s · stop")
    expect(said).to_have_text("")
    page.clock.fast_forward(16_000)
    expect(said).to_have_text("45 s are gone: go on before 60 s.")
    page.clock.fast_forward(15_000)
    expect(said).to_have_text("60 s are gone: read now.")
    expect(button).to_have_text("Start 45 to 60 s")


def test_the_minute_can_be_stopped_by_key_and_begun_again(phone: Tab):
    page = on_device(phone, "railroad")
    minute = page.locator("time-keeper").nth(1)
    button, said = minute.get_by_role("button"), minute.get_by_role("status")
    button.focus()
    page.keyboard.press("Enter")
    page.clock.fast_forward(10_000)
    expect(button).to_have_text("10 s · stop")
    page.keyboard.press("Enter")
    expect(said).to_have_text("Stopped.")
    page.keyboard.press("Enter")
    page.clock.fast_forward(61_000)
    expect(said).to_have_text("60 s are gone: read now.")


@pytest.mark.parametrize("device", ["", "own"])
def test_no_other_device_is_offered_a_timer(phone: Tab, device: str):
    page = on_device(phone, device)
    expect(page.locator(".copy-status-live")).to_contain_text("built on")
    assert page.locator("time-keeper").count() == 2
    assert page.locator("time-keeper button").count() == 0
    # The figures stand in the text all the same.
    expect(page.locator(".md-content")).to_contain_text("45 s to 60 s")
