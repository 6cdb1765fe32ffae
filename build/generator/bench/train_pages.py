"""How much faster than real time a train of 150 cars runs in a browser, through the page's worker."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.catalog import find_calculator
from generator.bench import browsing
from generator.bench.rows import BenchRow, middle
from generator.serving import SiteServer

CARS, CAR_LENGTH, SECONDS = 150, 50.0, 60.0
TIMES = 5
RUNS = {
    "10 psi service": {"command": "service", "reduction": "10"},
    "emergency": {"command": "emergency", "rear_device": "none"},
}
PAGE = "calculators/train-run/"
# The client is the module that the page itself uses, and its worker the page's own.
_RUN = """
async ([kind, calculator, entries]) => {
  const { follow } = await import(document.querySelector("link[rel=modulepreload]").href);
  const request = { kind, calculator, entries, settings: {}, id: "bench" };
  let longest = 0;
  let before = performance.now();
  let running = true;
  const frame = (now) => {
    longest = Math.max(longest, now - before);
    before = now;
    if (running) requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  const started = performance.now();
  const last = await follow(request, { onPart() {} });
  running = false;
  const wrong = last.failed ?? Object.values(last.errors ?? {}).join(" ");
  if (wrong) throw new Error(wrong);
  return [performance.now() - started, longest];
}
"""


def measure(root: Path) -> Iterator[BenchRow]:
    """Time the train model in a browser, the worker awake, on the built site."""
    with SiteServer(root / "site") as server, sync_playwright() as playwright:
        folder = root / ".work" / "bench" / "profile-trains"
        with browsing.profile(playwright, folder) as context:
            page = context.pages[0]
            page.goto(f"{server.url}{PAGE}?v=1&cars=2&seconds=5")
            browsing.answered_at(page)
            for name, entries in RUNS.items():
                yield _row(name, [run_once(page, entries) for _ in range(TIMES)])
            yield _from_empty(page)


def run_once(page: Page, entries: dict[str, str]) -> tuple[float, float]:
    """Milliseconds of a whole answer, and the longest between two frames of the page meanwhile.

    The page is the train run's, its worker awake.
    """
    asked = {"cars": str(CARS), "car_length": str(CAR_LENGTH), "seconds": str(SECONDS), **entries}
    spent, longest = page.evaluate(_RUN, ["answer", "train-run", asked])
    return float(spent), float(longest)


def _from_empty(page: Page) -> BenchRow:
    """The circuit that is followed longest: JF-3 from empty until all of it rests."""
    entries = {"circuit": "charging"}
    spent = float(page.evaluate(_RUN, ["circuit", "circuit", entries])[0]) / 1000.0
    rest = finished(answer(find_calculator("circuit"), entries)).results()["rest_after"]
    return BenchRow(
        what="circuit, JF-3 from empty to rest, in the browser",
        held_to="at most 15 s",
        measured=f"{spent:.1f} s ({float(str(rest)) / spent:.0f} times real time)",
        how="whole answer with its locomotive, once",
    )


def _row(name: str, runs: list[tuple[float, float]]) -> BenchRow:
    speed = SECONDS * 1000.0 / middle([spent for spent, _ in runs])
    longest = max(frame for _, frame in runs)
    return BenchRow(
        what=f"train run, {name}, in the browser",
        held_to="at least 100 times real time, the page smooth meanwhile",
        measured=f"{speed:.0f} times; longest between two frames {longest:.0f} ms",
        how=f"{CARS} cars of {CAR_LENGTH:g} ft, {SECONDS:g} s, whole answer, median of {TIMES}",
    )
