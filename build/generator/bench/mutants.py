"""A sample of small wrong changes, and how many of them the tests find.

Drawn by the run's date from the modules that answer; for each the tests that cover its module run in
a copy of the project, nearest first, until one fails. What survives is printed. A survivor that
changes no answer stands with its reason in ``tests/mutants/equivalent.toml``; those may be a tenth of
the sample.
"""

from __future__ import annotations

import ast
import os
import random
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

from generator.bench.mutating import Mutant, mutants_of
from generator.bench.rows import BenchRow

SAMPLE = 200
"""How many are drawn; ``REFERENCE_MUTANTS=60`` draws fewer, or names a date behind a colon."""

DRAWN_FROM = ("equipment", "figures", "law", "questions")
MOST_MEMORY = 4 << 30
"""Tests that want more fail, and the change counts as found. [bytes]"""
PATIENCE = 600.0
"""Tests that take longer than this are stopped, and the change counts as found. [s]"""

HELD_TO = "at least 90 % found; at most a tenth of the sample called equivalent"
EQUIVALENT = Path("tests") / "mutants" / "equivalent.toml"
# What the copy of the project holds: all that tests without a browser read.
_COPIED = ("build", "calculators", "content", "tests")
# Every answer goes through these, whatever module was changed.
_OF_ALL = (
    "tests/test_published.py",
    "tests/figures",
    "tests/answering",
    "tests/test_declarations.py",
    "tests/law",
)
_NO_SITE_NEEDED = ("browser", "offline", "runtime", "search", "setup", "generator", "railroad")


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
    cover = Cover(root)
    sound: dict[tuple[str, ...], bool] = {}
    copies: Queue[Path] = Queue()
    cores = os.cpu_count() or 1

    def tried(mutant: Mutant) -> Verdict:
        copy = copies.get()
        started = time.monotonic()
        try:
            found_by = _tried(copy, mutant, cover.stages(mutant.module), sound)
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
        shutil.copytree(root / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    for file in (*root.glob("*.toml"), *root.glob("*.md"), *root.glob("*.yml")):
        shutil.copy2(file, copy)
    return copy


def _tried(
    copy: Path,
    mutant: Mutant,
    stages: Sequence[Sequence[str]],
    sound: dict[tuple[str, ...], bool],
) -> str:
    """The first stage of tests that found a change; empty if none did.

    ``sound`` remembers which stages pass without a change: another proves nothing.
    """
    module = copy / mutant.module
    text = module.read_text(encoding="utf-8")
    for stage in (tuple(one) for one in stages if one):
        _written_anew(module, mutant.applied(text))
        passes = _pass(copy, stage)
        _written_anew(module, text)
        if passes:
            continue
        if stage not in sound:
            sound[stage] = _pass(copy, stage)
            if not sound[stage]:
                print(f"these tests fail without any change and prove nothing: {stage}", flush=True)
        if sound[stage]:
            return f"found by {stage[0]}" + (" ..." if len(stage) > 1 else "")
    return ""


_moments = count(int(time.time()))


def _written_anew(module: Path, text: str) -> None:
    """Write a module so that Python compiles it anew, and keeps the compiled rest of the copy.

    What is compiled is known by the second and the size of its text: a change that is as long, made
    within a second, would otherwise not be seen.
    """
    module.write_text(text, encoding="utf-8")
    moment = next(_moments)
    os.utime(module, (moment, moment))


def _pass(copy: Path, tests: Sequence[str]) -> bool:
    command = [sys.executable, "-m", "pytest", "-n", "0", "-x", "-q", "-p", "no:cacheprovider"]
    selected = ["-m", "not browser and not long", "--hypothesis-seed=0"]
    try:
        done = subprocess.run(
            [*command, *selected, *tests],
            cwd=copy,
            env={k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"},
            capture_output=True,
            timeout=PATIENCE,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return False
    no_test_ran = 5
    return done.returncode in (0, no_test_ran)


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


class Cover:
    """Which tests are worth running for which module: those near by name, then those that import it."""

    def __init__(self, root: Path) -> None:
        modules = sorted((root / "calculators").rglob("*.py"))
        self.imports = {
            module.relative_to(root).as_posix(): _imported(root, module) for module in modules
        }
        self.tests = {
            test.relative_to(root).as_posix(): _imported(root, test)
            for test in sorted((root / "tests").rglob("test_*.py"))
            if test.relative_to(root / "tests").parts[0] not in _NO_SITE_NEEDED
        }

    def stages(self, module: str) -> list[list[str]]:
        """Test files in the order in which they are run: near, general, all that lean on it."""
        # The module's own examples last: pytest takes it up anew for them, and a test that changes a
        # constant in it would change the other one.
        near = [*(test for test in self.tests if self._near(test, module)), module]
        leaning = self.leaning_on(module)
        asked = [
            test
            for test in self.tests
            if test not in near
            and (self.tests[test] & leaning or self._of_a_question(test, leaning))
        ]
        return [near, list(_OF_ALL), asked]

    def _near(self, test: str, module: str) -> bool:
        """Whether a test is named as a module, its folder or its question, or imports it."""
        parts = module.removesuffix(".py").split("/")[1:]
        stem = Path(test).stem.removeprefix("test_")
        if parts[0] == "questions" and len(parts) > 2:
            named = stem.startswith(parts[1])
        elif len(parts) > 2:
            named = test.startswith(f"tests/{parts[1]}/") or stem.startswith(
                f"{parts[1]}_{parts[2]}"
            )
        else:
            named = stem == parts[-1]
        return named or module in self.tests[test]

    def leaning_on(self, module: str) -> set[str]:
        """The module and all modules that import it, by whatever way; the lists of all are none."""
        found, new = {module}, {module}
        while new:
            new = {
                one
                for one, theirs in self.imports.items()
                if theirs & new and one not in found and "catalog" not in one
            }
            found |= new
        return found

    def _of_a_question(self, test: str, leaning: set[str]) -> bool:
        stem = Path(test).stem.removeprefix("test_")
        return test.startswith("tests/questions/") and any(
            one.startswith("calculators/questions/") and stem.startswith(one.split("/")[2])
            for one in leaning
        )


def _imported(root: Path, file: Path) -> set[str]:
    """The package's modules that a file names in an import, as paths."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("calculators"):
            base = Path(*(node.module or "").split("."))
            names = [base, *(base / alias.name for alias in node.names)]
            for name in names:
                for path in (name.with_suffix(".py"), name / "__init__.py"):
                    if (root / path).exists():
                        found.add(path.as_posix())
    return found
