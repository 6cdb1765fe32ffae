"""A train followed through a list of commands, the whole locomotive at its head."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from calculators.equipment.running.figures import Setup
from calculators.equipment.running.locomotive import build
from calculators.equipment.train import Command, Slab, Train, stream


def follow(
    train: Train,
    commands: tuple[Command, ...],
    *,
    seconds: float,
    sample_seconds: float = 0.5,
    slab_seconds: float = 5.0,
    until_released: float = 0.0,
) -> Iterator[Slab]:
    """Run a train as `calculators.equipment.train.stream` does, with the running locomotive.

    What is asked of the head is done by the locomotive of `Setup.of(train)`, so that any answer
    about a train has the same brake valve, the same reservoirs behind it and the same rear.
    Parameters, yields and errors are those of `stream`.
    """
    return stream(
        train,
        commands,
        seconds=seconds,
        sample_seconds=sample_seconds,
        slab_seconds=slab_seconds,
        until_released=until_released,
        at_head=partial(build, Setup.of(train)),
    )
