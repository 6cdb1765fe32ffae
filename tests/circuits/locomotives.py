"""A plain locomotive and moves made on it, for tests of the brake in time."""

from __future__ import annotations

from calculators.circuits.moves import Move, Standing, first, then
from calculators.equipment.running import EXAMPLE, Brake, Setup, start
from calculators.equipment.running.following import FollowedMove, Used, follow

PLAIN = EXAMPLE
LIGHT = Setup(equipment=PLAIN)
TRAIN = Setup(equipment=PLAIN, cars=118)


def service(reduction: float) -> Move:
    return Move(handle="service", reduction=reduction)


def made(setup: Setup, *moves: Move) -> tuple[Brake, Standing]:
    """Moves made one after the other, each to its rest but the last."""
    brake = start(setup)
    standing = first(brake, Move())
    for move in moves:
        brake.to_rest()
        standing = then(brake, standing, move)
    return brake, standing


def went(setup: Setup, *moves: Move) -> FollowedMove:
    """The last of these moves, followed."""
    return follow(made(setup, *moves)[0])


def passages(run: FollowedMove) -> list[str]:
    return [used.passage for used in run.used if used.passage != "compressor"]


def used(run: FollowedMove, passage: str) -> Used:
    return next(one for one in run.used if one.passage == passage)
