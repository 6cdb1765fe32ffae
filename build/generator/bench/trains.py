"""How much faster than real time a train of 150 cars runs, here and in the browser."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from calculators.equipment.running import EXAMPLE, Setup, follow, start
from calculators.equipment.train import Command, Train, equal_cars
from calculators.questions.shared.train import JF_3
from generator.bench import train_pages
from generator.bench.rows import BenchRow, middle

CARS, CAR_LENGTH, SECONDS = 150, 50.0, 60.0
TIMES = 5
TOLD = 10
JF_3_CARS = int(JF_3.cars)
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
    yield _with_its_locomotive()
    yield from train_pages.measure(root)


def _with_its_locomotive() -> BenchRow:
    """JF-3 and its locomotive, every gauge and every car read ten times a second."""
    charged = start(Setup(equipment=EXAMPLE, cars=JF_3_CARS))
    times = []
    for _ in range(TIMES):
        brake = charged.copy()
        started = time.perf_counter()
        brake.handle("service", reduction=10.0)
        for _ in range(int(SECONDS * TOLD)):
            brake.advance(1.0 / TOLD)
            brake.gauges(), brake.cylinders(), brake.brake_pipe()
        times.append(time.perf_counter() - started)
    return BenchRow(
        what=f"train with its locomotive, told {TOLD} times a second, natively",
        held_to="at least 50 times real time",
        measured=f"{SECONDS / middle(times):.0f} times",
        how=f"{JF_3_CARS} cars, 10 psi service, {SECONDS:g} s, median of {TIMES}",
    )
