"""Numbers drawn from a seed, the same on every device and in every version of Python.

The library's own generator keeps only part of its promises from version to version, and a set that
an instructor links to must stay the same set.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar
from zlib import crc32

_T = TypeVar("_T")
_WORD = 2**64 - 1


class Draws:
    """A row of numbers that a text begins (SplitMix64: Steele, Lea and Flood, 2014).

    >>> Draws("a").whole(1, 6) == Draws("a").whole(1, 6)
    True
    """

    def __init__(self, seed: str) -> None:
        text = seed.encode("utf-8", "replace")
        self._state = crc32(text) << 32 | crc32(text, 0x5EED)

    def _next(self) -> int:
        self._state = (self._state + 0x9E3779B97F4A7C15) & _WORD
        z = self._state
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9 & _WORD
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB & _WORD
        return z ^ (z >> 31)

    def pick(self, things: Sequence[_T]) -> _T:
        """One of some things; each as likely."""
        return things[self._next() % len(things)]

    def whole(self, low: int, high: int, step: int = 1) -> float:
        """A whole number from ``low`` to ``high``, both among them, in steps."""
        return float(low + step * (self._next() % ((high - low) // step + 1)))

    def mixed(self, things: Sequence[_T]) -> tuple[_T, ...]:
        """All of them in another order."""
        left, made = list(things), []
        while left:
            made.append(left.pop(self._next() % len(left)))
        return tuple(made)
