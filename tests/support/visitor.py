"""A visitor with a browser of its own, whose profile outlives the browser."""

import re
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright, expect

from generator.setup import browsers

FLAGS = browsers.CHROMIUM_FLAGS
LINE_CHECKS = ("/copy.json?line", "/service-worker.js")
PATIENCE_MS = 60_000
"""How long every browser test waits for what a person would wait for too; set here alone."""

# Groups stay as they were left: for who reads all of a page they were left open.
LEFT_OPEN = """
if (localStorage.getItem("open-groups") === null) {
  localStorage.setItem("open-groups",
    JSON.stringify(["line", "figures", "working", "limits", "pictures", "curves", "notes"]));
}
"""


class Visitor:
    """One browser profile: it can be closed and opened again, as a phone is.

    The window is of a phone's size unless the options say else; they are Playwright's. Unless
    ``left_open`` is false the groups of an answer stand open, as a reader of all of it leaves them.
    """

    def __init__(
        self, playwright: Playwright, profile: Path, *, left_open: bool = True, **options: Any
    ) -> None:
        self._playwright = playwright
        self._profile = profile
        self._left_open = left_open
        self._options = {"viewport": {"width": 390, "height": 800}} | options
        self.requests: list[str] = []
        """Every address that the pages asked for, whoever answered."""
        self.errors: list[str] = []
        """What the pages logged as an error, and exceptions that nothing caught."""
        self.context: BrowserContext = self._launch()

    def _launch(self) -> BrowserContext:
        context = self._playwright.chromium.launch_persistent_context(
            str(self._profile), executable_path=browsers.chromium(), args=FLAGS, **self._options
        )
        context.set_default_timeout(PATIENCE_MS)
        if self._left_open:
            context.add_init_script(LEFT_OPEN)
        context.on("request", lambda request: self.requests.append(request.url))
        context.on("weberror", lambda error: self.errors.append(str(error.error)))
        context.on("console", self._note)
        return context

    def _note(self, message: Any) -> None:
        if message.type != "error":
            return
        # How the line is, is asked over the line: where there is none, the browser notes it.
        if message.location["url"].endswith(LINE_CHECKS) and "ERR_CONNECTION" in message.text:
            return
        self.errors.append(message.text)

    def restart(self) -> None:
        """Close the browser and open it again with the same profile."""
        self.close()
        self.context = self._launch()

    def close(self) -> None:
        """Close the browser; the profile stays."""
        self.context.close()

    def __enter__(self) -> "Visitor":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def open(self, address: str, *, new_tab: bool = False) -> Page:
        """Open an address in the first tab or in a new one."""
        page = self.context.new_page() if new_tab else self.context.pages[0]
        page.goto(address)
        return page


def wait_until_live(page: Page) -> None:
    """Wait until the page's script has opened every field: a closed one takes no focus."""
    expect(page.locator(".not-started")).to_have_count(0, timeout=PATIENCE_MS)


def wait_until_ready(page: Page) -> None:
    """Wait until the page says that the whole copy is on the device."""
    whole = re.compile(r"Ready offline: (\d+) of \1 files")
    expect(page.locator(".copy-status-ready")).to_have_text(whole, timeout=PATIENCE_MS)
