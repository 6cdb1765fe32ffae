"""The `measured-stop` calculator: what a stop that was measured says about its brakes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Phrase, Step, Value, say
from calculators.declaring.registry import calculator
from calculators.equipment.force.kinematics import (
    dead_time,
    force_per_ton,
    grade_slowing,
    mean_slowing,
    share_of_weight,
)
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import DIRECTION, slide_notes

THE_BRAKES = "What is known of the brakes"


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
def measured_stop(
    *,
    speed: Annotated[
        float, Quantity(term="Speed at the start", unit="mph", low=1, high=150, digits=1)
    ] = 40.0,
    end_speed: Annotated[
        float,
        Quantity(
            term="Speed at the end",
            unit="mph",
            low=0,
            high=149,
            digits=1,
            help="0 for a full stop.",
        ),
    ] = 0.0,
    distance: Annotated[
        float, Quantity(term="Distance run", unit="ft", low=1, high=200_000)
    ] = 1800.0,
    time: Annotated[
        float | None,
        Quantity(
            term="Time taken",
            unit="s",
            low=0.5,
            high=5000,
            digits=1,
            help="With it the dead time can be told.",
            blank="not timed",
        ),
    ] = None,
    grade: Annotated[
        float,
        Quantity(
            term="Grade",
            unit="%",
            low=0,
            high=15,
            digits=2,
            help="Feet of rise or fall in each hundred feet.",
        ),
    ] = 0.0,
    direction: Annotated[str, DIRECTION] = "down",
    braking_ratio: Annotated[
        float | None,
        Quantity(
            term="Braking ratio, by the levers",
            unit="%",
            low=1,
            high=250,
            digits=1,
            help="Shoe force without losses over weight; then efficiency and friction come out.",
            group=THE_BRAKES,
            blank="not known",
        ),
    ] = None,
    rotating_mass: Annotated[
        float,
        Quantity(
            term="Added for turning wheels",
            unit="%",
            low=0,
            high=15,
            digits=1,
            help="3 loaded to 9 empty. Published means mostly count none.",
            mark="S",
            group=THE_BRAKES,
        ),
    ] = 0.0,
) -> MeasuredStop:
    """Work out what a measured stop says.

    Parameters
    ----------
    speed, end_speed, distance, time
        Speeds at both ends [mph], feet and seconds between them.
    grade, direction
        Grade [%] and whether the train went down or up.
    braking_ratio
        Nominal shoe force over weight. [%]
    rotating_mass
        Addition for turning wheels. [%]

    Returns
    -------
    MeasuredStop
        Slowings in ft/s², force in lb/ton; None where a figure is missing.

    Raises
    ------
    InputError
        If the train did not slow.
    """
    if end_speed >= speed:
        raise InputError(
            "end_speed",
            f"Speed at the end is {end_speed:g} mph and at the start {speed:g} mph; "
            "it must be lower at the end.",
        )
    mean = mean_slowing(speed=speed, end_speed=end_speed, distance=distance)
    by_grade = grade_slowing(grade=grade if direction == "up" else -grade)
    by_brakes = mean * (1.0 + rotating_mass / 100.0) - by_grade
    share = share_of_weight(slowing=by_brakes)
    dead = (
        dead_time(speed=speed, distance=distance, time=time)
        if time is not None and end_speed == 0
        else None
    )
    implied = None if braking_ratio is None else share / braking_ratio
    facts = _Facts(
        speed=speed,
        end_speed=end_speed,
        distance=distance,
        time=time,
        grade=grade,
        mean=mean,
        by_grade=by_grade,
        by_brakes=by_brakes,
        share=share,
        dead=dead,
        ratio=braking_ratio,
        implied=implied,
        rotating_mass=rotating_mass,
    )
    return MeasuredStop(
        mean_slowing=mean,
        grade_part=by_grade,
        brakes_slowing=by_brakes,
        share_of_weight=share,
        force=force_per_ton(
            speed=speed, end_speed=end_speed, distance=distance, rotating_mass=rotating_mass
        ),
        dead_time=dead,
        efficiency_times_friction=implied,
        headline=_headline(facts),
        working=tuple(_working(facts)),
        notes=tuple(_notes(facts)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Facts:
    speed: float
    end_speed: float
    distance: float
    time: float | None
    grade: float
    mean: float
    by_grade: float
    by_brakes: float
    share: float
    dead: float | None
    ratio: float | None
    implied: float | None
    rotating_mass: float


def _rate(amount: float) -> Value:
    return Value(amount, "ft/s²", 2)


def _headline(facts: _Facts) -> Phrase:
    return say(
        "It slowed by {mean} on the mean; brakes and resistance held back {share} of the weight.",
        mean=_rate(facts.mean),
        share=Value(facts.share, "%", 2),
    )


def _working(facts: _Facts) -> Iterator[Step]:
    yield Step(
        label="Mean slowing",
        how=say(
            "(({fast} × 22/15)² − ({slow} × 22/15)²) / (2 × {distance})",
            fast=Value(facts.speed, "mph", 2 if facts.speed * 10 % 1 else 1),
            slow=Value(facts.end_speed, "mph", 1),
            distance=Value(facts.distance, "ft"),
        ),
        value=_rate(facts.mean),
    )
    yield Step(
        label="By the grade",
        how=say("g × sin(atan({grade}))", grade=Value(facts.grade, "%", 2)),
        value=_rate(facts.by_grade),
    )
    yield Step(
        label="By brakes and resistance",
        how=say(
            "{mean}, {mass} more for turning wheels, less ({grade})",
            mean=_rate(facts.mean),
            mass=Value(facts.rotating_mass, "%", 1),
            grade=_rate(facts.by_grade),
        ),
        value=_rate(facts.by_brakes),
    )
    yield Step(
        label="Of the weight",
        how=say("{slowing} / 32.174", slowing=_rate(facts.by_brakes)),
        value=Value(facts.share, "%", 2),
        decides=True,
    )
    if facts.dead is not None and facts.time is not None:
        yield Step(
            label="Dead time",
            how=say(
                "2 × {distance} / ({speed} × 22/15) − {time}",
                distance=Value(facts.distance, "ft"),
                speed=Value(facts.speed, "mph", 2 if facts.speed * 10 % 1 else 1),
                time=Value(facts.time, "s", 1),
            ),
            value=Value(facts.dead, "s", 1),
        )
    if facts.implied is not None and facts.ratio is not None:
        yield Step(
            label="Efficiency × friction",
            how=say(
                "{share} / {ratio}",
                share=Value(facts.share, "%", 2),
                ratio=Value(facts.ratio, "%", 1),
            ),
            value=Value(facts.implied, "", 4),
        )


def _notes(facts: _Facts) -> Iterator[Note]:
    yield from slide_notes(facts.share / 100.0)
    if facts.by_brakes <= 0:
        yield Note(
            text=say(
                "The grade alone slowed the train this much: its brakes did nothing, or pushed."
            )
        )
    if facts.dead is not None and facts.dead < 0:
        yield Note(
            text=say(
                "A dead time below zero means that the train slowed harder early than late, or that "
                "one of the figures is wrong."
            )
        )
    if facts.time is not None and facts.end_speed > 0:
        yield Note(text=say("The dead time needs a stop to standstill."))
    yield Note(
        text=say(
            "One stop proves little: shoes alone can change the next by a fifth (tests of 1913)."
        )
    )
