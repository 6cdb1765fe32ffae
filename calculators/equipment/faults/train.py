"""The faults of cars and cocks that a train's own short series can look for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from calculators.equipment.faults.records import Proof
from calculators.equipment.running import Change, Setup, Source
from calculators.equipment.train.consist import Car, Leak

Act = tuple[Literal["close-cock", "emergency"], int, float]
"""Something that comes about when the first set is made: what, at which car, how far."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainFault:
    """One thing that can be wrong in a train.

    ``put_in`` gives the train with it at a car [number from the head]; ``acts`` are what cannot
    stand there from the start. ``part`` and ``circuit`` name the pages that say more.
    """

    id: str
    title: str
    part: str
    circuit: str
    put_in: Callable[[Setup, int], Setup]
    acts: Callable[[int], tuple[Act, ...]] = lambda _: ()
    proof: Proof
    remedy: str
    sources: tuple[str, ...] = ()


# Of our own choice: large enough to be seen on a gauge or at a piston.
LEAK_AT_A_CAR = 40.0
"""What a leak at one car lets out. [cfm]"""
NEARLY_CLOSED = 0.05
"""Of the bore's area that a cock nearly closed leaves open. [-]"""
LONG_TRAVEL = 11.0
"""Of the piston whose travel is too long. [in]"""


def _same(setup: Setup, _car: int) -> Setup:
    return setup


def _with_car(setup: Setup, at: int, car: Car) -> Setup:
    return replace(setup, other_cars=(*setup.other_cars, (at, car)))


def _car(setup: Setup) -> Car:
    return Car(length=setup.car_length, valve=setup.car_valve)


def _walk(words: str, seconds: float = 900.0) -> Proof:
    return Proof(words=words, where="ground", seconds=seconds)


TRAIN_FAULTS: tuple[TrainFault, ...] = (
    TrainFault(
        id="cock-closed",
        title="Angle cock closed in the train",
        part="angle-cock",
        circuit="service-application",
        put_in=_same,
        acts=lambda car: (("close-cock", car, 0.0),),
        proof=_walk("Behind the last car that applied: is a cock closed?"),
        remedy="The cars behind are not braked: held by hand brakes before the cock is touched; then the "
        "test your railroad asks for.",
        sources=("NTSB-96C", "TSB-17Q"),
    ),
    TrainFault(
        id="cock-nearly-closed",
        title="Angle cock nearly closed",
        part="angle-cock",
        circuit="service-application",
        put_in=_same,
        acts=lambda car: (("close-cock", car, NEARLY_CLOSED),),
        proof=_walk(
            "Behind the last car that applied: does a cock stand half closed, or is a hose blocked?"
        ),
        remedy="As for a closed cock. Both gauges can read right with it: only the exhaust is short.",
        sources=("NTSB-96C",),
    ),
    TrainFault(
        id="leak-at-a-car",
        title="Leak at one car",
        part="brake-pipe",
        circuit="service-lap",
        put_in=lambda setup, car: replace(
            setup, pipe_leaks=(*setup.pipe_leaks, Leak(flow=LEAK_AT_A_CAR, at_car=car))
        ),
        proof=_walk("Walk the train charged: which hose or joint blows?"),
        remedy="Made tight before the train goes on; the leakage or flow test again.",
        sources=("ARMY-223", "ARRC-96"),
    ),
    TrainFault(
        id="car-cut-out",
        title="A car cut out",
        part="cut-out-cock",
        circuit="service-application",
        put_in=lambda setup, car: _with_car(setup, car, replace(_car(setup), cut_out=True)),
        proof=_walk(
            "Which car has its piston in with the set on? Is its cock closed, is there a tag?"
        ),
        remedy="Counted, tagged and placed as 49 CFR 232.15 says.",
    ),
    TrainFault(
        id="retaining-valve-up",
        title="Retaining valve turned up on a car",
        part="retaining-valve",
        circuit="release-and-recharge",
        put_in=lambda setup, car: _with_car(
            setup, car, replace(_car(setup), retaining_valve="high-pressure")
        ),
        proof=_walk(
            "Which car has its piston out after the release? Where does its retaining valve stand?"
        ),
        remedy="Turned to direct exhaust, the train secured first.",
    ),
    TrainFault(
        id="long-travel",
        title="Long piston travel on a car",
        part="car-brake-cylinder",
        circuit="service-application",
        put_in=lambda setup, car: _with_car(
            setup, car, replace(_car(setup), piston_travel=LONG_TRAVEL)
        ),
        proof=_walk("Measure the travel of the car that holds weakly: over the limit?"),
        remedy="Adjusted as 49 CFR 232.205(c)(5) has it, or the car cut out.",
    ),
    TrainFault(
        id="car-goes-to-emergency",
        title="A car goes to emergency on a service set",
        part="car-control-valve",
        circuit="emergency-from-train",
        put_in=_same,
        acts=lambda car: (("emergency", car, 0.0),),
        proof=_walk("On a light set, half the train watched at a time: which car jumps on?"),
        remedy="That car cut out and tagged as the rules say.",
        sources=("DIS96", "ARMY-203"),
    ),
    TrainFault(
        id="second-brake-valve",
        title="A second brake valve feeding the train",
        part="cut-off-selector",
        circuit="service-lap",
        put_in=lambda setup, car: replace(
            setup,
            change=Change(
                sources=(Source(at_car=car, pressure=setup.equipment.brake_pipe_setting),)
            ),
        ),
        proof=_walk(
            "Every other cab of the train: is its cut-off OUT and its reservoir at zero?", 600.0
        ),
        remedy="Cut out there as your railroad's helper instructions say, before anything is released.",
        sources=("ARRC-96",),
    ),
)
