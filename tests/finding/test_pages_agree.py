"""The tables of failures on the parts' pages and what the model shows lead to the same faults."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from calculators.equipment.faults import FAULTS
from calculators.finding.observing import read
from calculators.finding.own import EXAMPLE, finder_for

CONTENT = Path(__file__).parents[2] / "content"
ROWS = tomllib.loads((CONTENT / "faults.toml").read_text(encoding="utf-8"))["row"]
_ROW = re.compile(r"^\| (?P<shows>[^|]+?) \| (?P<can_be>.+) \|$", re.MULTILINE)


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['page']}: {r['shows'][:40]}" for r in ROWS])
def test_the_page_has_the_row_and_the_model_names_its_faults(row: dict[str, object]):
    page = (CONTENT / "parts" / f"{row['page']}.md").read_text(encoding="utf-8")
    assert row["shows"] in [found["shows"] for found in _ROW.finditer(page)]

    finder = finder_for(EXAMPLE)
    first = finder.ranked(read(str(row["readings"])))[:3]
    named = {fault for one in first for fault in finder.groups[one.group]}
    assert isinstance(row["faults"], list)
    assert set(row["faults"]) <= named, [finder.groups[one.group] for one in first]


def test_every_part_that_a_fault_stands_on_has_its_page():
    for fault in FAULTS:
        assert (CONTENT / "parts" / f"{fault.part}.md").is_file(), fault.part
        assert (CONTENT / "circuits" / f"{fault.circuit}.md").is_file(), fault.circuit
