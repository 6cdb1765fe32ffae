"""The project's own Python environment, made from the hashed locks."""

import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from generator.setup import debian, places, stamps
from generator.setup.places import Places
from generator.setup.steps import SetupError, run

# A lock that holds everything of another one, in the same versions.
HOLDS_ALSO = {"site": ("test",)}


def prepare(project: Places, lock: str) -> None:
    """Make the environment hold what the lock names; fetch nothing if it does already."""
    if _holds(project, lock):
        return
    if not _is_whole(project):
        _make(project)
    _install(project, lock)


def is_inside(project: Places) -> bool:
    """Whether this very process runs in the project's environment."""
    return Path(sys.prefix).resolve() == project.environment.resolve()


def go_on_inside(project: Places, program: Path, words: list[str]) -> None:
    """Run the same command again in the environment, in place of this process."""
    python = str(project.environment_python)
    sys.stdout.flush()
    sys.stderr.flush()
    os.execv(python, [python, str(program), *words])


def _stamp(project: Places, lock: str) -> Path:
    return project.environment / "locked" / lock


def _holds(project: Places, lock: str) -> bool:
    if not _starts(project.environment_python):
        return False
    return any(
        stamps.is_fresh(_stamp(project, name), stamps.key_of(project.python_lock(name)))
        for name in (lock, *HOLDS_ALSO.get(lock, ()))
    )


def _is_whole(project: Places) -> bool:
    """Whether the environment was ever finished; one stopped while it was made may lack pip."""
    finished = any((project.environment / "locked").glob("*"))
    return finished and _starts(project.environment_python)


def _starts(python: Path) -> bool:
    """Whether the environment's Python still runs (the one it was made from may be gone)."""
    if not python.exists():
        return False
    return subprocess.run([python, "-c", ""], check=False, capture_output=True).returncode == 0


def _make(project: Places) -> None:
    if not _has_module("ensurepip.__main__"):
        debian.install(project, _venv_packages(), purpose="Python's own venv")
    run(
        "Making the project's Python environment",
        [_python_outside(), "-m", "venv", "--clear", project.environment],
        log=project.work / "log" / "venv.log",
        advice="Remove the folder .work and run this command again.",
    )


def _install(project: Places, lock: str) -> None:
    file = project.python_lock(lock)
    stamp = _stamp(project, lock)
    stamp.unlink(missing_ok=True)
    run(
        f"Installing the Python packages of {file.name}",
        [
            *(project.environment_python, "-m", "pip", "install"),
            *("--require-hashes", "--only-binary", ":all:", "--requirement", file),
            # The lock names every package already. Asked to resolve as well, pip would hold what
            # a package wants today (an extra, a newer release) against it.
            *("--no-deps", "--no-input", "--disable-pip-version-check", "--progress-bar", "off"),
        ],
        log=project.work / "log" / f"pip-{lock}.log",
        advice="Is the machine on line? Run this command again; what was fetched is kept.",
        variables=places.keeping_downloads(project),
    )
    run(
        "Checking that the packages fit together",
        [project.environment_python, "-m", "pip", "check", "--disable-pip-version-check"],
        log=project.work / "log" / f"pip-check-{lock}.log",
        advice=f"The lock {file.name} is not complete: remake it with `python3 build locks`.",
    )
    stamps.write(stamp, stamps.key_of(file))


def _python_outside() -> Path:
    """Find the Python that environments are made from, also when this one is in an environment."""
    if sys.prefix == sys.base_prefix:
        return Path(sys.executable)
    major, minor = sys.version_info[:2]
    python = Path(sys.base_prefix) / "bin" / f"python{major}.{minor}"
    if not python.exists():
        raise SetupError(f"{python} is gone. Run this command with the system's own python3.")
    return python


def _venv_packages() -> list[str]:
    """Debian's packages that bring venv to this Python."""
    major, minor = sys.version_info[:2]
    return [f"python{major}.{minor}-venv"]


def _has_module(name: str) -> bool:
    try:
        return find_spec(name) is not None
    except ModuleNotFoundError:
        return False
