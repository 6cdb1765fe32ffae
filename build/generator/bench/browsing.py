"""A browser for the bench, and the moment an answer stands on the page."""

from __future__ import annotations

import os
import re
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright, expect

from generator.setup import browsers

FLAGS = browsers.CHROMIUM_FLAGS
PHONE = {"width": 390, "height": 844}
PATIENCE_MS = 120_000
PAGE = "calculators/locomotive-brake/?v=1&reduction=12"
"""Where a start or a visit is timed: a question that is not the example's."""

# Notes when the first calculator of a page has its own answer; runs before the page's scripts.
NOTE_ANSWER = """
addEventListener("DOMContentLoaded", () => {
  const shell = document.querySelector("brake-calculator[data-own-page]");
  if (!shell) return;
  new MutationObserver(() => {
    if (shell.dataset.state === "answered" && !globalThis.answeredAt) {
      globalThis.answeredAt = performance.now();
    }
  }).observe(shell, { attributes: true, attributeFilter: ["data-state"] });
});
"""


@contextmanager
def profile(
    playwright: Playwright, folder: Path, *, user_agent: str | None = None
) -> Iterator[BrowserContext]:
    """A phone-sized browser whose profile lies in a folder and outlives it."""
    context = playwright.chromium.launch_persistent_context(
        str(folder),
        executable_path=browsers.chromium(),
        args=list(FLAGS),
        viewport=PHONE,  # type: ignore[arg-type]
        user_agent=user_agent,
    )
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(NOTE_ANSWER)
    try:
        yield context
    finally:
        context.close()


def wait_until_whole(page: Page) -> None:
    """Wait until the page says that the whole copy is on the device."""
    expect(page.locator(".copy-status-ready")).to_contain_text(
        re.compile("^All ready offline: "), timeout=PATIENCE_MS
    )


def answered_at(page: Page) -> float:
    """Milliseconds from the start of the navigation to the calculator's own answer."""
    shell = page.locator("brake-calculator[data-own-page]")
    expect(shell).to_have_attribute("data-state", "answered", timeout=PATIENCE_MS)
    found = page.evaluate("() => globalThis.answeredAt")
    if not isinstance(found, int | float):
        raise TypeError("the page noted no answer")
    return float(found)


@contextmanager
def quarter_speed() -> Iterator[None]:
    """Let every renderer of this process's browsers run a quarter of the time.

    The debugger's own throttle does not reach workers, so the processes are stopped and
    continued: 4 ms of running, 12 ms of standing.
    """
    ending = threading.Event()

    def run() -> None:
        while not ending.is_set():
            found = _renderers(os.getpid())
            _signal(found, signal.SIGSTOP)
            time.sleep(0.012)
            _signal(found, signal.SIGCONT)
            time.sleep(0.004)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        yield
    finally:
        ending.set()
        thread.join()
        _signal(_renderers(os.getpid()), signal.SIGCONT)


def _renderers(ancestor: int) -> list[int]:
    parents: dict[int, int] = {}
    renderers: list[int] = []
    for folder in Path("/proc").iterdir():
        if not folder.name.isdigit():
            continue
        try:
            stat = (folder / "stat").read_text().rpartition(")")[2].split()
            command = (folder / "cmdline").read_bytes()
        except OSError:
            continue
        parents[int(folder.name)] = int(stat[1])
        if b"--type=renderer" in command:
            renderers.append(int(folder.name))
    return [pid for pid in renderers if _descends(pid, ancestor, parents)]


def _descends(pid: int, ancestor: int, parents: dict[int, int]) -> bool:
    while pid in parents:
        pid = parents[pid]
        if pid == ancestor:
            return True
    return False


def _signal(pids: list[int], what: signal.Signals) -> None:
    for pid in pids:
        try:
            os.kill(pid, what)
        except ProcessLookupError:
            continue
