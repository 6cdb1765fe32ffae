"""The words of the `stopping-distance` answer: headline, working, notes and curve."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, sqrt

from calculators.base.results import Axis, Line, Note, Phrase, Series, Step, Value, psi, say
from calculators.equipment.force.friction import Friction
from calculators.equipment.force.kinematics import FEET_PER_SECOND_PER_MPH
from calculators.equipment.force.motion import Stop
from calculators.questions.shared.force_inputs import (
    Rolling,
    friction_how,
    missing_note,
    slide_notes,
)
from calculators.questions.stopping_distance.inputs import StoppingDistanceInputs

# A curve is drawn at round distances, at most this many; the model makes many more points.
_CURVE_POINTS = 24
_CURVE_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the sentences of one answer are made from."""

    emergency: bool
    full_reduction: float
    cylinder: float
    downhill: bool
    track: float
    rolling: Rolling
    law: Friction | None
    missing: tuple[str, ...]
    travel: float
    fill: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stops:
    """The runs of the model: nominal and the two ends of the band."""

    nominal: Stop
    shortest: Stop
    longest: Stop
    ratio: float
    effort_at_start: float
    effort_at_rest: float


def _feet(amount: float) -> Value:
    """Feet to the nearest ten: nobody can know such a distance to the foot."""
    return Value(amount, "ft", -1)


def headline_without(given: StoppingDistanceInputs, found: Found) -> Phrase:
    """What can be said while a figure is missing."""
    return say(
        "From {speed} this train runs {reaction} before the handle is there, and {built} more "
        "until its last car is fully on.",
        speed=Value(given.speed, "mph"),
        reaction=_feet(given.speed * FEET_PER_SECOND_PER_MPH * given.reaction_time),
        built=Value(found.travel + found.fill, "s"),
    )


def headline(given: StoppingDistanceInputs, found: Found, stops: Stops) -> Phrase:
    """The answer in one sentence."""
    made = stops.nominal
    if not made.stopped:
        return say(
            "By these figures the train does not stop: its brakes hold back less than the grade pulls."
        )
    if not stops.longest.stopped:
        return say(
            "From {speed} about {distance}, but at the far end of the band it does not stop at all.",
            speed=Value(given.speed, "mph"),
            distance=_feet(made.distance),
        )
    return say(
        "From {speed} about {distance}, anywhere from {shortest} to {longest}.",
        speed=Value(given.speed, "mph"),
        distance=_feet(made.distance),
        shortest=_feet(stops.shortest.distance),
        longest=_feet(stops.longest.distance),
    )


def build_up_steps(given: StoppingDistanceInputs, found: Found) -> Iterator[Step]:
    """The steps that need no braking ratio and no friction."""
    if found.emergency:
        how = say(
            "Emergency joins both of a car's reservoirs, charged to {charged}, to its cylinder.",
            charged=psi(given.train.brake_pipe_setting),
        )
    else:
        how = say(
            "{off} off {charged}, by a car's volumes",
            off=psi(given.reduction),
            charged=psi(given.train.brake_pipe_setting),
        )
    yield Step(label="Brake cylinders", shows="brake_cylinder", how=how, value=psi(found.cylinder))
    yield Step(
        label="Reaction",
        how=say(
            "{speed} for {seconds}",
            speed=Value(given.speed * FEET_PER_SECOND_PER_MPH, "ft/s", 1),
            seconds=Value(given.reaction_time, "s", 1),
        ),
        value=Value(given.speed * FEET_PER_SECOND_PER_MPH * given.reaction_time, "ft"),
    )
    yield Step(
        label="Build-up",
        shows="build_up_time",
        how=say(
            "{travel} until the last car starts and {fill} for its cylinder",
            travel=Value(found.travel, "s", 1),
            fill=Value(found.fill, "s", 1),
        ),
        value=Value(found.travel + found.fill, "s"),
    )


def working(given: StoppingDistanceInputs, found: Found, stops: Stops) -> Iterator[Step]:
    """The working as on a whiteboard, with the user's figures."""
    assert found.law is not None
    assert given.shoes.braking_ratio is not None
    yield from build_up_steps(given, found)
    yield Step(
        label="Braking ratio now",
        how=say(
            "{ratio} × {now} / {stated}",
            ratio=Value(given.shoes.braking_ratio, "%", 1),
            now=psi(found.cylinder),
            stated=psi(given.shoes.ratio_pressure),
        ),
        value=Value(stops.ratio, "%", 1),
    )
    yield Step(
        label="Friction at the start",
        how=friction_how(found.law, given.speed),
        value=Value(found.law.at(given.speed), "", 3),
    )
    yield Step(
        label="Brakes hold back, at the start",
        shows="effort",
        how=say(
            "{ratio} × {friction}",
            ratio=Value(stops.ratio, "%", 1),
            friction=Value(found.law.at(given.speed), "", 3),
        ),
        value=Value(100 * stops.effort_at_start, "%", 1),
    )
    yield Step(
        label="Rolling resistance",
        how=found.rolling.how(given.speed),
        value=Value(found.rolling.at(given.speed), "lb/ton", 1),
    )
    yield Step(
        label="Grade and curve",
        how=say(
            "20 lb/ton for each percent, 0.8 for each degree; below zero they drive the train on"
        ),
        value=Value(found.track, "lb/ton", 1),
    )
    if stops.nominal.stopped:
        yield Step(
            label="Followed step by step",
            shows="distance",
            how=say(
                "reaction {reaction}, build-up {build_up}, full brake {full}; {mass} added for "
                "turning wheels",
                reaction=_feet(stops.nominal.reaction),
                build_up=_feet(stops.nominal.build_up),
                full=_feet(stops.nominal.full_brake),
                mass=Value(given.rotating_mass, "%", 1),
            ),
            value=_feet(stops.nominal.distance),
            decides=True,
        )


def notes_without(given: StoppingDistanceInputs, found: Found) -> Iterator[Note]:
    """The notes while a figure is missing."""
    yield missing_note(found.missing, "stopping distance")
    yield from _common_notes(given, found)


def notes(given: StoppingDistanceInputs, found: Found, stops: Stops) -> Iterator[Note]:
    """The warnings and notes of a full answer."""
    if not stops.nominal.stopped:
        yield Note(
            text=say(
                "The train is not held. Followed for {seconds} it was at {speed} and still moving.",
                seconds=Value(stops.nominal.time, "s"),
                speed=Value(stops.nominal.curve[-1][1], "mph"),
            ),
            kind="warning",
        )
    elif not stops.longest.stopped:
        yield Note(
            text=say(
                "With shoes a fifth worse than the figures given the brakes no longer hold the grade."
            ),
            kind="warning",
        )
    yield from slide_notes(stops.effort_at_rest)
    yield from _common_notes(given, found)
    yield Note(
        text=say(
            "The band: shoes a fifth better or worse, cylinders filled in half or in twice the time."
        )
    )


def _common_notes(given: StoppingDistanceInputs, found: Found) -> Iterator[Note]:
    if given.grade > 0 and found.downhill:
        yield Note(
            text=say(
                "On a long descent the shoes are hot before the stop begins and hold less; no figure "
                "here knows how much."
            ),
            kind="warning",
        )
    if not found.emergency and found.cylinder == 0:
        yield Note(
            text=say("So small a reduction puts no air in the cylinders by volumes alone."),
            kind="warning",
        )
    if not found.emergency and given.reduction > found.full_reduction:
        yield Note(
            text=say(
                "{off} is past full service, {full} here: the rest of it adds nothing.",
                off=psi(given.reduction),
                full=psi(found.full_reduction),
            )
        )
    yield Note(
        text=say(
            "Stopping distance in the signal rules is counted from a full-service application at the "
            "highest speed allowed, not from an emergency (49 CFR 236.741)."
        )
    )


def curve(stops: Stops) -> Series:
    """Speed against distance, nominal and at both ends of the band."""
    farthest = max(made.distance for made in (stops.nominal, stops.shortest, stops.longest))
    step = next(size for size in _CURVE_STEPS if farthest / size <= _CURVE_POINTS)
    return Series(
        title="Speed against distance",
        x=Axis(term="Distance", unit="ft"),
        y=Axis(term="Speed", unit="mph", digits=1),
        lines=(
            Line(name="by these figures", points=_at(stops.nominal, step), color="brake_cylinder"),
            Line(name="near end of the band", points=_at(stops.shortest, step), color="brake_pipe"),
            Line(
                name="far end of the band", points=_at(stops.longest, step), color="main_reservoir"
            ),
        ),
    )


def _at(made: Stop, step: int) -> tuple[tuple[float, float], ...]:
    """The curve at whole steps of distance and at its end.

    Between two points of the model the square of the speed is taken as straight, as under a steady
    slowing.
    """
    points = [made.curve[0]]
    for (near, fast), (far, slow) in pairwise(made.curve):
        first = int(near // step) + 1
        for distance in range(first * step, ceil(far), step):
            part = (distance - near) / (far - near)
            points.append((float(distance), sqrt(fast**2 + part * (slow**2 - fast**2))))
    return (*points, made.curve[-1])
