"""My railroad: the settings worth keeping on a device, read from the calculators' declarations.

A record is texts by key, as typed. A key is a field's name, ``limit.<id>`` for the railroad's own
limit, or ``pressure_unit``. One field's name may
mean different things in two calculators: a setting stands in only where name and term agree, and a
second meaning worth keeping has the key ``<calculator>.<field>``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from calculators.answering.answer import (
    Answer,
    Difference,
    answer,
    difference,
    says_the_same,
    text_with_unit,
)
from calculators.answering.links import OWN_INPUT_PREFIX, PRESSURE_UNIT_FIELD, text_of
from calculators.base.errors import InputError
from calculators.base.fields import Plain, parse, typed
from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.results import Display, plain
from calculators.base.units import PRESSURE_UNITS, convert
from calculators.catalog import CALCULATORS, find_calculator
from calculators.declaring.registry import Calculator
from calculators.law.carried import OWN_LIMIT_PREFIX, carry_over
from calculators.law.judging import looser
from calculators.law.limit_list import LIMITS
from calculators.law.records import Limit

Description = Quantity | Choice

THE_TRAIN = "The train"
OWN_LIMITS = "Your own stricter limits"
SHOWING = "How figures are shown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting: its key, its part of the form, what it takes, the fields it stands in for.

    ``fields`` pairs calculators with the name of their field. Limits and the unit stand for every
    calculator that judges or shows by them.
    """

    key: str
    section: str
    description: Description
    fields: tuple[tuple[Calculator, str], ...] = ()

    @property
    def for_all(self) -> bool:
        """Whether it goes to every calculator under its own key."""
        return self.section in (SHOWING, OWN_LIMITS)

    def starts(self) -> tuple[str, ...]:
        """What the calculators start with without this setting, each text once."""
        if self.for_all:
            return ()
        texts = (text_of(self.description, c.defaults()[name]) for c, name in self.fields)
        return tuple(dict.fromkeys(text for text in texts if text))

    def parsed(self, text: str) -> Plain:
        """The value of a text, if every field that the setting stands in for takes it.

        Raises
        ------
        InputError
            With the setting's key as its field; names the calculator that refuses.
        """
        value = parse(self.key, self.description, text)
        for calculator, name in self.fields:
            try:
                parse(name, calculator.inputs()[name], text)
            except InputError as error:
                raise InputError(self.key, f"{error.message} ({calculator.title})") from error
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What there is to say of a record: errors and remarks by key, and keys not known here."""

    errors: Mapping[str, str]
    remarks: Mapping[str, str]
    unknown: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Home:
    """Where settings are read from: single fields of a calculator, or whole parts of its form.

    ``apart`` names the fields whose plain name belongs to another meaning.
    """

    section: str
    calculator: str
    fields: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()

    def names(self, calculator: Calculator) -> Iterator[str]:
        """The fields in the order of the form."""
        yield from self.fields
        for name, description in calculator.inputs().items():
            if not isinstance(description, Quantity | Choice) or name in self.without:
                continue
            if description.group in self.groups:
                yield name


# What stays the same from day to day; a reading or a move of the handle is none of it.
_HOMES = (
    _Home(
        section=THE_TRAIN,
        calculator="charging-time",
        fields=("brake_pipe_setting", "cars", "car_length", "delivery", "pipe_bore"),
    ),
    _Home(section=THE_TRAIN, calculator="leakage-and-flow", fields=("air_sources",)),
    _Home(section=THE_TRAIN, calculator="stopping-distance", fields=("weight",)),
    _Home(
        section="Your locomotive",
        calculator="locomotive-brake",
        fields=("release_type",),
        groups=("Your locomotive",),
        apart=("auxiliary_volume",),
    ),
    _Home(
        section="Your locomotive",
        calculator="main-reservoir",
        fields=("volume", "delivery", "working_pressure"),
        apart=("delivery",),
    ),
    _Home(
        section="The car",
        calculator="car-brake",
        groups=("The car",),
        without=("charged",),
    ),
    _Home(section="The car", calculator="release", groups=("The car",), without=("charged",)),
    _Home(
        section="How air comes back",
        calculator="repeated-applications",
        groups=("How air comes back",),
    ),
    _Home(
        section="The train's brakes",
        calculator="stopping-distance",
        groups=("The train's brakes", "Train resistance"),
    ),
    _Home(
        section="The train's brakes",
        calculator="brake-force",
        fields=("cylinders", "lever_ratio", "efficiency", "shoes", "highest_ratio"),
    ),
    _Home(
        section="The train's brakes",
        calculator="hand-brakes",
        fields=("holding_force", "margin"),
    ),
)


@cache
def settings() -> Mapping[str, Setting]:
    """All settings by key, in the order of the form."""
    found: dict[str, Setting] = {}
    for setting in (_pressure_unit(), *_fields(), *_own_limits()):
        found.setdefault(setting.key, setting)
    return found


def check(record: Mapping[str, str]) -> Checked:
    """Read a record through the fields that it stands in for.

    Parameters
    ----------
    record
        Texts by key; empty texts say nothing.

    Returns
    -------
    Checked
        Never raises for anything that was typed or stored.
    """
    errors: dict[str, str] = {}
    remarks: dict[str, str] = {}
    unknown: dict[str, str] = {}
    for key, text in record.items():
        if not text.strip():
            continue
        setting = settings().get(key)
        if setting is None:
            unknown[key] = text
            continue
        try:
            value = setting.parsed(text)
        except InputError as error:
            errors[key] = error.message
            continue
        remark = _remark(setting, value)
        if remark:
            remarks[key] = remark
    return Checked(errors=errors, remarks=remarks, unknown=unknown)


def settings_for(calculator: Calculator, record: Mapping[str, str]) -> dict[str, str]:
    """The part of a record that stands for this calculator, by the names of its fields.

    Names of earlier versions are left to `answer`, which carries them over and says so; what this
    copy does not know is left out. A field's text that is wrong stays, so that the field says so.
    """
    known = settings()
    found: dict[str, str] = {}
    for key, text in record.items():
        if carry_over({key: text}).said:
            found[key] = text
        if key not in known or not text.strip():
            continue
        if known[key].for_all:
            found[key] = text
        for owner, name in known[key].fields:
            if owner is calculator:
                found[name] = text
    return found


def touching(found: Answer) -> tuple[str, ...]:
    """The keys of all settings that would change this answer or the way it is shown."""
    limits = {verdict.limit.id for verdict in found.verdicts}
    return tuple(
        key
        for key, setting in settings().items()
        if any(owner is found.calculator for owner, _ in setting.fields)
        or key.removeprefix(OWN_LIMIT_PREFIX) in limits
        or (key == PRESSURE_UNIT_FIELD and _shows_pressures(found))
    )


def field_notes(found: Answer, own: Mapping[str, str]) -> dict[str, str]:
    """What to say beside each field that the settings stand in for: theirs, or another figure.

    Parameters
    ----------
    found
        The answer on the page.
    own
        The settings for its calculator, from ``settings_for``.
    """
    notes: dict[str, str] = {}
    for item in found.inputs:
        text = own.get(item.name, "").strip()
        if not text or not isinstance(item.description, Quantity | Choice):
            continue
        if item.value is not None and says_the_same(item.description, item.name, text, item.value):
            notes[item.name] = "From your railroad's settings."
        else:
            notes[item.name] = (
                f"Your railroad's settings say {text_with_unit(text, item.description)}."
            )
    return notes


def differences(
    found: Answer, raw: Mapping[str, str], own: Mapping[str, str]
) -> tuple[Difference, ...]:
    """Where the entries of a link or form beat the settings: fields and own limits."""
    differing = list(found.differences)
    for key, text in own.items():
        setting = settings().get(key)
        here = raw.get(key, "").strip()
        if setting is None or not here or not key.startswith(OWN_LIMIT_PREFIX):
            continue
        try:
            same = says_the_same(setting.description, key, text, setting.parsed(here))
        except InputError:
            same = False
        if not same:
            differing.append(difference(setting.description, here, text))
    return tuple(differing)


def restated(record: Mapping[str, str], unit: str) -> dict[str, str]:
    """The pressures of a record said in another unit; texts that are wrong stay out."""
    said: dict[str, str] = {}
    for key, text in record.items():
        setting = settings().get(key)
        if setting is None or not isinstance(setting.description, Quantity) or not text.strip():
            continue
        if setting.description.kind != "pressure" or unit not in PRESSURE_UNITS:
            continue
        try:
            value = typed(key, setting.description, text).value
        except InputError:
            continue
        said[key] = f"{convert(value, setting.description.unit, unit):.6g} {unit}"
    return said


@cache
def judged_by() -> Mapping[str, frozenset[str]]:
    """The limits that each calculator judges readings by, by the calculator's name.

    Found by asking: every calculator is answered for each option of each of its choices, with and
    without the readings that may stay out.
    """
    found: dict[str, frozenset[str]] = {}
    for name, calculator in CALCULATORS.items():
        outcomes = (
            answer(calculator, entries, example=True).outcome for entries in _variants(calculator)
        )
        found[name] = frozenset(
            reading.limit for outcome in outcomes if outcome for reading in outcome.readings
        )
    return found


@cache
def judged_limits() -> tuple[str, ...]:
    """The limits that calculators judge readings by, in the order of the list of limits."""
    named = frozenset[str]().union(*judged_by().values())
    return tuple(id for id in LIMITS if id in named)


def _variants(calculator: Calculator) -> Iterator[dict[str, str]]:
    optional: dict[str, str] = {}
    choices: list[dict[str, str]] = [{}]
    for name, description in calculator.inputs().items():
        may_stay_out = calculator.defaults()[name] is None and name not in calculator.example
        if isinstance(description, Choice):
            choices += [{name: option.value} for option in description.options]
        elif isinstance(description, Quantity) and may_stay_out:
            optional[name] = plain(description.low or description.high or 1)
    for chosen in choices:
        yield chosen
        yield {**optional, **chosen}


def _pressure_unit() -> Setting:
    return Setting(
        key=PRESSURE_UNIT_FIELD,
        section=SHOWING,
        description=Choice(
            term="Pressures in",
            options=tuple(Option(value=unit, words=unit) for unit in PRESSURE_UNITS),
            help="Every calculator then shows and takes pressures in this unit.",
        ),
    )


def _fields() -> Iterator[Setting]:
    taken: set[tuple[str, str]] = set()
    for home in _HOMES:
        calculator = find_calculator(home.calculator)
        for name in home.names(calculator):
            description = calculator.inputs()[name]
            if (name, description.term) in taken or not isinstance(description, Quantity | Choice):
                continue
            taken.add((name, description.term))
            yield Setting(
                key=f"{calculator.name}.{name}" if name in home.apart else name,
                section=home.section,
                description=description,
                fields=tuple(
                    (other, name)
                    for other in CALCULATORS.values()
                    if name in other.inputs() and other.inputs()[name].term == description.term
                ),
            )


def _own_limits() -> Iterator[Setting]:
    for limit in LIMITS.values():
        if limit.sense == "fact" or limit.upper is not None:
            continue
        yield Setting(
            key=f"{OWN_LIMIT_PREFIX}{limit.id}",
            section=OWN_LIMITS,
            fields=_asking(limit.id),
            description=Quantity(
                term=limit.title, unit=limit.unit, digits=limit.digits, low=0, help=_states(limit)
            ),
        )


def _asking(limit: str) -> tuple[tuple[Calculator, str], ...]:
    """The calculators that take the railroad's own figure for a limit as an input."""
    name = OWN_INPUT_PREFIX + limit.replace("-", "_")
    return tuple((c, name) for c in CALCULATORS.values() if name in c.inputs())


def _states(limit: Limit) -> str:
    """What the regulation says, for the help beside the railroad's own figure."""
    words = limit.words().text(Display())
    return f"{limit.section} ({limit.edition}, {limit.how_read}) has {words}: {limit.condition}."


def _remark(setting: Setting, value: Plain) -> str:
    """Say of an own limit that is not stricter that the regulation's governs."""
    limit = LIMITS.get(setting.key.removeprefix(OWN_LIMIT_PREFIX))
    if limit is None or not isinstance(value, float):
        return ""
    if not looser(limit, value):
        return ""
    return f"Not stricter than {limit.words().text(Display())} ({limit.section}), which governs."


def _shows_pressures(found: Answer) -> bool:
    descriptions = (*found.calculator.inputs().values(), *found.calculator.outputs().values())
    return any(isinstance(d, Quantity) and d.kind == "pressure" for d in descriptions)
