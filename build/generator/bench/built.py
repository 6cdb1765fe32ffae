"""What the built site weighs, whether a second build agrees, and whether pages and module agree."""

from __future__ import annotations

import hashlib
import html
import shutil
from collections.abc import Iterator
from pathlib import Path

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import result_rows
from calculators.catalog import every_calculator
from generator import published, weight
from generator.bench.rows import BenchRow
from generator.site import build_site


def measure(root: Path) -> Iterator[BenchRow]:
    """Build twice, weigh, and compare."""
    first, second = root / "site", root / ".work" / "bench" / "second-site"
    shutil.rmtree(second, ignore_errors=True)
    for out in (first, second):
        build_site(root, out, report=lambda words: print(f"  {words}", flush=True))
    differing = _differing(first, second)
    yield BenchRow(
        what="build",
        held_to="same inputs, same bytes",
        measured="the same" if not differing else f"{len(differing)} files differ: {differing[:3]}",
        how=f"two builds, SHA-256 of {len(_digests(first))} files",
    )
    weights = weight.weigh(first)
    for weighed, limit in (
        (weights.first, weight.FIRST_PART_AT_MOST),
        (weights.whole, weight.WHOLE_SITE_AT_MOST),
        (weights.heaviest_page, weight.PAGE_AT_MOST),
        (weights.dearest_edit, weight.TEXT_EDIT_AT_MOST),
    ):
        yield BenchRow(
            what=weighed.name.strip(),
            held_to=f"at most {limit / 1e6:.2f} MB",
            measured=f"{weighed.sent / 1e6:.3f} MB",
            how="gzip, as sent",
        )
    yield BenchRow(
        what="first answer",
        held_to="the right default answer stands in the page",
        measured=_agreement(first),
        how="each calculator's page against the module",
    )
    yield _published(root)


def _digests(site: Path) -> dict[str, str]:
    return {
        file.relative_to(site).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(site.rglob("*"))
        if file.is_file()
    }


def _differing(first: Path, second: Path) -> list[str]:
    one, two = _digests(first), _digests(second)
    return sorted(name for name in one.keys() | two.keys() if one.get(name) != two.get(name))


def _agreement(site: Path) -> str:
    agreeing = 0
    for name, calculator in every_calculator().items():
        page = (site / "calculators" / name / "index.html").read_text(encoding="utf-8")
        rows = result_rows(finished(answer(calculator, {}, example=True)))
        agreeing += all(
            f'data-result="{row.name}">{html.escape(row.text, quote=False)}</dd>' in page
            for row in rows
        )
    return f"{agreeing} of {len(every_calculator())} pages"


def _published(root: Path) -> BenchRow:
    within = total = 0
    for found in published.tables(root / "tests" / "published"):
        for row in found.rows:
            ours = row.answer(found.calculator)
            for expected in row.expected:
                value, _ = published.ours(ours, expected.result)
                total += 1
                within += expected.low <= value <= expected.high
    return BenchRow(
        what="published values",
        held_to="all within printed digits, or the wider tolerance explained",
        measured=f"{within} of {total} figures",
        how="tests/published, each through the one answer",
    )
