"""A train's own short series: charge, 10 off, 20 off, OUT for a minute, release.

What is read is the head and rear gauge, the flow, how long the exhaust at the head blows after each
set, and how many cars apply. The exhaust tells most: with a cock nearly closed both gauges read right
and the cars behind never apply, but the exhaust blows on far too long; with one closed it is over far
too soon.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from calculators.air.gas import free_air_cfm
from calculators.base.errors import InputError
from calculators.equipment.faults import TRAIN_FAULTS, TrainFault
from calculators.equipment.running import EXAMPLE, Brake, Setup, start
from calculators.equipment.train.consist import SETTINGS
from calculators.finding.observing import TRAIN_READ, TrainRead

ERRORS = (3.0, 3.0, 4.0, 0.15, 1.0)
"""How far a reading may be off; the exhaust's is a share of it, with two seconds besides. Gauges as 49 CFR
229.53 allows, the rest from memory."""
EXHAUST_OVER = 1.0
"""Flow under which the exhaust is heard to stop. [cfm] From memory."""
LONGEST_EXHAUST = 120.0
PLACES = (0.1, 0.4, 0.8)
"""Where in the train a fault is tried, as shares of it."""
_LOOKED = 1.0
TRAIN_WORDS = {
    "head": "head gauge",
    "rear": "rear gauge",
    "flow": "air flow",
    "exhaust": "exhaust",
    "applied": "cars applied",
}
TRAIN_UNITS = {"head": "psi", "rear": "psi", "flow": "cfm", "exhaust": "s", "applied": ""}
TRAIN_TITLES = ("Charged", "10 off", "20 off", "OUT for a minute", "Released")
"""The stages of `observing.TRAIN_STAGES` in words."""
TRAIN_DOES = (
    "Charged, handle in release. Read head, rear and flow.",
    "10 off from charged. Time the exhaust at the head from the first blow to the last; read a minute after "
    "the handle was moved.",
    "Go on to 20 off; time the exhaust again, and read a minute after the handle was moved.",
    "Cut-off OUT. Touch nothing for a minute, then read.",
    "Still OUT: bring the equalizing reservoir 2 or more under the pipe as it reads now; only then IN. If that "
    "cannot be had do not cut in: the series ends. Then release, and read after a minute and a half.",
)
"""What is done at each, said to a person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainShown:
    """What can be read of a train at one stage, in the order of `observing.TRAIN_READ`."""

    head: float
    rear: float
    flow: float
    exhaust: float
    applied: float

    def figures(self) -> tuple[float, ...]:
        """The figures in the order of `observing.TRAIN_READ`."""
        return (self.head, self.rear, self.flow, self.exhaust, self.applied)


def train_signature(setup: Setup, fault: TrainFault | None, car: int) -> tuple[TrainShown, ...]:
    """What a fault at a car shows over the train's series; no fault is a train in order."""
    brake = start(fault.put_in(setup, car) if fault else setup)
    brake.advance(20.0)
    shown = [_read(brake, 0.0)]
    for act, at, how in fault.acts(car) if fault else ():
        if act == "close-cock":
            brake.close_cock(at, opening=how)
            brake.advance(2.0)
    for off in (10.0, 20.0):
        brake.handle("service", reduction=off)
        brake.advance(5.0)
        for act, at, _ in fault.acts(car) if fault and off == 10.0 else ():
            if act == "emergency":
                brake.emergency(at)
        blew = 5.0 + _exhausts(brake)
        brake.advance(max(0.0, 60.0 - blew))
        shown.append(_read(brake, blew))
    brake.cut_off("out")
    brake.advance(60.0)
    shown.append(_read(brake, 0.0))
    # Cut in only with the reservoir under the pipe as it now reads.
    under = setup.equipment.brake_pipe_setting - brake.gauge("brake_pipe") + 3.0
    if under < setup.equipment.brake_pipe_setting - 30.0:
        brake.handle("service", reduction=max(23.0, under))
        brake.advance(8.0)
        brake.cut_off("freight")
        brake.advance(15.0)
        brake.handle("release")
        brake.advance(90.0)
    shown.append(_read(brake, 0.0))
    return tuple(shown)


def _exhausts(brake: Brake) -> float:
    """Seconds until the exhaust at the head is heard no more."""
    relay = brake.simulation.relays[0]
    began = brake.seconds
    while brake.seconds - began < LONGEST_EXHAUST:
        before, at = relay.exhausted, brake.seconds
        brake.advance(_LOOKED)
        if (
            free_air_cfm(content_flow=(relay.exhausted - before) / (brake.seconds - at))
            < EXHAUST_OVER
        ):
            break
    return brake.seconds - began


def _read(brake: Brake, blew: float) -> TrainShown:
    relay = brake.simulation.relays[0]
    before, at = relay.supplied, brake.seconds
    brake.advance(2.0)
    flow = free_air_cfm(content_flow=(relay.supplied - before) / (brake.seconds - at))
    return TrainShown(
        head=brake.gauge("brake_pipe"),
        rear=brake.gauge("rear"),
        flow=max(0.0, flow),
        exhaust=blew,
        applied=float(len(brake.applied())),
    )


def check_setting(setting: float) -> None:
    """Refuse a brake pipe setting [psi] with which no train is followed.

    Raises
    ------
    InputError
        With the range in words.
    """
    low, high = SETTINGS
    if not low <= setting <= high:
        raise InputError(
            "brake_pipe_setting",
            f"Brake pipe setting is {setting:g} psi; a train is followed from {low:g} to {high:g} psi.",
        )


def train_setup(cars: int, *, setting: float = 90.0) -> Setup:
    """A train in order with the example locomotive."""
    return Setup(equipment=replace(EXAMPLE, brake_pipe_setting=setting), cars=cars)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainHypothesis:
    """A fault at a car, and what it shows; an empty fault is a train in order."""

    fault: str
    car: int
    shows: tuple[TrainShown, ...]


def train_table(setup: Setup) -> Iterator[TrainHypothesis]:
    """The train in order, then every fault at each of the places tried."""
    yield TrainHypothesis(fault="", car=0, shows=train_signature(setup, None, 1))
    for fault in TRAIN_FAULTS:
        for share in PLACES:
            car = max(1, min(setup.cars - 1, round(share * setup.cars)))
            yield TrainHypothesis(fault=fault.id, car=car, shows=train_signature(setup, fault, car))


def off(one: TrainHypothesis, said: TrainRead) -> float:
    """How far a reading is from what a hypothesis shows, in units of the reading's error."""
    expected = one.shows[said.stage].figures()[said.which]
    return abs(said.figure - expected) / _error(said.which, expected)


def beyond_error(which: int, usual: float, shown: float) -> bool:
    """Whether a figure of `observing.TRAIN_READ` is further off than its reading may be."""
    return abs(shown - usual) >= _error(which, usual)


def _error(which: int, expected: float) -> float:
    if TRAIN_READ[which] == "exhaust":
        return 2.0 + ERRORS[which] * expected
    return ERRORS[which]


def misfit(one: TrainHypothesis, read: Sequence[TrainRead]) -> float:
    """How badly a hypothesis fits what was read: the sum of squares in units of each error."""
    return sum(min(MOST_OFF, off(one, said) ** 2) for said in read)


def contradicts(one: TrainHypothesis, read: Sequence[TrainRead]) -> list[TrainRead]:
    """What was read that a hypothesis cannot explain."""
    return [said for said in read if off(one, said) > UNEXPLAINED]


UNEXPLAINED = 3.0
"""A reading further off than so many of its errors speaks against a hypothesis."""
MOST_OFF = 25.0
"""A reading that a hypothesis cannot explain counts no more than this: it may be wrong itself."""
RUNS = 1 + len(TRAIN_FAULTS) * len(PLACES)
"""Runs of the train model that one ranking takes."""
