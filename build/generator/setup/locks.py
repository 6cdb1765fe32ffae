"""Making the lock files again, after a change of pyproject.toml or a package.json.

Every lock names the hash of each file it allows and no host to fetch it from.
"""

import os
from pathlib import Path

from generator.setup import environment, node, places
from generator.setup.places import Places
from generator.setup.steps import run

# `site` is held to the versions of `test`, so that one environment can serve both.
PYTHON_LOCKS: dict[str, str | None] = {"test": None, "site": "test", "node": None, "locks": None}
OLDEST_PYTHON = "3.11"
ADVICE = "The locks that were not remade yet are as they were."


def remake(project: Places) -> None:
    """Write all locks anew, with the newest versions that the declarations allow."""
    environment.prepare(project, "locks")
    for name, held_to in PYTHON_LOCKS.items():
        _remake_python_lock(project, name, held_to)
    for package_set in (node.RUNTIME, node.PAGE_SCRIPTS, node.TEST_TOOLS, node.BENCH_TOOLS):
        _remake_node_lock(project, package_set)


def _remake_python_lock(project: Places, name: str, held_to: str | None) -> None:
    constraint: list[str | Path] = ["--constraint", project.python_lock(held_to)] if held_to else []
    run(
        f"Locking the dependency group {name}",
        [
            *(project.environment_python, "-m", "uv", "pip", "compile", "pyproject.toml"),
            *("--group", name, "--universal", "--python-version", OLDEST_PYTHON),
            *("--only-binary", ":all:", "--no-python-downloads", "--system-certs"),
            *("--generate-hashes", "--no-emit-index-url", "--no-emit-find-links", "--upgrade"),
            # Without the extras a package that asks for one is not content with the lock.
            *("--no-strip-extras", "--no-annotate", "--output-file", project.python_lock(name)),
            *constraint,
        ],
        folder=project.root,
        log=project.work / "log" / f"lock-{name}.log",
        advice=ADVICE,
        variables={**os.environ, "UV_CUSTOM_COMPILE_COMMAND": "python3 build locks"},
    )


def _remake_node_lock(project: Places, package_set: node.PackageSet) -> None:
    folder = project.build / package_set.lock_folder
    (folder / "package-lock.json").unlink(missing_ok=True)
    tool = node.find(project)
    run(
        f"Locking {package_set.purpose}",
        [
            *tool.npm,
            *("install", "--package-lock-only", "--ignore-scripts"),
            *("--omit-lockfile-registry-resolved", "--no-audit", "--no-fund"),
        ],
        folder=folder,
        log=project.work / "log" / f"lock-{package_set.installed}.log",
        advice=ADVICE,
        variables=places.keeping_downloads(project) | node.variables_with(tool),
    )
