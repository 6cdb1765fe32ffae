"""Debian's packages: installed where that is possible, named where it is not."""

import os
import shutil
from collections.abc import Mapping, Sequence

from generator.setup.places import Places
from generator.setup.steps import SetupError, run

APT_GET = "apt-get"


def install(project: Places, packages: Sequence[str], *, purpose: str) -> None:
    """Install packages of Debian, or say which ones to install and what for.

    Raises
    ------
    SetupError
        If this is not a Debian system run as root, or apt-get fails.
    """
    names = " ".join(packages)
    by_hand = f"Install it by hand (on Debian and its relatives: apt-get install {names})."
    if not can_install():
        raise SetupError(f"{purpose} is missing. {by_hand} Then run this command again.")
    logs = project.work / "log"
    run(
        "Asking for the list of Debian's packages",
        [APT_GET, "update"],
        log=logs / "apt-update.log",
        advice="Is the machine on line? " + by_hand,
        variables=_quiet_variables(),
    )
    run(
        f"Installing {names}: {purpose}",
        [APT_GET, "install", "--yes", "--no-install-recommends", *packages],
        log=logs / "apt-install.log",
        advice=by_hand,
        variables=_quiet_variables(),
    )


def can_install() -> bool:
    """Whether this is a Debian system, or a relative, run as root."""
    return shutil.which(APT_GET) is not None and is_root()


def is_root() -> bool:
    """Whether this process may install packages of the system."""
    return os.geteuid() == 0


def _quiet_variables() -> Mapping[str, str]:
    return {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
