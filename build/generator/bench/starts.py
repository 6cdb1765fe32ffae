"""How soon a cold, offline phone answers: our packed runtime against the package as it comes."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from functools import partial
from pathlib import Path

from playwright.sync_api import BrowserContext, Playwright, sync_playwright

from calculators.version import VERSION
from generator import offline, policy
from generator.bench import browsing
from generator.bench.rows import BenchRow, by_turns, middle
from generator.runtime import pack_unmodified
from generator.runtime.starting import LARGEST_SNAPSHOT
from generator.serving import SiteServer
from generator.site import built_when

TIMES = 7
TIMES_SLOW = 3
# A device in use: browsers keep compiled code of what ran before, once it has run for a while.
EARLIER_USES = 2
STAY_MS = 4000
# The page keeps no snapshot on such a device: by this name an arm does without.
NO_SNAPSHOTS = "Mozilla/5.0 (iPhone; bench without snapshots)"
_STATE = """async () => {
  const client = await import(document.querySelector("link[rel=modulepreload]").href);
  return new Promise((done) => client.watchState((state) => state.phase === "ready" && done(state)));
}"""


def measure(root: Path) -> Iterator[BenchRow]:
    """Time both arms in one run, by turns, with the server stopped and the browser restarted."""
    work = root / ".work" / "bench"
    packed = root / "site"
    stock = site_with_runtime(root, work / "unmodified-site", pack_unmodified)
    with sync_playwright() as playwright:
        arms = {
            "unmodified package": Arm(playwright, stock, work / "profile-stock", snapshots=False),
            "packed": Arm(playwright, packed, work / "profile-packed", snapshots=False),
            "packed, with the snapshot": Arm(
                playwright, packed, work / "profile-snapshot", snapshots=True
            ),
        }
        for arm in arms.values():
            arm.take_into_use()
        for slow in (False, True):
            starts = {name: partial(arm.cold_start, slow=slow) for name, arm in arms.items()}
            yield from _rows(by_turns(starts, TIMES_SLOW if slow else TIMES), slow=slow)
        yield _heap(arms["packed, with the snapshot"].memory)


def _rows(times: dict[str, list[float]], *, slow: bool) -> Iterator[BenchRow]:
    base = middle(times["unmodified package"])
    speed = "x4 slower processor" if slow else "this machine"
    for name, held_to in (
        ("unmodified package", ""),
        ("packed", "at least 3 times sooner"),
        ("packed, with the snapshot", "5 times sooner"),
    ):
        here = middle(times[name])
        ratio = "" if name == "unmodified package" else f", {base / here:.1f} times sooner"
        yield BenchRow(
            what=f"ready, {name}",
            held_to=held_to,
            measured=f"{here:.0f} ms{ratio}",
            how=f"{speed}; cold browser, server stopped, used before, "
            f"median of {len(times[name])}, "
            f"worst {max(times[name]):.0f} ms",
        )


def _heap(memory: int | None) -> BenchRow:
    fits = "unknown" if memory is None else "fits" if memory <= LARGEST_SNAPSHOT else "does not fit"
    return BenchRow(
        what="memory of the started Python",
        held_to=f"{LARGEST_SNAPSHOT:,} bytes, so that a snapshot can be put back",
        measured=f"{memory:,} bytes: {fits}" if memory else "unknown",
        how="as the worker reports it after its start",
    )


class Arm:
    """One site with a browser profile of its own."""

    def __init__(
        self, playwright: Playwright, site: Path, folder: Path, *, snapshots: bool
    ) -> None:
        self._playwright = playwright
        self._site = site
        self._folder = folder
        self._snapshots = snapshots
        self._address = ""
        self.memory: int | None = None
        shutil.rmtree(folder, ignore_errors=True)

    def _browser(self) -> AbstractContextManager[BrowserContext]:
        agent = None if self._snapshots else NO_SNAPSHOTS
        return browsing.profile(self._playwright, self._folder, user_agent=agent)

    def take_into_use(self) -> None:
        """Visit once, and use it as often as a device in use was."""
        self._visit()
        for _ in range(EARLIER_USES):
            self._use()

    def _visit(self) -> None:
        """Visit once with the server running, until the copy is whole; then the server stops."""
        with SiteServer(self._site) as server:
            self._address = server.url
            with self._browser() as context:
                page = context.pages[0]
                page.goto(self._address + browsing.PAGE)
                browsing.wait_until_whole(page)
                browsing.answered_at(page)
                state = page.evaluate(_STATE)
                while self._snapshots and "kept" not in state:
                    page.wait_for_timeout(500)
                    state = page.evaluate(_STATE)
                if self._snapshots and not state["kept"]:
                    raise ValueError("no snapshot was kept")
                self.memory = state.get("memory")

    def _use(self) -> None:
        """Look an answer up as on a day of work, offline, and read it for a while."""
        with self._browser() as context:
            page = context.new_page()
            page.goto(self._address + browsing.PAGE)
            browsing.answered_at(page)
            page.wait_for_timeout(STAY_MS)

    def cold_start(self, *, slow: bool) -> float:
        """Milliseconds from navigation to the answer in a browser just started, offline."""
        with self._browser() as context:
            # The browser itself gets its breath before the clock starts; Python has not started.
            page = context.new_page()
            page.wait_for_timeout(500)
            with browsing.quarter_speed() if slow else nullcontext():
                page.goto(self._address + browsing.PAGE)
                return browsing.answered_at(page)


def site_with_runtime(root: Path, out: Path, pack: Callable[[Path, Path], object]) -> Path:
    """The built site with its runtime packed in another way, made offline as it was itself."""
    shutil.rmtree(out, ignore_errors=True)
    shutil.copytree(root / "site", out)
    shutil.rmtree(out / "runtime")
    pack(root, out / "runtime")
    rules = policy.content_security_policy(out)
    offline.finish_offline(out, policy=rules, built=built_when(root), version=VERSION)
    return out
