"""The browsers that the tests drive."""

import ctypes
import shutil
from pathlib import Path

from generator.setup import debian, stamps
from generator.setup.places import Places
from generator.setup.steps import SetupError

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
# Debian's Chromium without windows: the same engine with a third less work a page. It reads no
# settings of a profile, so whoever tries a device takes the other.
WINDOWLESS = "chromium-headless-shell"
CHROMIUM_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
CHROMIUM_PACKAGES = ("chromium", "fonts-dejavu-core")
# The driver between Python and the browser is a program of its own, linked to these libraries.
DRIVER_LIBRARIES = {"libatomic.so.1": "libatomic1"}
# The longer trials also drive the two other engines.
LONG_TRIAL_PACKAGES = {
    "firefox-esr": "firefox-esr",
    "WebKitWebDriver": "webkit2gtk-driver",
    "Xvfb": "xvfb",
}


def prepare(project: Places, *, long_trials: bool = False) -> None:
    """Install the browsers that are missing, or say which packages bring them."""
    missing = [
        package for library, package in DRIVER_LIBRARIES.items() if not _can_be_loaded(library)
    ]
    if _first_on_path(CHROMIUM_NAMES) is None:
        missing += CHROMIUM_PACKAGES
    if missing:
        debian.install(project, missing, purpose="the browser of the tests")
    if long_trials:
        missing = [
            package
            for program, package in LONG_TRIAL_PACKAGES.items()
            if shutil.which(program) is None
        ]
        if missing:
            debian.install(project, missing, purpose="the browsers of the longer trials")


def ask_once_for_windowless(project: Places) -> None:
    """Install the quicker Chromium where Debian gives it; the tests go on without."""
    asked = project.work / "log" / "windowless-browser"
    key = stamps.key_of(Path(__file__))
    if shutil.which(WINDOWLESS) is not None or not debian.can_install():
        return
    if stamps.is_fresh(asked, key):
        return
    stamps.write(asked, key)
    try:
        debian.install(project, [WINDOWLESS], purpose="a quicker browser for the tests")
    except SetupError:
        print(f"  Not to be had: the tests take {chromium()}, which is slower.", flush=True)


def chromium() -> Path:
    """Find the Chromium that bench starts, and tests whose subject is a device.

    Raises
    ------
    SetupError
        If there is none.
    """
    program = _first_on_path(CHROMIUM_NAMES)
    if program is None:
        raise SetupError("Chromium is missing: run `python3 build test`, which installs it.")
    return program


def windowless() -> Path:
    """Find the Chromium that tests of pages start: without windows if it is there.

    Raises
    ------
    SetupError
        If there is none.
    """
    return _first_on_path((WINDOWLESS,)) or chromium()


def _can_be_loaded(library: str) -> bool:
    """Whether the system's loader finds the shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _first_on_path(names: tuple[str, ...]) -> Path | None:
    found = (shutil.which(name) for name in names)
    return next((Path(program) for program in found if program is not None), None)
