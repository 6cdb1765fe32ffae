"""What is read off a finished run."""

from __future__ import annotations

from typing import cast

from calculators.base.units import FOOT
from calculators.equipment.train.commands import Command
from calculators.equipment.train.records import (
    EXHAUST_HEARD,
    Kind,
    Movement,
    Run,
    car_series,
    rise_time,
)
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.stepping.state import CUT_OUT


def outcome(simulation: Simulation, commands: tuple[Command, ...]) -> Run:
    """Times, speeds and undesired actions of a run that has come to its end."""
    state = simulation.state
    samples = tuple(simulation.samples)
    end = samples[-1].seconds
    movements = tuple(
        Movement(seconds=event.seconds, car=event.car + 1, kind=cast(Kind, event.kind))
        for event in sorted(state.events, key=lambda event: (event.seconds, event.car))
        if event.seconds <= end
    )
    working = [i for i, position in enumerate(state.position) if position != CUT_OUT]
    started = [None if (t := state.started[i]) is None or t > end else t for i in working]
    first_starts = last_starts = speed = full = None
    if working:
        first_starts, last_starts = started[0], started[-1]
        if first_starts is not None and last_starts is not None:
            distance = state.grid.car_position[working[-1]] - state.grid.car_position[working[0]]
            if last_starts > first_starts and distance > 0.0:
                speed = distance / FOOT / (last_starts - first_starts)
            series = car_series(samples, working[-1] + 1, "brake_cylinder")
            most = max(pressure for _, pressure in series)
            full = rise_time(series, 0.9 * most) if most > 0.0 else None
    released = [m.seconds for m in movements if m.kind == "releases"]
    in_emergency = {m.car for m in movements if m.kind == "emergency"}
    return Run(
        samples=samples,
        movements=movements,
        undesired_actions=_undesired(movements, commands),
        cars_not_applied=tuple(i + 1 for i, t in zip(working, started, strict=True) if t is None),
        cars_still_applied=tuple(sorted(i + 1 for i in (*state.applied, *state.in_emergency))),
        cars_not_in_emergency=tuple(i + 1 for i in working if i + 1 not in in_emergency),
        feed_shut=simulation.relays[0].charging_cut_off,
        first_car_starts=first_starts,
        last_car_starts=last_starts,
        propagation_speed=speed,
        last_car_90_percent=full,
        first_car_releases=min(released, default=None),
        last_car_releases=max(released, default=None),
        exhaust_ends=_exhaust_ends(simulation),
        strongest_detection=state.strongest_detection,
        mass_error=simulation.mass_error,
    )


def _undesired(
    movements: tuple[Movement, ...], commands: tuple[Command, ...]
) -> tuple[Movement, ...]:
    """Movements that no command in force at the time asked for."""
    asked = sorted(commands, key=lambda command: command.at_seconds)
    found = []
    last_applied: dict[int, float] = {}
    for movement in movements:
        # A release that was given after this car applied is still on its way to it, whatever has
        # been asked for at the head meanwhile.
        on_its_way = any(
            last_applied.get(movement.car, movement.seconds) < c.at_seconds <= movement.seconds
            for c in asked
            if c.action == "release"
        )
        if movement.kind != "releases":
            last_applied[movement.car] = movement.seconds
        so_far = [c.action for c in asked if c.at_seconds <= movement.seconds]
        moves = [a for a in so_far if a in ("service", "emergency", "release")]
        wanted = {
            "emergency": "emergency" in so_far,
            "releases": on_its_way or (bool(moves) and moves[-1] == "release"),
            # A release given while an application still runs along does not make it undesired.
            "applies": "service" in so_far or "emergency" in so_far,
        }
        if not wanted[movement.kind]:
            found.append(movement)
    return tuple(found)


def _exhaust_ends(simulation: Simulation) -> float | None:
    """Time of the first sample after the last one in which the exhaust was heard."""
    samples = simulation.samples
    heard = [i for i, sample in enumerate(samples) if sample.exhaust_flow >= EXHAUST_HEARD]
    if not heard or heard[-1] + 1 == len(samples):
        return None
    return samples[heard[-1] + 1].seconds
