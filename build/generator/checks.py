"""The checks of the project, in the order in which a person wants to hear of them."""

import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from generator.setup import node
from generator.setup.places import Places

NO_TEST_RAN = 5
# A file's tests stay together, because they share a browser or a train that is slow to make; files
# come in their own order, which leaves the many short ones to fill both cores at the end.
ON_ALL_CORES = ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder")


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One program that judges the project by its exit status."""

    title: str
    command: tuple[str | Path, ...]


def run_all(project: Places, *, words: Sequence[str], long_trials: bool) -> int:
    """Run every check; the longer trials are reported after them and decide nothing."""
    build = Check(title="the site builds", command=(sys.executable, project.build, "build"))
    # A run of some tests says nothing of the whole one's time.
    record = [] if words else [f"--junitxml={project.test_times}"]
    tests = _tests("the tests", [*record, *words])
    # The site is built meanwhile: the readers of text take one core, and so does most of a build.
    begun = {build.title: _begin(project, build)}
    status = _run(project, [*_checks_of_text(project), build, tests], begun)
    if long_trials:
        _run(project, [_tests("the longer trials (reported only)", ["-m", "long", *words])])
    return status


def run_quick(project: Places, *, words: Sequence[str]) -> int:
    """Run the checks that need no browser and no built site."""
    fast = _tests("the tests without a browser", ["-m", "not browser and not long", *words])
    return _run(project, [*_checks_of_text(project), fast])


def _checks_of_text(project: Places) -> list[Check]:
    python = (sys.executable, "-m")
    return [
        Check(title="lint", command=(*python, "ruff", "check", ".")),
        Check(title="format", command=(*python, "ruff", "format", "--check", ".")),
        Check(title="types", command=(*python, "mypy")),
        *_checks_of_script(project),
    ]


def _checks_of_script(project: Places) -> list[Check]:
    """Lint, format and types of the browser modules and the styles.

    Types are asked twice, because page scripts and worker scripts know other globals.
    """
    compiler = node.package_folder(project, node.TEST_TOOLS, "typescript") / "bin" / "tsc"
    reader = node.package_folder(project, node.TEST_TOOLS, "@biomejs/biome") / "bin" / "biome"
    program = node.find(project).program
    read = Check(
        title="lint and format of scripts and styles",
        command=(
            *(program, reader, "ci", "--colors=off"),
            *("--config-path", project.build / "scripts-and-styles.jsonc"),
            *(project.build / "browser", project.build / "theme" / "own"),
        ),
    )
    typed = [
        Check(
            title=f"types of the browser modules ({settings.stem})",
            command=(program, compiler, "--noEmit", "--project", settings),
        )
        for settings in sorted(project.build.glob("tsconfig*.json"))
    ]
    return [read, *typed]


def _tests(title: str, words: Sequence[str]) -> Check:
    return Check(title=title, command=(sys.executable, "-m", "pytest", *ON_ALL_CORES, *words))


def _run(
    project: Places,
    checks: Sequence[Check],
    begun: Mapping[str, "subprocess.Popen[str]"] = MappingProxyType({}),
) -> int:
    """Run the checks one after the other, a failure holding none of the others up.

    What was begun before, by title, is told in its turn.
    """
    failed = [
        check.title for check in checks if not _passes(project, check, begun.get(check.title))
    ]
    if failed:
        print(f"\nFailed: {', '.join(failed)}", file=sys.stderr, flush=True)
        return 1
    return 0


def _passes(project: Places, check: Check, begun: "subprocess.Popen[str] | None") -> bool:
    print(f"\n== {check.title} ==", flush=True)
    started = time.monotonic()
    process = begun or _begin(project, check, told=True)
    # What was held back, and what still comes.
    for line in process.stdout or ():
        print(line, end="", flush=True)
    status = process.wait()
    verdict = "no test ran" if status == NO_TEST_RAN else f"exit {status}"
    # On standard error, so that the closing line of the tests stays the last one of the output.
    print(f"   {verdict}, {time.monotonic() - started:.0f} s", file=sys.stderr, flush=True)
    return status == 0


def _begin(project: Places, check: Check, *, told: bool = False) -> "subprocess.Popen[str]":
    """Start a check; what it says is held back until somebody reads it, unless it is told at once."""
    return subprocess.Popen(
        [str(word) for word in check.command],
        cwd=project.root,
        env=node.variables_with(node.find(project)),
        stdin=subprocess.DEVNULL,
        stdout=None if told else subprocess.PIPE,
        stderr=None if told else subprocess.STDOUT,
        text=True,
    )
