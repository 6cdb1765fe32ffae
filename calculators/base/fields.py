"""From the text a person typed to a plain value in the trade's unit, or an error in their words."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Description, Quantity, Text
from calculators.base.results import plain, rounded
from calculators.base.units import KINDS, UNITS, Unit, convert, find_unit, units_of

Plain = float | str | tuple[float, ...] | None

# Longer texts are no figure; the bound keeps a pasted page from being echoed back.
LONGEST = 60
LONGEST_LIST = 400
MOST_NUMBERS = 40

_NUMBER = re.compile(
    r"""^\s*(?P<sign>[-−–+]?)\s*
    (?:(?P<whole>[0-9]{1,12})[ -](?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4})
      |(?P<comma>0,[0-9]{1,20}|[0-9]{1,16},(?:[0-9]{1,2}|[0-9]{4,20}))(?![0-9,.])
      |(?P<top_only>[0-9]{1,4})/(?P<bottom_only>[0-9]{1,4})
      |(?P<decimal>(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,16})?(?:\.[0-9]{0,20})?
       (?:(?<=[0-9])[eE][+-]?[0-9]{1,2})?))
    \s*(?P<unit>[^0-9\s.,+−-].*)?$""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Typed:
    """A parsed number: its value in the field's unit and the unit it was typed in."""

    value: float
    unit: str


def parse(name: str, description: Description, text: str) -> Plain:
    """Turn typed text into the value of one field.

    Parameters
    ----------
    name
        The field's name, carried by the error.
    description
        What the field takes.
    text
        As typed: "85", "85 psi", "5.9 bar", "7 1/2 in", a word of a choice, a list "6, 10, 12".
        A comma before exactly three digits parts thousands ("1,500"); any other is a decimal
        comma ("5,9", "0,125").

    Returns
    -------
    float, str, tuple or None
        A number in the field's unit, the option's word, several numbers, the text itself, or None
        for an empty field that may stay empty.

    Raises
    ------
    InputError
        If the text cannot be used; the message names the field, the text and what it must be.
    """
    if isinstance(description, Choice):
        return _parse_choice(name, description, text)
    if isinstance(description, Quantity):
        if description.many:
            return _parse_many(name, description, text)
        return typed(name, description, text).value
    if isinstance(description, Text):
        return _parse_text(name, description, text)
    raise TypeError(f"{name} is a result, not an input")


def typed(name: str, description: Quantity, text: str) -> Typed:
    """Parse one number and remember the unit it was typed in."""
    if len(text) > LONGEST:
        raise InputError(name, f"{description.term} is too long a text; {_advice(description)}.")
    match = _NUMBER.match(text)
    if match is None or not any(match[part] for part in ("decimal", "comma", "top", "top_only")):
        raise InputError(name, f"{description.term} is {_quoted(text)}; {_advice(description)}.")
    if match["decimal"] == ".":
        raise InputError(name, f"{description.term} is {_quoted(text)}; {_advice(description)}.")
    unit = _unit_typed(name, description, text, match["unit"])
    number = _number(name, description, text, match)
    value = convert(number, unit.symbol, description.unit)
    check_range(name, description, value, said=_as_said(text, description, unit, value))
    return Typed(value, unit.symbol)


def check_range(name: str, description: Quantity, value: float, *, said: str) -> None:
    """Refuse a value outside the field's range, naming the value and the limits."""
    if not math.isfinite(value):
        raise InputError(name, f"{description.term} is {said}; {_advice(description)}.")
    # A converted bound may miss by the last binary digit (620.528 kPa for 90 psi).
    slack = 1e-9 * max(1.0, abs(value))
    low, high = description.low, description.high
    if (low is not None and value < low - slack) or (high is not None and value > high + slack):
        raise InputError(name, f"{description.term} is {said}; {range_words(description)}.")
    if description.whole and abs(value - round(value)) > 1e-9:
        raise InputError(name, f"{description.term} is {said}; it must be a whole number.")


def range_words(description: Quantity) -> str:
    """The allowed range in words: "it must be between 0 and 150 psi"."""
    unit = f" {description.unit}".rstrip() if description.unit != "%" else "%"
    low, high = description.low, description.high
    if low is not None and high is not None:
        return f"it must be between {_bound(low)} and {_bound(high)}{unit}"
    if low is not None:
        return f"it must be {_bound(low)}{unit} or more"
    if high is not None:
        return f"it must be {_bound(high)}{unit} or less"
    return "it must be a number"


def _bound(value: float) -> str:
    return rounded(value, 0) if value == round(value) else plain(value)


def _parse_choice(name: str, description: Choice, text: str) -> str:
    wanted = text.strip().casefold()
    for option in description.options:
        if wanted in {word.casefold() for word in (option.value, *option.spellings)}:
            return option.value
    words = ", ".join(option.value for option in description.options)
    raise InputError(name, f"{description.term} is {_quoted(text)}; choose one of: {words}.")


def _parse_many(name: str, description: Quantity, text: str) -> tuple[float, ...]:
    if len(text) > LONGEST_LIST:
        raise InputError(name, f"{description.term} is too long a list; shorten it.")
    # "6, 10" parts at the comma and space; "1,200" must stay one number.
    parts = [part for part in re.split(r";|,\s+|,(?![0-9]{3}\b)|\s+then\s+", text.strip()) if part]
    if not parts:
        raise InputError(name, f"{description.term} is empty; write numbers parted by commas.")
    if len(parts) > MOST_NUMBERS:
        raise InputError(
            name, f"{description.term} has {len(parts)} numbers; at most {MOST_NUMBERS}."
        )
    return tuple(typed(name, description, part).value for part in parts)


def _parse_text(name: str, description: Text, text: str) -> str:
    if len(text) > LONGEST_LIST:
        raise InputError(name, f"{description.term} is too long a text; shorten it.")
    return " ".join(text.split())


def _unit_typed(name: str, description: Quantity, text: str, spelled: str | None) -> Unit:
    if not spelled:
        return UNITS[description.unit]
    unit = find_unit(spelled, description.kind)
    if unit is not None:
        return unit
    other = next((u for kind in KINDS if (u := find_unit(spelled, kind)) is not None), None)
    offered = " or ".join(u.symbol for u in units_of(description.kind) if u.symbol)
    if other is not None:
        what = f"{other.symbol} is {KINDS[other.kind]}, not {KINDS[description.kind]}"
    else:
        what = f"{_quoted(spelled)} is no unit this field knows"
    advice = f"write it in {offered}" if offered else "write a plain number"
    raise InputError(name, f"{description.term} is {_quoted(text)}; {what}; {advice}.")


def _number(name: str, description: Quantity, text: str, match: re.Match[str]) -> float:
    sign = -1.0 if match["sign"] in ("-", "−", "–") else 1.0
    top, bottom = match["top"] or match["top_only"], match["bottom"] or match["bottom_only"]
    if top is not None:
        if int(bottom) == 0:
            raise InputError(name, f"{description.term} is {_quoted(text)}; nothing can be over 0.")
        return sign * (int(match["whole"] or 0) + int(top) / int(bottom))
    if match["comma"]:
        return sign * float(match["comma"].replace(",", ".")) + 0.0
    # Adding nought makes a typed "-0" plain nought.
    return sign * float(match["decimal"].replace(",", "")) + 0.0


def _as_said(text: str, description: Quantity, unit: Unit, value: float) -> str:
    said = text.strip()
    if unit.symbol != description.unit:
        return f"{said} (that is {rounded(value, 1)} {description.unit})"
    if description.unit and not re.search(r"[^0-9.,\s/+−–-]", said):
        said += f" {description.unit}" if description.unit != "%" else "%"
    return said


def _advice(description: Quantity) -> str:
    example = description.low if description.low and description.low > 0 else description.high
    figure = plain(example if example is not None else 12)
    if not description.unit:
        return f"write a number, for example {figure}"
    return f"write a number, for example {figure} or {figure} {description.unit}"


def _quoted(text: str) -> str:
    shown = " ".join(text.split())
    shown = "".join(character for character in shown if character.isprintable())
    return f'"{shown[:40]}{"…" if len(shown) > 40 else ""}"' if shown else "empty"
