"""Addresses between pages: each page is a folder of its own in the built site."""

from __future__ import annotations

from pathlib import Path, PurePosixPath


def folder_of(page: Path) -> PurePosixPath:
    """The folder in which a page of ``content/`` stands in the site.

    >>> folder_of(Path("tests/class-1.md")), folder_of(Path("tests/index.md"))
    (PurePosixPath('tests/class-1'), PurePosixPath('tests'))
    """
    plain = PurePosixPath(page.as_posix()).with_suffix("")
    return plain.parent if plain.name == "index" else plain


def address_of(target: Path, *, seen_from: Path) -> str:
    """The address of one page, seen from another; both are paths below ``content/``.

    >>> address_of(Path("limits.md"), seen_from=Path("tests/class-1.md"))
    '../../limits/'
    >>> address_of(Path("tests/index.md"), seen_from=Path("index.md"))
    'tests/'
    >>> address_of(Path("index.md"), seen_from=Path("index.md"))
    './'
    """
    here, there = folder_of(seen_from), folder_of(target)
    steps = "../" * len(here.parts) + "".join(f"{part}/" for part in there.parts)
    return steps or "./"
