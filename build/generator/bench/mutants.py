"""A sample of small wrong changes, and how many of them the tests find.

Drawn by the run's date from the modules that answer; for each the tests that run its line run in a
copy of the project, the nearest and quickest first, until one fails or they have had their time. What
survives is printed. A survivor that changes no answer stands with its reason in
``tests/mutants/equivalent.toml``; those may be a tenth of the sample.
"""

from __future__ import annotations

import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import count
from pathlib import Path
from queue import Queue

from generator.bench.cover import NO_TEST_RAN, PASSED, SEEDED, SELECTED, Cover, cover_of, parted
from generator.bench.mutating import Mutant, mutants_of
from generator.bench.rows import BenchRow

SAMPLE = 200
"""How many are drawn; ``REFERENCE_MUTANTS=60`` draws fewer, or names a date behind a colon."""

DRAWN_FROM = ("equipment", "figures", "law", "questions")
MOST_MEMORY = 4 << 30
"""Tests that want more fail, and the change counts as found. [bytes]"""
FIRST_TESTS, MOST_TESTS = 10.0, 90.0
"""How long the tests of the first batch take, and all that one change is put before. [s]

Under coverage, as they are measured: without it about half. A change that longer ones alone would
find counts as a survivor.
"""
PATIENCE, PATIENCE_TIMES = 90.0, 3.0
"""Tests that take longer than this and so many times what they took are stopped, and the change
counts as found. [s]
"""

HELD_TO = "at least 90 % found; at most a tenth of the sample called equivalent"
EQUIVALENT = Path("tests") / "mutants" / "equivalent.toml"
# What the copy of the project holds: all that tests without a browser read.
_COPIED = ("build", "calculators", "content", "tests")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the tests said of one change."""

    mutant: Mutant
    found_by: str
    seconds: float
    equivalent: str = ""


def measure(root: Path) -> Iterator[BenchRow]:
    """Draw the sample of this date and put every change before the tests."""
    number, drawn = asked(os.environ.get("REFERENCE_MUTANTS", ""))
    verdicts = []
    for verdict in verdicts_of(root, sample(root, number, drawn)):
        verdicts.append(verdict)
        said = verdict.found_by or verdict.equivalent or "SURVIVED"
        print(f"{len(verdicts)}. {verdict.mutant.words()}   {said}", flush=True)
    yield row(verdicts, drawn)


def asked(words: str) -> tuple[int, str]:
    """Size and date of a sample, from "60:2026-11-29", "60" or nothing.

    >>> asked("60:2026-11-29")
    (60, '2026-11-29')
    """
    number, _, drawn = words.partition(":")
    return int(number or SAMPLE), drawn or date.today().isoformat()


@cache
def all_mutants(root: Path) -> tuple[Mutant, ...]:
    """Every change that can be drawn, in the order of the modules."""
    return tuple(
        mutant
        for part in DRAWN_FROM
        for module in sorted((root / "calculators" / part).rglob("*.py"))
        for mutant in mutants_of(
            module.relative_to(root).as_posix(), module.read_text(encoding="utf-8")
        )
    )


def sample(root: Path, number: int, drawn: str) -> list[Mutant]:
    """So many changes, drawn by a date: the same date and text draw the same changes."""
    found = all_mutants(root)
    return random.Random(drawn).sample(found, min(number, len(found)))


def row(verdicts: Sequence[Verdict], drawn: str) -> BenchRow:
    """The score of a sample as a row of the measured table."""
    equal = [one for one in verdicts if one.equivalent]
    left = [one for one in verdicts if not one.found_by and not one.equivalent]
    found = len(verdicts) - len(equal) - len(left)
    share = 100.0 * found / max(1, found + len(left))
    return BenchRow(
        what=f"mutants of {', '.join(DRAWN_FROM)}",
        held_to=HELD_TO,
        measured=f"{found} of {found + len(left)} found ({share:.0f} %), {len(equal)} of "
        f"{len(verdicts)} equivalent",
        how=f"drawn by {drawn}; survivors: "
        + ("; ".join(one.mutant.words() for one in left) or "none"),
    )


def equivalents(root: Path) -> Mapping[str, str]:
    """Reasons by change, for those that change no answer."""
    text = (root / EQUIVALENT).read_text(encoding="utf-8")
    return {one["change"]: one["reason"] for one in tomllib.loads(text)["equivalent"]}


def key(mutant: Mutant) -> str:
    """How the file of equivalents names a change: without its line number, which moves."""
    return f"{mutant.module}: {mutant.before} -> {mutant.after} in {mutant.code}"


def verdicts_of(root: Path, mutants: Sequence[Mutant]) -> Iterator[Verdict]:
    """Put every change before the tests, in copies of the project, one on each core."""
    known = equivalents(root)
    cover = cover_of(root)
    sound: dict[str, bool] = {}
    copies: Queue[Path] = Queue()
    cores = os.cpu_count() or 1

    def tried(mutant: Mutant) -> Verdict:
        copy = copies.get()
        started = time.monotonic()
        try:
            found_by = Trial(copy, mutant, cover, sound).found_by()
        finally:
            copies.put(copy)
        return Verdict(
            mutant=mutant,
            found_by=found_by,
            seconds=time.monotonic() - started,
            equivalent="" if found_by else known.get(key(mutant), ""),
        )

    with (
        _little_memory(),
        tempfile.TemporaryDirectory() as folder,
        ThreadPoolExecutor(cores) as workers,
    ):
        for number in range(cores):
            copies.put(_copied(root, Path(folder) / str(number)))
        yield from workers.map(tried, mutants)


def _copied(root: Path, copy: Path) -> Path:
    """What tests without a browser read, in a folder of its own."""
    copy.mkdir()
    for name in _COPIED:
        if (root / name).exists():
            shutil.copytree(root / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    for file in (*root.glob("*.toml"), *root.glob("*.md"), *root.glob("*.yml")):
        shutil.copy2(file, copy)
    return copy


class Trial:
    """One change before the tests that run its line.

    Parameters
    ----------
    copy
        The copy of the project that it is made in, and taken back.
    mutant, cover
        The change, and who runs what.
    sound
        Which test functions pass without any change: another proves nothing. Shared by all trials.
    """

    def __init__(self, copy: Path, mutant: Mutant, cover: Cover, sound: dict[str, bool]) -> None:
        self.copy = copy
        self.mutant = mutant
        self.cover = cover
        self.sound = sound

    def found_by(self) -> str:
        """The test function that found it; empty if none did."""
        module = self.copy / self.mutant.module
        text = module.read_text(encoding="utf-8")
        tests = self.cover.tests(self.mutant.module, text, self.mutant.line, most=MOST_TESTS)
        for batch in parted(tests, self.cover.seconds, FIRST_TESTS):
            left = list(batch)
            while left:
                _written_anew(module, self.mutant.applied(text))
                failed = self._failed(left)
                _written_anew(module, text)
                if failed is None:
                    break
                if not failed:
                    self._refuse_unknown(left)
                    return "more time or memory than it may take, or not taken up at all"
                if self._is_sound(failed, left):
                    return failed
                left.remove(failed)
        return ""

    def _is_sound(self, test: str, batch: Sequence[str]) -> bool:
        """Whether a test passes behind those that ran before it, when nothing is changed."""
        if test not in self.sound:
            self.sound[test] = self._failed(batch[: batch.index(test) + 1]) is None
            if not self.sound[test]:
                print(f"fails without any change and proves nothing: {test}", flush=True)
        return self.sound[test]

    def _refuse_unknown(self, tests: Sequence[str]) -> None:
        """What ends a run without naming a test is the change, if the tests are there without it."""
        done = self._run("--collect-only", *tests, timeout=PATIENCE)
        if done.returncode != PASSED:
            raise RuntimeError(f"pytest does not know these tests: {done.stdout[-2000:]}")

    def _failed(self, tests: Sequence[str]) -> str | None:
        """The first of these that fails; empty if they did not come to an end, None if none fails."""
        expected = sum(self.cover.seconds.get(one, 0.0) for one in tests)
        try:
            done = self._run("-x", *tests, timeout=PATIENCE + PATIENCE_TIMES * expected)
        except subprocess.TimeoutExpired:
            return ""
        if done.returncode in (PASSED, NO_TEST_RAN):
            return None
        # Behind a name stand its case, which may have blanks, and what was wrong.
        named = re.search(r"^FAILED ([^\s\[]+)(\[\S+\])?", done.stdout, re.MULTILINE)
        if named is None:
            return ""
        whole = named[1] + (named[2] or "")
        return whole if whole in tests else named[1]

    def _run(self, *words: str, timeout: float) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            (sys.executable, "-m", "pytest", *SELECTED, SEEDED, *words),
            cwd=self.copy,
            env={k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"},
            capture_output=True,
            timeout=timeout,
            check=False,
            text=True,
        )


_moments = count(int(time.time()))


def _written_anew(module: Path, text: str) -> None:
    """Write a module so that Python compiles it anew, and keeps the compiled rest of the copy.

    What is compiled is known by the second and the size of its text: a change that is as long, made
    within a second, would otherwise not be seen.
    """
    module.write_text(text, encoding="utf-8")
    moment = next(_moments)
    os.utime(module, (moment, moment))


@contextmanager
def _little_memory() -> Iterator[None]:
    """Bound this process and the tests that it starts, before it has threads.

    A change may make a list grow without end: that ends the tests, not the machine.
    """
    before, most = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, most))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (before, most))
