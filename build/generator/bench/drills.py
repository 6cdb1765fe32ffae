"""How long from a drill's answer to its next question on the screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from calculators.study.catalog import TOPICS
from calculators.study.items import DRAWN_AS
from generator.bench import browsing
from generator.bench.rows import BenchRow, middle, slow_end
from generator.serving import SiteServer

HELD_TO = "95th centile under 150 ms"
SITTING = "study-sitting[data-set=today]"
# Faster than this nobody has read what is said to an answer.
READ_MS = 1000

# From the press on the way on to the frame in which the next question stands.
_TIME_NEXT = """
() => new Promise((done) => {
  const sitting = document.querySelector("study-sitting[data-set=today]");
  const on = sitting.querySelector(".study-on");
  const started = performance.now();
  const watch = new MutationObserver(() => {
    if (on.isConnected) return;
    watch.disconnect();
    requestAnimationFrame(() => done(performance.now() - started));
  });
  watch.observe(sitting, { childList: true, subtree: true });
  on.click();
})
"""


def measure(root: Path) -> Iterator[BenchRow]:
    """Go through a set of every topic, once without reading and once as a reader would."""
    with SiteServer(root / "site") as server, sync_playwright() as playwright:
        folder = root / ".work" / "bench" / "profile-drills"
        with browsing.profile(playwright, folder) as context:
            page = context.pages[0]
            for words, wait, seed in (("read first", READ_MS, "1"), ("pressed at once", 0, "2")):
                times: list[float] = []
                for topic in TOPICS:
                    page.goto(f"{server.url}study/?drill={topic}&seed={seed}&v={DRAWN_AS}")
                    times += _one_set(page, wait)
                yield BenchRow(
                    what=f"next question of a drill, {words}",
                    held_to=HELD_TO if wait else "",
                    measured=(
                        f"{middle(times):.0f} ms, {slow_end(times):.0f} ms, longest {max(times):.0f} ms"
                    ),
                    how=f"press to frame on screen, {len(times)} questions of {len(TOPICS)} topics",
                )


def _one_set(page: Page, wait: int) -> Iterator[float]:
    """Answer a set, wrong or right, and time each way on but the last."""
    begin = page.locator(f"{SITTING} [data-do=begin]")
    expect(begin).to_be_enabled()
    begin.click()
    count = page.locator(f"{SITTING} .study-count")
    expect(count).to_be_visible(timeout=browsing.PATIENCE_MS)
    whole = int(count.inner_text().rsplit(" ", 1)[-1])
    for turn in range(whole):
        show = page.locator(f"{SITTING} .study-show")
        (show if show.is_visible() else page.locator(f"{SITTING} [data-answer]").first).click()
        on = page.locator(f"{SITTING} .study-on")
        expect(on).to_be_visible(timeout=browsing.PATIENCE_MS)
        if turn == whole - 1:
            return
        page.wait_for_timeout(wait)
        yield float(page.evaluate(_TIME_NEXT))
