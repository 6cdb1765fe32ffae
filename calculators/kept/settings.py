"""My railroad: the settings worth keeping on a device, read from the calculators' declarations.

A record is texts by key, as typed. A key is ``limit.<id>`` for the railroad's own limit,
``pressure_unit``, or the setting that inputs say they take (``Quantity.setting``), mostly the name
of the field. Where one field's name means two things in two calculators, the second meaning has the
key ``<calculator>.<field>``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from calculators.answering.answer import (
    Answer,
    Difference,
    difference,
    says_the_same,
    text_with_unit,
)
from calculators.answering.duty import ALLOWED, ALLOWED_TEXT, DEVICE, DEVICE_CHOICE
from calculators.answering.links import (
    OWN_INPUT_PREFIX,
    PRESSURE_UNIT_FIELD,
    restated_text,
    text_of,
)
from calculators.base.errors import InputError
from calculators.base.fields import Plain, parse, typed
from calculators.base.quantities import Choice, Option, Quantity, Text
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.catalog import CALCULATORS, LATER, find_calculator
from calculators.declaring.registry import Calculator
from calculators.law.carried import OWN_LIMIT_PREFIX, carry_over
from calculators.law.judging import looser
from calculators.law.limit_list import LIMITS
from calculators.law.records import Limit

Description = Quantity | Choice | Text

THE_TRAIN = "The train"
OWN_LIMITS = "Your own stricter limits"
SHOWING = "How figures are shown"
ON_DUTY = "Phones on duty"


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
        return self.section in (SHOWING, ON_DUTY, OWN_LIMITS)

    def starts(self) -> tuple[str, ...]:
        """What the calculators start with without this setting, each text once."""
        if self.for_all:
            return ()
        texts = (text_of(self.description, c.defaults()[name]) for c, name in self.fields)
        return tuple(dict.fromkeys(text for text in texts if text))

    def fields_of(self, calculator: Calculator) -> tuple[str, ...]:
        """The inputs of a calculator that it stands in for, one of the second part's too."""
        if calculator.name in LATER:
            taken = calculator.inputs().items()
            return tuple(name for name, description in taken if name_of(description) == self.key)
        return tuple(name for owner, name in self.fields if owner is calculator)

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
    """Some settings of one part of the form, in the words of a calculator that takes them."""

    section: str
    calculator: str
    keys: tuple[str, ...]


# In the order of the form.
_HOMES = (
    _Home(
        section=THE_TRAIN,
        calculator="charging-time",
        keys=("brake_pipe_setting", "cars", "car_length", "delivery", "pipe_bore"),
    ),
    _Home(section=THE_TRAIN, calculator="leakage-and-flow", keys=("air_sources",)),
    _Home(section=THE_TRAIN, calculator="stopping-distance", keys=("weight",)),
    _Home(
        section="Your locomotive",
        calculator="locomotive-brake",
        keys=(
            "release_type",
            "service_limit",
            "emergency_limit",
            "multiplier",
            "relay_ratio_automatic",
            "relay_ratio_independent",
            "main_reservoir",
            "minimum_reduction",
            "suppression_reduction",
            "emergency_threshold",
            "locomotive-brake.auxiliary_volume",
            "pipe_16_volume",
            "dead_engine_setting",
            "emergency_drops_dynamic",
        ),
    ),
    _Home(
        section="Your locomotive",
        calculator="main-reservoir",
        keys=("volume", "main-reservoir.delivery", "working_pressure"),
    ),
    _Home(
        section="The car",
        calculator="car-brake",
        keys=(
            "piston_travel",
            "cylinder_bore",
            "auxiliary_volume",
            "emergency_volume",
            "unswept_volume",
            "quick_service_limit",
            "moving_reduction",
            "load_device",
            "empty_share",
            "atmosphere",
        ),
    ),
    _Home(
        section="The car",
        calculator="release",
        keys=("release_margin_low", "release_margin_high"),
    ),
    _Home(
        section="How air comes back",
        calculator="repeated-applications",
        keys=("minutes_per_ten_cars", "emergency_needs"),
    ),
    _Home(
        section="The train's brakes",
        calculator="stopping-distance",
        keys=(
            "braking_ratio",
            "ratio_pressure",
            "friction",
            "friction_law",
            "half_friction_speed",
            "reaction_time",
            "travel_speed",
            "fill_time",
            "rotating_mass",
            "resistance_formula",
            "frontal_area",
            "drag",
        ),
    ),
    _Home(
        section="The train's brakes",
        calculator="brake-force",
        keys=("cylinders", "lever_ratio", "efficiency", "shoes", "highest_ratio"),
    ),
    _Home(
        section="The train's brakes",
        calculator="hand-brakes",
        keys=("holding_force", "margin"),
    ),
)


@cache
def settings() -> Mapping[str, Setting]:
    """All settings by key, in the order of the form."""
    found: dict[str, Setting] = {}
    for setting in (_pressure_unit(), *_on_duty(), *_fields(), *_own_limits()):
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
        for name in known[key].fields_of(calculator):
            found[name] = text
    return found


def touching(found: Answer) -> tuple[str, ...]:
    """The keys of all settings that would change this answer or the way it is shown."""
    limits = {verdict.limit.id for verdict in found.verdicts}
    return tuple(
        key
        for key, setting in settings().items()
        if setting.fields_of(found.calculator)
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
        figure = restated_text(key, setting.description, value, unit)
        said[key] = figure if figure.endswith(unit) else f"{figure} {unit}"
    return said


@cache
def judged_limits() -> tuple[str, ...]:
    """The limits that calculators judge readings by, in the order of the list of limits."""
    named = {id for calculator in CALCULATORS.values() for id in calculator.judges}
    return tuple(id for id in LIMITS if id in named)


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


def _on_duty() -> Iterator[Setting]:
    yield Setting(key=DEVICE, section=ON_DUTY, description=DEVICE_CHOICE)
    yield Setting(key=ALLOWED, section=ON_DUTY, description=ALLOWED_TEXT)


def _fields() -> Iterator[Setting]:
    for home in _HOMES:
        here = {name_of(d): d for d in find_calculator(home.calculator).inputs().values()}
        for key in home.keys:
            description = here[key]
            assert isinstance(description, Quantity | Choice)
            yield Setting(
                key=key,
                section=home.section,
                description=description,
                fields=tuple(
                    (calculator, name)
                    for calculator in CALCULATORS.values()
                    for name, taken in calculator.inputs().items()
                    if name_of(taken) == key
                ),
            )


def name_of(description: object) -> str:
    """The setting that an input takes; empty for none."""
    return description.setting if isinstance(description, Quantity | Choice) else ""


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
