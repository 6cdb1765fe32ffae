"""Requests that lead through every calculator, every choice, every rendering and every error.

The packing runs them to find out which modules the answers use, and the browser tests run them
against what was packed.
"""

import json
from collections.abc import Iterator, Mapping

from calculators.answering.answer import answer
from calculators.answering.links import text_of
from calculators.base.quantities import Choice, Description, Quantity
from calculators.base.units import PRESSURE_UNITS, UNITS
from calculators.catalog import every_calculator
from calculators.circuits.catalog import CIRCUITS
from calculators.declaring.registry import Calculator
from calculators.kept.text import as_text
from calculators.short_links.packing import shortened
from calculators.study.catalog import SKILLS

WRONG_TEXTS = ("", "abc", "1e999", "-1", "12 parsecs", "١٢", "<b>&amp;", "9" * 400, "nan", "½")
WRONG_RECORDS = ("", "version = 999", "cars = many\nno such line", "\0" * 9, "version = 1\n=")
SHORT_TRAIN = {"cars": "5", "seconds": "10"}
UNKNOWN_REQUESTS: tuple[Mapping[str, object], ...] = (
    {"calculator": "no-such-thing"},
    {},
    {"calculator": 3, "entries": []},
)


def requests() -> tuple[str, ...]:
    """All requests as the page sends them."""
    made = [
        *UNKNOWN_REQUESTS,
        *_of_settings(),
        *_of_circuits(),
        *_of_short_links(),
        *_of_worksheets(),
        *_of_screens(),
        *_of_gauges(),
        *_of_study(),
    ]
    made += [request for calculator in every_calculator().values() for request in _of(calculator)]
    return tuple(json.dumps(request) for request in made)


def self_test() -> str:
    """Give a request whose answer shows that a Python is well."""
    calculator = next(iter(every_calculator().values()))
    return json.dumps(_request(calculator, _example(calculator)))


def streams() -> tuple[str, ...]:
    """Give the requests whose answers come in parts, short ones."""
    made: list[Mapping[str, object]] = [*UNKNOWN_REQUESTS, next(_of_circuits())]
    for calculator in every_calculator().values():
        example = _example(calculator)
        short = {name: text for name, text in SHORT_TRAIN.items() if name in example}
        found = answer(calculator, {**example, **short})
        if found.outcome is not None and found.outcome.to_follow is not None:
            made.append(_request(calculator, {**example, **short}))
    return tuple(json.dumps(request) for request in made)


def _of_settings() -> Iterator[Mapping[str, object]]:
    example = _example(next(iter(every_calculator().values())))
    for record in ({}, example, dict.fromkeys(example, "wrong")):
        for do in ("check", "export", "restate", "hand on"):
            yield {"kind": "settings", "do": do, "settings": record, "unit": "bar"}
        yield {"kind": "settings", "do": "offer", "settings": record, "link": example}
        yield {"kind": "card", "settings": record}
        yield {"kind": "figures", "settings": record, "figures": ["units.value?value=5"]}
    for text in (as_text(example), *WRONG_RECORDS):
        yield {"kind": "settings", "do": "import", "text": text}


def _of_short_links() -> Iterator[Mapping[str, object]]:
    made: dict[str, object] = {"kind": "short", "do": "make"}
    yield {**made, "subject": "units", "query": "v=1&value=5"}
    yield {**made, "subject": "no-such-thing", "query": "v=1"}
    for short in ("", "1.", "1.AAAA", "999.AAAA", "1.%", shortened("units", "v=1&value=5")):
        yield {"kind": "short", "do": "open", "subject": "units", "short": short}


def _of_worksheets() -> Iterator[Mapping[str, object]]:
    for entries in ({}, {"number": "3", "units": "kPa"}, {"number": "x"}, {"topics": "none"}):
        yield {"kind": "worksheet", "entries": entries}


def _of_screens() -> Iterator[Mapping[str, object]]:
    yield {"kind": "screen"}
    for path in ("calculators/units/", "circuits/charging/", "teach/worksheet/", "parts/valve/"):
        yield {"kind": "screen", "path": path, "query": "v=1"}


def _of_gauges() -> Iterator[Mapping[str, object]]:
    """What a gauge shows otherwise, read right and wrong, of results that are there and not."""
    for result, text in (("brake_cylinder", "12 psi"), ("brake_cylinder", "x"), ("none", "12")):
        asked = {"kind": "otherwise", "calculator": "locomotive-brake", "entries": {}}
        yield {**asked, "result": result, "text": text, "unit": "bar"}


def _of_circuits() -> Iterator[Mapping[str, object]]:
    for circuit in CIRCUITS:
        entries = {"circuit": circuit, "cars": SHORT_TRAIN["cars"]}
        yield {"kind": "circuit", "calculator": "circuit", "entries": entries, "id": "trial"}
    yield {"kind": "circuit", "calculator": "circuit", "entries": {"circuit": "none"}}


def _of_study() -> Iterator[Mapping[str, object]]:
    """Every skill once, at every stage, answered right, wrong and with what is no answer."""
    moment = {"now": 1.8e12, "until": 1.8e12, "root": "../"}
    yield {"kind": "study", "do": "sitting", "records": {}, **moment}
    yield {"kind": "study", "do": "drill", "topics": ["tests"], "seed": "5", "v": "1"}
    yield {"kind": "study", "do": "drill", "v": "0"}
    for text in (*WRONG_RECORDS, '{"format": "study record", "version": 1, "records": {}}'):
        yield {"kind": "study", "do": "read", "text": text}
    for turn, skill in enumerate(SKILLS):
        asked = {"kind": "study", "skill": skill, "seed": "rehearsal", **moment}
        yield asked | {"do": "question", "fades": bool(turn % 2)}
        yield asked | {"do": "options"}
        yield asked | {"do": "answer", "text": "12", "fades": False}
        yield asked | {"do": "answer", "gives_up": True, "fades": False, "tries": 1}


def _of(calculator: Calculator) -> Iterator[Mapping[str, object]]:
    example = _example(calculator)
    yield _request(calculator, example)
    short = {**example, **{name: text for name, text in SHORT_TRAIN.items() if name in example}}
    yield _request(calculator, short) | {"kind": "sheet"}
    yield _request(calculator, short) | {"kind": "curves"}
    # A circuit follows its train before it answers; which modules that takes is no matter of cars.
    example = short if calculator.name == "circuit" else example
    yield _request(calculator, {})
    yield _request(calculator, {"no_such_field": "1", "v": "999"})
    yield _request(calculator, example) | {"settings": example}
    yield _request(calculator, example) | {"settings": dict.fromkeys(example, "wrong")}
    for unit in PRESSURE_UNITS:
        yield _request(calculator, {**example, "pressure_unit": unit})
        yield _request(calculator, example) | {"kind": "restate", "unit": unit}
    for number, (name, description) in enumerate(calculator.inputs().items()):
        for text in _texts(description, number):
            yield _request(calculator, {**example, name: text})


def _request(calculator: Calculator, entries: Mapping[str, str]) -> dict[str, object]:
    return {"kind": "answer", "calculator": calculator.name, "entries": dict(entries)}


def _example(calculator: Calculator) -> dict[str, str]:
    defaults = {
        name: text_of(calculator.inputs()[name], value)
        for name, value in calculator.defaults().items()
    }
    return {**defaults, **calculator.example}


def _texts(description: Description, turn: int) -> Iterator[str]:
    """Give the texts to try in a field; wrong ones and units take turns from field to field."""
    yield from (WRONG_TEXTS[(turn + step) % len(WRONG_TEXTS)] for step in range(2))
    if isinstance(description, Choice):
        yield from (option.value for option in description.options)
    if isinstance(description, Quantity):
        yield from (f"{limit:g}" for limit in (description.low, description.high) if limit)
        units = [unit for unit, known in UNITS.items() if known.kind == description.kind]
        yield f"1 {units[turn % len(units)]}"
