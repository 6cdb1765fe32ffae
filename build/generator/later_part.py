"""What of the site is its second part: study, worksheets and fault finding.

A first visit fetches the first part, pages and calculators, and says that they are ready offline;
the second part follows in the same visit, unasked. Of Python's modules it is
`runtime/cargo.py` that says which.
"""

import re
from collections.abc import Iterable, Iterator
from fnmatch import fnmatch
from pathlib import Path

from generator.copy_stamp import MARK, SCRIPTS
from generator.page_pieces import ENDING

# Pages by their folders, their archive, and scripts that only they ask for. A script that `start.js`
# loads with every page is of the first part, whatever it is for.
PATTERNS = (
    "study/*",
    "teach/class-screen/*",
    "teach/worksheet/*",
    "calculators/fault-shown/*",
    "calculators/find-fault/*",
    "faults/*",
    "browser/later-*.js",
    "runtime/later-*.bin",
)
_WITH_EVERY_PAGE = f"{SCRIPTS}/start.js"

_IMPORT = re.compile(r'^import\b[^;"]*"\./([\w-]+\.js)";', re.MULTILINE)
_ASKED_FOR = re.compile(r'\bimport\("\./([\w-]+\.js)"\)')
_LOADED = re.compile(rf'(?:src|href)="[^"]*{SCRIPTS}-{MARK}/([\w-]+\.js)"')


class PartError(ValueError):
    """A file of the first part loads one of the second with itself; says which."""


def is_later(path: str) -> bool:
    """Whether a listed file belongs to the second part.

    >>> is_later("study/index.html.json"), is_later("units/index.html.json")
    (True, False)
    """
    return any(fnmatch(path, pattern) for pattern in PATTERNS)


def check(site: Path, paths: Iterable[str]) -> None:
    """Hold the first part to work by itself, as long as the second is not there.

    Scripts of the first part may load those of the second only when asked, by `import()`.

    Raises
    ------
    PartError
        If a page or script of the first part loads a script of the second with itself.
    """
    for path in paths:
        if is_later(path):
            continue
        for script in _loaded(site, path):
            if is_later(f"browser/{script}"):
                raise PartError(
                    f"{path} loads {script} with itself, which is in the site's second part: "
                    "load it by import() when it is asked for, or take it out of later_part.py"
                )


def _loaded(site: Path, path: str) -> Iterator[str]:
    if path.startswith(f"{SCRIPTS}/"):
        script = (site / path).read_text(encoding="utf-8")
        yield from _IMPORT.findall(script)
        if path == _WITH_EVERY_PAGE:
            yield from _ASKED_FOR.findall(script)
    elif path.endswith(f".html{ENDING}"):
        page = site / path.removesuffix(ENDING)
        yield from _LOADED.findall(page.read_text(encoding="utf-8"))
