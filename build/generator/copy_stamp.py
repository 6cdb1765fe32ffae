"""One copy, one stamp: pages, scripts and Python of two copies never come together.

The scripts of a copy lie in a folder that carries the copy's version, and so does the list of what
Python is packed of; every page asks for that folder and says the version. A page can therefore only
come by its own scripts, and they only by their own Python: what another copy has in their place
has another name. In the offline copy a mark stands for the version, as the version is made from what
the copy holds; the service worker puts it in (``service-worker.js``).
"""

import re
from collections.abc import Callable
from pathlib import Path

from generator.policy import pages
from generator.runtime.packing import MANIFEST

MARK = "@COPY@"
SCRIPTS = "browser"
MANIFEST_PATH = f"runtime/{MANIFEST}"
_STEM = MANIFEST.removesuffix(".json")

_SCRIPT = re.compile(rf'((?:src|href)="(?:\.?[^":]*/)?){SCRIPTS}/')
_STAMPED = re.compile(rf"{SCRIPTS}-([0-9a-f]{{16}})")


def take_off(site: Path) -> None:
    """Take the stamp off a site that carries one, so that it can be finished again."""
    for folder in sorted(site.glob(f"{SCRIPTS}-*")):
        found = _STAMPED.fullmatch(folder.name)
        if found is None:
            continue
        _take_off(site, folder, found[1])


def _take_off(site: Path, folder: Path, version: str) -> None:
    folder.rename(site / SCRIPTS)
    manifest = site / stamped(MANIFEST_PATH, version)
    if manifest.is_file():
        manifest.rename(site / MANIFEST_PATH)
    _rewrite(site, lambda text: text.replace(version, MARK))


def mark_pages(site: Path) -> None:
    """Let every page ask for the scripts of its own copy, by the mark."""
    _rewrite(site, lambda text: _SCRIPT.sub(rf"\g<1>{SCRIPTS}-{MARK}/", text))


def put_on(site: Path, version: str) -> None:
    """Stamp the site as a server gives it out."""
    (site / SCRIPTS).rename(site / f"{SCRIPTS}-{version}")
    if (site / MANIFEST_PATH).is_file():
        (site / MANIFEST_PATH).rename(site / stamped(MANIFEST_PATH, version))
    _rewrite(site, lambda text: text.replace(MARK, version))


def stamped(path: str, version: str) -> str:
    """Give the address of a listed file in a copy, by the same rule as the service worker.

    >>> stamped("browser/start.js", "0123456789abcdef")
    'browser-0123456789abcdef/start.js'
    >>> stamped("units/index.html.json", "0123456789abcdef")
    'units/index.html.json'
    """
    if path == MANIFEST_PATH:
        return f"runtime/{_STEM}-{version}.json"
    if path.startswith(f"{SCRIPTS}/"):
        return f"{SCRIPTS}-{version}{path.removeprefix(SCRIPTS)}"
    return path


def version_of(site: Path) -> str:
    """The version that a finished site is stamped with.

    Raises
    ------
    LookupError
        If the site carries no stamp, or more than one.
    """
    found = [_STAMPED.fullmatch(folder.name) for folder in site.glob(f"{SCRIPTS}-*")]
    versions = [match[1] for match in found if match]
    if len(versions) != 1:
        raise LookupError(f"{site} carries {len(versions)} stamps, not one")
    return versions[0]


def _rewrite(site: Path, change: Callable[[str], str]) -> None:
    for page in pages(site):
        before = page.read_text(encoding="utf-8")
        after = change(before)
        if after != before:
            page.write_text(after, encoding="utf-8", newline="\n")
