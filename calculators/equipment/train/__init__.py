"""The brake pipe along the train: how an application, a release or a charge runs to the rear.

>>> train = Train(cars=equal_cars(50, length=50.0))
>>> result = run(train, (Command(at_seconds=0.0, action="service", reduction=10.0),), seconds=20)
>>> result.undesired_actions
()
"""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.errors import InputError
from calculators.equipment.train.commands import Command
from calculators.equipment.train.consist import Car, Leak, Remote, Train, equal_cars
from calculators.equipment.train.outcome import outcome
from calculators.equipment.train.records import Run, Sample, Slab
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.steady import Steady, steady

__all__ = [
    "Car",
    "Command",
    "Leak",
    "Remote",
    "Run",
    "Sample",
    "Slab",
    "Steady",
    "Train",
    "equal_cars",
    "run",
    "steady",
    "stream",
]

LONGEST_RUN = 4 * 3600.0


def stream(
    train: Train,
    commands: tuple[Command, ...],
    *,
    seconds: float,
    sample_seconds: float = 0.5,
    slab_seconds: float = 5.0,
    cells_per_car: int = 1,
) -> Iterator[Slab]:
    """Run a train, handing out the samples in slabs, so that a caller can show or stop it."""
    if not 0.0 < seconds <= LONGEST_RUN:
        raise InputError(
            "seconds", f"seconds is {seconds:g}; it must be above 0, at most {LONGEST_RUN:g}"
        )
    if not 0.05 <= sample_seconds <= 600.0:
        raise InputError(
            "sample_seconds", f"sample_seconds is {sample_seconds:g}; it must be 0.05 to 600"
        )
    state, relays = put_together(train, cells_per_car=cells_per_car)
    simulation = Simulation(state, relays, schedule(train, commands))
    simulation.advance(0.0)
    handed_out = 0
    slab_ends = slab_seconds
    number = 0
    while simulation.samples[-1].seconds < seconds:
        number += 1
        at = min(seconds, number * sample_seconds)
        simulation.advance(at)
        if at >= slab_ends and at < seconds:
            yield Slab(
                seconds=at, of_seconds=seconds, samples=tuple(simulation.samples[handed_out:])
            )
            handed_out = len(simulation.samples)
            slab_ends = at + slab_seconds
    yield Slab(
        seconds=seconds,
        of_seconds=seconds,
        samples=tuple(simulation.samples[handed_out:]),
        run=outcome(simulation, commands),
    )


def run(
    train: Train,
    commands: tuple[Command, ...],
    *,
    seconds: float,
    sample_seconds: float = 0.5,
    cells_per_car: int = 1,
) -> Run:
    """Run a train to the end and return what came of it."""
    result = None
    for slab in stream(
        train,
        commands,
        seconds=seconds,
        sample_seconds=sample_seconds,
        slab_seconds=seconds,
        cells_per_car=cells_per_car,
    ):
        result = slab.run
    assert result is not None
    return result
