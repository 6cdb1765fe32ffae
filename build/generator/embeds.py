"""Finds what an author embeds in Markdown and puts the finished fragment in its place.

A fenced block whose language is a known kind of embed is replaced by HTML; ``{{ ... }}`` inside
a line is replaced by a computed figure. Anything unknown stops the build with file and line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

_FENCE = re.compile(r"^(?P<mark>`{3,}|~{3,})\s*(?P<kind>[A-Za-z0-9_-]*)\s*$")
_INLINE = re.compile(r"\{\{\s*(?P<words>[^{}]*?)\s*\}\}")
_CODE_SPAN = re.compile(r"(`+)(?:(?!\1).)+\1")


class EmbedError(ValueError):
    """Something embedded cannot be made; says the file, the line and what to do."""

    def __init__(self, file: Path, line: int, message: str) -> None:
        super().__init__(f"{file}:{line}: {message}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A fenced embed: its first word, its settings, and a number that is unique on the page."""

    subject: str
    settings: Mapping[str, str]
    number: int
    page: Path


BlockMaker = Callable[[Block], str]
InlineMaker = Callable[[str], str]


def expand(
    text: str,
    *,
    file: Path,
    blocks: Mapping[str, BlockMaker],
    inline: InlineMaker,
) -> str:
    """Replace every embed of one page.

    Parameters
    ----------
    text
        The Markdown as written.
    file
        The page's path below ``content/``, for messages and fragments.
    blocks
        What makes each kind of fenced embed. Fences of other languages stay as they are if the
        language is empty or ``text``; any other word stops the build.
    inline
        What makes the text of an inline embed from its words.

    Raises
    ------
    EmbedError
        For an unknown kind, a name that does not exist, or a fence that does not end.
    """
    made: list[str] = []
    lines = text.split("\n")
    number = 0
    position = 0
    while position < len(lines):
        fence = _FENCE.match(lines[position])
        if fence is None:
            made.append(_inline(lines[position], file, position + 1, inline))
            position += 1
            continue
        start, end = position, _end_of(lines, position, fence["mark"], file)
        position = end + 1
        kind = fence["kind"]
        if kind in ("", "text"):
            made += lines[start : end + 1]
            continue
        if kind not in blocks:
            known = ", ".join(sorted(blocks))
            raise EmbedError(
                file, start + 1, f'nothing can be embedded as "{kind}"; known: {known}'
            )
        number += 1
        block = _block(lines[start + 1 : end], file, start + 1, number)
        try:
            made += ["", blocks[kind](block), ""]
        except (LookupError, ValueError) as error:
            raise EmbedError(file, start + 1, str(error)) from error
    return "\n".join(made)


def _end_of(lines: list[str], start: int, mark: str, file: Path) -> int:
    for position in range(start + 1, len(lines)):
        if lines[position].strip() == mark:
            return position
    raise EmbedError(file, start + 1, f"this fence is not closed by {mark}")


def _block(body: list[str], file: Path, line: int, number: int) -> Block:
    words = [text.partition(" #")[0].strip() for text in body]
    words = [text for text in words if text]
    if not words:
        raise EmbedError(file, line, "the block is empty; its first line names what to embed")
    settings: dict[str, str] = {}
    for text in words[1:]:
        name, equals, value = text.partition("=")
        if not equals:
            raise EmbedError(file, line, f'"{text}" should read name = value')
        settings[name.strip()] = value.strip()
    return Block(subject=words[0], settings=settings, number=number, page=file)


def _inline(text: str, file: Path, line: int, make: InlineMaker) -> str:
    if "{{" not in text and "}}" not in text:
        return text
    spans = [match.span() for match in _CODE_SPAN.finditer(text)]

    def replace(match: re.Match[str]) -> str:
        if any(start <= match.start() < end for start, end in spans):
            return match[0]
        try:
            return make(match["words"])
        except (LookupError, ValueError) as error:
            raise EmbedError(file, line, str(error)) from error

    made = _INLINE.sub(replace, text)
    # In code both marks may stand for themselves; elsewhere one that is left over is a slip.
    prose = _CODE_SPAN.sub("", _INLINE.sub("", text))
    if "{{" in prose or "}}" in prose:
        raise EmbedError(file, line, "an embed is not closed: write {{ ... }} on one line")
    return made
