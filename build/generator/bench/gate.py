"""Where the time of the last whole `python3 build test` went: by folder, and the longest tests."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree

from generator.bench.rows import BenchRow
from generator.setup.places import Places
from generator.setup.steps import SetupError

LONGEST = 10
# A shorter folder is told with the others.
LEAST_SHARE = 0.02


def measure(root: Path) -> Iterator[BenchRow]:
    """Read what the tests wrote down.

    Raises
    ------
    SetupError
        If no whole run was written down on this machine.
    """
    file = Places(root=root).test_times
    if not file.is_file():
        raise SetupError("Run `python3 build test` first: it writes down how long each test took.")
    yield from rows(file.read_text(encoding="utf-8"))


def rows(text: str) -> Iterator[BenchRow]:
    """Rows from a run's record in the JUnit form."""
    suite = ElementTree.fromstring(text).find("testsuite")
    if suite is None:
        raise SetupError("The record of the last test run holds no tests: run it again.")
    by_folder: defaultdict[str, float] = defaultdict(float)
    by_test: defaultdict[str, float] = defaultdict(float)
    for case in suite.iter("testcase"):
        seconds = float(case.get("time", "0"))
        names = case.get("classname", "").split(".")
        by_folder[names[1] if len(names) > 2 else "tests"] += seconds
        by_test[f"{'.'.join(names[1:])}: {case.get('name', '')}"] += seconds
    whole = float(suite.get("time", "0"))
    how = f"{suite.get('tests')} tests, {suite.get('timestamp', '')[:16]}"
    yield BenchRow(
        what="the tests, start to end", held_to="20 min", measured=f"{whole / 60:.1f} min", how=how
    )
    in_all = sum(by_folder.values())
    for folder, seconds in _dearest(by_folder):
        if seconds >= LEAST_SHARE * in_all:
            yield _row(f"tests/{folder}", seconds, in_all)
    for test, seconds in _dearest(by_test)[:LONGEST]:
        yield _row(test, seconds, in_all)


def _dearest(seconds: Mapping[str, float]) -> list[tuple[str, float]]:
    return sorted(seconds.items(), key=lambda one: -one[1])


def _row(what: str, seconds: float, in_all: float) -> BenchRow:
    return BenchRow(
        what=what, held_to="", measured=f"{seconds:.0f} s", how=f"{seconds / in_all:.0%} of all"
    )
