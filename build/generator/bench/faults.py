"""Random faults of a first visit, of the store and of an update: how many mended, and how soon."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import Browser, sync_playwright

from generator.bench.rows import BenchRow, middle
from generator.setup import browsers

if TYPE_CHECKING:
    from tests.offline.trials import Outcome

INSTALLS, STORES, UPDATES = 22, 16, 11
HELD_TO = "all mended, no mixture, no stale figure; 30 s of a good line"


def measure(root: Path) -> Iterator[BenchRow]:
    """Run the first trials of each kind on the built site."""
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(
            executable_path=browsers.chromium(), args=browsers.CHROMIUM_FLAGS
        )
        yield from _measure(browser, root / "site", Path(folder))
        browser.close()


def _measure(browser: Browser, site: Path, folder: Path) -> Iterator[BenchRow]:
    # The trials belong to the tests; no other part of the generator leans on them.
    from tests.offline import trials
    from tests.support.server import FaultyServer

    yield _row("first visits", INSTALLS, lambda number: trials.install(browser, site, number))
    old, new = folder / "old", folder / "new"
    shutil.copytree(site, old)
    shutil.copytree(site, new)
    trials.edited(new)
    server = FaultyServer(Path(shutil.copytree(site, folder / "served")), prefix="/ref/")
    with server:
        context = browser.new_context()
        page = context.new_page()
        page.goto(server.url + trials.PAGE)
        trials.until_well(page, "the first visit")
        device = trials.Device(server=server, context=context, page=page)
        yield _row("damaged stores", STORES, lambda number: trials.store(device, number))
        yield _row("updates", UPDATES, lambda number: trials.update(device, (old, new), number))
        context.close()


def _row(what: str, count: int, trial: Callable[[int], Outcome]) -> BenchRow:
    times: list[float] = []
    broken: list[str] = []
    for number in range(count):
        try:
            times.append(trial(number).healed_after)
        except AssertionError as error:
            broken.append(str(error)[:200])
    took = f", median {middle(times):.0f} s, longest {max(times):.0f} s" if times else ""
    return BenchRow(
        what=f"random faults, {what}",
        held_to=HELD_TO,
        measured=f"{len(times)} of {count} mended{took}",
        how="; ".join(broken) or "real Python in Chromium, on this machine with its other work",
    )
