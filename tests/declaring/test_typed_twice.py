"""Ranges, beginnings and digits of every field and result, and the sizes of faults, typed twice.

A link leaves out what stands at its beginning, so a changed beginning changes what an old link asks;
a changed range refuses it. Whoever means to, changes both places, and says so in CHANGELOG.md.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from calculators.base.quantities import Choice, Quantity
from calculators.catalog import every_calculator
from calculators.equipment.faults.locomotive import FAULTS
from calculators.equipment.faults.train import TRAIN_FAULTS

PUBLISHED = Path(__file__).parents[1] / "published" / "declared"
CALCULATORS = every_calculator()


def typed(name: str) -> dict[str, Any]:
    return tomllib.loads((PUBLISHED / name).read_text(encoding="utf-8"))


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
    assert asked(name) == typed("entries.toml")[name]


def test_no_other_calculator_is_typed():
    assert set(typed("entries.toml")) == set(CALCULATORS)


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
    assert found == typed("faults.toml")["sizes"]
