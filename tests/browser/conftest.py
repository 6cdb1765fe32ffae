"""The built site, served, and pages of a phone's and a desk's size on it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    WebError,
)

from generator.serving import SiteServer
from generator.setup import browsers
from tests.support.python_beside import INSIDE, answer_beside
from tests.support.visitor import FLAGS, LEFT_OPEN, PATIENCE_MS, wait_until_ready

ROOT = Path(__file__).parents[2]
# A site built elsewhere can be tested by naming its folder here.
SITE = Path(os.environ.get("REFERENCE_SITE", ROOT / "site"))
PHONE = {"width": 390, "height": 844}
NARROW = {"width": 320, "height": 640}
DESK = {"width": 1280, "height": 900}
# A page that asks Python nothing.
QUIET = "about/cautions/"

# A Python that never comes, as on a slow phone; the page stands without it.
SILENT_PYTHON = """(() => {
  const Other = globalThis.Worker;
  class Silent extends EventTarget {
    constructor(_, { type }) { super(); this.type = type; }
    postMessage() {}
    terminate() {}
  }
  globalThis.Worker = new Proxy(Other, {
    construct: (_, [address, options]) =>
      `${address}`.includes("python-worker") ? new Silent(address, options) : new Other(address, options),
  });
})()"""

START_PYTHON = """async (address) => {
  const client = await import(address);
  await new Promise((ready, refused) => {
    client.watchState(({ phase, words }) => {
      if (phase === "ready") ready();
      if (phase === "failed") refused(new Error(words));
    });
    client.start();
  });
}"""


def hold_python(page: Page, root: str) -> None:
    """Let a page that stays open start a Python of its own, which nobody asks.

    A browser compiles the interpreter once for all pages of a device, for as long as one of them has
    it: pages that come and go beside this one take a third less of the processor.
    """
    page.goto(f"{root}{QUIET}")
    client = next(SITE.glob("browser*/python-client.js")).relative_to(SITE).as_posix()
    page.evaluate(START_PYTHON, f"{root}{client}")


def new_device(browser: Browser, *, keeps_copy: bool = False, **device: Any) -> BrowserContext:
    """A phone, unless ``device`` says else; one that keeps no copy lets no service worker in."""
    workers = "allow" if keeps_copy else "block"
    context = browser.new_context(**{"viewport": PHONE, "service_workers": workers, **device})
    context.set_default_timeout(PATIENCE_MS)
    return context


@pytest.fixture(scope="session")
def served() -> Iterator[SiteServer]:
    assert (SITE / "index.html").is_file(), "the site is not built: run `python3 build` first"
    with SiteServer(SITE) as server:
        yield server


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    started = playwright.chromium.launch(executable_path=browsers.windowless(), args=FLAGS)
    yield started
    started.close()


# The browser's driver keeps its own notes on whatever listens, so without slots.
@dataclass
class Tab:
    """One page, and what went on behind it."""

    page: Page
    root: str
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        self.page.goto(self.root + path)
        return self.page

    def __post_init__(self) -> None:
        """Listen to the whole context."""
        for event, note in self._notes().items():
            self.page.context.on(event, note)  # type: ignore[call-overload]

    def leave(self) -> None:
        """Listen no more."""
        for event, note in self._notes().items():
            self.page.context.remove_listener(event, note)

    def _notes(self) -> Mapping[str, Callable[..., None]]:
        return {"request": self._request, "weberror": self._error, "console": self._logged}

    def _request(self, request: Request) -> None:
        self.requests.append(request.url)

    def _error(self, error: WebError) -> None:
        self.complaints.append(str(error.error))

    def _logged(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.complaints.append(f"{message.text} {message.location['url']}".strip())


class Regulars:
    """Tabs of people who were here before, each kind of device set up once.

    Of most tests the subject is the page: their devices keep no copy of the site, and the Python of
    the tests answers. With ``inside`` (the mark of that name) the device holds the whole copy and the
    pages run the packed Python, as people's do; that takes twice the processor. A start from
    nothing costs several times as much as a page: tests whose subject is the first visit, or what
    cannot be had, take a ``newcomer``.
    """

    def __init__(self, browser: Browser, served: SiteServer) -> None:
        self.inside = False
        self._browser = browser
        self._served = served
        self._homes: dict[str, Page] = {}
        self._tabs: list[Tab] = []

    def tab(
        self,
        viewport: Mapping[str, int] = PHONE,
        *,
        color_scheme: str = "light",
        reduced_motion: str = "no-preference",
        **device: Any,
    ) -> Tab:
        """Give a tab with nothing kept; ``device`` is what no page of a browser can change."""
        home = self._home("inside" if self.inside or INSIDE else "beside", device)
        page = home.context.new_page()
        page.set_viewport_size({"width": viewport["width"], "height": viewport["height"]})
        page.emulate_media(color_scheme=color_scheme, reduced_motion=reduced_motion)  # type: ignore[arg-type]
        return self._with(page)

    def silent_tab(self) -> Tab:
        """Give one whose Python never says a word, as on a slow phone."""
        page = self._home("silent", {}).context.new_page()
        page.emulate_media(reduced_motion="reduce")
        return self._with(page)

    def leave(self) -> None:
        """Close the tabs and clear what was kept besides the copy: no test finds another's."""
        for tab in self._tabs:
            tab.leave()
        self._tabs.clear()
        for home in self._homes.values():
            for page in home.context.pages:
                if page is not home:
                    page.close()
            home.evaluate("localStorage.clear()")

    def close(self) -> None:
        """Close every device's browser."""
        for home in self._homes.values():
            home.context.close()

    def _with(self, page: Page) -> Tab:
        self._tabs.append(Tab(page, self._served.url))
        return self._tabs[-1]

    def _home(
        self, python: Literal["inside", "beside", "silent"], device: Mapping[str, Any]
    ) -> Page:
        """A quiet page that stays open on the device, once all is on it that shall be."""
        kind = f"{python} {sorted(device.items())}"
        if kind in self._homes:
            return self._homes[kind]
        context = new_device(self._browser, keeps_copy=python == "inside", **device)
        context.add_init_script(LEFT_OPEN)
        context.grant_permissions(["clipboard-read", "clipboard-write"])
        home = context.new_page()
        match python:
            case "inside":
                home.goto(self._served.url)
                wait_until_ready(home)
                hold_python(home, self._served.url)
            case "beside":
                answer_beside(context)
                home.goto(f"{self._served.url}{QUIET}")
            case "silent":
                context.add_init_script(SILENT_PYTHON)
                home.goto(f"{self._served.url}{QUIET}")
        home.evaluate("localStorage.clear()")
        self._homes[kind] = home
        return home


@pytest.fixture(scope="session")
def all_regulars(browser: Browser, served: SiteServer) -> Iterator[Regulars]:
    those = Regulars(browser, served)
    yield those
    those.close()


@pytest.fixture
def regulars(all_regulars: Regulars, request: pytest.FixtureRequest) -> Iterator[Regulars]:
    all_regulars.inside = request.node.get_closest_marker("inside") is not None
    yield all_regulars
    all_regulars.leave()


@pytest.fixture
def phone(regulars: Regulars) -> Tab:
    return regulars.tab()


@pytest.fixture
def newcomer(browser: Browser, served: SiteServer) -> Iterator[Callable[..., Tab]]:
    """Tabs of people who were never here: the copy comes while the test runs."""
    contexts: list[BrowserContext] = []

    def tab(**options: Any) -> Tab:
        context = new_device(browser, **({"keeps_copy": True} | options))
        contexts.append(context)
        context.add_init_script(LEFT_OPEN)
        return Tab(context.new_page(), served.url)

    yield tab
    for context in contexts:
        context.close()


@pytest.fixture
def scriptless(newcomer: Callable[..., Tab]) -> Tab:
    return newcomer(java_script_enabled=False)
