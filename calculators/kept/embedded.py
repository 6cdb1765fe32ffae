"""A figure inside a page's text: asked by words, for the example or for a railroad's settings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache, lru_cache
from urllib.parse import parse_qsl

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished, waits_for
from calculators.answering.links import PRESSURE_UNIT_FIELD
from calculators.answering.shown import shown
from calculators.base.errors import InputError, UnknownNameError, near
from calculators.base.quantities import Quantity
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.catalog import find_calculator
from calculators.kept.settings import settings, settings_for
from calculators.law.carried import OWN_LIMIT_PREFIX
from calculators.law.judging import looser
from calculators.law.limit_list import find_limit
from calculators.law.records import Limit

# Asks for a limit instead of a calculator's figure: "limit air-flow", "limit air-flow figure".
LIMIT = "limit "
KEPT = 64
"""Answers of the example that are kept for their other figures."""


def embedded_text(
    name: str, result: str, entries: Mapping[str, str], *, record: Mapping[str, str] | None = None
) -> str:
    """A result or an input of an answer, shown as the answer would show it.

    Parameters
    ----------
    name
        The calculator.
    result
        One of its results or inputs.
    entries
        What the page's author set, as typed; it beats the settings.
    record
        A railroad's settings by key; without one the calculator's example fills what is needed.

    Returns
    -------
    str
        The figure with its unit, rounded as the calculator declares.

    Raises
    ------
    UnknownNameError
        If there is no such calculator, input or result.
    ValueError
        If an entry cannot be read, an input that stands empty is asked for, or, with settings, the
        figure would have to wait for the train model.
    """
    if record:
        return _at_once(_asked(name, entries, record), result)
    asked = (name, tuple(sorted(entries.items())))
    found = _example(*asked)
    return _shown(_whole(*asked) if waits_for(found, result) else found, result)


@lru_cache(maxsize=KEPT)
def _example(name: str, entries: tuple[tuple[str, str], ...]) -> Answer:
    """The example's answer: pages ask for several figures of it."""
    return _asked(name, dict(entries), None)


@lru_cache(maxsize=KEPT)
def _whole(name: str, entries: tuple[tuple[str, str], ...]) -> Answer:
    """The same with what the train model adds, which takes seconds."""
    return finished(_example(name, entries))


def _asked(name: str, entries: Mapping[str, str], record: Mapping[str, str] | None) -> Answer:
    calculator = find_calculator(name)
    own = settings_for(calculator, record) if record else {}
    found = answer(calculator, entries, settings=own, example=True)
    if found.unknown:
        wrong = [f"{one}{near(one, calculator.inputs())}" for one in found.unknown]
        raise UnknownNameError(f"{calculator.name} has no input {', '.join(wrong)}")
    if found.errors:
        raise ValueError("; ".join(found.errors.values()))
    return found


def _at_once(found: Answer, result: str) -> str:
    if waits_for(found, result):
        name = found.calculator.name
        raise ValueError(f"{name}.{result} takes the train model, for which no page waits")
    return _shown(found, result)


def _shown(found: Answer, result: str) -> str:
    name = found.calculator.name
    inputs = {item.name: item.value for item in found.inputs}
    outputs = found.calculator.outputs()
    if result in outputs:
        return shown(outputs[result], found.results()[result], found.display)
    if result not in inputs:
        known = [*outputs, *inputs]
        raise UnknownNameError(f"{name} has no result or input {result!r}{near(result, known)}")
    if inputs[result] is None:
        raise ValueError(f"{name}.{result} stands empty and has no figure to print")
    return shown(found.calculator.inputs()[result], inputs[result], found.display)


def limit_text(id: str, *, figure: bool = False, record: Mapping[str, str] | None = None) -> str:
    """A limit in words, in the reader's unit, the railroad's own stricter figure behind it.

    ``figure`` leaves out the words "at most" and "at least" of the rule's figure.
    """
    limit = find_limit(id)
    record = record or {}
    unit = record.get(PRESSURE_UNIT_FIELD, "").strip()
    display = Display(pressure=unit if unit in PRESSURE_UNITS else "psi")
    words = limit.words().text(display)
    if figure:
        words = words.removeprefix(f"{limit.sense} ").removesuffix(" by the text")
    own = _own_figure(limit, record)
    if own is None:
        return words
    theirs = replace(limit, figure=own).words().text(display).removesuffix(" by the text")
    return f"{words} (your railroad: {theirs})"


def _own_figure(limit: Limit, record: Mapping[str, str]) -> float | None:
    """The railroad's own stricter figure for a limit, None where it has none that counts."""
    key = f"{OWN_LIMIT_PREFIX}{limit.id}"
    setting = settings().get(key)
    text = record.get(key, "")
    if setting is None or not text.strip():
        return None
    try:
        own = setting.parsed(text)
    except InputError:
        return None
    return own if isinstance(own, float) and not looser(limit, own) else None


def embedded(words: str, record: Mapping[str, str]) -> str:
    """The same by the words that a page keeps: ``calculator.result?field=value&...``.

    Examples
    --------
    >>> embedded("locomotive-brake.brake_cylinder?reduction=12", {"brake_pipe_setting": "85"})
    '30 psi'
    >>> embedded("limit air-flow figure", {"limit.air-flow": "50"})
    '60 cfm (your railroad: at most 50 cfm)'
    """
    found = embedded_figures((words,), record)
    if words not in found:
        raise ValueError(f"{words!r} cannot be had for these settings")
    return found[words]


def embedded_figures(wanted: Iterable[str], record: Mapping[str, str]) -> dict[str, str]:
    """Figures by the words that ask for them; one that cannot be had for these settings is left out.

    Several figures of one answer ask for it once.
    """
    answers: dict[tuple[str, str], Answer] = {}
    found: dict[str, str] = {}
    for words in wanted:
        try:
            if words.startswith(LIMIT):
                _, id, *rest = words.split()
                found[words] = limit_text(id, figure="figure" in rest, record=record)
                continue
            name, result, query = _parts(words)
            if (name, query) not in answers:
                answers[name, query] = _asked(name, dict(parse_qsl(query)), record)
            found[words] = _at_once(answers[name, query], result)
        except (UnknownNameError, ValueError):
            continue
    return found


def _parts(words: str) -> tuple[str, str, str]:
    asked, _, query = words.partition("?")
    name, _, result = asked.partition(".")
    return name, result, query


def moved_by(words: str) -> frozenset[str]:
    """The keys of the settings that can change an embedded figure or how it is shown.

    >>> sorted(moved_by("over-reduction.over_reduction?brake_pipe_setting=80"))[:2]
    ['atmosphere', 'auxiliary_volume']
    """
    if words.startswith(LIMIT):
        limit = find_limit(words.split()[1])
        own = {f"{OWN_LIMIT_PREFIX}{limit.id}"} & settings().keys()
        return frozenset(own | ({PRESSURE_UNIT_FIELD} if _is_pressure(limit.unit) else set()))
    name, result, query = _parts(words)
    pinned = dict(parse_qsl(query))
    calculator = find_calculator(name)
    fields = {result} if result in calculator.inputs() else set(calculator.inputs())
    keys = {key for key, field in _fields(name) if field in fields and field not in pinned}
    described = {**calculator.outputs(), **calculator.inputs()}.get(result)
    if isinstance(described, Quantity) and described.kind.startswith("pressure"):
        keys.add(PRESSURE_UNIT_FIELD)
    return frozenset(keys)


def _is_pressure(unit: str) -> bool:
    return unit.startswith("psi")


@cache
def _fields(name: str) -> tuple[tuple[str, str], ...]:
    """Settings' keys with the fields of one calculator that they stand in for."""
    calculator = find_calculator(name)
    return tuple(
        (key, field)
        for key, setting in settings().items()
        for field in setting.fields_of(calculator)
    )


def with_entries(
    record: Mapping[str, str], calculator: str, entries: Mapping[str, str]
) -> dict[str, str]:
    """A record in which the entries of a calculator on the page stand for the settings they take.

    What a page says below a circuit then holds for that circuit's own locomotive and train.

    >>> with_entries({"cars": "50"}, "circuit", {"brake_pipe_setting": "80", "handle": "service"})
    {'cars': '50', 'brake_pipe_setting': '80'}
    """
    theirs = {
        key: entries[field] for key, field in _fields(calculator) if entries.get(field, "").strip()
    }
    return {**record, **theirs}
