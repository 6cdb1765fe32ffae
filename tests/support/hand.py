"""A hand at the track side: it touches only what is in sight, and its taps and keys are counted."""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Locator, Page


@dataclass
class Hand:
    """Counts what a hand does on a page, and touches only what is in sight."""

    page: Page
    taps: int = 0
    keys: int = 0

    def tap(self, place: Locator) -> None:
        assert in_sight(place), f"{place} is not in sight"
        place.tap()
        self.taps += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.keys += len(text)


def in_sight(place: Locator) -> bool:
    """Whether a place is inside the window with nothing over it."""
    seen: bool = place.evaluate(
        """e => {
          const box = e.getBoundingClientRect();
          if (!box.width || box.top < 0 || box.bottom > innerHeight + 1) return false;
          const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
          return e === top || e.contains(top) || (top?.contains(e) ?? false);
        }"""
    )
    return seen


def figure(page: Page, name: str) -> Locator:
    """A figure of the page's own answer, by its result."""
    return page.locator(f"[data-own-page] [data-figure={name}]")
