"""What the `units` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.units import KINDS, UNITS

_OPTIONS = tuple(
    Option(value=unit.symbol, words=f"{unit.symbol} ({kind})", spellings=unit.spellings)
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
