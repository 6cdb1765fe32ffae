"""What holds on every page: WCAG 2.2 AA by day and by night, titles, tables, nothing sideways.

One walk looks at each page in every way, since opening the pages takes most of the time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import NARROW, PHONE, Regulars
from tests.browser.test_accessibility import pages, violations

pytestmark = pytest.mark.browser

SILENT_TABLES = """content => [...content.querySelectorAll('.wide')].filter((box) =>
    box.offsetHeight && box.scrollWidth > box.clientWidth + 1 &&
    (box.querySelector(':scope > table.cards') ||
      !getComputedStyle(box).backgroundAttachment.includes('local'))).length"""


@dataclass(slots=True)
class Walked:
    """What was wrong, by page."""

    by_day: dict[str, list[str]] = field(default_factory=dict)
    by_night: dict[str, list[str]] = field(default_factory=dict)
    sideways: list[str] = field(default_factory=list)
    cut_titles: list[str] = field(default_factory=list)
    silent_tables: dict[str, int] = field(default_factory=dict)

    def look(self, path: str, page: Page) -> None:
        """Look at one page as it stands, then narrower, then by night."""
        if found := violations(page):
            self.by_day[path] = found
        self._look_at_width(f"{path} at {PHONE['width']}", page)
        page.set_viewport_size(NARROW)  # type: ignore[arg-type]
        self._look_at_width(f"{path} at {NARROW['width']}", page)
        title = page.locator(".frame-title")
        if title.evaluate("e => e.scrollWidth > e.clientWidth + 1 || e.offsetHeight > 58"):
            self.cut_titles.append(path)
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        # The theme of the dark changes colors alone, so the rule of contrast decides.
        page.emulate_media(color_scheme="dark")
        expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
        if found := violations(page, rules=["color-contrast"]):
            self.by_night[path] = found
        page.emulate_media(color_scheme="light")

    def _look_at_width(self, where: str, page: Page) -> None:
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            self.sideways.append(where)
        if silent := page.locator(".md-content").evaluate(SILENT_TABLES):
            self.silent_tables[where] = silent


@pytest.fixture(scope="module")
def walked(all_regulars: Regulars) -> Iterator[Walked]:
    tab = all_regulars.tab(reduced_motion="reduce")
    found = Walked()
    for path in pages():
        found.look(path, tab.open(path.lstrip("/")))
    yield found
    all_regulars.leave()


def test_every_page_by_every_rule(walked: Walked):
    assert "/" in pages()
    assert walked.by_day == {}


def test_every_page_in_the_dark(walked: Walked):
    assert walked.by_night == {}


def test_no_page_goes_sideways(walked: Walked):
    assert walked.sideways == []


def test_no_title_is_cut(walked: Walked):
    assert walked.cut_titles == []


def test_tables_fit_or_show_that_they_scroll(walked: Walked):
    assert walked.silent_tables == {}
