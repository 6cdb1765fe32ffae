"""What a link, a form and a record hold: the names of their fields, and values as texts."""

from __future__ import annotations

from collections.abc import Mapping

from calculators.base.errors import InputError
from calculators.base.fields import Plain, parse
from calculators.base.quantities import Choice, Description, Quantity
from calculators.base.results import plain
from calculators.base.units import convert
from calculators.declaring.registry import Calculator
from calculators.law.carried import OWN_LIMIT_PREFIX

# Raised only when the meaning of an existing field changes; links name it as v.
LINK_VERSION = 1

VERSION_FIELD = "v"
PRESSURE_UNIT_FIELD = "pressure_unit"
# A calculator whose sums need the railroad's own figure takes it as an input of this name.
OWN_INPUT_PREFIX = "own_"
# Decimals of a pressure that is said in another unit: none is coarser than a tenth of a psi.
_RESTATED_DIGITS = {"psi": 1, "kPa": 1, "bar": 3}
_MOST_DIGITS = 6


def text_of(description: Description, value: Plain) -> str:
    """A value as it stands in a form or link, in the field's own unit."""
    if value is None:
        return ""
    if isinstance(value, tuple):
        return ", ".join(plain(number) for number in value)
    if isinstance(value, str):
        return value
    if isinstance(description, Choice):
        raise TypeError(f"{description.term} is a choice and its value {value!r} is a number")
    return plain(value)


def restated(calculator: Calculator, raw: Mapping[str, str], unit: str) -> dict[str, str]:
    """The pressures among typed texts said in another unit; texts that are wrong stay out.

    The form uses it when the user switches between psi, kPa and bar.
    """
    said: dict[str, str] = {}
    for name, description in calculator.inputs().items():
        if not isinstance(description, Quantity) or description.kind != "pressure":
            continue
        try:
            value = parse(name, description, raw.get(name, ""))
        except InputError:
            continue
        numbers = value if isinstance(value, tuple) else (value,)
        words = [restated_text(name, description, n, unit) for n in numbers if isinstance(n, float)]
        said[name] = ", ".join(words)
    return said


def restated_text(name: str, description: Quantity, value: float, unit: str) -> str:
    """A pressure said in another unit, to what a gauge could tell: 5.9 bar is 85.6 psi.

    Finer steps would only show that the units do not divide; `says_the_same` allows for them.
    Where rounding would lead out of the field's range, all digits stay.
    """
    exact = convert(value, description.unit, unit)
    behind = "" if unit == description.unit else f" {unit}"
    text = plain(round(exact, _RESTATED_DIGITS.get(unit, _MOST_DIGITS))) + behind
    try:
        parse(name, description, text)
    except InputError:
        return f"{exact:.6g}{behind}"
    return text


def own_limit_key(name: str) -> str:
    """The key of the own limit that says the same as an input; no field's name for others.

    >>> own_limit_key("own_off_air_hours")
    'limit.off-air-hours'
    """
    if not name.startswith(OWN_INPUT_PREFIX):
        return ""
    return OWN_LIMIT_PREFIX + name.removeprefix(OWN_INPUT_PREFIX).replace("_", "-")


def is_later(version: str) -> bool:
    """Whether a link was made by a version that names its fields anew."""
    return version.isascii() and version.isdigit() and int(version[:9]) > LINK_VERSION
