"""What the browser tests of circuits share: the element on a page, and what the module says."""

from __future__ import annotations

from functools import cache
from typing import Any

from playwright.sync_api import Locator, Page, expect

from calculators.answering.answer import Answer, answer
from calculators.catalog import find_calculator
from calculators.rendering.circuit.moments import moments, story_in

SERVICE = "circuits/service-application/"
CIRCUIT = find_calculator("circuit")


@cache
def followed(**entries: str) -> Answer:
    """A circuit's answer, followed once: many tests look at the same moves."""
    found = answer(CIRCUIT, entries)
    assert not found.errors
    return found


def module_frames(**entries: str) -> dict[str, Any]:
    found = followed(**entries)
    return moments(story_in(found), found.display)


def element(page: Page) -> Locator:
    return page.locator("brake-circuit[data-own-page]")


def status(page: Page) -> Locator:
    return element(page).locator(".circuit-status")


def answered(page: Page) -> None:
    expect(element(page)).to_have_attribute("data-state", "answered")


def open_sheet(page: Page) -> None:
    """Bring the handles into sight: on a phone they are a sheet that opens."""
    button = element(page).locator("[data-do=sheet]")
    if button.is_visible() and element(page).get_attribute("data-sheet") is None:
        button.click()


def close_sheet(page: Page) -> None:
    if element(page).get_attribute("data-sheet") is not None:
        element(page).locator("[data-do=close-sheet]").click()


def choose(page: Page, name: str, value: str) -> None:
    open_sheet(page)
    element(page).locator(f".handles input[name={name}][value={value}]").check()
