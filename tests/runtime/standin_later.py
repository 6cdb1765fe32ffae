"""The second part of that small package: takes a library, the standard library and its own data.

The tests copy it to `calculators/later/__init__.py` of a package of their own.
"""

import colorsys
import importlib
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A data class, whose methods the build prepares."""

    word: str
    beside: str


def said(number: str) -> list[str]:
    """Give a word of the package's data, one of the library beside it and a figure."""
    word = files("calculators.later").joinpath("word.txt").read_text(encoding="utf-8").strip()
    found = Said(word=word, beside=importlib.import_module("beside").WORD)
    return [found.word, found.beside, number, str(colorsys.rgb_to_hsv(1, 1, 1)[2])]
