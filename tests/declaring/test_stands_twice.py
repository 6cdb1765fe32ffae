"""Fields, results, sizes of faults and figures of models are what they were: a guard against slips.

The tables in ``second/`` were written from the code and prove no figure; where each comes from stands
beside it there. A link leaves out what stands at its beginning, so a changed beginning changes what an
old link asks, and a changed range refuses it. Whoever means to, changes both places, and says so in
CHANGELOG.md.
"""

from __future__ import annotations

import tomllib
from dataclasses import fields, is_dataclass
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
