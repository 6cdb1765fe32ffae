"""The `car-brake` calculator: what one car's brake cylinder gets, and which limit decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity, Typical
from calculators.base.results import Outcome, Reading, Value
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import (
    THE_CAR,
    Atmosphere,
    AuxiliaryVolume,
    BrakePipeSetting,
    Charged,
    CylinderBore,
    EmergencyVolume,
    MovingReduction,
    PistonTravel,
    QuickServiceLimit,
    Reduction,
    UnsweptVolume,
)
from calculators.equipment.car import (
    MOVING_REDUCTION,
    QUICK_SERVICE_LIMIT,
    CarBrake,
    cylinder_pressure,
    emergency_pressure,
    full_service_pressure,
    full_service_reduction,
    rule_full_service_pressure,
    rule_of_thumb,
    service_pressure,
)
from calculators.equipment.retaining import Position, held_pressure
from calculators.law.records import Citation
from calculators.questions.car_brake import words

# Emergency gives about this much more than full service [S: ARMY-203; ARRC-96 67-10].
RULE_EMERGENCY = 1.2


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
)
def car_brake(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    reduction: Reduction = 10.0,
    application: Annotated[
        str,
        Choice(
            term="Application",
            options=(
                Option(value="service", words="service"),
                Option(value="emergency", words="emergency"),
            ),
        ),
    ] = "service",
    retaining_valve: Annotated[
        str,
        Choice(
            term="Retaining valve",
            options=(
                Option(value="direct", words="direct: lets everything out"),
                Option(value="high-pressure", words="high pressure: holds 20 psi"),
                Option(value="low-pressure", words="low pressure: holds 10 psi"),
                Option(value="slow-direct", words="slow direct: lets it out in about 86 s"),
            ),
            help="Acts only after a release.",
            mark="S",
        ),
    ] = "direct",
    charged: Charged = None,
    piston_travel: PistonTravel = 8.0,
    cylinder_bore: CylinderBore = 10.0,
    auxiliary_volume: AuxiliaryVolume = 2500.0,
    emergency_volume: EmergencyVolume = 3500.0,
    unswept_volume: UnsweptVolume = None,
    quick_service_limit: QuickServiceLimit = QUICK_SERVICE_LIMIT,
    moving_reduction: MovingReduction = MOVING_REDUCTION,
    load_device: Annotated[
        str,
        Choice(
            term="Empty/load device",
            options=(
                Option(value="none", words="none on this car"),
                Option(value="loaded", words="in the loaded position"),
                Option(value="empty", words="in the empty position"),
            ),
            group=THE_CAR,
        ),
    ] = "none",
    empty_share: Annotated[
        float | None,
        Quantity(
            term="Empty position gives, of the loaded force",
            unit="%",
            low=20,
            high=100,
            help="35 to 60 was read; the car's own badge or manual tells.",
            blank="35 to 60",
            typical=(
                Typical(value=35, words="low end read", mark="S"),
                Typical(value=60, words="high end read", mark="S"),
            ),
            group=THE_CAR,
        ),
    ] = None,
    atmosphere: Atmosphere = 14.7,
) -> CarBrakeAnswer:
    """Predict a car's brake cylinder once everything has settled.

    Parameters
    ----------
    brake_pipe_setting, charged
        The setting, and what this car was charged to if that is another pressure. [psi]
    reduction, application
        Fall of the brake pipe from there [psi], and whether it is service or emergency.
    retaining_valve
        Position of the retaining valve; acts after a release.
    piston_travel, cylinder_bore
        Travel and bore of the brake cylinder. [in]
    auxiliary_volume, emergency_volume, unswept_volume
        Reservoirs and the cylinder space that is not swept. [cu in]
    quick_service_limit, moving_reduction
        Pressure that quick service fills to, reduction that moves the valve. [psi]
    load_device, empty_share
        Empty/load device and the share of the loaded force in its empty position. [%]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    CarBrakeAnswer
        Pressures in psi and what decided them.

    Raises
    ------
    InputError
        If the reduction is more than the car was charged to.
    """
    P = brake_pipe_setting if charged is None else charged
    if reduction > P:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; this car was charged to {P:g} psi, so no more than "
            "that can come off.",
        )
    car = CarBrake(
        auxiliary_volume=auxiliary_volume,
        emergency_volume=emergency_volume,
        cylinder_bore=cylinder_bore,
        piston_travel=piston_travel,
        unswept_volume=unswept_volume,
    )
    full = full_service_pressure(charged=P, car=car, atmosphere=atmosphere)
    emergency = emergency_pressure(charged=P, car=car, atmosphere=atmosphere)
    volumes = service_pressure(charged=P, reduction=reduction, car=car, atmosphere=atmosphere)
    in_emergency = application == "emergency"
    cylinder = (
        emergency
        if in_emergency
        else cylinder_pressure(
            charged=P,
            reduction=reduction,
            quick_service_limit=quick_service_limit,
            moving_reduction=moving_reduction,
            car=car,
            atmosphere=atmosphere,
        )
    )
    rule = (
        RULE_EMERGENCY * rule_full_service_pressure(charged=P)
        if in_emergency
        else rule_of_thumb(charged=P, reduction=reduction)
    )
    position = cast(Position, retaining_valve)
    decisive: words.Decisive
    if in_emergency:
        decisive = "emergency"
    elif reduction < moving_reduction:
        decisive = "not moved"
    elif P - reduction <= full:
        decisive = "equalization"
    elif quick_service_limit > volumes:
        decisive = "quick service"
    else:
        decisive = "volumes"
    facts = words.Facts(
        charged=P,
        setting=brake_pipe_setting,
        reduction=reduction,
        car=car,
        cylinder=cylinder,
        full=full,
        emergency=emergency,
        volumes=volumes,
        rule=rule,
        decisive=decisive,
        quick_service_limit=quick_service_limit,
        moving_reduction=moving_reduction,
        position=position,
        load_device=load_device,
        empty_share=empty_share,
        atmosphere=atmosphere,
    )
    return CarBrakeAnswer(
        brake_cylinder=cylinder,
        full_service_pressure=full,
        full_service_reduction=full_service_reduction(charged=P, car=car, atmosphere=atmosphere),
        emergency_pressure=emergency,
        rule_of_thumb=rule,
        retained=held_pressure(position=position, brake_cylinder=cylinder),
        headline=words.headline(facts),
        working=tuple(words.working(facts)),
        notes=tuple(words.notes(facts)),
        readings=(
            Reading(limit="piston-travel", value=Value(piston_travel, "in", 1)),
            Reading(limit="piston-travel-effective", value=Value(piston_travel, "in", 1)),
        ),
        series=tuple(words.series(facts)),
    )
