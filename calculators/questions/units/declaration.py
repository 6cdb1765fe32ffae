"""The `units` calculator: a figure said in another unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Outcome, Step, Value, plain, say
from calculators.base.units import KINDS, UNITS, convert
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.law.records import Citation
from calculators.questions.units.inputs import UnitsInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Units(Outcome):
    """The figure in the unit asked for."""

    value: Annotated[float, Quantity(term="Value", unit="", digits=4)]


@calculator(
    "units",
    title="Units",
    question="What is this figure in another unit?",
    first=FirstScreen(
        figures={"value": "in that unit"},
        asked={"": "{value} {from_unit} in {to_unit}"},
        keys=(Key(field="value"), Key(field="from_unit"), Key(field="to_unit")),
        line={},
    ),
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
def units(given: UnitsInputs) -> Units:
    """Convert a value from one unit to another.

    Returns
    -------
    Units
        The value in the other unit.

    Raises
    ------
    InputError
        If the units measure different things.
    """
    source, target = UNITS[given.from_unit], UNITS[given.to_unit]
    if source.kind != target.kind:
        raise InputError(
            "to_unit",
            f"To is {given.to_unit}; {given.to_unit} is {KINDS[target.kind]} and {given.from_unit} is "
            f"{KINDS[source.kind]}. Choose two units of one kind.",
        )
    converted = convert(given.value, given.from_unit, given.to_unit)
    one = convert(1, given.from_unit, given.to_unit)
    here, there = (
        f"{plain(given.value)} {given.from_unit}",
        f"{_seven_digits(converted)} {given.to_unit}",
    )
    how = say("{here} = {there}", here=here, there=there)
    if source.offset == target.offset == 0.0:
        how = say(
            "1 {source} = {one} {target}, so {here} = {there}",
            source=given.from_unit,
            one=f"{one:.7g}",
            target=given.to_unit,
            here=here,
            there=there,
        )
    return Units(
        value=converted,
        headline=say("{here} is {there}.", here=here, there=there),
        working=(Step(label="Convert", shows="value", how=how, value=Value(converted, "", 4)),),
    )


def _seven_digits(amount: float) -> str:
    """Seven significant digits, written out: 6,728,218,000 is no "6.728218e+09" to a reader."""
    short = f"{amount:.7g}"
    return f"{float(short):,.0f}" if "e+" in short else short
