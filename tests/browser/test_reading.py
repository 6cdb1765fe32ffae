"""What makes a text easy to use: abbreviations that open, links to places, the reading order."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Regulars, Tab
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

METHOD = "tests/leakage/"


def started(phone: Tab, path: str) -> Page:
    """A page whose scripts are all there: a mark that is clicked before only leads to its section."""
    page = phone.open(path)
    page.wait_for_load_state("networkidle")
    return page


def clipboard(page: Page) -> str:
    return str(page.evaluate("navigator.clipboard.readText()"))


def test_an_abbreviation_opens_by_tap_and_closes(phone: Tab):
    page = phone.open(METHOD)
    short = page.locator("abbr[role=button]", has_text="psi").first
    expect(short).to_have_attribute("aria-expanded", "false")
    short.click()
    expect(page.locator(".expansion")).to_have_text(" (pounds per square inch, by gauge)")
    expect(short).to_have_attribute("aria-expanded", "true")
    short.click()
    expect(page.locator(".expansion")).to_have_count(0)
    expect(short).to_have_attribute("aria-expanded", "false")


def test_an_abbreviation_opens_by_key(phone: Tab):
    page = phone.open(METHOD)
    short = page.locator("abbr[role=button]", has_text="cfm").first
    for key in ("Enter", "Space"):
        short.focus()
        page.keyboard.press(key)
        expect(page.locator(".expansion")).to_have_count(1)
        page.keyboard.press(key)
        expect(page.locator(".expansion")).to_have_count(0)


def test_only_the_first_of_each_kind_stops_the_tab_key_but_every_one_opens(phone: Tab):
    page = phone.open(METHOD)
    every = page.locator(".md-content abbr[title]", has_text=re.compile("^psi$"))
    assert every.count() > 2
    expect(page.locator("abbr[role=button]", has_text=re.compile("^psi$"))).to_have_count(1)
    every.nth(2).click()
    expect(page.locator(".expansion")).to_have_count(1)


def test_an_open_abbreviation_never_pushes_a_phone_sideways(phone: Tab):
    page = phone.open(METHOD)
    for short in page.locator("abbr[title]").all():
        if short.is_visible():
            short.click()
    assert page.locator(".expansion").count() > 2
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_mark_behind_a_heading_copies_the_link_to_it(phone: Tab):
    page = started(phone, f"{METHOD}?from=elsewhere")
    mark = page.locator("#how-it-goes .headerlink")
    mark.click()
    expect(mark).to_have_text("Copied")
    assert clipboard(page) == f"{phone.root}{METHOD}#how-it-goes"
    expect(mark).to_have_text("\u200b")


def test_a_mark_on_a_page_that_was_asked_with_inputs_leaves_the_answer_alone(phone: Tab):
    page = started(phone, "calculators/car-brake/?v=1&reduction=20")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")
    page.evaluate("document.querySelector('brake-calculator').dataset.kept = 'yes'")
    mark = page.locator("#car-brake-cylinder .headerlink")
    mark.click()
    expect(mark).to_have_text("Copied")
    assert clipboard(page) == f"{phone.root}calculators/car-brake/#car-brake-cylinder"
    expect(page.locator("brake-calculator")).to_have_attribute("data-kept", "yes")
    assert page.url.endswith("?v=1&reduction=20")


def test_the_mark_behind_a_limit_copies_the_link_to_it(phone: Tab):
    page = started(phone, "limits/")
    mark = page.locator("#main-reservoir-leakage .headerlink")
    mark.click()
    expect(mark).to_have_text("Copied")
    link = clipboard(page)
    assert link == f"{phone.root}limits/#main-reservoir-leakage"
    page.goto(link)
    expect(page.locator("#main-reservoir-leakage")).to_be_in_viewport()


def test_a_limit_on_a_test_leads_to_its_place_on_the_list(phone: Tab):
    page = phone.open(METHOD)
    link = page.locator(".limit-list a").first
    link.scroll_into_view_if_needed()
    # The theme notes where a page was left a moment after the scrolling ends, as a reader does too.
    # Asked from here, as the page's policy lets no text be run as script in it.
    assert wait_for(lambda: (page.evaluate("() => history.state?.y ?? 0") or 0) > 0)
    link.click()
    page.wait_for_url("**/limits/#brake-pipe-leakage")
    expect(page.locator("#brake-pipe-leakage")).to_be_in_viewport()


def test_the_reading_order_leads_on_and_back(phone: Tab):
    page = phone.open("learn/")
    first = page.locator(".lessons a").first
    title = first.inner_text()
    first.click()
    expect(page.locator("h1")).to_contain_text(title)
    page.locator(".reading-order a[rel=next]").click()
    expect(page.locator(".reading-order")).to_contain_text(re.compile(r"2 of \d+"))
    page.locator(".reading-order a[rel=prev]").click()
    expect(page.locator("h1")).to_contain_text(title)


def test_abbreviations_open_on_a_page_that_was_swapped_in(phone: Tab):
    page = phone.open("tests/")
    page.locator(".md-content a", has_text="Leakage").first.click()
    # The address changes before the page does.
    expect(page.locator("h1")).to_contain_text("Leakage method")
    page.locator("abbr[role=button]").first.click()
    expect(page.locator(".expansion")).to_have_count(1)


def test_twelve_figures_are_answered_on_the_home_page_without_scripts(scriptless: Tab):
    page = scriptless.open("")
    rows = page.locator(".twelve tbody tr")
    expect(rows).to_have_count(12)
    for row in rows.all():
        assert row.locator("td").nth(1).inner_text().strip()
        assert row.locator("a").count() >= 1


@pytest.mark.inside
def test_a_dark_page_prints_light(regulars: Regulars):
    """A curve's lines keep the colors of the theme: on paper those of the dark one are pale."""
    page = regulars.tab(color_scheme="dark").open("calculators/car-brake/")
    body = page.locator("body")
    expect(body).to_have_attribute("data-md-color-scheme", "slate")
    expect(page.locator(".copy-status-ready")).to_contain_text("on this device")
    label = page.locator("figure text, .curve text").first
    inks: list[int] = []
    for event, scheme in (("beforeprint", "default"), ("afterprint", "slate")):
        page.evaluate("event => dispatchEvent(new Event(event))", event)
        expect(body).to_have_attribute("data-md-color-scheme", scheme)
        fill = label.evaluate("label => getComputedStyle(label).fill")
        inks.append(sum(map(int, re.findall(r"\d+", fill)[:3])))
    assert inks[0] < 3 * 0x60 < 3 * 0xA0 < inks[1]


def test_a_blank_record_names_every_column_on_a_phone(phone: Tab):
    """A cell to be filled in has no words of its own: the column's name heads its card."""
    page = phone.open("test-record/")
    heads = page.locator(".record table.cards tbody td:first-child").evaluate_all(
        "cells => cells.map(cell => getComputedStyle(cell, '::before').content)"
    )
    assert heads
    assert any("Train" in head for head in heads)
    assert any("Freight cars inspected" in head for head in heads)


def test_nothing_went_wrong_behind_these_pages(phone: Tab):
    for path in ("", METHOD, "limits/", "glossary/", "learn/"):
        phone.open(path)
    assert phone.complaints == []
