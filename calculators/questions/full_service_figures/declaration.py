"""The `full-service-figures` calculator: full service and emergency for any brake pipe pressure."""

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
    Reading,
    Series,
    Step,
    Value,
    psi,
    say,
)
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import (
    CarBrake,
    emergency_pressure,
    full_service_pressure,
    rule_full_service_pressure,
)
from calculators.figures.nominal import RULE_FACTOR, USUAL_EMERGENCY, USUAL_FULL_SERVICE
from calculators.law.records import Citation
from calculators.questions.full_service_figures.inputs import FullServiceFiguresInputs
from calculators.questions.shared.low_emergency import (
    NOT_ASSURED,
    is_low,
    warnings_of_low_emergency,
)

TABLE = tuple(float(pressure) for pressure in range(50, 115, 5))


@dataclass(frozen=True, slots=True, kw_only=True)
class FullServiceFigures(Outcome):
    """The two figures of a brake pipe pressure, and how they compare."""

    full_service_pressure: Annotated[float, Quantity(term="Full service pressure", unit="psi")]
    full_service_reduction: Annotated[float, Quantity(term="Full service reduction", unit="psi")]
    emergency_pressure: Annotated[float, Quantity(term="Emergency pressure", unit="psi")]
    emergency_over_full: Annotated[
        float, Quantity(term="Emergency over full service", unit="", digits=2)
    ]
    rule_of_thumb: Annotated[
        float,
        Quantity(term="Full service by the rule of thumb", unit="psi", help="pressure over 1.4"),
    ]


@calculator(
    "full-service-figures",
    title="Full service and emergency figures",
    question="What are full service and emergency at this brake pipe pressure?",
    first=FirstScreen(
        figures={
            "full_service_pressure": "full service",
            "full_service_reduction": "after, off",
            "emergency_pressure": "emergency",
        },
        asked={"": "from {brake_pipe_setting}"},
        keys=(Key(field="brake_pipe_setting", presets=(70, 80, 90, 100, 110)),),
        line={"piston_travel": "travel", "cylinder_bore": "bore"},
    ),
    sources=(
        Citation("ARMY-203", "ch. 8"),
        Citation("MCB-06", "test 3"),
        Citation("NTSB-90", "p. 18 of the scan"),
        Citation("HOWARD", "rule of 2.5"),
        Citation("ARRC-96", "67-10"),
    ),
    validity=(
        "Settled: the air has stopped moving. Air at one temperature, no leakage.",
        "For a car charged to this pressure; at the rear of a train that is less than the setting.",
    ),
    leaves_out=(
        "Leakage, worn valves, and how long it takes.",
        "The locomotive's own cylinders: its limiting valves decide there.",
    ),
    judges=("piston-travel",),
)
def full_service_figures(given: FullServiceFiguresInputs) -> FullServiceFigures:
    """Give full service and emergency at one pressure and over the range in use.

    Returns
    -------
    FullServiceFigures
        Pressures in psi.
    """
    P = given.brake_pipe_setting
    car = given.car.brake()
    full = full_service_pressure(charged=P, car=car, atmosphere=given.car.atmosphere)
    emergency = emergency_pressure(charged=P, car=car, atmosphere=given.car.atmosphere)
    rule = rule_full_service_pressure(charged=P)
    return FullServiceFigures(
        full_service_pressure=full,
        full_service_reduction=P - full,
        emergency_pressure=emergency,
        emergency_over_full=emergency / full,
        rule_of_thumb=rule,
        headline=say(
            "Off {charged}: full service {full} after {off} off, emergency {emergency}."
            + (NOT_ASSURED if is_low(P, given.emergency_needs) else ""),
            charged=psi(P),
            full=psi(full),
            off=psi(P - full),
            emergency=psi(emergency),
        ),
        working=tuple(_working(P, car, given.car.atmosphere, full, emergency, rule)),
        notes=(*warnings_of_low_emergency(P, given.emergency_needs), *_notes(car)),
        readings=(Reading(limit="piston-travel", value=Value(given.car.piston_travel, "in", 1)),),
        series=(_curve(car, given.car.atmosphere, P, full),),
    )


def _working(
    charged: float, car: CarBrake, atmosphere: float, full: float, emergency: float, rule: float
) -> Iterator[Step]:
    A = psi(atmosphere, 1)
    unswept = Value(car.unswept, "cu in")
    both = car.auxiliary_volume + car.emergency_volume
    for label, shows, reservoirs, value in (
        (
            "Full service: the auxiliary alone",
            "full_service_pressure",
            car.auxiliary_volume,
            full,
        ),
        ("Emergency: both reservoirs", "emergency_pressure", both, emergency),
    ):
        yield Step(
            label=label,
            shows=shows,
            how=say(
                "(({charged} + {A}) × {reservoirs} + {A2} × {unswept}) / {all} − {A3}",
                charged=psi(charged),
                A=A,
                A2=A,
                A3=A,
                reservoirs=Value(reservoirs, "cu in"),
                unswept=unswept,
                all=Value(reservoirs + car.cylinder, "cu in"),
            ),
            value=psi(value),
        )
    yield Step(
        label="Full service reduction",
        shows="full_service_reduction",
        how=say("{charged} − {full}", charged=psi(charged), full=psi(full)),
        value=psi(charged - full),
    )
    yield Step(
        label="Rule of thumb, beside it",
        shows="rule_of_thumb",
        how=say(
            "{charged} / {factor}",
            charged=psi(charged),
            factor=Value(1 + 1 / RULE_FACTOR.value, "", 1),
        ),
        value=psi(rule),
    )


def _notes(car: CarBrake) -> Iterator[Note]:
    yield Note(
        text=say(
            "The space of {unswept} is fitted, so that {charged} meets the cylinder at {full}; it is "
            "no dimension of a drawing.",
            unswept=Value(car.unswept, "cu in"),
            charged=psi(90),
            full=psi(64),
        )
        if car.unswept_volume is None
        else say("The cylinder space that is not swept is your own figure.")
    )
    yield Note(
        text=say(
            "The usual table in the curve is nominal, from memory: it is there to be compared, not "
            "as a check."
        )
    )


def _curve(car: CarBrake, atmosphere: float, charged: float, full: float) -> Series:
    pressures = sorted({*TABLE, charged})
    return Series(
        title="Full service and emergency against the brake pipe pressure",
        x=Axis(term="Brake pipe", unit="psi"),
        y=Axis(term="Pressure", unit="psi"),
        lines=(
            Line(
                name="Full service",
                points=tuple(
                    (p, full_service_pressure(charged=p, car=car, atmosphere=atmosphere))
                    for p in pressures
                ),
                color="brake_cylinder",
            ),
            Line(
                name="Emergency",
                points=tuple(
                    (p, emergency_pressure(charged=p, car=car, atmosphere=atmosphere))
                    for p in pressures
                ),
                color="exhaust",
            ),
            Line(
                name="Full service reduction",
                points=tuple(
                    (p, p - full_service_pressure(charged=p, car=car, atmosphere=atmosphere))
                    for p in pressures
                ),
                color="brake_pipe",
            ),
            Line(
                name="Usual table, full service (nominal, from memory)",
                points=tuple((at, one.value) for at, one in USUAL_FULL_SERVICE.items()),
                color="reservoir",
            ),
            Line(
                name="Usual table, emergency (nominal, from memory)",
                points=tuple((at, one.value) for at, one in USUAL_EMERGENCY.items()),
                color="main_reservoir",
            ),
        ),
        marked=((charged, full),),
        note="The mark is this answer's full service.",
    )
