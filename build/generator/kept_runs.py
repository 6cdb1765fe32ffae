"""Runs of the circuits, kept between builds by what they follow from.

A run depends on the question and on the code that follows it, so its name is a digest of both: a
change of words or pages makes none anew.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from calculators.circuits.asking import AskedCircuit, Followed, keep_runs

FOLLOWED_BY = (
    "air",
    "base/units.py",
    "equipment",
    "circuits/asking.py",
    "circuits/catalog.py",
    "circuits/moves.py",
)
"""What of ``calculators/`` decides what a run shows."""

MOST_KEPT = 300


def keep_between_builds(root: Path) -> None:
    """Keep every run that is followed from now on below ``.work/``."""
    folder = root / ".work" / "circuit-runs"
    folder.mkdir(parents=True, exist_ok=True)
    code = _digest_of_code(root / "calculators")

    def keeper(asked: AskedCircuit, follow: Callable[[], Followed]) -> Followed:
        name = hashlib.sha256(f"{code}{asked!r}".encode()).hexdigest()[:32]
        kept = folder / name
        if kept.is_file():
            found = _read(kept)
            if found is not None:
                return found
        made = follow()
        # Beside it first: a build that is stopped leaves no half a run, and two may make the same.
        beside = kept.with_suffix(f".{os.getpid()}-{threading.get_ident()}")
        beside.write_bytes(pickle.dumps(made))
        beside.replace(kept)
        return made

    keep_runs(keeper)
    _throw_old_away(folder)


def _read(kept: Path) -> Followed | None:
    """A kept run; None if it cannot be read any more."""
    try:
        found = pickle.loads(kept.read_bytes())
    except (OSError, EOFError, AttributeError, ImportError, TypeError, pickle.UnpicklingError):
        return None
    return found if isinstance(found, Followed) else None


def _throw_old_away(folder: Path) -> None:
    """Keep the newest runs; older ones belong to code that is gone."""
    by_age = sorted(folder.iterdir(), key=lambda path: path.stat().st_mtime, reverse=True)
    for old in by_age[MOST_KEPT:]:
        old.unlink()


def _digest_of_code(calculators: Path) -> str:
    digest = hashlib.sha256(sys.version.encode())
    for name in FOLLOWED_BY:
        place = calculators / name
        for file in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            digest.update(file.relative_to(calculators).as_posix().encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()
