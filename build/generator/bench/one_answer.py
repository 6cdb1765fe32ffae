"""One question asked of every answer that knows it: the table that shows one answer.

Each row asks the same of the same train in different places: the published calculators, and the
running brake moved by hand. Tests hold the same rows against each other over many trains.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calculators.base.fields import Plain
from calculators.base.results import Outcome
from calculators.catalog import CALCULATORS
from calculators.equipment.running import Setup, start
from calculators.equipment.train import Train, equal_cars
from calculators.questions.shared.train_model import held
from generator.bench.rows import BenchRow

# What a stop asks for besides; its brakes build up alike whatever that is.
_TONS = 80.0
_STOP: Mapping[str, Plain] = {"braking_ratio": 10.0, "friction": 0.3, "half_friction_speed": 150.0}

MORE = 60.0
"""How much longer than a blow or a move the whole train is followed. [s]"""
EARLY = 30.0
"""A moment at which a long train has not settled; a circuit shows the look before it. [s]"""
DELIVERY = 60.0
"""Air that charges the train. [cfm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedEverywhere:
    """A tight train of like cars behind one locomotive, and the set made on it. [ft, psi]."""

    cars: int
    car_length: float = 55.0
    setting: float = 90.0
    reduction: float = 10.0

    def of_train(self) -> dict[str, Plain]:
        """The train by the names that all questions have."""
        return {
            "cars": float(self.cars),
            "car_length": self.car_length,
            "brake_pipe_setting": self.setting,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """One figure by the place that gave it; ``within`` is how far apart samples may put them."""

    what: str
    unit: str
    within: float
    by_place: Mapping[str, float | None]

    def agrees(self) -> bool:
        """Whether all places say the same, or all say that it did not happen."""
        given = [one for one in self.by_place.values() if one is not None]
        if not given or len(given) < len(self.by_place):
            return not given
        return max(given) - min(given) <= self.within

    def words(self) -> str:
        """Every place with its figure."""
        return "; ".join(
            f"{place} {'none' if one is None else f'{one:.1f} {self.unit}'}"
            for place, one in self.by_place.items()
        )


def whole(name: str, **values: Plain) -> Any:
    """A calculator's answer with what the train model adds to it."""
    outcome: Outcome = CALCULATORS[name].outcome(**values)
    if outcome.to_follow is None:
        return outcome
    work = outcome.to_follow.work()
    while True:
        try:
            next(work)
        except StopIteration as ended:
            return ended.value


def agreements(asked: AskedEverywhere) -> Iterator[Agreement]:
    """Every question that more than one place answers, asked of all of them."""
    yield from _set(asked)
    yield _release(asked)
    yield _charge(asked)
    yield from _left(asked)


def _run(asked: AskedEverywhere, **values: Plain) -> Any:
    return whole("train-run", **{**asked.of_train(), "locomotives": 1.0, **values})


def _set(asked: AskedEverywhere) -> Iterator[Agreement]:
    blow = whole("exhaust-time", **asked.of_train(), reduction=asked.reduction).time
    seconds = (blow or 0.0) + MORE
    run = _run(asked, reduction=asked.reduction, seconds=seconds)
    yield Agreement(
        what="the exhaust at the head stops",
        unit="s",
        within=2.0,
        by_place={"train-run": run.exhaust_ends, "exhaust-time": blow},
    )
    circuit = whole(
        "circuit",
        **asked.of_train(),
        circuit="service-application",
        handle="service",
        reduction=asked.reduction,
        leakage=0.0,
        moment=EARLY,
    )
    yield Agreement(
        what=f"rear {EARLY:g} s after a set",
        unit="psi",
        within=0.6,
        by_place={
            "train-run": _run(asked, reduction=asked.reduction, seconds=EARLY).rear,
            "circuit": circuit.rear_brake_pipe,
        },
    )
    train = Train(
        cars=equal_cars(asked.cars, length=asked.car_length),
        brake_pipe_setting=asked.setting,
        locomotives=1,
    )
    brake = start(Setup.of(train))
    brake.handle("service", reduction=asked.reduction)
    brake.advance(seconds)
    for what, by_run, by_hand in (
        ("rear after a set", run.rear, brake.gauge("rear")),
        ("head after a set", run.head, brake.gauge("brake_pipe")),
        ("last car's cylinder after a set", run.last_car_cylinder, brake.cylinders()[-1]),
    ):
        yield Agreement(
            what=what,
            unit="psi",
            within=0.1,
            by_place={"train-run": by_run, "the running brake": by_hand},
        )
    stop = whole(
        "stopping-distance",
        **asked.of_train(),
        **_STOP,
        weight=_TONS * asked.cars,
        command="service",
        reduction=asked.reduction,
    )
    (effort,) = [
        line for series in stop.series for line in series.lines if line.name == "by the train model"
    ]
    half = next(at for at, share in effort.points if share >= 50.0)
    brake = start(Setup.of(train))
    brake.handle("service", reduction=asked.reduction)
    means = []
    while brake.seconds < effort.points[-1][0] + MORE:
        brake.advance(0.5)
        means.append((brake.seconds, sum(brake.cylinders()) / asked.cars))
    most = max(mean for _, mean in means)
    by_hand = next(at for at, mean in means if mean >= 0.5 * most)
    yield Agreement(
        what="half of the braking effort is there",
        unit="s",
        # Between two points of the curve that the answer shows.
        within=1.0
        + max(b[0] - a[0] for a, b in zip(effort.points, effort.points[1:], strict=False)),
        by_place={"stopping-distance": half, "the running brake": by_hand},
    )


def _release(asked: AskedEverywhere) -> Agreement:
    at = held(asked.reduction)
    run = _run(asked, moves=f"0 s service {asked.reduction:g}; {at:g} s release")
    lets_go = None if run.cars_still_applied != "none" else run.last_car_releases - at
    found = whole("release", **asked.of_train(), reduction=asked.reduction, rise=1.0)
    return Agreement(
        what="the latest car lets go after the release",
        unit="s",
        within=0.5,
        by_place={"train-run": lets_go, "release": found.last_car_releases},
    )


def _charge(asked: AskedEverywhere) -> Agreement:
    found = whole("charging-time", **asked.of_train(), delivery=DELIVERY)
    seconds = None if found.time is None else 60.0 * found.time
    run = _run(
        asked,
        command="charge",
        main_reservoir=asked.setting,
        delivery=DELIVERY,
        seconds=(seconds or MORE) + MORE,
    )
    return Agreement(
        what=f"charged from dry by {DELIVERY:g} cfm",
        unit="s",
        within=40.0,
        by_place={"train-run": run.charged_after, "charging-time": seconds},
    )


def _left(asked: AskedEverywhere) -> Iterator[Agreement]:
    wait = 2.0
    end = held(asked.reduction) + 60.0 * wait
    found = whole(
        "repeated-applications",
        **asked.of_train(),
        reductions=(asked.reduction,),
        waits=(wait,),
        last_set="released",
        rear=asked.setting,
        piston_travel=8.0,
    )
    run = _run(
        asked,
        moves=f"0 s service {asked.reduction:g}; {held(asked.reduction):g} s release",
        seconds=end,
    )
    (line,) = [
        line
        for series in found.series
        if series.title == "The last car by the train model"
        for line in series.lines
        if line.name == "Auxiliary"
    ]
    yield Agreement(
        what=f"last car's auxiliary {wait:g} min after the release",
        unit="psi",
        within=0.1,
        by_place={
            "train-run": run.last_car_auxiliary,
            "repeated-applications": line.points[-1][1],
        },
    )


EXAMPLES = {
    "JF-7's 26 cars": AskedEverywhere(cars=26),
    "JF-3's 118 cars": AskedEverywhere(cars=118),
}


def measure(_root: Path) -> Iterator[BenchRow]:
    """Ask the trains of the examples."""
    for train, asked in EXAMPLES.items():
        for one in agreements(asked):
            yield BenchRow(
                what=f"{train}, {asked.reduction:g} off: {one.what}",
                held_to=f"one answer, within {one.within:.1f} {one.unit}",
                measured=one.words(),
                how="each place asked by itself, one locomotive, no leakage",
            )
