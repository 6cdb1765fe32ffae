"""Stamps: small files that say which lock a finished installation was made from.

A stamp is written last, so an installation that was cut off has none and is made again.
"""

import hashlib
from pathlib import Path


def key_of(*files: Path, also: str = "") -> str:
    """Name the content of `files` (and any other condition) in one word."""
    digest = hashlib.sha256(also.encode())
    for file in files:
        digest.update(file.read_bytes())
    return digest.hexdigest()


def is_fresh(stamp: Path, key: str) -> bool:
    """Whether the stamp was written for this very key."""
    return stamp.is_file() and stamp.read_text(encoding="utf-8").strip() == key


def write(stamp: Path, key: str) -> None:
    """Record that the installation is complete."""
    stamp.parent.mkdir(parents=True, exist_ok=True)
    stamp.write_text(f"{key}\n", encoding="utf-8")
