"""The `car-brake` calculator: what one car's brake cylinder gets, and which limit decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Outcome, Reading, Value
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import (
    cylinder_pressure,
    emergency_pressure,
    full_service_pressure,
    full_service_reduction,
    rule_full_service_pressure,
    rule_of_thumb,
    service_pressure,
)
from calculators.equipment.retaining import Position, held_pressure
from calculators.figures.nominal import RULE_EMERGENCY
from calculators.law.records import Citation
from calculators.questions.car_brake import words
from calculators.questions.car_brake.inputs import CarBrakeInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class CarBrakeAnswer(Outcome):
    """One car's cylinder and the limits that its volumes set."""

    brake_cylinder: Annotated[float, Quantity(term="Brake cylinder of the car", unit="psi")]
    full_service_pressure: Annotated[float, Quantity(term="Full service pressure", unit="psi")]
    full_service_reduction: Annotated[
        float,
        Quantity(term="Full service reduction", unit="psi", help="more than this adds nothing"),
    ]
    emergency_pressure: Annotated[float, Quantity(term="Emergency pressure", unit="psi")]
    rule_of_thumb: Annotated[
        float, Quantity(term="By the rule of thumb", unit="psi", help="quick estimate")
    ]
    retained: Annotated[
        float,
        Quantity(
            term="Left in the cylinder after a release",
            unit="psi",
            help="by the retaining valve, once the release has run its course",
        ),
    ]


@calculator(
    "car-brake",
    title="Car brake cylinder",
    question="What does a car's brake cylinder get from this reduction, or in emergency?",
    first=FirstScreen(
        weighs=True,
        figures={
            "brake_cylinder": "the car's cylinder",
            "full_service_pressure": "full service",
            "emergency_pressure": "emergency",
        },
        asked={
            "service": "{reduction:bare} off {brake_pipe_setting}",
            "emergency": "emergency from {brake_pipe_setting}",
        },
        asked_by="application",
        besides={"retaining_valve": "retaining valve {retaining_valve}"},
        keys=(
            Key(field="application"),
            Key(
                field="reduction",
                presets=(6, 10, 12, 15, 20, 26),
                only=("application", ("service",)),
            ),
            Key(field="retaining_valve"),
        ),
        line={"brake_pipe_setting": "", "piston_travel": "travel"},
        means={"": "parts/car-control-valve/"},
    ),
    sources=(
        Citation("ARMY-203", "ch. 8"),
        Citation("NTSB-90", "p. 18 of the scan"),
        Citation("HOWARD", "rule of 2.5"),
        Citation("AAR-S-400", "table 2.1"),
        Citation("AAR-S-401", "2.1.3"),
        Citation("ARRC-96", "67, 67-10, 67-12"),
        Citation("CFR-232-205", "(c)(5)"),
    ),
    validity=(
        "Settled: the air has stopped moving. Air at one temperature, no leakage.",
        "Within about 1 psi of the usual table at 8 in travel; whole psi are all that it can carry.",
    ),
    leaves_out=(
        "Leakage of cylinder and reservoirs, and how long the application takes.",
        "Worn valves: no figure in this answer tells that a car's brake works.",
    ),
    judges=(
        "piston-travel",
        "piston-travel-effective",
    ),
)
def car_brake(given: CarBrakeInputs) -> CarBrakeAnswer:
    """Predict a car's brake cylinder once everything has settled.

    Returns
    -------
    CarBrakeAnswer
        Pressures in psi and what decided them.

    Raises
    ------
    InputError
        If the reduction is more than the car was charged to.
    """
    P = given.brake_pipe_setting if given.charged is None else given.charged
    if given.reduction > P:
        raise InputError(
            "reduction",
            f"Reduction is {given.reduction:g} psi; this car was charged to {P:g} psi, so no more than "
            "that can come off.",
        )
    car = given.car.brake()
    full = full_service_pressure(charged=P, car=car, atmosphere=given.car.atmosphere)
    emergency = emergency_pressure(charged=P, car=car, atmosphere=given.car.atmosphere)
    volumes = service_pressure(
        charged=P, reduction=given.reduction, car=car, atmosphere=given.car.atmosphere
    )
    in_emergency = given.application == "emergency"
    cylinder = (
        emergency
        if in_emergency
        else cylinder_pressure(
            charged=P,
            reduction=given.reduction,
            quick_service_limit=given.car.quick_service_limit,
            moving_reduction=given.car.moving_reduction,
            car=car,
            atmosphere=given.car.atmosphere,
        )
    )
    rule = (
        RULE_EMERGENCY.value * rule_full_service_pressure(charged=P)
        if in_emergency
        else rule_of_thumb(charged=P, reduction=given.reduction)
    )
    position = cast(Position, given.retaining_valve)
    decisive: words.Decisive
    if in_emergency:
        decisive = "emergency"
    elif given.reduction < given.car.moving_reduction:
        decisive = "not moved"
    elif P - given.reduction <= full:
        decisive = "equalization"
    elif given.car.quick_service_limit > volumes:
        decisive = "quick service"
    else:
        decisive = "volumes"
    found = words.Found(
        charged=P,
        car=car,
        cylinder=cylinder,
        full=full,
        emergency=emergency,
        volumes=volumes,
        rule=rule,
        decisive=decisive,
        position=position,
    )
    return CarBrakeAnswer(
        brake_cylinder=cylinder,
        full_service_pressure=full,
        full_service_reduction=full_service_reduction(
            charged=P, car=car, atmosphere=given.car.atmosphere
        ),
        emergency_pressure=emergency,
        rule_of_thumb=rule,
        retained=held_pressure(position=position, brake_cylinder=cylinder),
        headline=words.headline(given, found),
        working=tuple(words.working(given, found)),
        notes=tuple(words.notes(given, found)),
        readings=(
            Reading(limit="piston-travel", value=Value(given.car.piston_travel, "in", 1)),
            Reading(limit="piston-travel-effective", value=Value(given.car.piston_travel, "in", 1)),
        ),
        series=tuple(words.series(given, found)),
    )
