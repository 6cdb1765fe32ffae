"""Find the fault on a phone: from a complaint and from the series to the group and the check that tells."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.conftest import Tab

ANSWERED = "brake-calculator[data-state='answered']"


def test_a_complaint_opens_the_answer(phone: Tab):
    page = phone.open("faults/")
    page.get_by_role("link", name="Independent lost, automatic in order").first.click()
    page.wait_for_url("**/calculators/find-fault/?*")
    page.locator(ANSWERED).wait_for()
    expect(page.locator(".answer-place")).to_contain_text("Pipe 20 blocked")
    assert phone.complaints == []


def test_the_series_writes_what_is_read_and_takes_it_back(phone: Tab):
    page = phone.open("calculators/find-fault/")
    page.locator("fault-series[data-live='yes']").wait_for()
    page.locator("[data-entry='ten-off cylinder ']").fill("31")
    page.locator("[data-entry='ten-off cylinder ']").press("Tab")
    page.locator("[data-usual='thirty-off usual']").click()
    page.locator(ANSWERED).wait_for()
    text = page.locator("brake-calculator [name='observations']")
    expect(text).to_have_value("ten-off cylinder 31; thirty-off usual")
    expect(page.locator("[data-usual='thirty-off usual']")).to_have_attribute(
        "aria-pressed", "true"
    )
    page.get_by_role("button", name="Undo").click()
    expect(text).to_have_value("ten-off cylinder 31")
    # No device is said to be the railroad's: no timer.
    assert page.get_by_role("button", name="Start 60 s").count() == 0
    page.reload()
    page.locator("fault-series[data-live='yes']").wait_for()
    expect(page.locator("[data-entry='ten-off cylinder ']")).to_have_value("31")


def test_timers_open_only_on_a_device_of_the_railroad(phone: Tab):
    page = phone.open("my-railroad/")
    page.evaluate("localStorage.setItem('my-railroad', JSON.stringify({device: 'railroad'}))")
    page = phone.open("calculators/find-fault/")
    page.locator("fault-series[data-live='yes']").wait_for()
    assert page.get_by_role("button", name="Start 60 s").count() > 3


def test_keys_and_fields_are_big_enough(phone: Tab):
    page = phone.open("calculators/find-fault/")
    page.locator("fault-series[data-live='yes']").wait_for()
    sizes = page.locator("fault-series button:visible, fault-series input:visible").evaluate_all(
        "all => all.map((one) => one.getBoundingClientRect().height)"
    )
    assert sizes
    assert min(sizes) >= 48
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
