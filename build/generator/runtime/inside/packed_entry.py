"""The page's entry to our modules; goes into the first packed archive beside them.

At every start a data class would write its methods as text and have it compiled, which is most of
the time that our modules take to load. Here the texts stand compiled already; one that is not
known is compiled as ever. The code is the same either way.
"""

import dataclasses
import importlib
import marshal
import sys
import zipimport
from typing import Any

_key_of = importlib.import_module("text_key").key_of
_codes: dict[tuple[int, int, int], bytes] = marshal.loads(
    __loader__.get_data(f"{__file__.rpartition('/')[0]}/prepared.bin")  # type: ignore[name-defined]
)


def _run(text: str, scope: dict[str, Any], names: dict[str, Any]) -> None:
    prepared = _codes.get(_key_of(text))
    exec(text if prepared is None else marshal.loads(prepared), scope, names)


# The module finds this name before the built-in one.
dataclasses.exec = _run  # type: ignore[attr-defined]

_browser = importlib.import_module("calculators.browser")
reply = _browser.reply
stream = _browser.stream


def add_later(archive: str) -> None:
    """Let the modules of the second archive be found: some belong in packages of the first."""
    read = zipimport.zipimporter(archive).get_data
    _codes.update(marshal.loads(read(f"{archive}/prepared.bin")))
    for package in read(f"{archive}/packages.txt").decode().split():
        place = f"{archive}/{package.replace('.', '/')}"
        importlib.import_module(package).__path__.append(place)
    sys.path.append(archive)
