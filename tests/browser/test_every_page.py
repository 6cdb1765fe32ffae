"""What holds on every page: it is on the device, WCAG 2.2 AA by day and by night, titles, tables.

One walk looks at each page in every way, since opening the pages takes most of the time. Python
keeps silent meanwhile, as on a slow phone: other tests look at pages that it has answered.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Page, expect

from generator.serving import SiteServer
from tests.browser.conftest import NARROW, PHONE, Regulars, Tab
from tests.browser.test_accessibility import pages, violations

pytestmark = pytest.mark.browser

CONTRAST = "color-contrast"
# What a page asks the line for even where all is on the device.
LINE_CHECKED = {"copy.json", "service-worker.js"}

SILENT_TABLES = """content => [...content.querySelectorAll('.wide')].filter((box) =>
    box.offsetHeight && box.scrollWidth > box.clientWidth + 1 &&
    (box.querySelector(':scope > table.cards') ||
      !getComputedStyle(box).backgroundAttachment.includes('local'))).length"""


TITLES = """async (addresses) => {
  const titles = [];
  for (const address of addresses) {
    const text = await (await fetch(address)).text();
    titles.push(new DOMParser().parseFromString(text, "text/html").title);
  }
  return titles;
}"""

# Whatever has words of its own in sight, by its own and its parent's name and classes.
KINDS_OF_TEXT = """() => {
    const named = (one) => [one.localName, ...[...one.classList].sort()].join(".");
    const has = (one) => [...one.childNodes].some((part) =>
        part.nodeType === Node.TEXT_NODE && part.textContent.trim());
    return [...document.querySelectorAll("body *")].filter((one) => has(one) && one.checkVisibility())
        .map((one) => `${named(one.parentElement)} > ${named(one)}`);
}"""


@dataclass(slots=True)
class Walked:
    """What was wrong, by page."""

    by_day: dict[str, list[str]] = field(default_factory=dict)
    by_night: dict[str, list[str]] = field(default_factory=dict)
    sideways: list[str] = field(default_factory=list)
    cut_titles: list[str] = field(default_factory=list)
    silent_tables: dict[str, int] = field(default_factory=dict)
    kinds: set[str] = field(default_factory=set)
    complaints: list[str] = field(default_factory=list)

    def look(self, path: str, page: Page) -> None:
        """Look at one page as it stands, by day and by night, then narrower."""
        if found := violations(page, without=(CONTRAST,)):
            self.by_day[path] = found
        self._look_at_colors(path, page)
        self._look_at_width(f"{path} at {PHONE['width']}", page)
        page.set_viewport_size(NARROW)  # type: ignore[arg-type]
        self._look_at_width(f"{path} at {NARROW['width']}", page)
        title = page.locator(".frame-title")
        if title.evaluate("e => e.scrollWidth > e.clientWidth + 1 || e.offsetHeight > 58"):
            self.cut_titles.append(path)
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]

    def _look_at_colors(self, path: str, page: Page) -> None:
        """The theme of the dark changes colors alone, so there the rule of contrast decides.

        Colors go by classes: a page that shows nothing of a new kind shows no new color either. To
        weigh them takes as long as all other rules together.
        """
        kinds = set(page.evaluate(KINDS_OF_TEXT))
        if kinds <= self.kinds:
            return
        self.kinds |= kinds
        if found := violations(page, rules=[CONTRAST]):
            self.by_day.setdefault(path, []).extend(found)
        page.emulate_media(color_scheme="dark")
        expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
        if found := violations(page, rules=[CONTRAST]):
            self.by_night[path] = found
        page.emulate_media(color_scheme="light")

    def _look_at_width(self, where: str, page: Page) -> None:
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            self.sideways.append(where)
        if silent := page.locator(".md-content").evaluate(SILENT_TABLES):
            self.silent_tables[where] = silent


@pytest.fixture(scope="module")
def walked(all_regulars: Regulars, served: SiteServer) -> Iterator[Walked]:
    tab = all_regulars.silent_tab()
    found = Walked()
    for path in pages():
        found.look(path, tab.open(path.lstrip("/")))
    found.complaints = list(tab.complaints)
    yield found
    all_regulars.leave()


def test_no_page_complains(walked: Walked):
    assert walked.complaints == []


@pytest.mark.inside
def test_every_page_comes_from_the_device(phone: Tab, served: SiteServer):
    """The server is asked how the line is, and for nothing else."""
    page = phone.open("units/")
    served.log.clear()
    titles = page.evaluate(TITLES, [f"{phone.root}{path.lstrip('/')}" for path in pages()])
    assert [one.path for one in served.log if one.path not in LINE_CHECKED] == []
    assert len({title for title in titles if title}) == len(pages())


def test_every_page_by_every_rule(walked: Walked):
    assert "/" in pages()
    assert walked.by_day == {}


def test_every_kind_of_text_in_the_dark(walked: Walked):
    assert len(walked.kinds) > 200
    assert walked.by_night == {}


def test_no_page_goes_sideways(walked: Walked):
    assert walked.sideways == []


def test_no_title_is_cut(walked: Walked):
    assert walked.cut_titles == []


def test_tables_fit_or_show_that_they_scroll(walked: Walked):
    assert walked.silent_tables == {}
