"""What makes a control valve move, found inside the step.

A wave takes a whole step to cross a cell, so a trigger noticed only at the step's end would be
late by up to a step, car after car. Each crossing is therefore placed within the step by straight
interpolation, and the valve acts for the part of the step that is left.
"""

from __future__ import annotations

from math import exp

from calculators.equipment.train.stepping.state import (
    APPLIED,
    EMERGENCY,
    RELEASED,
    State,
    Vent,
)

STILL = 30.0
"""Difference of reservoir and pipe that counts as nothing moving. [Pa]"""


def _crossing(before: float, after: float, threshold: float) -> float:
    """Share of the step at which a rising value passed the threshold."""
    if after <= before:
        return 0.0
    return min(1.0, max(0.0, (threshold - before) / (after - before)))


def detect_emergency(state: State, step: float, seconds: float, *, acts_in_it: bool) -> list[int]:
    """Fire the detectors whose pipe has fallen too fast; returns those fired.

    A detector's chamber follows the pipe through a choke; it fires when the pipe is a set
    difference below the chamber. The pipe is taken to have fallen evenly since the step before.
    ``acts_in_it``: the valves are still to act in this step, for what is left of it.
    """
    if state.detector_step != step:
        _prepare_detectors(state, step)
    p = state.pressure
    was = state.detector_pressure
    now = [p[cell] for cell in state.detector_cell]
    excess_before = state.detector_excess
    excess = [
        kept * gap + lag * (old - new)
        for kept, gap, lag, old, new in zip(
            state.detector_kept, excess_before, state.detector_lag, was, now, strict=True
        )
    ]
    state.detector_pressure = now
    state.detector_excess = excess
    if max(excess) <= state.detector_watch:
        return []
    fired = []
    for j, reading in enumerate(excess):
        if state.detector_fired[j]:
            continue
        threshold = state.detector_figures[j].detector_difference
        if reading > state.strongest_detection * threshold:
            state.strongest_detection = reading / threshold
            state.detector_watch = min(reading, state.detector_least)
        if reading > threshold:
            share = _crossing(excess_before[j], reading, threshold)
            left = (1.0 - share) * step if acts_in_it else None
            _fire(state, j, seconds + share * step, left)
            fired.append(j)
    return fired


def _prepare_detectors(state: State, step: float) -> None:
    """For a step of this length: the share of its excess a chamber keeps, and what a fall adds.

    Exact for a pipe falling evenly over the step: after many such steps the chamber is the rate
    times the lag above the pipe, however long the steps.
    """
    state.detector_step = step
    lags = [figures.detector_lag for figures in state.detector_figures]
    state.detector_kept = [exp(-step / lag) for lag in lags]
    state.detector_lag = [
        lag * (1.0 - kept) / step for lag, kept in zip(lags, state.detector_kept, strict=True)
    ]


def _fire(state: State, detector: int, when: float, left: float | None) -> None:
    """Put one valve in emergency, or open one vent valve that stands alone."""
    state.detector_fired[detector] = True
    state.last_event = max(state.last_event, when)
    car = detector
    cell = state.detector_cell[detector]
    if car >= len(state.figures):
        figures = state.detector_figures[detector]
        state.vents.append(Vent(cell, state.grid.vent, figures.vent_time, left, detector))
        return
    figures = state.figures[car]
    state.vents.append(Vent(cell, figures.vent, figures.vent_time, left))
    for group in (state.resting, state.moving, state.applied):
        if car in group:
            group.remove(car)
    state.position[car] = EMERGENCY
    state.in_emergency.append(car)
    state.timer[car] = left or 0.0
    # In emergency the two reservoirs are joined.
    Va, Ve = figures.auxiliary_volume, figures.emergency_volume
    joined = (state.auxiliary[car] * Va + state.emergency[car] * Ve) / (Va + Ve)
    state.auxiliary[car] = state.emergency[car] = joined
    state.note(when, car, "emergency")


def start_applications(
    state: State, before: list[float], step: float, seconds: float, *, acts_in_it: bool
) -> None:
    """Wake the cars whose pipe has moved, and apply those whose pipe has fallen far enough.

    ``acts_in_it``: the valves are still to act in this step, for what is left of it.
    """
    p, auxiliary, cells = state.pressure, state.auxiliary, state.grid.car_cell
    woken = {i for i in state.resting if not -STILL < auxiliary[i] - p[cells[i]] < STILL}
    if woken:
        state.resting = [i for i in state.resting if i not in woken]
        state.moving += sorted(woken)
    atmosphere = state.grid.atmosphere
    applying = set()
    for i in state.moving:
        a = auxiliary[i]
        cell = cells[i]
        excess = a - p[cell]
        if excess <= 0.0:
            continue
        figures = state.figures[i]
        threshold = figures.service_friction * (a - atmosphere)
        if excess > threshold:
            share = _crossing(a - before[cell], excess, threshold)
            applying.add(i)
            state.position[i] = APPLIED
            state.accelerating[i] = False
            since = (1.0 - share) * step
            # A valve that acts in this step counts it on first.
            state.timer[i] = since - figures.service_delay - (step if acts_in_it else 0.0)
            state.note(seconds + share * step, i, "applies")
    if applying:
        state.moving = [i for i in state.moving if i not in applying]
        state.applied += sorted(applying)


def release(state: State, car: int, seconds: float) -> None:
    """Put one valve in release; the caller takes the car out of its list."""
    state.position[car] = RELEASED
    state.moving.append(car)
    state.accelerating[car] = True
    state.opening[car] = 0.0
    state.bulb_open[car] = state.limiting_open[car] = True
    state.detector_fired[car] = False
    state.note(seconds, car, "releases")
