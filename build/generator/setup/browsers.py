"""The browsers that the tests drive."""

import shutil
from pathlib import Path

from generator.setup import debian
from generator.setup.places import Places
from generator.setup.steps import SetupError

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_PACKAGES = ("chromium", "fonts-dejavu-core")
# The longer trials also drive the two other engines.
LONG_TRIAL_PACKAGES = {
    "firefox-esr": "firefox-esr",
    "WebKitWebDriver": "webkit2gtk-driver",
    "Xvfb": "xvfb",
}


def prepare(project: Places, *, long_trials: bool = False) -> None:
    """Install the browsers that are missing, or say which packages bring them."""
    if _first_on_path(CHROMIUM_NAMES) is None:
        debian.install(project, CHROMIUM_PACKAGES, purpose="the browser of the tests")
    if long_trials:
        missing = [
            package
            for program, package in LONG_TRIAL_PACKAGES.items()
            if shutil.which(program) is None
        ]
        if missing:
            debian.install(project, missing, purpose="the browsers of the longer trials")


def chromium() -> Path:
    """Find the Chromium that tests and bench start.

    Raises
    ------
    SetupError
        If there is none.
    """
    program = _first_on_path(CHROMIUM_NAMES)
    if program is None:
        raise SetupError("Chromium is missing: run `python3 build test`, which installs it.")
    return program


def _first_on_path(names: tuple[str, ...]) -> Path | None:
    found = (shutil.which(name) for name in names)
    return next((Path(program) for program in found if program is not None), None)
