"""What each patch on the runtime and the pages earns alone: the site with and without it, by turns.

A row of DEVELOPERS.md's table of patches stands on these figures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from functools import partial
from pathlib import Path
from unittest.mock import patch

from playwright.sync_api import sync_playwright

from generator import runtime, site, weight
from generator.bench.rows import BenchRow, by_turns, middle
from generator.bench.starts import Arm, site_with_runtime
from generator.runtime import packing

TIMES = 9
AS_BUILT = "as built"


def _whole_interpreter(whole: object, *, loader: str) -> object:
    return whole


# Each switch by the words of the table: what is put in the place of the patch.
SWITCHES: dict[str, Callable[[], AbstractContextManager[object]]] = {
    AS_BUILT: nullcontext,
    "interpreter as it comes": lambda: patch.object(
        packing, "lean_interpreter", _whole_interpreter
    ),
}


def measure(root: Path) -> Iterator[BenchRow]:
    """Weigh each site and time cold offline starts by turns."""
    work = root / ".work" / "bench"
    sites: dict[str, Path] = {}
    for place, (name, switch) in enumerate(SWITCHES.items()):
        with switch():
            sites[name] = site_with_runtime(root, work / f"switch-{place}", runtime.pack)
    weights = {name: weight.weigh(folder).whole.sent for name, folder in sites.items()}
    for snapshots in (False, True):
        times = _starts(work, sites, snapshots=snapshots)
        base = middle(times[AS_BUILT])
        for name, taken in times.items():
            here = middle(taken)
            more = "" if name == AS_BUILT else f" ({here / base - 1:+.0%})"
            yield BenchRow(
                what=f"ready{' with the snapshot' if snapshots else ''}, {name}",
                held_to="",
                measured=f"{here:.0f} ms{more}; {weights[name] / 1e6:.3f} MB",
                how=f"cold browser, server stopped, median of {len(taken)} by turns, "
                f"from {min(taken):.0f} to {max(taken):.0f} ms",
            )
    yield _indented(root, work / "switch-pages")


def _starts(work: Path, sites: dict[str, Path], *, snapshots: bool) -> dict[str, list[float]]:
    with sync_playwright() as playwright:
        arms = {
            name: Arm(playwright, folder, work / f"profile-{folder.name}", snapshots=snapshots)
            for name, folder in sites.items()
        }
        for arm in arms.values():
            arm.take_into_use()
        starts = {name: partial(arm.cold_start, slow=False) for name, arm in arms.items()}
        return by_turns(starts, TIMES)


def _indented(root: Path, out: Path) -> BenchRow:
    """The weight of the pages with the indentation that no reader sees."""
    with (
        patch.object(site, "lean_pages", lambda _: None),
        patch.object(weight.WeightReport, "problems", lambda _: ()),
    ):
        site.build_site(root, out, report=lambda words: print(f"  {words}", flush=True))
    lean, whole = weight.weigh(root / "site"), weight.weigh(out)
    return BenchRow(
        what="pages with their indentation",
        held_to="",
        measured=f"site {whole.whole.sent / 1e6:.3f} MB for {lean.whole.sent / 1e6:.3f}; "
        f"heaviest page {whole.heaviest_page.sent:,} bytes for {lean.heaviest_page.sent:,}",
        how="gzip, as sent",
    )
