"""The unit table against pint, an independent library."""

from __future__ import annotations

import pint
import pytest

from calculators.base.units import UNITS, convert, find_unit, units_of

# What pint calls each of our units; a ton is the US short ton in both.
PINT = {
    "psi": "psi",
    "kPa": "kPa",
    "bar": "bar",
    "kgf/cm²": "kgf/cm**2",
    "MPa": "MPa",
    "psi/min": "psi/min",
    "kPa/min": "kPa/min",
    "bar/min": "bar/min",
    "in": "inch",
    "ft": "foot",
    "miles": "mile",
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "km": "km",
    "sq in": "inch**2",
    "sq ft": "foot**2",
    "m²": "m**2",
    "cu in": "inch**3",
    "cu ft": "foot**3",
    "L": "liter",
    "m³": "m**3",
    "cfm": "foot**3/min",
    "L/min": "liter/min",
    "L/s": "liter/s",
    "m³/min": "m**3/min",
    "mph": "mph",
    "km/h": "km/h",
    "ft/s": "foot/s",
    "m/s": "m/s",
    "ft/s²": "foot/s**2",
    "mph/s": "mph/s",
    "m/s²": "m/s**2",
    "tons": "short_ton",
    "lb": "pound",
    "kg": "kg",
    "tonnes": "metric_ton",
    "lbf": "force_pound",
    "N": "N",
    "kN": "kN",
    "lb/ton": "force_pound/short_ton",
    "N/t": "N/metric_ton",
    "s": "s",
    "min": "min",
    "h": "hour",
    "%": "percent",
    "°F": "degF",
    "°C": "degC",
    "deg": "",
    "": "",
}
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()


def test_every_unit_has_its_oracle():
    assert set(PINT) == set(UNITS)


@pytest.mark.parametrize("symbol", [s for s in UNITS if UNITS[s].kind not in ("curve", "number")])
def test_against_pint(symbol: str):
    kind = UNITS[symbol].kind
    for other in units_of(kind):
        theirs = REGISTRY.Quantity(37.5, PINT[symbol]).to(PINT[other.symbol]).magnitude

        assert convert(37.5, symbol, other.symbol) == pytest.approx(theirs, rel=1e-12)


def test_unlike_kinds_are_refused():
    with pytest.raises(ValueError, match="psi is a pressure and mph is a speed"):
        convert(1, "psi", "mph")


@pytest.mark.parametrize(
    ("typed", "kind", "symbol"),
    [
        ("PSI", "pressure", "psi"),
        ("kpa", "pressure", "kPa"),
        ("Bar", "pressure", "bar"),
        ("feet", "length", "ft"),
        ('"', "length", "in"),
        ("lb", "force", "lbf"),
        ("lb", "weight", "lb"),
        ("F", "temperature", "°F"),
    ],
)
def test_spellings(typed: str, kind: str, symbol: str):
    found = find_unit(typed, kind)
    assert found is not None
    assert found.symbol == symbol


def test_a_spelling_means_one_unit_of_its_kind():
    for kind in {unit.kind for unit in UNITS.values()}:
        words = [word for u in units_of(kind) for word in {u.symbol, *u.spellings}]
        assert len(words) == len(set(words)), kind
