"""The pocket card: the main figures for one railroad's settings, on one sheet.

Nothing is worked out here: every figure is the answer of a calculator for those settings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil

from calculators.answering.answer import Answer, answer
from calculators.answering.duty import duty_words
from calculators.answering.links import PRESSURE_UNIT_FIELD
from calculators.answering.shown import shown
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Display, Reading, Value, plain
from calculators.base.units import PRESSURE_UNITS
from calculators.catalog import find_calculator
from calculators.kept.settings import check, settings, settings_for
from calculators.law.carried import OWN_LIMIT_PREFIX, carry_over
from calculators.law.judging import Railroad, Verdict, judge
from calculators.law.limit_list import LIMITS

# Reductions worth a line of their own, beside the railroad's first notch and full service. [psi]
REDUCTIONS = (8.0, 10.0, 12.0, 15.0, 18.0, 20.0)

# What a crew is asked about most; own limits come on top.
MAIN_LIMITS = (
    "brake-pipe-leakage",
    "air-flow",
    "air-flow-two-sources",
    "air-flow-two-sources-own-words",
    "en-route-gradient",
    "rear-gradient",
    "rear-floor-class-1",
    "main-reservoir-over-brake-pipe",
    "piston-travel",
    "brake-pipe-setting-road",
    "off-air-hours",
)

_STANDING = (
    "brake_pipe_setting",
    "main_reservoir",
    "service_limit",
    "emergency_limit",
    "multiplier",
    "relay_ratio_automatic",
    "minimum_reduction",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """One line of the card; ``own`` marks what the railroad's settings say themselves."""

    term: str
    cells: tuple[str, ...]
    own: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One table of the card: title, heads of the columns, lines, a remark below."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[CardLine, ...]
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The whole card; without parts exactly when there are ``errors`` by key.

    ``duty`` shows back whose device made it and what the railroad allows.
    """

    parts: tuple[Part, ...]
    errors: Mapping[str, str]
    duty: str = ""


def card(record: Mapping[str, str]) -> Card:
    """Make the card for a railroad's settings; an empty record gives the example's card.

    Parameters
    ----------
    record
        Texts by key, as kept on the device.

    Returns
    -------
    Card
        Never raises for anything that was stored; what cannot be used is in ``errors``.
    """
    record = carry_over(record).entries
    errors = dict(check(record).errors)
    if errors:
        return Card(parts=(), errors=errors)
    asked = _Asked(record)
    parts = (_standing(asked), _service(asked), _most(asked), _train(asked), _limits(asked))
    return Card(parts=() if asked.errors else parts, errors=asked.errors, duty=duty_words(record))


class _Asked:
    """Asks calculators for the settings, and gathers what they refuse."""

    def __init__(self, record: Mapping[str, str]) -> None:
        self.record = record
        unit = record.get(PRESSURE_UNIT_FIELD, "").strip()
        self.display = Display(pressure=unit if unit in PRESSURE_UNITS else "psi")
        self.errors: dict[str, str] = {}

    def ask(self, name: str, **entries: str) -> Answer:
        """The calculator's answer for these entries and, for the rest, the settings."""
        calculator = find_calculator(name)
        found = answer(calculator, entries, settings=settings_for(calculator, self.record))
        self.errors.update(found.errors)
        return found

    def shown(self, found: Answer, result: str) -> str:
        """One result as it is shown; nothing where the calculator refused."""
        if found.outcome is None:
            return ""
        return shown(found.calculator.outputs()[result], found.results()[result], self.display)

    def number(self, found: Answer, result: str) -> float:
        """One result as a number, 0 where the calculator refused."""
        value = found.results().get(result)
        return value if isinstance(value, float) else 0.0

    def row(self, term: str, found: Answer, result: str) -> CardLine:
        """A line with one figure."""
        return CardLine(term=term, cells=(self.shown(found, result),))


def _standing(asked: _Asked) -> Part:
    found = asked.ask("locomotive-brake")
    rows = [
        CardLine(
            term=item.description.term,
            cells=(shown(item.description, item.value, asked.display),),
            own=item.origin == "settings",
        )
        for item in found.inputs
        if item.name in _STANDING and isinstance(item.description, Quantity | Choice)
    ]
    return Part(title="Set at", heads=("Figure",), rows=tuple(rows))


def _service(asked: _Asked) -> Part:
    full = asked.ask("full-service-figures")
    first = asked.ask("locomotive-brake", handle="minimum-reduction")
    setting = _input(first, "brake_pipe_setting")
    named = {
        ceil(10 * asked.number(full, "full_service_reduction")) / 10: "a car's full service",
        _input(first, "minimum_reduction"): "first notch",
    }
    rows: list[CardLine] = []
    for reduction in sorted({*REDUCTIONS, *named}):
        if not 0 < reduction <= setting:
            continue
        locomotive = asked.ask("locomotive-brake", handle="service", reduction=plain(reduction))
        car = asked.ask("car-brake", application="service", reduction=plain(reduction))
        words = f", {named[reduction]}" if reduction in named else ""
        rows.append(
            CardLine(
                term=asked.display.value(Value(reduction, "psi", int(reduction % 1 > 0))) + words,
                cells=(
                    asked.shown(locomotive, "brake_pipe"),
                    asked.shown(locomotive, "brake_cylinder"),
                    asked.shown(car, "brake_cylinder"),
                ),
            )
        )
    return Part(
        title="Taken off",
        heads=("Brake pipe", "Locomotive cylinder", "A car's cylinder"),
        rows=tuple(rows),
        remark="At rest, from a charged train, nothing bailed off. Gauges have an error of their own.",
    )


def _most(asked: _Asked) -> Part:
    cars = asked.ask("full-service-figures")
    service = asked.ask("locomotive-brake", handle="suppression")
    emergency = asked.ask("locomotive-brake", handle="emergency")
    return Part(
        title="The most it gives",
        heads=("Figure",),
        rows=(
            asked.row("Locomotive: pipe 16 at its limit from", service, "reduction_at_limit"),
            asked.row("Locomotive, suppression", service, "brake_cylinder"),
            asked.row("Locomotive, emergency", emergency, "brake_cylinder"),
            asked.row("Car, full service", cars, "full_service_pressure"),
            asked.row("Car, reduction for it", cars, "full_service_reduction"),
            asked.row("Car, emergency", cars, "emergency_pressure"),
        ),
        remark="Taking off more than a car's full service gains nothing there and costs recharge.",
    )


def _train(asked: _Asked) -> Part:
    charging = asked.ask("charging-time")
    setting = _input(charging, "brake_pipe_setting")
    leaks = asked.ask("leakage-and-flow")
    rear = asked.ask("rear-pressure", rear=f"{setting:g}")
    length = Value(_input(leaks, "cars") * _input(leaks, "car_length"), "ft")
    return Part(
        title=(
            f"A train of {_input(leaks, 'cars'):g} cars, "
            f"{asked.display.value(length)} of brake pipe"
        ),
        heads=("Figure",),
        rows=(
            asked.row("Brake pipe holds", leaks, "pipe_volume"),
            asked.row("The leakage limit is an air flow of", leaks, "flow_at_leakage_limit"),
            asked.row("The air flow limit is a leakage of", leaks, "leakage_at_flow_limit"),
            asked.row("Rear at least, for Class I", rear, "least_rear"),
            asked.row(
                f"Charging from empty, {_input(charging, 'delivery'):g} cfm reaching the train, "
                "takes more than",
                charging,
                "time_lower_bound",
            ),
        ),
    )


def _limits(asked: _Asked) -> Part:
    checked = {
        key.removeprefix(OWN_LIMIT_PREFIX): text
        for key, text in asked.record.items()
        if key.startswith(OWN_LIMIT_PREFIX) and key in settings() and text.strip()
    }
    ids = dict.fromkeys((*MAIN_LIMITS, *(id for id in LIMITS if id in checked)))
    railroad = _railroad(asked.record)
    rows = [_limit_row(verdict, asked) for id in ids for verdict in _verdicts(id, railroad)]
    return Part(
        title="Limits",
        heads=("Figure", "Where it is written"),
        rows=tuple(rows),
    )


def _verdicts(id: str, railroad: Railroad) -> Iterator[Verdict]:
    """The limit, own figure first."""
    yield from judge(Reading(limit=id, value=None), railroad)


def _limit_row(verdict: Verdict, asked: _Asked) -> CardLine:
    return CardLine(
        term=verdict.limit.title,
        cells=(verdict.words.text(asked.display), _where(verdict)),
        own=verdict.own,
    )


def _where(verdict: Verdict) -> str:
    """Where a limit stands, in as few words as a card has room for."""
    limit = verdict.limit
    if verdict.own:
        return "your railroad's own figure"
    words = f"{limit.section}, {limit.edition}"
    if limit.how_read != "read in the text":
        words += f" ({limit.how_read})"
    if limit.other_text:
        return f"texts differ, ask your railroad: {words}"
    return words


def _railroad(record: Mapping[str, str]) -> Railroad:
    """Own limits of a record that was checked."""
    own: dict[str, float] = {}
    for key, text in record.items():
        setting = settings().get(key)
        if setting is None or not text.strip():
            continue
        if key.startswith(OWN_LIMIT_PREFIX):
            value = setting.parsed(text)
            assert isinstance(value, float)
            own[key.removeprefix(OWN_LIMIT_PREFIX)] = value
    return Railroad(own_limits=own)


def _input(found: Answer, name: str) -> float:
    """A number that was put in, 0 where it could not be read."""
    value = next(item.value for item in found.inputs if item.name == name)
    return value if isinstance(value, float) else 0.0
