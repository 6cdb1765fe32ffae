"""How long from a changed input to the new answer on the screen, for every calculator."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from calculators.base.quantities import Quantity
from calculators.base.results import plain
from calculators.catalog import every_calculator
from calculators.declaring.registry import Calculator
from generator.bench import browsing
from generator.bench.rows import BenchRow, middle, slow_end
from generator.serving import SiteServer

TIMES = 40
_TIME_ONE = """
([field, text]) => new Promise((done) => {
  const shell = document.querySelector("brake-calculator[data-own-page]");
  const input = shell.querySelector(`[name="${field}"]`);
  const started = performance.now();
  const watch = new MutationObserver(() => {
    if (shell.dataset.state === "working") return;
    watch.disconnect();
    requestAnimationFrame(() => done(performance.now() - started));
  });
  watch.observe(shell, { attributes: true, attributeFilter: ["data-state"] });
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
})
"""


def measure(root: Path) -> Iterator[BenchRow]:
    """Time every calculator in one browser, the worker awake."""
    slowest: list[tuple[float, float, str]] = []
    with SiteServer(root / "site") as server, sync_playwright() as playwright:
        folder = root / ".work" / "bench" / "profile-answers"
        with browsing.profile(playwright, folder) as context:
            page = context.pages[0]
            for name, calculator in sorted(every_calculator().items()):
                changes = _changes(calculator)
                if not changes:
                    continue
                page.goto(f"{server.url}calculators/{name}/?v=1")
                browsing.answered_at(page)
                times = [_time_one(page, *changes[n % len(changes)]) for n in range(TIMES)]
                slowest.append((middle(times), slow_end(times), name))
                yield BenchRow(
                    what=f"answer, {name}",
                    held_to="median under 20 ms, 95th centile under 50 ms",
                    measured=f"{middle(times):.1f} ms, {slow_end(times):.1f} ms",
                    how=f"input to frame on screen, {TIMES} changes",
                )
    worst = max(slowest)
    yield BenchRow(
        what="answer, slowest calculator",
        held_to="median under 20 ms, 95th centile under 50 ms",
        measured=f"{worst[0]:.1f} ms, {worst[1]:.1f} ms ({worst[2]})",
        how=f"of {len(slowest)} calculators",
    )


def _time_one(page: Page, field: str, text: str) -> float:
    return float(page.evaluate(_TIME_ONE, [field, text]))


def _changes(calculator: Calculator) -> list[tuple[str, str]]:
    """Two values a little apart of the first number that has a default."""
    for name, description in calculator.inputs().items():
        default = calculator.defaults()[name]
        if not isinstance(description, Quantity) or not isinstance(default, float):
            continue
        step = 1.0 if description.whole or default >= 10 else default / 10 or 1.0
        low = description.low if description.low is not None else default
        return [(name, plain(default)), (name, plain(max(low, default - step)))]
    return []
