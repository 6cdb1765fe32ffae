"""Find the modules of the standard library that our code uses; runs inside the runtime.

Given: our modules, and the requests to answer. Result: the files, inside the standard library's archive, of all
modules that were imported from there; and the requests that raised an exception instead.
"""

import dataclasses  # noqa: F401  (the page's own entry loads it before anything of ours)
import importlib
import json
import sys
from pathlib import Path

job = json.loads(Path("/given.json").read_text(encoding="utf-8"))

# From an archive, as in the page: reading modules and data from one takes modules of its own.
sys.path.append("/package/calculators.zip")
browser = importlib.import_module("calculators.browser")

# What no request leads to may still be imported one day.
for name in job["modules"]:
    importlib.import_module(name)

raised = []
for request in job["requests"]:
    try:
        browser.reply(request)
    except Exception as error:
        raised.append(f"{type(error).__name__}: {error}, asked {request}")
for request in job["streams"]:
    for _ in browser.stream(request):
        pass

ARCHIVE = next(entry for entry in sys.path if entry.endswith(".zip"))


def is_frozen(module: object) -> bool:
    """Whether the interpreter carries the module in itself and never reads it from the archive."""
    return getattr(getattr(module, "__spec__", None), "origin", None) == "frozen"


files = {
    file.removeprefix(f"{ARCHIVE}/")
    for module in list(sys.modules.values())
    if not is_frozen(module)
    and (file := getattr(module, "__file__", None)) is not None
    and file.startswith(f"{ARCHIVE}/")
}
Path("/result.json").write_text(
    json.dumps({"modules": sorted(files), "raised": raised}), encoding="utf-8"
)
