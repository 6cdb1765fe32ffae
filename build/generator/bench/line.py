"""How soon a first visit over a slow line has its own answer: this site and, by turns, another one.

The other is a folder named by the variable REFERENCE_OTHER_SITE: an earlier version's site, or
one packed in another way. Nothing is on the device at the beginning.
"""

from __future__ import annotations

import os
import shutil
import threading
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

from generator.bench import browsing
from generator.bench.rows import BenchRow, by_turns, middle
from generator.serving import Reply, Served, SiteServer

MEGABIT = 1_000_000 / 8
LINES = {1: 3, 10: 5}
"""Millions of bits a second, and how often each site is visited over such a line."""
_PIECE = 2048


class NarrowServer(SiteServer):
    """Serves a site over one line that everything asked for shares.

    Parameters
    ----------
    site
        The folder of the built site.
    bytes_per_second
        What the line carries.
    """

    def __init__(self, site: Path, *, bytes_per_second: float) -> None:
        super().__init__(site)
        self._bytes_per_second = bytes_per_second
        self._turn = threading.Lock()
        self._free_at = 0.0

    def body(self, served: Served, reply: Reply) -> Iterator[bytes]:
        """Give each piece when the line has carried it; requests take turns piece by piece."""
        for start in range(0, len(reply.body), _PIECE):
            piece = reply.body[start : start + _PIECE]
            with self._turn:
                now = time.monotonic()
                self._free_at = max(now, self._free_at) + len(piece) / self._bytes_per_second
                wait = self._free_at - now
            time.sleep(wait)
            yield piece


def measure(root: Path) -> Iterator[BenchRow]:
    """Visit each site by turns over each line."""
    sites = {"this site": root / "site"}
    if other := os.environ.get("REFERENCE_OTHER_SITE"):
        sites["the other site"] = Path(other)
    work = root / ".work" / "bench" / "profile-line"
    with sync_playwright() as playwright:
        for megabits, times in LINES.items():
            visits = {
                name: partial(_first_answer, playwright, site, work, megabits)
                for name, site in sites.items()
            }
            for name, found in by_turns(visits, times).items():
                yield BenchRow(
                    what=f"first answer of a first visit at {megabits} Mbit/s, {name}",
                    held_to="",
                    measured=f"{middle(found) / 1000:.1f} s",
                    how=f"nothing on the device, no delay but the line's, median of {len(found)}, "
                    f"from {min(found) / 1000:.1f} to {max(found) / 1000:.1f} s",
                )


def _first_answer(playwright: Playwright, site: Path, work: Path, megabits: int) -> float:
    shutil.rmtree(work, ignore_errors=True)
    with (
        NarrowServer(site, bytes_per_second=megabits * MEGABIT) as server,
        browsing.profile(playwright, work) as context,
    ):
        page = context.pages[0]
        page.goto(server.url + browsing.PAGE, wait_until="commit")
        return browsing.answered_at(page)
