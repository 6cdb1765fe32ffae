"""A railroad's settings as a text that people can read, keep, send and read back in.

One line a setting, ``name = value``; the first says the version. Comments start with ``#`` and
are there for people. A line that this copy does not know is reported, never guessed.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from calculators.base.quantities import Quantity
from calculators.kept.settings import settings
from calculators.law.carried import carry_over

# Raised only when the meaning of an existing line changes.
TEXT_VERSION = 1
LONGEST = 40_000

_VERSION = "version"
_TITLE = "# My railroad: settings for the air brake field reference"
_NAME = re.compile(r"[A-Za-z0-9_.-]+")
_LONGEST_SHOWN = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """The settings found in a text, and what could not be taken from it, by line."""

    record: Mapping[str, str]
    problems: tuple[str, ...]


def as_text(record: Mapping[str, str]) -> str:
    """Write a record as text; every text in it comes back from ``from_text`` unchanged.

    >>> print(as_text({"brake_pipe_setting": "85"}))
    # My railroad: settings for the air brake field reference
    version = 1
    <BLANKLINE>
    # The train
    # Brake pipe setting, in psi unless the line says another unit
    brake_pipe_setting = 85
    <BLANKLINE>
    """
    return "\n".join(_lines(record)) + "\n"


def from_text(text: str) -> Imported:
    """Read settings from a text.

    Returns
    -------
    Imported
        Known names with their texts as written, checked by nobody yet; and a sentence for every
        line that was left out. Never raises for anything in the text.
    """
    if len(text) > LONGEST:
        return Imported(record={}, problems=("This text is too long to be a railroad's settings.",))
    record: dict[str, str] = {}
    problems: list[str] = []
    twice: set[str] = set()
    version: str | None = None
    for number, raw in enumerate(text.lstrip("\ufeff").splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        pair = _pair(line)
        if pair is None:
            problems.append(f"Line {number}, {_shown(line)}, does not read name = value.")
        elif pair[0] == _VERSION and not line.startswith('"'):
            version = pair[1]
        elif pair[0] not in settings() and not carry_over(dict([pair])).said:
            problems.append(f"Line {number}: this copy knows no setting {_shown(pair[0])}.")
        elif pair[0] in record or pair[0] in twice:
            twice.add(pair[0])
            record.pop(pair[0], None)
            problems.append(
                f"Line {number}: {_shown(pair[0])} is there more than once; none was taken."
            )
        elif pair[1].strip():
            record[pair[0]] = pair[1]
    carried = carry_over(record)
    return Imported(record=carried.entries, problems=(*_about(version), *problems, *carried.said))


def _about(version: str | None) -> Iterator[str]:
    if version is None:
        yield f"No line says {_VERSION} = {TEXT_VERSION}; the text was read as if one did."
    elif not (version.isascii() and version.isdigit()):
        yield f"The version is {_shown(version)}, which is no number; read as {TEXT_VERSION}."
    elif int(version[:9]) > TEXT_VERSION:
        yield "This text was written by a later version of the reference. Look for an update."


def _lines(record: Mapping[str, str]) -> Iterator[str]:
    yield _TITLE
    yield f"{_VERSION} = {TEXT_VERSION}"
    section = ""
    for key, setting in settings().items():
        if key not in record:
            continue
        if setting.section != section:
            section = setting.section
            yield from ("", f"# {section}")
        description = setting.description
        unit = description.unit if isinstance(description, Quantity) else ""
        in_unit = f", in {unit} unless the line says another unit" if unit else ""
        yield f"# {description.term}{in_unit}"
        yield f"{key} = {_quoted(record[key])}"
    unknown = {key: text for key, text in record.items() if key not in settings()}
    if unknown:
        yield from ("", "# Not known to the copy that wrote this text")
    for key, text in unknown.items():
        plain_name = _NAME.fullmatch(key) and key != _VERSION
        yield f"{key if plain_name else json.dumps(key)} = {_quoted(text)}"


def _quoted(text: str) -> str:
    """A text as it stands, or in quotes where a line could not hold it as it is."""
    simple = text.isprintable() and text == text.strip() and not text.startswith('"')
    return text if simple and text else json.dumps(text)


def _pair(line: str) -> tuple[str, str] | None:
    name, rest = _leading(line)
    if name is None:
        return None
    equals, value = rest.lstrip()[:1], rest.lstrip()[1:].strip()
    if equals != "=":
        return None
    if value.startswith('"'):
        quoted, after = _unquoted(value)
        return None if quoted is None or after.strip() else (name, quoted)
    return name, value


def _leading(line: str) -> tuple[str | None, str]:
    """The name a line starts with, and what comes after it."""
    if line.startswith('"'):
        return _unquoted(line)
    name, equals, value = line.partition("=")
    return (name.strip() or None, f"{equals}{value}") if equals else (None, "")


def _unquoted(text: str) -> tuple[str | None, str]:
    try:
        value, end = json.JSONDecoder().raw_decode(text)
    except ValueError:
        return None, ""
    return str(value), text[end:]


def _shown(text: str) -> str:
    shown = "".join(c for c in " ".join(text.split()) if c.isprintable())
    return f'"{shown[:_LONGEST_SHOWN]}{"…" if len(shown) > _LONGEST_SHOWN else ""}"'
