"""The `over-reduction` calculator: what taking off more than a full service costs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
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
from calculators.equipment.air_supply import air_needed
from calculators.equipment.car import CarBrake, full_service_reduction, service_pressure
from calculators.equipment.leakage import pipe_volume
from calculators.law.records import Citation
from calculators.questions.over_reduction.inputs import OverReductionInputs

CURVE_PAST = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class OverReduction(Outcome):
    """How far past full service a set went, and what it costs."""

    full_service_reduction: Annotated[float, Quantity(term="Full service reduction", unit="psi")]
    over_reduction: Annotated[float, Quantity(term="Taken past full service", unit="psi")]
    brake_cylinder: Annotated[float, Quantity(term="Brake cylinder of the car", unit="psi")]
    rise_before_release: Annotated[
        float,
        Quantity(
            term="Rise before a release can begin",
            unit="psi",
            help="on top of the psi or so that moves the valve",
        ),
    ]
    air_wasted: Annotated[
        float, Quantity(term="Air let out of the pipe for nothing", unit="cu ft", digits=1)
    ]
    time_to_replace: Annotated[
        float,
        Quantity(
            term="Time to pump it back", unit="min", digits=1, help="at least, without leakage"
        ),
    ]


@calculator(
    "over-reduction",
    title="Over-reduction",
    question="Does taking off more than this brake the train any harder, and what does it cost?",
    first=FirstScreen(
        figures={
            "over_reduction": "past full service",
            "full_service_reduction": "full service, off",
            "brake_cylinder": "a car's cylinder",
        },
        asked={"": "{reduction:bare} off {brake_pipe_setting}"},
        keys=(Key(field="reduction", presets=(26, 28, 30, 32, 35, 40)),),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("ARMY-203", "ch. 8"),
        Citation("MCB-06", "test 3"),
        Citation("ARRC-96", "glossary, G-11"),
        Citation("NTSB-90", "p. 18 of the scan"),
    ),
    validity=(
        "Settled, every car charged alike, air at one temperature.",
        "Full service comes a psi or two earlier or later from car to car, with piston travel.",
    ),
    leaves_out=(
        "Leakage, and the air that the reservoirs need again in any case.",
        "The locomotive's own brake, which its limiting valve holds.",
    ),
)
def over_reduction(given: OverReductionInputs) -> OverReduction:
    """Say what lies past full service.

    Returns
    -------
    OverReduction
        Pressures [psi], air [cu ft] and time [min].

    Raises
    ------
    InputError
        If the reduction is more than the cars were charged to.
    """
    P = given.brake_pipe_setting if given.charged is None else given.charged
    if given.reduction > P:
        raise InputError(
            "reduction",
            f"Reduction is {given.reduction:g} psi; the train was charged to {P:g} psi, so no more than "
            "that can come off.",
        )
    car = given.car.brake()
    full = full_service_reduction(charged=P, car=car, atmosphere=given.car.atmosphere)
    over = max(0.0, given.reduction - full)
    cylinder = service_pressure(
        charged=P, reduction=given.reduction, car=car, atmosphere=given.car.atmosphere
    )
    volume = pipe_volume(
        cars=given.train.cars, car_length=given.train.car_length, bore=float(given.train.pipe_bore)
    )
    air = air_needed(volume=volume, rise=over, atmosphere=given.car.atmosphere)
    return OverReduction(
        full_service_reduction=full,
        over_reduction=over,
        brake_cylinder=cylinder,
        rise_before_release=over,
        air_wasted=air,
        time_to_replace=air / given.delivery,
        headline=_headline(P, given.reduction, full, over, air),
        working=(
            Step(
                label="Full service",
                shows="full_service_reduction",
                how=say(
                    "Auxiliary and cylinder meet at {pressure}, that is {full} off {charged}",
                    pressure=psi(P - full),
                    full=psi(full),
                    charged=psi(P),
                ),
                value=psi(full),
            ),
            Step(
                label="Past it",
                shows="over_reduction",
                how=say(
                    "{off} − {full}, not less than nothing",
                    off=psi(given.reduction),
                    full=psi(full),
                ),
                value=psi(over),
                decides=True,
            ),
            Step(
                label="Air let out for nothing",
                shows="air_wasted",
                how=say(
                    "{volume} of pipe × {over} / {atmosphere}",
                    volume=Value(volume, "cu ft", 1),
                    over=psi(over),
                    atmosphere=psi(given.car.atmosphere, 1),
                ),
                value=Value(air, "cu ft", 1),
            ),
            Step(
                label="Time to pump it back",
                shows="time_to_replace",
                how=say(
                    "{air} / {delivery}, if nothing leaks",
                    air=Value(air, "cu ft", 1),
                    delivery=Value(given.delivery, "cfm"),
                ),
                value=Value(air / given.delivery, "min", 1),
            ),
        ),
        notes=tuple(_notes(over)),
        series=(_curve(P, full, car, given.car.atmosphere, given.reduction, cylinder),),
    )


def _headline(charged: float, reduction: float, full: float, over: float, air: float) -> Phrase:
    if over == 0:
        return say(
            "{off} off {charged} is {short} short of full service: nothing is wasted.",
            off=psi(reduction),
            charged=psi(charged),
            short=psi(full - reduction),
        )
    return say(
        "{off} off {charged} is {over} past full service: the cars gain nothing, and {air} of air "
        "is lost.",
        off=psi(reduction),
        charged=psi(charged),
        over=psi(over),
        air=Value(air, "cu ft"),
    )


def _notes(over: float) -> Iterator[Note]:
    if over > 0:
        yield Note(
            text=say(
                "After it the pipe is {over} under the auxiliaries. It must first rise that far "
                "along the whole train before a car can let go, so the release is late and the rear "
                "is the last to have it.",
                over=psi(over),
            )
        )
    yield Note(
        text=say(
            "Needing more than a full service is a reason for emergency or for the railroad's own "
            "rule, not for more reduction."
        )
    )


def _curve(
    charged: float,
    full: float,
    car: CarBrake,
    atmosphere: float,
    reduction: float,
    cylinder: float,
) -> Series:
    most = int(min(charged, full + CURVE_PAST))
    offs = sorted({*(float(off) for off in range(0, most + 1, 2)), full, float(most)})
    points = tuple(
        (
            off,
            service_pressure(charged=charged, reduction=off, car=car, atmosphere=atmosphere),
        )
        for off in offs
    )
    return Series(
        title="A car's brake cylinder against the reduction: flat past full service",
        x=Axis(term="Reduction", unit="psi", digits=1),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(Line(name="By volumes", points=points, color="brake_cylinder"),),
        marked=((reduction, cylinder),) if reduction <= most else (),
        note="The mark is this answer. Quick service is left out.",
    )
