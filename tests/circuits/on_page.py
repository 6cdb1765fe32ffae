"""What the browser tests of circuits share: the element on a page, and what the module says."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Locator, Page, expect

from calculators.answering.answer import answer
from calculators.catalog import find_calculator
from calculators.rendering.circuit.moments import moments, story_in

SERVICE = "circuits/service-application/"
CIRCUIT = find_calculator("circuit")


def module_frames(**entries: str) -> dict[str, Any]:
    found = answer(CIRCUIT, entries)
    assert not found.errors
    return moments(story_in(found), found.display)


def element(page: Page) -> Locator:
    return page.locator("brake-circuit[data-own-page]")


def status(page: Page) -> Locator:
    return element(page).locator(".circuit-status")


def answered(page: Page) -> None:
    expect(element(page)).to_have_attribute("data-state", "answered")


def choose(page: Page, name: str, value: str) -> None:
    element(page).locator(f".handles input[name={name}][value={value}]").check()
