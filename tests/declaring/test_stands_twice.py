"""Fields, results, sizes of faults and figures of models are what they were: a guard against slips.

The tables in ``second/`` were written from the code and prove no figure; where each comes from stands
beside it there. A link leaves out what stands at its beginning, so a changed beginning changes what an
old link asks, and a changed range refuses it. Whoever means to, changes both places, and says so in
CHANGELOG.md.
"""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from calculators.base.quantities import Choice, Quantity
from calculators.catalog import every_calculator
from calculators.equipment.car import NOMINAL_CAR
from calculators.equipment.faults.locomotive import FAULTS
from calculators.equipment.faults.train import TRAIN_FAULTS
from calculators.equipment.running.figures import EXAMPLE, Holes, Volumes
from calculators.equipment.train.bands import BANDS
from calculators.equipment.train.tables import AIR_SUPPLY, BRAKE_VALVE, FREIGHT_VALVE, PIPE_LINE

ROOT = Path(__file__).resolve().parents[2]
SECOND = Path(__file__).parent / "second"
CALCULATORS = every_calculator()


def second(name: str) -> dict[str, Any]:
    return tomllib.loads((SECOND / name).read_text(encoding="utf-8"))


def asked(name: str) -> dict[str, Any]:
    """What a calculator's fields take and begin with, and how its results are written."""
    calculator = CALCULATORS[name]
    begins = calculator.defaults()
    found: dict[str, Any] = {"asks": {}, "tells": {}}
    for field, description in calculator.inputs().items():
        start = begins[field]
        if isinstance(description, Quantity):
            one: dict[str, Any] = {
                "unit": description.unit,
                "between": [description.low, description.high],
                "begins": list(start) if isinstance(start, tuple) else start,
                "digits": description.digits,
                "typical": [typical.value for typical in description.typical],
                "only": [word for word in ("whole", "many") if getattr(description, word)],
            }
        elif isinstance(description, Choice):
            one = {"begins": start}
        else:
            continue
        found["asks"][field] = {key: value for key, value in one.items() if value not in (None, [])}
    for result, description in calculator.outputs().items():
        if isinstance(description, Quantity):
            found["tells"][result] = {"unit": description.unit, "digits": description.digits}
    return found


@pytest.mark.parametrize("name", CALCULATORS)
def test_fields_and_results(name: str):
    assert asked(name) == second("entries.toml")[name]


def test_no_other_calculator_is_second():
    assert set(second("entries.toml")) == set(CALCULATORS)


def test_sizes_of_faults_and_how_long_their_proof_takes():
    """Sizes between which a fault is looked for, and what a check costs, decide what is asked next."""
    found = {
        fault.id: [
            fault.smallest,
            fault.largest,
            fault.unit,
            fault.proof.where,
            fault.proof.seconds,
        ]
        for fault in FAULTS
    } | {fault.id: ["train", fault.proof.where, fault.proof.seconds] for fault in TRAIN_FAULTS}
    assert found == second("faults.toml")["sizes"]


def figures(record: object) -> dict[str, float]:
    """The numbers of a record by their names."""
    assert is_dataclass(record)
    assert not isinstance(record, type)
    values = {one.name: getattr(record, one.name) for one in fields(record)}
    return {
        name: value
        for name, value in values.items()
        if isinstance(value, int | float) and not isinstance(value, bool)
    }


@pytest.mark.parametrize(
    ("name", "record"),
    [
        ("freight-valve", FREIGHT_VALVE),
        ("brake-valve", BRAKE_VALVE),
        ("air-supply", AIR_SUPPLY),
        ("pipe-line", PIPE_LINE),
        ("nominal-car", NOMINAL_CAR),
        ("example-locomotive", EXAMPLE),
        ("locomotive-holes", Holes()),
        ("locomotive-volumes", Volumes()),
        *((f"band of {name}", band) for name, band in BANDS.items()),
    ],
)
def test_fitted_and_nominal_figures_of_the_models(name: str, record: object):
    """They were fitted together: one of them alone a tenth off is a slip, and hardly moves an answer."""
    assert figures(record) == pytest.approx(second("models.toml")[name], rel=1e-6)


def named(module: Path) -> dict[str, float | list[float]]:
    """What a module's own names stand for, where that is a number or a row of numbers."""
    values = vars(import_module(".".join(module.relative_to(ROOT).with_suffix("").parts)))
    found: dict[str, float | list[float]] = {}
    for name in names_of(module):
        value = values[name]
        if is_number(value):
            found[name] = value
        elif isinstance(value, tuple) and value and all(map(is_number, value)):
            found[name] = list(value)
    return found


def names_of(module: Path) -> Iterator[str]:
    for statement in ast.parse(module.read_text(encoding="utf-8")).body:
        if isinstance(statement, ast.Assign):
            for target in statement.targets:
                every = target.elts if isinstance(target, ast.Tuple) else [target]
                yield from (one.id for one in every if isinstance(one, ast.Name))
        elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
            yield statement.target.id


def is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def test_every_named_figure_of_the_package():
    """Steps, ways and marks of the models and questions, fitted and chosen: the records of figures and
    limits stand elsewhere a second time.
    """
    found = {
        module.relative_to(ROOT / "calculators").with_suffix("").as_posix(): numbers
        for part in ("circuits", "equipment", "law", "questions")
        for module in sorted((ROOT / "calculators" / part).rglob("*.py"))
        if module.name != "__init__.py" and (numbers := named(module))
    }
    twice = second("named.toml")
    assert set(found) == set(twice)
    for module, ours in found.items():
        assert set(ours) == set(twice[module]), module
        for name, value in ours.items():
            assert value == pytest.approx(twice[module][name], rel=1e-6), (module, name)
