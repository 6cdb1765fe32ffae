"""How much faster than real time a train of 150 cars runs, here and in the browser."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from calculators.equipment.running import follow
from calculators.equipment.train import Command, Train, equal_cars
from generator.bench import train_pages
from generator.bench.rows import BenchRow, middle

CARS, CAR_LENGTH, SECONDS = 150, 50.0, 60.0
TIMES = 5
RUNS = {
    "10 psi service": Command(at_seconds=0.0, action="service", reduction=10.0),
    "emergency": Command(at_seconds=0.0, action="emergency"),
}


def measure(root: Path) -> Iterator[BenchRow]:
    """Time the train model in this Python, then on its page."""
    train = Train(cars=equal_cars(CARS, length=CAR_LENGTH))
    for name, command in RUNS.items():
        times = []
        for _ in range(TIMES):
            started = time.perf_counter()
            for _ in follow(
                train, (command,), seconds=SECONDS, sample_seconds=SECONDS, slab_seconds=SECONDS
            ):
                pass
            times.append(time.perf_counter() - started)
        yield BenchRow(
            what=f"train run, {name}, natively",
            held_to="at least 300 times real time",
            measured=f"{SECONDS / middle(times):.0f} times",
            how=f"{CARS} cars of {CAR_LENGTH:g} ft, {SECONDS:g} s, median of {TIMES}",
        )
    yield from train_pages.measure(root)
