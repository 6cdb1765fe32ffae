"""Which tests run which line of our modules, and how long they take: told by one run of them all."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from pathlib import Path
from xml.etree import ElementTree

from coverage import CoverageData

from generator.setup import stamps
from generator.setup.places import Places
from generator.setup.steps import SetupError

# No line of ours is changed for their sake, or they want the built site.
_NOT_ASKED = (
    "browser",
    "generator",
    "mutants",
    "offline",
    "railroad",
    "runtime",
    "search",
    "setup",
)
SELECTED = ("-n", "0", "-q", "-p", "no:cacheprovider", "-m", "not browser and not long")
SEEDED = "--hypothesis-seed=0"
# How pytest ends.
PASSED, FAILED, NO_TEST_RAN = 0, 1, 5
# Every answer goes through these, whatever module was changed.
_OF_ALL = (
    "tests/answering/",
    "tests/declaring/",
    "tests/figures/",
    "tests/law/",
    "tests/test_",
    "tests/unchanged/",
)
# These run thousands of times a second of a train's time: to note each line takes seven times as long.
# Whoever runs what imports them runs them.
_HOT = ("equipment/train/stepping/*", "equipment/train/running.py", "equipment/running/*")
_SETTINGS = "[run]\nsource = calculators\ndynamic_context = test_function\nomit =\n" + "".join(
    f"    */calculators/{hot}\n" for hot in _HOT
)

Lines = Mapping[str, Mapping[int, Set[str]]]


class Cover:
    """What each test function runs and costs.

    Parameters
    ----------
    lines
        By module and line the test functions that ran it, as ``tests/test_x.py::test_y``.
    seconds
        What all cases of each test function took together; of one with a case for each question,
        what each of them took, as ``tests/test_x.py::test_y[hand-brakes]``. [s]
    imports
        By module the modules that it imports.
    """

    def __init__(
        self, *, lines: Lines, seconds: Mapping[str, float], imports: Mapping[str, Set[str]]
    ) -> None:
        self.lines = lines
        self.seconds = seconds
        self.imports = imports
        cases: defaultdict[str, list[str]] = defaultdict(list)
        for name in seconds:
            cases[name.partition("[")[0]].append(name)
        # Changes are tried side by side: what is looked up must not grow by it.
        self._cases: Mapping[str, Sequence[str]] = dict(cases)

    def tests(self, module: str, text: str, line: int, *, most: float) -> list[str]:
        """Test functions that a change in a line is put before, those named alike first.

        The quickest of those that run the line and are named alike, of the others that run it, and
        of those that all answers or all texts of the package go through.

        Parameters
        ----------
        module, text, line
            The changed module, its text, and where in it.
        most
            How long the first take together, the second half of it, the last a third; of each at
            least one, if any. [s]
        """
        where, in_function = statement(text, line)
        run = self.lines.get(module, {})
        found: set[str] = set().union(*(run.get(number, ()) for number in where))
        if not in_function or not found:
            # Taken up at the import, which no test runs: whoever runs the module reads it, or
            # whoever runs what imports it.
            asking = {module} | self._importing({module})
            while not any(self.lines.get(one) for one in asking) and (
                wider := self._importing(asking) - asking
            ):
                asking |= wider
            found |= set().union(*(of for one in asking for of in self.lines.get(one, {}).values()))
            found |= {name for name in self._cases if is_near(name, module)}
        of_all = {name for name in self._cases if name.startswith(_OF_ALL)} - found
        cases = self._of(found, module)
        near = [case for case in cases if is_near(case, module)]
        return [
            *self._within(most, near),
            *self._within(most / 2, [case for case in cases if case not in near]),
            *self._within(most / 3, self._of(of_all, module)),
        ]

    def _of(self, functions: Set[str], module: str) -> list[str]:
        """The cases of some test functions; where a question has its own, that alone."""
        cases: list[str] = []
        for named in functions:
            every = self._cases.get(named, ())
            own = [case for case in every if is_case_of(case, module)]
            cases += own or list(every)
        return sorted(cases)

    def _within(self, most: float, tests: Sequence[str]) -> list[str]:
        """The quickest of some tests that take so long together, at least one, in their order."""
        given: set[str] = set()
        spent = 0.0
        for name in sorted(tests, key=lambda name: self.seconds[name]):
            spent += self.seconds[name]
            if given and spent > most:
                break
            given.add(name)
        return [name for name in tests if name in given]

    def _importing(self, modules: Set[str]) -> set[str]:
        return {one for one, theirs in self.imports.items() if theirs & modules}


def statement(text: str, line: int) -> tuple[range, bool]:
    """Lines of the statement that a line belongs to, and whether it stands in a function.

    Of a statement that holds others only its head.
    """
    innermost: ast.stmt | None = None
    in_function = False
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.stmt) or not node.lineno <= line <= (node.end_lineno or 0):
            continue
        body = getattr(node, "body", None)
        holds = isinstance(node, ast.FunctionDef) and body and line >= body[0].lineno
        in_function = in_function or bool(holds)
        # The walk goes from the outer to the inner.
        innermost = node
    if innermost is None:
        return range(line, line + 1), False
    inner = getattr(innermost, "body", None)
    last = inner[0].lineno - 1 if inner else innermost.end_lineno or line
    return range(innermost.lineno, max(last, line) + 1), in_function


def is_near(test: str, module: str) -> bool:
    """Whether a test function stands in a file named as a module, its folder or its question.

    >>> is_near(
    ...     "tests/questions/test_hand_brakes.py::test_x",
    ...     "calculators/questions/hand_brakes/words.py",
    ... )
    True
    >>> is_near("tests/law/test_limits.py::test_x", "calculators/law/limits/cars.py")
    True
    """
    if is_case_of(test, module):
        return True
    parts = module.removesuffix(".py").split("/")[1:]
    file = test.partition("::")[0]
    stem = Path(file).stem.removeprefix("test_")
    if parts[0] == "questions" and len(parts) > 2:
        return stem.startswith(parts[1])
    if len(parts) > 2:
        return (
            file.startswith(f"tests/{parts[1]}/")
            or stem.startswith(f"{parts[1]}_{parts[2]}")
            or stem in parts[1:]
        )
    return stem == parts[-1]


def is_case_of(test: str, module: str) -> bool:
    """Whether a case of a test function is that of a module's question.

    >>> is_case_of("tests/test_x.py::test_y[car-brake]", "calculators/questions/car_brake/words.py")
    True
    """
    parts = module.split("/")
    return parts[1] == "questions" and test.endswith(f"[{parts[2].replace('_', '-')}]")


def cover_of(root: Path) -> Cover:
    """Run every test without a browser once and note which lines it ran, or read what is kept.

    It is kept below ``.work`` for as long as neither the package nor a test changes.

    Raises
    ------
    SetupError
        If the tests did not come to an end.
    """
    folder = Places(root=root).work / "mutants"
    texts = (
        file
        for part in ("calculators", "tests")
        for file in sorted((root / part).rglob("*"))
        if file.suffix in (".py", ".toml")
    )
    key = stamps.key_of(*texts)
    stamp = folder / "stamp"
    if not stamps.is_fresh(stamp, key):
        print("which tests run which lines: takes half an hour and more ...", flush=True)
        # Parts of an earlier run, on more cores or broken off, would be read as parts of this one.
        shutil.rmtree(folder, ignore_errors=True)
        _run(root, folder)
        stamps.write(stamp, key)
    return Cover(
        lines=_lines(root, folder), seconds=_seconds(root, folder), imports=imports_of(root)
    )


def _run(root: Path, folder: Path) -> None:
    """Run the tests under coverage, a part of them on each core."""
    folder.mkdir(parents=True, exist_ok=True)
    settings = folder / "coverage.ini"
    settings.write_text(_SETTINGS, encoding="utf-8")
    files = [
        test.relative_to(root).as_posix()
        for test in sorted((root / "tests").rglob("test_*.py"))
        if test.relative_to(root / "tests").parts[0] not in _NOT_ASKED
    ]
    cores = os.cpu_count() or 1
    running = [
        subprocess.Popen(
            [
                *(sys.executable, "-m", "coverage", "run", f"--rcfile={settings}"),
                *(f"--data-file={folder / f'lines-{part}'}", "-m", "pytest", *SELECTED, SEEDED),
                *("--continue-on-collection-errors", f"--junitxml={folder / f'times-{part}.xml'}"),
                *files[part::cores],
            ],
            cwd=root,
            stdout=subprocess.DEVNULL,
        )
        for part in range(cores)
        if files[part::cores]
    ]
    ended = [one.wait() for one in running]
    if set(ended) - {PASSED, FAILED, NO_TEST_RAN}:
        raise SetupError("The run that notes who runs what broke off: begin it again.")


def _lines(root: Path, folder: Path) -> Lines:
    found: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    for file in sorted(folder.glob("lines-*")):
        data = CoverageData(basename=str(file))
        data.read()
        for module in data.measured_files():
            name = Path(module).relative_to(root.resolve()).as_posix()
            for line, contexts in data.contexts_by_lineno(module).items():
                found[name][line] |= {function(root, one) for one in contexts if one}
    return found


def function(root: Path, dotted: str) -> str:
    """Name a test function as pytest takes it, from "tests.x.test_y.TestZ.test_z"."""
    parts = dotted.split(".")
    for length in range(len(parts) - 1, 0, -1):
        file = Path(*parts[:length]).with_suffix(".py")
        if (root / file).is_file():
            return "::".join((file.as_posix(), *parts[length:]))
    return dotted


def _seconds(root: Path, folder: Path) -> Mapping[str, float]:
    """What each test function took; one that did not pass proves nothing and is left out."""
    found: defaultdict[str, float] = defaultdict(float)
    failed = set()
    questions = {
        folder.name.replace("_", "-") for folder in (root / "calculators" / "questions").glob("*/")
    }
    for file in sorted(folder.glob("times-*.xml")):
        for case in ElementTree.parse(file).getroot().iter("testcase"):
            name, _, given = case.get("name", "").partition("[")
            test = function(root, f"{case.get('classname', '')}.{name}")
            if given.removesuffix("]") in questions:
                test += f"[{given}"
            found[test] += float(case.get("time", "0"))
            if case.find("failure") is not None or case.find("error") is not None:
                failed.add(test)
    for name in failed:
        print(f"fails without any change and proves nothing: {name}", flush=True)
    return {name: seconds for name, seconds in found.items() if name not in failed}


def imports_of(root: Path) -> dict[str, Set[str]]:
    """By module of the package the modules that it names in an import, as paths."""
    return {
        module.relative_to(root).as_posix(): set(_imported(root, module))
        for module in sorted((root / "calculators").rglob("*.py"))
    }


def _imported(root: Path, file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("calculators"):
            base = Path(*(node.module or "").split("."))
            for name in (base, *(base / alias.name for alias in node.names)):
                for path in (name.with_suffix(".py"), name / "__init__.py"):
                    if (root / path).exists():
                        yield path.as_posix()


def parted(tests: Sequence[str], seconds: Mapping[str, float], first: float) -> list[list[str]]:
    """Part tests into a first batch that takes so long [s], which finds most changes, and the rest."""
    spent = 0.0
    for place, name in enumerate(tests):
        spent += seconds[name]
        if spent > first and place:
            return [list(tests[:place]), list(tests[place:])]
    return [list(tests)] if tests else []
