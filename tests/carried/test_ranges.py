"""A figure that a link or a kept setting of version 0.1.0 could hold is still taken.

The ranges were read from that version's own code, so nothing here is pinned to today's.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from calculators.base.fields import parse
from calculators.base.quantities import Quantity
from calculators.catalog import CALCULATORS

THEN: dict[str, dict[str, tuple[str, float | None, float | None]]] = json.loads(
    (Path(__file__).parent / "ranges-0-1-0.json").read_text(encoding="utf-8")
)
# Narrowed since, and why.
FOLLOWED = "the running brake is followed in this range only, and the circuit is that brake"
NARROWER: dict[tuple[str, str], str] = {
    ("circuit", "brake_pipe_setting"): FOLLOWED,
    ("circuit", "main_reservoir"): FOLLOWED,
    ("circuit", "car_length"): FOLLOWED,
}


@pytest.mark.parametrize("name", THEN)
def test_the_ends_of_a_range_of_then_are_taken_now(name: str):
    inputs = CALCULATORS[name].inputs()
    refused = []
    for field, (unit, low, high) in THEN[name].items():
        description = inputs.get(field)
        if not isinstance(description, Quantity) or (name, field) in NARROWER:
            continue
        assert description.unit == unit, field
        for end in (low, high):
            if end is None:
                continue
            try:
                parse(field, description, f"{end:.12g}")
            except ValueError as error:
                refused.append(f"{field}: {error}")
    assert refused == []
