"""The built site, served, and pages of a phone's and a desk's size on it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from generator.serving import SiteServer
from generator.setup import browsers
from tests.support.visitor import FLAGS, LEFT_OPEN, PATIENCE_MS

ROOT = Path(__file__).parents[2]
# A site built elsewhere can be tested by naming its folder here.
SITE = Path(os.environ.get("REFERENCE_SITE", ROOT / "site"))
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def served() -> Iterator[SiteServer]:
    assert (SITE / "index.html").is_file(), "the site is not built: run `python3 build` first"
    with SiteServer(SITE) as server:
        yield server


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    started = playwright.chromium.launch(executable_path=browsers.chromium(), args=FLAGS)
    yield started
    started.close()


@dataclass(slots=True)
class Tab:
    """One page, and what went on behind it."""

    page: Page
    root: str
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        self.page.goto(self.root + path)
        return self.page


def tab_of(context: BrowserContext, served: SiteServer) -> Tab:
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(LEFT_OPEN)
    tab = Tab(context.new_page(), served.url)
    context.on("request", lambda request: tab.requests.append(request.url))
    context.on("weberror", lambda error: tab.complaints.append(str(error.error)))
    context.on(
        "console",
        lambda message: tab.complaints.append(message.text) if message.type == "error" else None,
    )
    return tab


@pytest.fixture
def phone(browser: Browser, served: SiteServer) -> Iterator[Tab]:
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    yield tab_of(context, served)
    context.close()


@pytest.fixture
def scriptless(browser: Browser, served: SiteServer) -> Iterator[Tab]:
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)  # type: ignore[arg-type]
    yield tab_of(context, served)
    context.close()
