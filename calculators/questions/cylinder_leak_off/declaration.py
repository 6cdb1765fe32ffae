"""The `cylinder-leak-off` calculator: what is left in the cylinders of a standing train."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Series,
    Step,
    Value,
    psi,
    say,
)
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.leak_down import choked_rate, pressure_after, time_to_fall
from calculators.figures.nominal import COLD_TIMES, LEFT_HOURS, LEFT_SET, RETAINED_HIGH
from calculators.law.records import Citation
from calculators.questions.cylinder_leak_off.inputs import CylinderLeakOffInputs

MINUTES = 60.0
CURVE_POINTS = 24
LONGEST_HOURS = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CylinderLeakOff(Outcome):
    """What is left, and when it is too little; None where no leakage was given."""

    brake_cylinder_left: Annotated[
        float | None, Quantity(term="Left in the cylinder after the wait", unit="psi")
    ]
    hours_to_needed: Annotated[
        float | None,
        Quantity(term="Down to the pressure you need after", unit="h", digits=1, help="at best"),
    ]
    hours_to_half: Annotated[float | None, Quantity(term="Down to half after", unit="h", digits=1)]
    hours_to_nothing: Annotated[
        float | None, Quantity(term="Down to nothing after", unit="h", digits=1)
    ]


@calculator(
    "cylinder-leak-off",
    title="Cylinder leak-off of a standing train",
    question="How long does an applied brake last on a train left standing?",
    first=FirstScreen(
        figures={
            "brake_cylinder_left": "left after that",
            "hours_to_half": "half is gone after",
            "hours_to_nothing": "nothing after",
        },
        asked={"": "{brake_cylinder:bare} leaking {leakage}, for {wait}"},
        keys=(
            Key(field="brake_cylinder"),
            Key(field="leakage", step=0.1),
            Key(field="wait", presets=(1, 3, 6, 12, 24)),
        ),
        line={"pressure_needed": "needed to hold:"},
    ),
    sources=(
        Citation("FRA-2022-02", "standing train on 0.9 to 1.18 percent"),
        Citation("TSB-19C", "retaining valves, 84 of 112 cars"),
        Citation("NRC-24", "leakage in the cold"),
        Citation("CFR-232-103", "(n), securement"),
    ),
    validity=(
        "One cylinder with one leak of one size, air at one temperature, nothing fed back into it.",
        "A leak read now says little about the leak an hour from now: it grows as the train cools.",
    ),
    leaves_out=(
        "Leakage of the brake pipe, which first applies the brakes more and then ends them.",
        "How many cars leak more than this one. A train rolls by its worst cars, not its mean.",
        "The pressure that holds your train on its grade.",
    ),
    example={"leakage": "0.1"},
    estimate=(
        "An estimate for learning. An applied air brake is not securement: hand brakes are, in the "
        "number your railroad asks for, proved with the air off."
    ),
)
def cylinder_leak_off(given: CylinderLeakOffInputs) -> CylinderLeakOff:
    """Follow one leaking cylinder.

    Returns
    -------
    CylinderLeakOff
        Pressure [psi] and times [h]; None without a leakage.
    """
    if given.leakage is None:
        return CylinderLeakOff(
            brake_cylinder_left=None,
            hours_to_needed=None,
            hours_to_half=None,
            hours_to_nothing=None,
            headline=say(
                "No leakage was read, so there is no time to tell: {pressure} may last for days or "
                "for minutes.",
                pressure=psi(given.brake_cylinder),
            ),
            notes=tuple(_notes(needed_missing=True)),
        )
    rate = MINUTES * choked_rate(
        pressure=given.brake_cylinder, fall_per_unit=given.leakage, atmosphere=given.atmosphere
    )

    def hours_to(pressure: float) -> float:
        return time_to_fall(
            from_pressure=given.brake_cylinder,
            to_pressure=pressure,
            rate=rate,
            atmosphere=given.atmosphere,
        )

    left = pressure_after(
        from_pressure=given.brake_cylinder, time=given.wait, rate=rate, atmosphere=given.atmosphere
    )
    to_needed = None
    if given.pressure_needed is not None:
        to_needed = (
            hours_to(given.pressure_needed) if given.pressure_needed < given.brake_cylinder else 0.0
        )
    nothing = hours_to(0.0)
    return CylinderLeakOff(
        brake_cylinder_left=left,
        hours_to_needed=to_needed,
        hours_to_half=hours_to(given.brake_cylinder / 2),
        hours_to_nothing=nothing,
        headline=_headline(given.brake_cylinder, left, given.wait, to_needed),
        working=tuple(_working(given.brake_cylinder, given.leakage, left, given.wait, nothing)),
        notes=tuple(_notes(needed_missing=given.pressure_needed is None)),
        series=(_curve(given.brake_cylinder, rate, nothing, given.atmosphere, given.wait, left),),
    )


def _headline(start: float, left: float, wait: float, to_needed: float | None) -> Phrase:
    if to_needed is not None:
        return say(
            "At this leak {start} is below what you need after {hours}; after {wait} {left} is left.",
            start=psi(start),
            hours=Value(to_needed, "h", 1),
            wait=Value(wait, "h", 1),
            left=psi(left),
        )
    return say(
        "At this leak {left} of {start} is left after {wait}.",
        left=psi(left),
        start=psi(start),
        wait=Value(wait, "h", 1),
    )


def _working(
    start: float, leakage: float, left: float, wait: float, nothing: float
) -> Iterator[Step]:
    yield Step(
        label="If it went on at the same rate",
        how=say(
            "{start} / {leakage}",
            start=psi(start),
            leakage=Value(leakage, "psi/min", 2),
        ),
        value=Value(start / leakage / MINUTES, "h", 1),
    )
    yield Step(
        label="It slows as the pressure falls",
        shows="hours_to_nothing",
        how=say("The same hole passes less air at less pressure, so the last of it goes slowly."),
        value=Value(nothing, "h", 1),
    )
    yield Step(
        label="After the wait",
        shows="brake_cylinder_left",
        how=say("{wait} through that hole", wait=Value(wait, "h", 1)),
        value=psi(left),
        decides=True,
    )


def _notes(*, needed_missing: bool) -> Iterator[Note]:
    yield Note(
        kind="warning",
        text=say(
            "An applied brake is not securement, however much it reads. Set hand brakes, at least "
            "one and as many as your railroad's chart asks, and prove them with the air off."
        ),
    )
    yield Note(
        kind="warning",
        text=say(
            "One train was left with about {off} off and let go after about {hours}; another held "
            "about as long on retaining valves at {retained}, in great cold, and rolled.",
            off=LEFT_SET.shown(),
            hours=LEFT_HOURS.shown(),
            retained=RETAINED_HIGH.shown(),
        ),
    )
    if needed_missing:
        yield Note(
            text=say(
                "The pressure that holds your train was not given: without it no time can be told "
                "at which the train is held no more."
            )
        )
    yield Note(
        text=say(
            "Worn cars in great cold took up to {times} times the air of new ones: take a leak read "
            "in the warm as far too small.",
            times=Value(COLD_TIMES.value, ""),
        )
    )


def _curve(
    start: float, rate: float, nothing: float, atmosphere: float, wait: float, left: float
) -> Series:
    most = min(max(nothing, wait), LONGEST_HOURS)
    hours = sorted({most * number / CURVE_POINTS for number in range(CURVE_POINTS + 1)})
    return Series(
        title="One cylinder's pressure while the train waits",
        x=Axis(term="Time", unit="h", digits=1),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(
                name="Brake cylinder at this leak",
                points=tuple(
                    (
                        hour,
                        pressure_after(
                            from_pressure=start, time=hour, rate=rate, atmosphere=atmosphere
                        ),
                    )
                    for hour in hours
                ),
                color="brake_cylinder",
            ),
            Line(
                name="The same with a leak five times as large, as in great cold",
                points=tuple(
                    (
                        hour,
                        pressure_after(
                            from_pressure=start,
                            time=hour,
                            rate=rate * COLD_TIMES.value,
                            atmosphere=atmosphere,
                        ),
                    )
                    for hour in hours
                ),
                color="exhaust",
            ),
        ),
        marked=((wait, left),) if wait <= most else (),
        note="The mark is the end of the wait.",
    )
