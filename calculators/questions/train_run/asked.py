"""From the inputs of the `train-run` calculator to a train, its moves and what needs no run."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import cast

from calculators.air.gas import sound_speed
from calculators.base.errors import InputError
from calculators.base.units import FOOT
from calculators.equipment import car
from calculators.equipment.train import Car, Command, Leak, Remote, Train
from calculators.equipment.train.commands import Place
from calculators.equipment.train.consist import Link, RetainingValve
from calculators.equipment.train.stepping.border import kelvin
from calculators.equipment.train.tables import (
    AIR_SUPPLY,
    FITTED_CAR,
    FREIGHT_VALVE,
    PIPE_LINE,
    ControlValve,
    with_reduction_relay,
)
from calculators.figures.nominal import CHARGING_MINUTES
from calculators.questions.shared.train_model import LONGEST_RUN
from calculators.questions.train_run.inputs import TrainRunInputs
from calculators.questions.train_run.lengths import read_lengths
from calculators.questions.train_run.moves import FIELD as MOVES_FIELD
from calculators.questions.train_run.moves import read_moves

MOST_SHOWN = 5

UNTIL_RELEASED = 600.0
"""How much longer a release is followed, at most, while a car's brake stands applied. [s]"""

# The rule's time for each ten cars is long enough to see a train charge.
CHARGE_SECONDS_PER_CAR = 60.0 * CHARGING_MINUTES.value / 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedRun:
    """One question: the train, what is done to it, how long it is followed, cars in the curves.

    ``move`` is the single move that was chosen; it is empty for a list of moves. ``needs`` is the
    brake pipe below which an emergency is not counted on. [psi]
    """

    train: Train
    move: str
    commands: tuple[Command, ...]
    seconds_given: float | None
    shown: tuple[int, ...]
    needs: float

    @property
    def seconds(self) -> float:
        """Length of the run: as given, or long enough to show the move to its end."""
        if self.seconds_given is not None:
            return self.seconds_given
        cars = len(self.train.cars)
        if self.move == "charge":
            return min(LONGEST_RUN, max(120.0, CHARGE_SECONDS_PER_CAR * cars))
        last = max((one.at_seconds for one in self.commands), default=0.0)
        rest = {"emergency": 30.0, "release": 60.0 + cars}.get(self.move, 30.0 + 0.5 * cars)
        return min(LONGEST_RUN, ceil((last + rest) / 10.0) * 10.0)

    def first_application(self) -> Command | None:
        """The first move that asks for brakes."""
        found = (one for one in self.commands if one.action in ("service", "emergency"))
        return min(found, key=lambda one: one.at_seconds, default=None)

    def release(self) -> Command | None:
        """The last release, if nothing was asked for after it."""
        moves = [one for one in self.commands if one.action in ("service", "emergency", "release")]
        return moves[-1] if moves and moves[-1].action == "release" else None

    def from_the_head_only(self) -> bool:
        """Whether the first application starts at the head and nowhere else."""
        first = self.first_application()
        return first is not None and first.at == "head" and self.train.remote is None

    def by_spacing(self) -> tuple[Car, ...]:
        """The cars as their quick service is spread: one with a reduction relay serves a short one."""
        return tuple(
            one if one.valve == FREIGHT_VALVE else replace(one, length=FITTED_CAR)
            for one in self.train.cars
        )

    @property
    def until_released(self) -> float:
        """How much longer a run that ends in a release is followed, in s; not if its end is given."""
        follows = self.seconds_given is None and self.release() is not None
        return UNTIL_RELEASED if follows else 0.0

    def asks_emergency(self) -> bool:
        """Whether any move within the run asks for an emergency."""
        return any(
            one.action == "emergency" and one.at_seconds <= self.seconds for one in self.commands
        )

    def sound(self) -> float:
        """Adiabatic speed of sound in the train's air, in ft/s."""
        return sound_speed(temperature=kelvin(self.train.temperature)) / FOOT

    def soonest(self) -> float | None:
        """When sound can bring the first application to the last car, in s; None if none is asked.

        Adiabatic sound in a straight pipe, rounded down to a tenth: a front of an application runs
        no faster, whatever the walls take from it.
        """
        first = self.first_application()
        if first is None:
            return None
        train = self.train
        sound = self.sound()
        lengths = [one.length for one in train.cars]
        rear = sum(lengths)
        last = rear - lengths[-1] / 2.0
        head = (-train.locomotive_length * train.locomotives, 0.0)
        device = (rear, train.rear_device_delay)
        if isinstance(first.at, int):
            at = first.at
            places = [(sum(lengths[:at]) - lengths[at - 1] / 2.0, 0.0)]
        else:
            places = {"head": [head], "rear": [device], "both": [head, device]}[first.at]
            if train.remote is not None and first.at != "rear":
                places.append((sum(lengths[: train.remote.after_car]), train.remote.delay))
        arrives = first.at_seconds + min(wait + abs(last - at) / sound for at, wait in places)
        return floor(arrives * 10.0) / 10.0

    def by_volumes(self) -> float | None:
        """Cylinder of a car charged to the setting by volumes alone, for a single move, in psi."""
        train = self.train
        if train.starting_pressure is not None or self.move not in ("service", "emergency"):
            return None
        brake = car.CarBrake(piston_travel=train.cars[0].piston_travel)
        charged, atmosphere = train.brake_pipe_setting, train.atmosphere
        if self.move == "emergency":
            return car.emergency_pressure(charged=charged, car=brake, atmosphere=atmosphere)
        first = self.first_application()
        assert first is not None
        return car.service_pressure(
            charged=charged, reduction=first.reduction, car=brake, atmosphere=atmosphere
        )


def made_question(given: TrainRunInputs) -> AskedRun:
    """The train, its moves and what is shown, of the inputs.

    Raises
    ------
    InputError
        If a car is named that the train does not have, a reduction is more than the setting, or a
        move or a length cannot be read.
    """
    return AskedRun(
        train=_made_train(given),
        move=given.move,
        commands=(*_closed_cock(given), *_made_commands(given)),
        seconds_given=given.seconds,
        shown=_shown_cars(given),
        needs=given.emergency_needs,
    )


def _made_train(given: TrainRunInputs) -> Train:
    lengths = read_lengths(given.car_lengths) or (given.car_length,)
    number = int(given.cars)
    cut_out_cars = given.cut_out_cars or ()
    _require_cars("cut_out_cars", "Cars cut out", cut_out_cars, number)
    out = {int(one) for one in cut_out_cars}
    retained = (
        _car("retained_cars", "Retaining valves set up on", given.retained_cars, number) or number
    )
    leaking = _car("leak_car", "All the leakage at car", given.leak_car, number)
    after = _car("remote_after", "A remote locomotive behind car", given.remote_after, number)
    return Train(
        cars=tuple(
            Car(
                length=lengths[place % len(lengths)],
                valve=_valve(given, lengths[place % len(lengths)]),
                piston_travel=given.piston_travel,
                cut_out=place + 1 in out,
                cylinder_leakage=given.cylinder_leakage,
                retaining_valve=cast(
                    RetainingValve, given.retaining_valve if place < retained else "direct"
                ),
            )
            for place in range(number)
        ),
        brake_pipe_setting=given.brake_pipe_setting,
        locomotives=int(given.locomotives),
        remote=(
            Remote(
                after_car=after,
                locomotives=int(given.remote_locomotives),
                delay=given.link_delay,
                link=cast(Link, given.radio_link),
            )
            if after is not None
            else None
        ),
        leaks=(Leak(flow=given.leakage, at_car=leaking),) if given.leakage > 0.0 else (),
        rear_device_delay=given.rear_delay,
        starting_pressure=_starting_pressure(given),
        main_reservoir=given.main_reservoir,
        temperature=given.temperature,
        atmosphere=given.atmosphere,
        air_supply=replace(
            AIR_SUPPLY, compressor_delivery=given.delivery, reservoir_volume=given.reservoir_volume
        ),
    )


def _valve(given: TrainRunInputs, length: float) -> ControlValve:
    if given.reduction_relay == "with" and length >= PIPE_LINE.extra_vent_from:
        return with_reduction_relay(length)
    return FREIGHT_VALVE


def _starting_pressure(given: TrainRunInputs) -> float | None:
    """What the train is charged to at first [psi]; a charge starts dry, None is the setting."""
    return 0.0 if given.from_pressure is None and given.move == "charge" else given.from_pressure


def _made_commands(given: TrainRunInputs) -> tuple[Command, ...]:
    """The moves: the list if there is one, or else the single move."""
    cars, setting = int(given.cars), given.brake_pipe_setting
    two_way = given.rear_device == "two-way"
    at_car = _car("emergency_car", "That car", given.emergency_car, cars)
    service = Command(at_seconds=0.0, action="service", reduction=given.reduction)
    if given.moves:
        commands = read_moves(given.moves, cars=cars)
    elif given.command == "charge":
        commands = ()
    elif given.command == "emergency":
        place = _emergency_place(given.emergency_from, at_car, two_way=two_way, cars=cars)
        commands = (Command(at_seconds=0.0, action="emergency", at=place),)
    elif given.command == "release":
        commands = (service, Command(at_seconds=given.held, action="release"))
    else:
        commands = (service,)
    for one in commands:
        if one.action == "service" and one.reduction > setting:
            raise InputError(
                MOVES_FIELD if given.moves else "reduction",
                f"Reduction is {one.reduction:g} psi; the brake pipe holds only {setting:g} psi, "
                "so no more than that can come off.",
            )
    return tuple(_with_rear_device(one, two_way=two_way) for one in commands)


def _emergency_place(
    emergency_from: str, at_car: int | None, *, two_way: bool, cars: int
) -> Place | int:
    if emergency_from == "car":
        return ceil(cars / 2) if at_car is None else at_car
    if emergency_from == "rear":
        # Without a device that opens it, the pipe is opened behind the last car.
        return "rear" if two_way else cars
    return "head"


def _with_rear_device(command: Command, *, two_way: bool) -> Command:
    """A two-way device opens the rear whenever the handle goes to emergency."""
    if command.action == "emergency" and command.at == "head" and two_way:
        return replace(command, at="both")
    return command


def _closed_cock(given: TrainRunInputs) -> tuple[Command, ...]:
    """An angle cock closed, or left partly open, from the start; nothing if none is."""
    behind = _car("cock_car", "Angle cock closed behind car", given.cock_car, int(given.cars))
    if behind is None:
        return ()
    return (
        Command(
            at_seconds=0.0,
            action="close-angle-cock",
            behind_car=behind,
            opening=given.cock_opening / 100.0,
        ),
    )


def _shown_cars(given: TrainRunInputs) -> tuple[int, ...]:
    """Cars in the curves, in order; first, middle and last if none are given."""
    field, term, cars = "show_cars", "Cars in the curves", int(given.cars)
    if given.show_cars is None:
        return tuple(sorted({1, ceil(cars / 2), cars}))
    _require_cars(field, term, given.show_cars, cars)
    if len(given.show_cars) > MOST_SHOWN:
        raise InputError(field, f"{term} are {len(given.show_cars)}; at most {MOST_SHOWN}.")
    return tuple(sorted({int(one) for one in given.show_cars}))


def _car(field: str, term: str, given: float | None, cars: int) -> int | None:
    if given is None:
        return None
    _require_cars(field, term, (given,), cars)
    return int(given)


def _require_cars(field: str, term: str, given: Iterable[float], cars: int) -> None:
    for one in given:
        if one > cars:
            raise InputError(field, f"{term} is {one:g}; this train has {cars} cars.")
