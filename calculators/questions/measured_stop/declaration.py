"""The `measured-stop` calculator: what a stop that was measured says about its brakes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Phrase, Step, Value, say
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.force.kinematics import (
    dead_time,
    force_per_ton,
    grade_slowing,
    mean_slowing,
    share_of_weight,
)
from calculators.law.records import Citation
from calculators.questions.measured_stop.inputs import MeasuredStopInputs
from calculators.questions.shared.force_inputs import slide_notes


def _slowing(term: str, help: str = "") -> Quantity:
    return Quantity(term=term, unit="ft/s²", digits=2, help=help)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredStop(Outcome):
    """Mean slowing, what the brakes did of it, and what that implies."""

    mean_slowing: Annotated[float, _slowing("Mean slowing")]
    grade_part: Annotated[
        float, _slowing("Of that, by the grade", "below zero the grade worked against the brakes")
    ]
    brakes_slowing: Annotated[float, _slowing("By brakes and resistance")]
    share_of_weight: Annotated[
        float,
        Quantity(term="That is, of the weight", unit="%", digits=2, help="mean force over weight"),
    ]
    force: Annotated[float, Quantity(term="Mean force to lose the speed", unit="lb/ton", digits=3)]
    dead_time: Annotated[
        float | None,
        Quantity(
            term="Dead time",
            unit="s",
            digits=1,
            help="as if the train had coasted, then slowed steadily",
            blank="needs the time of a full stop",
        ),
    ]
    efficiency_times_friction: Annotated[
        float | None,
        Quantity(
            term="Rigging efficiency × shoe friction",
            unit="",
            digits=4,
            help="mean over the whole stop, dead time in it",
            blank="needs the braking ratio",
        ),
    ]


@calculator(
    "measured-stop",
    title="A measured stop",
    question="A train was stopped in this distance: what did its brakes do?",
    first=FirstScreen(
        figures={
            "mean_slowing": "slowed by, on the mean",
            "share_of_weight": "of the weight",
            "force": "held back",
        },
        asked={"": "{speed} to {end_speed} in {distance}"},
        keys=(
            Key(field="speed", step=5),
            Key(field="distance", step=100),
            Key(field="time"),
            Key(field="grade", step=0.1),
            Key(field="direction"),
        ),
        line={"end_speed": "down to", "braking_ratio": "braking ratio"},
    ),
    sources=(
        Citation("WEBB", "sections 120-121"),
        Citation("EB11", "tables of stops with 50 cars"),
        Citation("AB13", "pp. 161, 292 and others"),
    ),
    validity=("Any stop: it is only arithmetic of speed, distance, time and grade.",),
    leaves_out=(
        "What happened within the stop: these are means over its whole length.",
        "Train resistance apart from the brakes; both are in the figure.",
    ),
)
def measured_stop(given: MeasuredStopInputs) -> MeasuredStop:
    """Work out what a measured stop says.

    Returns
    -------
    MeasuredStop
        Slowings in ft/s², force in lb/ton; None where a figure is missing.

    Raises
    ------
    InputError
        If the train did not slow.
    """
    if given.end_speed >= given.speed:
        raise InputError(
            "end_speed",
            f"Speed at the end is {given.end_speed:g} mph and at the start {given.speed:g} mph; "
            "it must be lower at the end.",
        )
    mean = mean_slowing(speed=given.speed, end_speed=given.end_speed, distance=given.distance)
    by_grade = grade_slowing(grade=given.grade if given.direction == "up" else -given.grade)
    by_brakes = mean * (1.0 + given.rotating_mass / 100.0) - by_grade
    share = share_of_weight(slowing=by_brakes)
    dead = (
        dead_time(speed=given.speed, distance=given.distance, time=given.time)
        if given.time is not None and given.end_speed == 0
        else None
    )
    implied = None if given.braking_ratio is None else share / given.braking_ratio
    found = _Found(
        mean=mean,
        by_grade=by_grade,
        by_brakes=by_brakes,
        share=share,
        dead=dead,
        implied=implied,
    )
    return MeasuredStop(
        mean_slowing=mean,
        grade_part=by_grade,
        brakes_slowing=by_brakes,
        share_of_weight=share,
        force=force_per_ton(
            speed=given.speed,
            end_speed=given.end_speed,
            distance=given.distance,
            rotating_mass=given.rotating_mass,
        ),
        dead_time=dead,
        efficiency_times_friction=implied,
        headline=_headline(given, found),
        working=tuple(_working(given, found)),
        notes=tuple(_notes(given, found)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    mean: float
    by_grade: float
    by_brakes: float
    share: float
    dead: float | None
    implied: float | None


def _rate(amount: float) -> Value:
    return Value(amount, "ft/s²", 2)


def _headline(given: MeasuredStopInputs, found: _Found) -> Phrase:
    return say(
        "It slowed by {mean} on the mean; brakes and resistance held back {share} of the weight.",
        mean=_rate(found.mean),
        share=Value(found.share, "%", 2),
    )


def _working(given: MeasuredStopInputs, found: _Found) -> Iterator[Step]:
    yield Step(
        label="Mean slowing",
        shows="mean_slowing",
        how=say(
            "(({fast} × 22/15)² − ({slow} × 22/15)²) / (2 × {distance})",
            fast=Value(given.speed, "mph", 2 if given.speed * 10 % 1 else 1),
            slow=Value(given.end_speed, "mph", 1),
            distance=Value(given.distance, "ft"),
        ),
        value=_rate(found.mean),
    )
    yield Step(
        label="By the grade",
        shows="grade_part",
        how=say("g × sin(atan({grade}))", grade=Value(given.grade, "%", 2)),
        value=_rate(found.by_grade),
    )
    yield Step(
        label="By brakes and resistance",
        shows="brakes_slowing",
        how=say(
            "{mean}, {mass} more for turning wheels, less ({grade})",
            mean=_rate(found.mean),
            mass=Value(given.rotating_mass, "%", 1),
            grade=_rate(found.by_grade),
        ),
        value=_rate(found.by_brakes),
    )
    yield Step(
        label="Of the weight",
        shows="share_of_weight",
        how=say("{slowing} / 32.174", slowing=_rate(found.by_brakes)),
        value=Value(found.share, "%", 2),
        decides=True,
    )
    if found.dead is not None and given.time is not None:
        yield Step(
            label="Dead time",
            shows="dead_time",
            how=say(
                "2 × {distance} / ({speed} × 22/15) − {time}",
                distance=Value(given.distance, "ft"),
                speed=Value(given.speed, "mph", 2 if given.speed * 10 % 1 else 1),
                time=Value(given.time, "s", 1),
            ),
            value=Value(found.dead, "s", 1),
        )
    if found.implied is not None and given.braking_ratio is not None:
        yield Step(
            label="Efficiency × friction",
            shows="efficiency_times_friction",
            how=say(
                "{share} / {ratio}",
                share=Value(found.share, "%", 2),
                ratio=Value(given.braking_ratio, "%", 1),
            ),
            value=Value(found.implied, "", 4),
        )


def _notes(given: MeasuredStopInputs, found: _Found) -> Iterator[Note]:
    yield from slide_notes(found.share / 100.0)
    if found.by_brakes <= 0:
        yield Note(
            text=say(
                "The grade alone slowed the train this much: its brakes did nothing, or pushed."
            )
        )
    if found.dead is not None and found.dead < 0:
        yield Note(
            text=say(
                "A dead time below zero means that the train slowed harder early than late, or that "
                "one of the figures is wrong."
            )
        )
    if given.time is not None and given.end_speed > 0:
        yield Note(text=say("The dead time needs a stop to standstill."))
    yield Note(
        text=say(
            "One stop proves little: shoes alone can change the next by a fifth (tests of 1913)."
        )
    )
