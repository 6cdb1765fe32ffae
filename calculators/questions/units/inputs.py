"""What the `units` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.units import KINDS, UNITS

# Without a field that says what is measured, pounds are a weight, not a pressure.
_A_WEIGHT = {"lb", "pound", "pounds"}

_OPTIONS = tuple(
    Option(
        value=unit.symbol,
        words=f"{unit.symbol} ({kind})",
        spellings=tuple(s for s in unit.spellings if kind != "pressure" or s not in _A_WEIGHT),
    )
    for kind in KINDS
    for unit in UNITS.values()
    if unit.kind == kind and unit.symbol
)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsInputs:
    """The inputs of `units`, in their published order."""

    value: Annotated[float, Quantity(term="Value", unit="", low=-1e9, high=1e9)] = 90.0
    from_unit: Annotated[str, Choice(term="From", options=_OPTIONS)] = "psi"
    to_unit: Annotated[str, Choice(term="To", options=_OPTIONS)] = "kPa"
