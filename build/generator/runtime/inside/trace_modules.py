"""Find the modules of the standard library that our code uses; runs inside the runtime.

Given: the modules of both parts of our package, the names that belong to the second, and the requests
to answer. Result: the files, inside the standard library's archive, of all modules that were imported
from there, for the first part and what the second adds; the requests that raised an exception
instead; and the modules of the first part that do not load without the second.
"""

import dataclasses  # noqa: F401  (the page's own entry loads it before anything of ours)
import importlib
import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

job = json.loads(Path("/given.json").read_text(encoding="utf-8"))
ARCHIVE = next(entry for entry in sys.path if entry.endswith(".zip"))
LATER = "/package/later.zip"


def is_frozen(module: object) -> bool:
    """Whether the interpreter carries the module in itself and never reads it from the archive."""
    return getattr(getattr(module, "__spec__", None), "origin", None) == "frozen"


def files() -> set[str]:
    """Give the files of the standard library's archive that were read by now."""
    return {
        file.removeprefix(f"{ARCHIVE}/")
        for module in list(sys.modules.values())
        if not is_frozen(module)
        and (file := getattr(module, "__file__", None)) is not None
        and file.startswith(f"{ARCHIVE}/")
    }


def wants_later(error: Exception) -> bool:
    """Whether something of the second part was asked for; as the page's worker tells."""
    return isinstance(error, ModuleNotFoundError) and error.name in job["later"]


def tried(requests: Iterable[str], act: Callable[[str], object]) -> list[str]:
    """Make requests; give those that want the second part."""
    waiting = []
    for request in requests:
        try:
            act(request)
        except Exception as error:
            if wants_later(error):
                waiting.append(request)
            else:
                raised.append(f"{type(error).__name__}: {error}, asked {request}")
    return waiting


# From an archive, as in the page: reading modules and data from one takes modules of its own.
sys.path.append("/package/calculators.zip")
browser = importlib.import_module("calculators.browser")
raised: list[str] = []
tied: list[str] = []

# What no request leads to may still be imported one day.
for name in job["modules"]:
    try:
        importlib.import_module(name)
    except ModuleNotFoundError as error:
        if not wants_later(error):
            raise
        tied.append(f"{name} imports {error.name}")
requests = tried(job["requests"], browser.reply)
streams = tried(job["streams"], lambda request: [*browser.stream(request)])
first = files()

# As the page's entry does it.
for package in job["packages"]:
    importlib.import_module(package).__path__.append(f"{LATER}/{package.replace('.', '/')}")
sys.path.append(LATER)
for name in job["later_modules"]:
    importlib.import_module(name)
raised += [f"not even then, asked {request}" for request in tried(requests, browser.reply)]
tried(streams, lambda request: [*browser.stream(request)])

Path("/result.json").write_text(
    json.dumps(
        {
            "modules": sorted(first),
            "later_modules": sorted(files() - first),
            "raised": raised,
            "tied": tied,
        }
    ),
    encoding="utf-8",
)
