"""What a link may not hold: names, words and versions that this copy does not know.

A question with such a part in it is another question than the one that could be answered. It is
refused in words; nothing is left out in silence, and no limit falls away because a word was wrong.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from difflib import get_close_matches

from calculators.answering.links import (
    LINK_VERSION,
    PRESSURE_UNIT_FIELD,
    VERSION_FIELD,
    is_later,
)
from calculators.declaring.registry import Calculator
from calculators.law.carried import OWN_LIMIT_PREFIX
from calculators.law.limit_list import LIMITS

_LONGEST_SHOWN = 40


def unknown_fields(calculator: Calculator, raw: Mapping[str, str]) -> dict[str, str]:
    """The fields of a link that no part of this copy knows, with their texts."""
    known = {*calculator.inputs(), VERSION_FIELD, PRESSURE_UNIT_FIELD}
    known |= {f"{OWN_LIMIT_PREFIX}{id}" for id in LIMITS}
    return {key: text for key, text in raw.items() if key not in known}


def refused(calculator: Calculator, raw: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Why a link cannot be answered as it stands: pairs of a field's name and a sentence."""
    version = raw.get(VERSION_FIELD, "")
    if is_later(version):
        yield (
            VERSION_FIELD,
            f"This link was made by a later version of the reference ({_shown(version)}) and may mean "
            "something else by its fields. Look for an update.",
        )
    elif version.strip() not in {"", str(LINK_VERSION)}:
        yield (
            VERSION_FIELD,
            f"The link's version is {_shown(version)}; this copy knows {LINK_VERSION}.",
        )
    for key, text in unknown_fields(calculator, raw).items():
        yield (
            key,
            f"This copy knows no field {_shown(key)} (given as {_shown(text)})."
            + _near(key, calculator.inputs()),
        )


def repeated(names: Collection[str]) -> dict[str, str]:
    """The errors of a question that gives these names more than once."""
    return {name: f"{_shown(name)} is given more than once; give it once." for name in names}


def _near(name: str, known: Collection[str]) -> str:
    near = get_close_matches(name, known, n=1)
    return f' Is "{near[0]}" meant?' if near else ""


def _shown(text: str) -> str:
    plain = "".join(c for c in " ".join(text.split()) if c.isprintable())
    return f'"{plain[:_LONGEST_SHOWN]}{"…" if len(plain) > _LONGEST_SHOWN else ""}"'
