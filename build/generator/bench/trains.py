"""How much faster than real time a train of 150 cars runs, here and in the browser."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from inspect import getsource
from pathlib import Path

from playwright.sync_api import sync_playwright

from calculators.equipment.running import EXAMPLE, Setup, follow, start
from calculators.equipment.train import Command, Train, equal_cars
from calculators.questions.shared.train import JF_3
from generator.bench import bare_train, train_pages
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
        yield BenchRow(
            what=f"train run, {name}, natively",
            held_to="at least 300 times real time",
            measured=_speed(partial(_told_at_the_end, train, command)),
            how=f"{CARS} cars of {CAR_LENGTH:g} ft, {SECONDS:g} s, median of {TIMES}",
        )
    yield _with_its_locomotive()
    yield _bare_in_the_browser(root)
    yield from train_pages.measure(root)


def _bare_in_the_browser(root: Path) -> BenchRow:
    """The same set in the browser's Python, without page, samples and curves."""
    program = f"""
import time
from calculators.equipment.running import follow
from calculators.equipment.train import Command, Train, equal_cars

SECONDS = {SECONDS}
{getsource(_told_at_the_end)}
train = Train(cars=equal_cars({CARS}, length={CAR_LENGTH}))
started = time.perf_counter()
_told_at_the_end(train, {RUNS["10 psi service"]!r})
time.perf_counter() - started
"""
    with sync_playwright() as playwright:
        times = bare_train.seconds_of(playwright, root, program, times=TIMES)
    return BenchRow(
        what="train model, 10 psi service, told only at the end, in the browser",
        held_to="at least 100 times real time",
        measured=f"{SECONDS / middle(times):.0f} times",
        how=f"{CARS} cars of {CAR_LENGTH:g} ft, {SECONDS:g} s, median of {TIMES}",
    )


def _speed(run: Callable[[], None]) -> str:
    """How many times faster than real time something runs, the median of some times."""
    times = []
    for _ in range(TIMES):
        started = time.perf_counter()
        run()
        times.append(time.perf_counter() - started)
    return f"{SECONDS / middle(times):.0f} times"


def _told_at_the_end(train: Train, command: Command) -> None:
    for _ in follow(
        train, (command,), seconds=SECONDS, sample_seconds=SECONDS, slab_seconds=SECONDS
    ):
        pass


def _with_its_locomotive() -> BenchRow:
    """JF-3 and its locomotive, every gauge and every car read ten times a second."""
    charged = start(Setup(equipment=EXAMPLE, cars=JF_3_CARS))

    def told() -> None:
        brake = charged.copy()
        brake.handle("service", reduction=10.0)
        for _ in range(int(SECONDS * TOLD)):
            brake.advance(1.0 / TOLD)
            brake.gauges(), brake.cylinders(), brake.brake_pipe()

    return BenchRow(
        what=f"train with its locomotive, told {TOLD} times a second, natively",
        held_to="at least 50 times real time",
        measured=_speed(told),
        how=f"{JF_3_CARS} cars, 10 psi service, {SECONDS:g} s, median of {TIMES}",
    )
