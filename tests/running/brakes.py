"""What tests of the running brake start with."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from calculators.equipment.locomotive import CutOff, Equipment, Handle
from calculators.equipment.running import EXAMPLE, Brake, Setup, start
from calculators.equipment.running.brake import Penalty


def charged(cars: int = 0, equipment: Equipment = EXAMPLE, **more) -> Brake:
    return start(Setup(equipment=equipment, cars=cars, **more))


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Something done to a brake at a time; None leaves a handle where it is."""

    at_seconds: float
    handle: Handle | None = None
    reduction: float = 0.0
    independent: float | None = None
    bail_off: bool | None = None
    cut_off: CutOff | None = None
    dynamic: bool | None = None
    penalty: Penalty | None = None
    emergency: Literal["rear"] | int | None = None


def play(brake: Brake, moves: Iterable[Move], *, until: float) -> None:
    """Do moves at their times and run on to the end; the same moves always give the same."""
    for move in sorted(moves, key=lambda one: one.at_seconds):
        if move.at_seconds > brake.seconds:
            brake.advance(move.at_seconds - brake.seconds)
        if move.cut_off is not None:
            brake.cut_off(move.cut_off)
        if move.handle is not None:
            brake.handle(move.handle, reduction=move.reduction)
        if move.independent is not None:
            brake.independent(move.independent)
        if move.bail_off is not None:
            brake.bail_off(move.bail_off)
        if move.dynamic is not None:
            brake.dynamic(move.dynamic)
        if move.penalty is not None:
            brake.penalty(move.penalty)
        if move.emergency is not None:
            brake.emergency(move.emergency)
    if until > brake.seconds:
        brake.advance(until - brake.seconds)
