"""Lighthouse's mobile audit of the calculators' pages."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from generator.bench import browsing
from generator.bench.rows import BenchRow
from generator.serving import SiteServer
from generator.setup import browsers, node
from generator.setup.places import Places

TIMES = 3
KINDS = ("performance", "accessibility", "best-practices", "seo")
PAGES = ("locomotive-brake", "car-brake", "stopping-distance")


def measure(root: Path) -> Iterator[BenchRow]:
    """Audit some calculators' pages, the heaviest among them, and the home page."""
    with SiteServer(root / "site") as server:
        for path in ("", *(f"calculators/{name}/" for name in PAGES)):
            scores = [_audit(root, server.url + path) for _ in range(TIMES)]
            middle = [median(score[kind] for score in scores) for kind in KINDS]
            yield BenchRow(
                what=f"audit, {path or 'home'}",
                held_to="90, 100, 100, 100",
                measured=", ".join(f"{100 * score:.0f}" for score in middle),
                how=f"{', '.join(KINDS)}; mobile, median of {TIMES}",
            )


def _audit(root: Path, address: str) -> dict[str, float]:
    project = Places(root=root)
    program = node.find(project).program
    lighthouse = node.package_folder(project, node.BENCH_TOOLS, "lighthouse")
    flags = " ".join(("--headless=new", *browsing.FLAGS))
    done = subprocess.run(
        [
            str(program),
            str(lighthouse / "cli" / "index.js"),
            address,
            "--quiet",
            "--output=json",
            f"--only-categories={','.join(KINDS)}",
            f"--chrome-flags={flags}",
        ],
        env=os.environ | {"CHROME_PATH": str(browsers.chromium())},
        capture_output=True,
        text=True,
        check=True,
    )
    categories = json.loads(done.stdout)["categories"]
    return {kind: float(categories[kind]["score"] or 0) for kind in KINDS}
