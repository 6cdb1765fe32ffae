"""Commands made into things to be done, at the head at once and elsewhere by radio."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from math import inf

from calculators.base.errors import InputError
from calculators.base.units import PSI
from calculators.equipment.train.commands import Command
from calculators.equipment.train.consist import Train
from calculators.equipment.train.stepping.border import hole
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State, Vent

CONTRACTION = 0.62
"""Area of the jet through a partly closed cock over the area of its opening. [-] A sharp edge."""
FOREVER = 1e30
COCK_SECONDS = 1.0
"""Time to turn an angle cock by hand. [s] Nominal."""
COCK_TURNS = 8


@dataclass(frozen=True, slots=True)
class Due:
    """Something to be done to the train at a time."""

    seconds: float
    act: Callable[[State, list[Relay]], None]


def schedule(train: Train, commands: tuple[Command, ...]) -> list[Due]:
    """Everything the commands bring about, in order of time.

    Raises
    ------
    InputError
        If a command names a car that the train does not have.
    """
    due: list[Due] = []
    for command in commands:
        due += _consequences(train, command)
    return sorted(due, key=lambda one: one.seconds)


def _consequences(train: Train, command: Command) -> list[Due]:
    """What one command brings about."""
    at = command.at_seconds
    match command.action:
        case "service":
            return _by_all(train, at, partial(_service, command.reduction * PSI))
        case "release":
            return _by_all(train, at, _release)
        case "cut-out":
            return [Due(at, partial(_cut, False))]
        case "cut-in":
            return [Due(at, partial(_cut, True))]
        case "close-angle-cock" | "open-angle-cock":
            _require_car(command.behind_car, train, lowest=0)
            return _turn_cock(command)
        case _:
            return _emergency(train, command)


def _turn_cock(command: Command) -> list[Due]:
    """A cock turned by hand, in small turns: closed at once it would be a hammer."""
    opens = command.action == "open-angle-cock"
    due = []
    for turn in range(1, COCK_TURNS + 1):
        share = turn / COCK_TURNS
        opening = share if opens else 1.0 - share * (1.0 - command.opening)
        at = command.at_seconds + COCK_SECONDS * share
        due.append(Due(at, partial(_set_cock, command.behind_car, opening, opens)))
    return due


def _emergency(train: Train, command: Command) -> list[Due]:
    at, place = command.at_seconds, command.at
    if isinstance(place, int):
        _require_car(place, train, lowest=1)
        return [Due(at, partial(_open_at_car, place, train.pipe.bore))]
    due = []
    if place in ("head", "both"):
        due += _by_all(train, at, _emergency_at)
    if place in ("rear", "both"):
        due.append(Due(at + train.rear_device_delay, _open_rear))
    return due


def _by_all(train: Train, at: float, act: Callable[[Relay], None]) -> list[Due]:
    """The same move on the lead brake valve, and later on the remote one that hears of it."""
    due = [Due(at, partial(_on_relay, 0, act))]
    if train.remote is not None and train.remote.link == "works":
        due.append(Due(at + train.remote.delay, partial(_on_relay, 1, act)))
    return due


def _require_car(car: int, train: Train, *, lowest: int) -> None:
    if not lowest <= car <= len(train.cars):
        raise InputError(
            "car", f"car is {car}; it must be {lowest} to {len(train.cars)} in this train"
        )


def _on_relay(
    number: int, act: Callable[[Relay], None], _state: State, relays: list[Relay]
) -> None:
    act(relays[number])


def _service(reduction: float, relay: Relay) -> None:
    relay.service(reduction)


def _release(relay: Relay) -> None:
    relay.release()


def _emergency_at(relay: Relay) -> None:
    relay.emergency()


def _cut(cut_in: bool, _state: State, relays: list[Relay]) -> None:
    relays[0].cut(cut_in)


def _set_cock(
    behind_car: int, opening: float, opens: bool, state: State, _relays: list[Relay]
) -> None:
    """Turn a cock to an opening; one that is further that way already is left where it is."""
    grid = state.grid
    face = grid.car_rear_face[behind_car]
    stands = _damping(state.cocks[face]) if face in state.cocks else 0.0
    if opening >= 1.0:
        wanted: float | None = 0.0
    elif opening <= 0.0:
        wanted = None
    else:
        # Loss of a sudden contraction and expansion through a sharp edge, (1/(c φ) - 1)² ρu²/2.
        loss = (1.0 / (CONTRACTION * opening) - 1.0) ** 2
        distance = grid.area * grid.gas / grid.pull[face]
        wanted = loss / (2.0 * grid.area * distance)
    turned = min(stands, _damping(wanted)) if opens else max(stands, _damping(wanted))
    if turned == 0.0:
        state.cocks.pop(face, None)
    else:
        state.cocks[face] = None if turned == inf else turned


def _damping(kept: float | None) -> float:
    """Of a cock as `State.cocks` keeps it: without end for a closed one."""
    return inf if kept is None else kept


def _open_at_car(car: int, bore: float, state: State, _relays: list[Relay]) -> None:
    grid = state.grid
    conductance = hole(bore, temperature=grid.temperature)
    state.vents.append(Vent(grid.car_cell[car - 1], conductance, FOREVER))


def _open_rear(state: State, _relays: list[Relay]) -> None:
    grid = state.grid
    state.vents.append(Vent(grid.cells - 1, grid.rear_vent, state.detector_figures[0].vent_time))
