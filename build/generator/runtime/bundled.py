"""Libraries in pure Python that go along with our modules: only those parts that are used."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, distribution

# The scheduler of the drills; its optimizer, which wants far larger libraries, stays here.
_PARTS = {"fsrs": ("__init__", "card", "rating", "review_log", "scheduler", "state")}

# Of this module the library asks only for a name that the interpreter's own `typing` has.
_STAND_IN = {"typing_extensions.py": b"from typing import Self\n"}


class BundleError(LookupError):
    """A library that goes into the site is not installed, or has changed its parts."""


def bundled() -> dict[str, bytes]:
    """The files of the libraries, by their path in the archive.

    Raises
    ------
    BundleError
        If a library or one of its parts is not there.
    """
    files = dict(_STAND_IN)
    for name, parts in _PARTS.items():
        try:
            installed = distribution(name)
        except PackageNotFoundError as error:
            raise BundleError(f"{name} is not installed: run `python3 build` again") from error
        for part in parts:
            place = f"{name}/{part}.py"
            text = installed.read_text(f"../{place}")
            if text is None:
                raise BundleError(f"{name} {installed.version} has no {part}.py")
            files[place] = text.encode()
    return files
