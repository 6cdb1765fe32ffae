"""The one function that answers every question, in all places.

Texts as typed go in; parsed inputs, the outcome, judged limits and errors come out. Command
line, generator, browser, drills and worksheets all call ``answer`` and render what it returns.

Some answers have a part that takes seconds (the train model). ``answer`` then gives what can be
said at once, and `answering.follow` works out the rest: the browser shows its progress, the command line
and the generator wait for it (``finished``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import isclose
from typing import Literal
from urllib.parse import urlencode

from calculators.answering.duty import DEVICE, duty_words
from calculators.answering.links import (
    LINK_VERSION,
    PRESSURE_UNIT_FIELD,
    VERSION_FIELD,
    own_limit_key,
    text_of,
)
from calculators.answering.refusals import refused, unknown_fields
from calculators.base.errors import InputError, UnknownNameError
from calculators.base.fields import Plain, parse, typed
from calculators.base.quantities import Description, Quantity
from calculators.base.results import Display, Note, Outcome
from calculators.base.units import PRESSURE_UNITS
from calculators.declaring.registry import Calculator
from calculators.law.carried import OWN_LIMIT_PREFIX, carry_over
from calculators.law.judging import Railroad, Verdict, judge
from calculators.law.limit_list import find_limit
from calculators.law.rules import below_road_setting

Origin = Literal["typed", "settings", "default", "example"]

NO_SETTINGS: Mapping[str, str] = {}
# A figure said in another unit has six digits, so it comes back with this error.
_SAME = 1e-5
# A pressure said in another unit is rounded to less than a tenth of a psi.
_SAME_PSI = 0.06


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
    fields of a link that this version does not know, each an error too. ``extras`` are the
    railroad's own limits as typed, which a link carries too; ``railroad`` is what they mean.
    ``carried`` says in sentences what stood under a name of an earlier version; ``duty`` shows back
    whose device this is.
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
    carried: tuple[str, ...] = ()
    duty: str = ""

    def link_query(self) -> str:
        """Everything needed to ask the same again, as the query of a link."""
        pairs = [(VERSION_FIELD, str(LINK_VERSION))]
        # Whose device it is only that device says, never a link.
        pairs += [(item.name, item.text) for item in self.inputs if item.name != DEVICE]
        pairs += list(self.extras.items())
        # Said even for psi: a field typed in bar would otherwise choose the unit on the other side.
        pairs.append((PRESSURE_UNIT_FIELD, self.display.pressure))
        return urlencode(pairs, errors="replace")

    def rests_on_example_readings(self) -> bool:
        """Whether a reading was given and all that were are those of the example train."""
        readings = self.calculator.example_readings
        given = [item for item in self.inputs if item.name in readings and item.value is not None]
        return bool(given) and all(
            says_the_same(item.description, item.name, readings[item.name], item.value)
            for item in given
        )

    def results(self) -> dict[str, Plain]:
        """The results by their published names, in trade units, not rounded."""
        if self.outcome is None:
            return {}
        return {name: getattr(self.outcome, name) for name in self.calculator.outputs()}


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
        limits (``limit.<id>``). Names of earlier versions are carried over.
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
    given, kept = carry_over(_sayable(raw)), carry_over(_sayable(settings))
    raw, settings = given.entries, kept.entries
    errors: dict[str, str] = dict(refused(calculator, raw))
    inputs = tuple(
        _input(calculator, name, description, raw, settings, example, errors)
        for name, description in calculator.inputs().items()
    )
    extras = {
        key: text
        for source in (settings, raw)
        for key, text in source.items()
        if key.startswith(OWN_LIMIT_PREFIX) and text.strip()
    } | _own_asked(inputs)
    railroad = _railroad(extras, settings, errors)
    display = _display(inputs, raw, settings, errors)
    outcome: Outcome | None = None
    verdicts: tuple[Verdict, ...] = ()
    if not errors:
        try:
            outcome = calculator.outcome(**{item.name: item.value for item in inputs})
            outcome = with_setting_note(inputs, outcome)
            verdicts = verdicts_of(outcome, railroad)
        except InputError as error:
            errors[error.field] = error.message
    return Answer(
        calculator=calculator,
        inputs=inputs,
        display=display,
        outcome=outcome,
        verdicts=verdicts,
        errors=errors,
        unknown=unknown_fields(calculator, raw),
        differences=_differences(inputs, settings),
        extras=extras,
        railroad=railroad,
        carried=tuple(dict.fromkeys((*given.said, *kept.said))),
        duty=duty_words(settings),
    )


def _sayable(entries: Mapping[str, str]) -> dict[str, str]:
    """The entries with half characters replaced: none of the ways out could write them."""

    def whole(text: str) -> str:
        return text.encode("utf-8", "replace").decode("utf-8")

    return {whole(name): whole(text) for name, text in entries.items()}


def with_setting_note(inputs: Iterable[Input], outcome: Outcome) -> Outcome:
    """The outcome with a word on a train's brake pipe set under the rule for the road.

    Every calculator that asks for cars and a setting gets it; none refuses the setting.
    """
    asked = {item.name: item.value for item in inputs}
    setting = asked.get("brake_pipe_setting")
    note = Note(text=below_road_setting())
    if "cars" not in asked or not isinstance(setting, float) or note in outcome.notes:
        return outcome
    if setting >= find_limit("brake-pipe-setting-road").figure:
        return outcome
    return replace(outcome, notes=(*outcome.notes, note))


def verdicts_of(outcome: Outcome, railroad: Railroad) -> tuple[Verdict, ...]:
    """Every reading of an outcome beside its limits."""
    return tuple(v for reading in outcome.readings for v in judge(reading, railroad))


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
    key = own_limit_key(name)
    kept = settings.get(name, "") or settings.get(key, "")
    if name in raw or key in raw:
        text, origin = raw.get(name, "") or raw.get(key, ""), "typed"
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


def _own_asked(inputs: Iterable[Input]) -> dict[str, str]:
    """Own limits given by an input of the calculator itself."""
    return {
        own_limit_key(item.name): item.text
        for item in inputs
        if own_limit_key(item.name) and item.value is not None
    }


def _railroad(
    extras: Mapping[str, str], settings: Mapping[str, str], errors: dict[str, str]
) -> Railroad:
    own: dict[str, float] = {}
    given_here: set[str] = set()
    for key, text in extras.items():
        try:
            limit = find_limit(key.removeprefix(OWN_LIMIT_PREFIX))
            field = Quantity(term=f"Your own limit for {limit.title}", unit=limit.unit, low=0)
            own[limit.id] = typed(key, field, text).value
            if settings.get(key, "").strip() != text.strip():
                given_here.add(limit.id)
        except (InputError, UnknownNameError) as error:
            errors[key] = str(error)
    return Railroad(own_limits=own, given_here=frozenset(given_here))


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
        pressure = isinstance(description, Quantity) and description.unit == "psi"
        return isclose(meant, value, rel_tol=_SAME, abs_tol=_SAME_PSI if pressure else 0.0)
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
