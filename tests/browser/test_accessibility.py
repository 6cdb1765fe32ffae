"""WCAG 2.2 AA by axe-core in the states a reader can bring a page into."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from generator.setup import node
from generator.setup.places import Places
from tests.browser.conftest import DESK, ROOT, SITE, Regulars, Tab

pytestmark = pytest.mark.browser

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LOCOMOTIVE = "calculators/locomotive-brake/"


def pages() -> list[str]:
    """Every page of the built site, by its address."""
    return sorted(
        found.parent.relative_to(SITE).as_posix().removeprefix(".") + "/"
        for found in SITE.rglob("index.html")
    )


def violations(
    page: Page, *, rules: list[str] | None = None, without: tuple[str, ...] = ()
) -> list[str]:
    """What axe-core finds: by all rules of the levels above or by the named ones, without some."""
    source = node.package_folder(Places(root=ROOT), node.TEST_TOOLS, "axe-core") / "axe.min.js"
    if not page.evaluate("'axe' in window"):
        page.evaluate(source.read_text(encoding="utf-8"))
    only = {"type": "rule", "values": rules} if rules else {"type": "tag", "values": TAGS}
    # What holds is not worked out in detail: that takes longer than to find what does not.
    found: dict[str, Any] = page.evaluate(
        "asked => axe.run(document, {...asked, resultTypes: ['violations']})",
        {"runOnly": only, "rules": {rule: {"enabled": False} for rule in without}},
    )
    return [
        f"{v['id']}: {node_['target']} {node_['failureSummary'][:300]}"
        for v in found["violations"]
        for node_ in v["nodes"]
    ]


@pytest.fixture(params=["light", "dark"])
def tab(request: pytest.FixtureRequest, regulars: Regulars) -> Tab:
    return regulars.tab(color_scheme=request.param, reduced_motion="reduce")


@pytest.fixture
def desk(regulars: Regulars) -> Tab:
    return regulars.tab(DESK, reduced_motion="reduce")


def test_search_open(tab: Tab):
    page = tab.open("")
    page.get_by_role("button", name="Open the search").click()
    page.locator("#finder-query").press_sequentially("reduction")
    expect(page.locator(".finder-results a").first).to_be_visible()
    assert violations(page) == []


def test_drawer_open(tab: Tab):
    page = tab.open(LOCOMOTIVE)
    page.get_by_role("button", name="Open the menu").click()
    expect(page.locator(".md-nav--primary .md-nav__title").first).to_be_visible()
    page.wait_for_timeout(400)
    assert violations(page) == []


def test_error_and_open_groups(tab: Tab):
    page = tab.open(f"{LOCOMOTIVE}?v=1&reduction=x&service_limit=999&foo=3")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "refused")
    closed = page.locator("brake-calculator details:not([open]) > summary")
    while closed.count():
        closed.first.click()
    assert violations(page) == []


def test_answered_with_warnings(tab: Tab):
    page = tab.open(f"{LOCOMOTIVE}?v=1&reduction=3&main_reservoir=95&unit=trailing")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "answered")
    assert violations(page) == []


def test_pages_on_a_desk(desk: Tab):
    """A wide window shows the menu and the contents beside the page; one page a folder will do."""
    firsts = {path.split("/")[0]: path for path in reversed(pages())}
    assert len(firsts) > 1
    wrong = {
        path: found
        for path in firsts.values()
        if (found := violations(desk.open(path.lstrip("/"))))
    }
    assert wrong == {}


def test_menu_and_search_by_keyboard(tab: Tab):
    page = tab.open(LOCOMOTIVE)
    page.get_by_role("button", name="Open the search").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#finder-query")).to_be_focused()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Open the menu").focus()
    page.keyboard.press("Space")
    expect(page.locator("#__drawer")).to_be_checked()


def test_targets_are_big_enough_for_a_thumb(tab: Tab):
    page = tab.open(LOCOMOTIVE)
    # Groups within groups: opened from outside, since what is measured is their size.
    page.evaluate(
        "document.querySelectorAll('brake-calculator .asking details').forEach(d => d.open = true)"
    )
    small = page.locator(
        "brake-calculator :is(button, input, select, .asking summary)"
    ).evaluate_all(
        "all => all.map(e => [e.tagName, e.name || e.textContent, e.getBoundingClientRect()])"
        ".filter(([, , box]) => box.height && box.height < 47.5).map(([tag, name]) => tag + ' ' + name)"
    )
    assert small == []


def test_axe_is_not_blind(tab: Tab):
    """The check itself: a control without a name must be found."""
    page = tab.open("")
    page.evaluate(
        "document.querySelector('.md-content__inner').append(document.createElement('input'))"
    )
    assert any("label" in found for found in violations(page))


def test_site_folder_is_the_one_under_test():
    assert Path(SITE / "service-worker.js").is_file()
