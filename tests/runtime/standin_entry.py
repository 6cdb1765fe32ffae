"""The entry of a small package that stands in for ours: JSON text in, JSON text out.

The tests copy it to `calculators/browser.py` of a package of their own.
"""

import importlib
import json
from collections.abc import Iterator
from importlib.resources import files


def reply(request: str) -> str:
    """Give the request back, with a word read from the package's data."""
    asked = json.loads(request)
    if asked.get("raise"):
        raise ValueError(asked["raise"])
    if "later" in asked:
        return json.dumps(importlib.import_module("calculators.later").said(asked["later"]))
    word = files("calculators").joinpath("word.txt").read_text(encoding="utf-8").strip()
    return json.dumps({"asked": asked, "word": word})


def stream(request: str) -> Iterator[str]:
    """Count in parts, each of them some work."""
    asked = json.loads(request)
    if "later" in asked:
        importlib.import_module("calculators.later")
    for number in range(asked["parts"]):
        yield json.dumps({"number": number, "work": sum(range(asked.get("work", 0)))})
