"""The one function that answers every question, in all places.

Texts as typed go in; parsed inputs, the outcome, judged limits and errors come out. Command
line, generator, browser, drills and worksheets all call ``answer`` and render what it returns.

Some answers have a part that takes seconds (the train model). ``answer`` then gives what can be
said at once, and ``follow`` works out the rest: the browser shows its progress, the command line
and the generator wait for it (``finished``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import isclose
from typing import Literal
from urllib.parse import urlencode

from calculators.base.errors import InputError, UnknownNameError
from calculators.base.fields import Plain, parse, typed
from calculators.base.quantities import Choice, Description, Quantity
from calculators.base.registry import Calculator
from calculators.base.results import Display, Outcome, Progress, plain
from calculators.base.rules import NOT_CHOSEN, Railroad, Verdict, find_limit, judge
from calculators.base.units import PRESSURE_UNITS, convert

# Raised only when the meaning of an existing field changes; links name it as v.
LINK_VERSION = 1

VERSION_FIELD = "v"
PRESSURE_UNIT_FIELD = "pressure_unit"
OWN_LIMIT_PREFIX = "limit."
EDITION_PREFIX = "edition."
# A calculator whose sums need the chosen edition takes it as an input of this name and the key.
EDITION_INPUT_PREFIX = "edition_"

Origin = Literal["typed", "settings", "default", "example"]

NO_SETTINGS: Mapping[str, str] = {}
# A figure said in another unit has six digits, so it comes back with this error.
_SAME = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input of an answer: the text it came from, its value, where it came from."""

    name: str
    description: Description
    text: str
    value: Plain
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """An input of a link that differs from the device's own settings."""

    term: str
    here: str
    settings: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The whole answer: inputs, errors, outcome, verdicts.

    ``outcome`` is None exactly when there are ``errors`` (messages by field). ``unknown`` holds
    fields of a link that this version does not know. ``extras`` are the railroad's own limits and
    chosen editions as typed, which a link carries too; ``railroad`` is what they mean.
    """

    calculator: Calculator
    inputs: tuple[Input, ...]
    display: Display
    outcome: Outcome | None
    verdicts: tuple[Verdict, ...]
    errors: Mapping[str, str]
    unknown: Mapping[str, str]
    differences: tuple[Difference, ...]
    extras: Mapping[str, str]
    railroad: Railroad
    later_version: bool = False

    def link_query(self) -> str:
        """Everything needed to ask the same again, as the query of a link."""
        pairs = [(VERSION_FIELD, str(LINK_VERSION))]
        pairs += [(item.name, item.text) for item in self.inputs]
        pairs += list(self.extras.items())
        # Said even for psi: a field typed in bar would otherwise choose the unit on the other side.
        pairs.append((PRESSURE_UNIT_FIELD, self.display.pressure))
        return urlencode(pairs)

    def results(self) -> dict[str, Plain]:
        """The results by their published names, in trade units, not rounded."""
        if self.outcome is None:
            return {}
        return {name: getattr(self.outcome, name) for name in self.calculator.outputs()}


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


def answer(
    calculator: Calculator,
    raw: Mapping[str, str],
    *,
    settings: Mapping[str, str] = NO_SETTINGS,
    example: bool = False,
) -> Answer:
    """Answer a calculator's question.

    Parameters
    ----------
    calculator
        The declared calculator.
    raw
        Texts as typed, by field name. May also hold ``pressure_unit``, ``v``, the railroad's own
        limits (``limit.<id>``) and chosen editions (``edition.<key>``).
    settings
        The device's own settings in the same form; they stand in for fields that ``raw`` leaves
        out, and are themselves stood in for by the defaults.
    example
        Whether inputs that have no default are filled from the calculator's example, as for the
        answer put into a page.

    Returns
    -------
    Answer
        With an outcome, or with errors by field. Never raises for anything a person typed.
    """
    errors: dict[str, str] = {}
    inputs = tuple(
        _input(calculator, name, description, raw, settings, example, errors)
        for name, description in calculator.inputs().items()
    )
    extras = {
        key: text
        for source in (settings, raw)
        for key, text in source.items()
        if key.startswith((OWN_LIMIT_PREFIX, EDITION_PREFIX)) and text.strip()
    }
    railroad = _railroad(extras | _editions_asked(inputs), errors)
    display = _display(inputs, raw, settings, errors)
    outcome: Outcome | None = None
    verdicts: tuple[Verdict, ...] = ()
    if not errors:
        try:
            outcome = calculator.function(**{item.name: item.value for item in inputs})
            verdicts = _verdicts(outcome, railroad)
        except InputError as error:
            errors[error.field] = error.message
    return Answer(
        calculator=calculator,
        inputs=inputs,
        display=display,
        outcome=outcome,
        verdicts=verdicts,
        errors=errors,
        unknown={k: v for k, v in raw.items() if not _known(calculator, k)},
        differences=_differences(inputs, settings),
        extras=extras,
        railroad=railroad,
        later_version=_is_later(raw.get(VERSION_FIELD, "")),
    )


def follow(first: Answer) -> Iterator[Progress | Answer]:
    """Work out what an answer still lacks: its progress, and last the whole answer.

    An answer that lacks nothing comes back at once. To give up, stop asking.
    """
    if first.outcome is None or first.outcome.to_follow is None:
        yield first
        return
    outcome = yield from first.outcome.to_follow.work()
    yield replace(first, outcome=outcome, verdicts=_verdicts(outcome, first.railroad))


def finished(first: Answer) -> Answer:
    """The whole answer, however long it takes."""
    *_, last = follow(first)
    assert isinstance(last, Answer)
    return last


def with_results(first: Answer, names: Iterable[str]) -> Answer:
    """The answer with these results in it: the whole one only if one of them may still change."""
    rest = first.outcome.to_follow if first.outcome is not None else None
    if rest is None or not set(names) & {*rest.fills, *rest.lowers}:
        return first
    return finished(first)


def _verdicts(outcome: Outcome, railroad: Railroad) -> tuple[Verdict, ...]:
    return tuple(v for reading in outcome.readings for v in judge(reading, railroad))


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
        words = [_in_unit(n, description.unit, unit) for n in numbers if isinstance(n, float)]
        said[name] = ", ".join(words)
    return said


def _in_unit(value: float, from_unit: str, unit: str) -> str:
    if unit == from_unit:
        return f"{convert(value, from_unit, unit):.6g}"
    return f"{convert(value, from_unit, unit):.6g} {unit}"


def _input(
    calculator: Calculator,
    name: str,
    description: Description,
    raw: Mapping[str, str],
    settings: Mapping[str, str],
    example: bool,
    errors: dict[str, str],
) -> Input:
    default = calculator.defaults()[name]
    origin: Origin
    kept = settings.get(name, "") or settings.get(_edition_key(name), "")
    if name in raw or _edition_key(name) in raw:
        text, origin = raw.get(name, raw.get(_edition_key(name), "")), "typed"
    elif kept.strip():
        text, origin = kept, "settings"
    elif default is None and example and name in calculator.example:
        text, origin = calculator.example[name], "example"
    else:
        text, origin = text_of(description, default), "default"
    value: Plain = None
    if text.strip() or default is not None:
        try:
            value = parse(name, description, text)
        except InputError as error:
            errors[error.field] = error.message
    return Input(name=name, description=description, text=text, value=value, origin=origin)


def _edition_key(name: str) -> str:
    """The reserved field that says the same as an edition input; no field's name for others."""
    if not name.startswith(EDITION_INPUT_PREFIX):
        return ""
    return EDITION_PREFIX + name.removeprefix(EDITION_INPUT_PREFIX).replace("_", "-")


def _editions_asked(inputs: Iterable[Input]) -> dict[str, str]:
    """Editions chosen by an input of the calculator itself."""
    return {
        _edition_key(item.name): item.value
        for item in inputs
        if _edition_key(item.name) and isinstance(item.value, str) and item.value != NOT_CHOSEN
    }


def _railroad(extras: Mapping[str, str], errors: dict[str, str]) -> Railroad:
    own: dict[str, float] = {}
    editions: dict[str, str] = {}
    for key, text in extras.items():
        if key.startswith(EDITION_PREFIX):
            editions[key.removeprefix(EDITION_PREFIX)] = text.strip()
            continue
        try:
            limit = find_limit(key.removeprefix(OWN_LIMIT_PREFIX))
            field = Quantity(term=f"Your own limit for {limit.title}", unit=limit.unit, low=0)
            own[limit.id] = typed(key, field, text).value
        except (InputError, UnknownNameError) as error:
            errors[key] = str(error)
    return Railroad(own_limits=own, editions=editions)


def _display(
    inputs: Iterable[Input],
    raw: Mapping[str, str],
    settings: Mapping[str, str],
    errors: dict[str, str],
) -> Display:
    """The unit asked for; else the one the pressures were typed in; else psi."""
    wanted = raw.get(PRESSURE_UNIT_FIELD, "").strip()
    if wanted and wanted not in PRESSURE_UNITS:
        errors[PRESSURE_UNIT_FIELD] = (
            f'Pressures in is "{wanted[:20]}"; choose one of: {", ".join(PRESSURE_UNITS)}.'
        )
        return Display()
    if wanted:
        return Display(pressure=wanted)
    for item in inputs:
        description = item.description
        if item.origin != "typed" or not isinstance(description, Quantity) or description.many:
            continue
        if description.kind == "pressure" and item.value is not None:
            unit = typed(item.name, description, item.text).unit
            if unit != description.unit and unit in PRESSURE_UNITS:
                return Display(pressure=unit)
    kept = settings.get(PRESSURE_UNIT_FIELD, "")
    return Display(pressure=kept) if kept in PRESSURE_UNITS else Display()


def says_the_same(description: Description, name: str, text: str, value: Plain) -> bool:
    """Whether a text means this value, but for what saying it in another unit rounds away."""
    try:
        meant = parse(name, description, text)
    except InputError:
        return False
    if isinstance(meant, float) and isinstance(value, float):
        return isclose(meant, value, rel_tol=_SAME)
    return meant == value


def difference(description: Description, here: str, own: str) -> Difference:
    """Name what a link or form says beside what the device's settings say."""
    return Difference(
        term=description.term,
        here=text_with_unit(here, description),
        settings=text_with_unit(own, description),
    )


def text_with_unit(text: str, description: Description) -> str:
    """A text as typed, with the field's unit behind a bare number."""
    unit = description.unit if isinstance(description, Quantity) else ""
    bare = not any(character.isalpha() or character == "%" for character in text)
    return f"{text} {unit}" if unit and bare else text


def _differences(inputs: Iterable[Input], settings: Mapping[str, str]) -> tuple[Difference, ...]:
    found: list[Difference] = []
    for item in inputs:
        own = settings.get(item.name, "").strip()
        if item.origin != "typed" or not own or item.value is None:
            continue
        if not says_the_same(item.description, item.name, own, item.value):
            found.append(difference(item.description, item.text, own))
    return tuple(found)


def _known(calculator: Calculator, key: str) -> bool:
    reserved = (VERSION_FIELD, PRESSURE_UNIT_FIELD)
    return (
        key in calculator.inputs()
        or key in reserved
        or key.startswith((OWN_LIMIT_PREFIX, EDITION_PREFIX))
    )


def _is_later(version: str) -> bool:
    return version.isascii() and version.isdigit() and int(version[:9]) > LINK_VERSION
