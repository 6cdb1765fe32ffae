"""The `units` calculator: a figure said in another unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.results import Outcome, Step, Value, plain, say
from calculators.base.units import KINDS, UNITS, convert
from calculators.declaring.registry import calculator
from calculators.law.records import Citation

_OPTIONS = tuple(
    Option(value=unit.symbol, words=f"{unit.symbol} ({kind})", spellings=unit.spellings)
    for kind in KINDS
    for unit in UNITS.values()
    if unit.kind == kind and unit.symbol
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Units(Outcome):
    """The figure in the unit asked for."""

    value: Annotated[float, Quantity(term="Value", unit="", digits=4)]


@calculator(
    "units",
    title="Units",
    question="What is this figure in another unit?",
    sources=(
        Citation("YARD-POUND-1959", "yard 0.9144 m, pound 0.45359237 kg"),
        Citation("CGPM-3", "standard acceleration of gravity"),
    ),
    validity=("Exact by definition; gauge pressures stay gauge pressures.",),
    leaves_out=(
        "Absolute pressure: add the atmosphere yourself, 14.7 psi at sea level.",
        "A ton here is 2,000 lb, the trade's ton.",
    ),
)
def units(
    *,
    value: Annotated[float, Quantity(term="Value", unit="", low=-1e9, high=1e9)] = 90.0,
    from_unit: Annotated[str, Choice(term="From", options=_OPTIONS)] = "psi",
    to_unit: Annotated[str, Choice(term="To", options=_OPTIONS)] = "kPa",
) -> Units:
    """Convert ``value`` from ``from_unit`` to ``to_unit``.

    Raises
    ------
    InputError
        If the units measure different things.
    """
    source, target = UNITS[from_unit], UNITS[to_unit]
    if source.kind != target.kind:
        raise InputError(
            "to_unit",
            f"To is {to_unit}; {to_unit} is {KINDS[target.kind]} and {from_unit} is "
            f"{KINDS[source.kind]}. Choose two units of one kind.",
        )
    converted = convert(value, from_unit, to_unit)
    one = convert(1, from_unit, to_unit)
    here, there = f"{plain(value)} {from_unit}", f"{converted:.7g} {to_unit}"
    how = say("{here} = {there}", here=here, there=there)
    if source.offset == target.offset == 0.0:
        how = say(
            "1 {source} = {one} {target}, so {here} = {there}",
            source=from_unit,
            one=f"{one:.7g}",
            target=to_unit,
            here=here,
            there=there,
        )
    return Units(
        value=converted,
        headline=say("{here} is {there}.", here=here, there=there),
        working=(Step(label="Convert", how=how, value=Value(converted, "", 4)),),
    )
