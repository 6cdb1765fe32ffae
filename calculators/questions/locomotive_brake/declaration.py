"""The `locomotive-brake` calculator: what the gauges show at rest, and which link decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Words
from calculators.base.results import Axis, Line, Outcome, Reading, Series, psi, say
from calculators.declaring.first_screen import FirstScreen, Key, Sought
from calculators.declaring.registry import calculator
from calculators.equipment import car
from calculators.equipment.locomotive import (
    AtRest,
    BailOff,
    CutOff,
    Equipment,
    Handle,
    HandleDemand,
    UnitStanding,
    at_rest,
    limit_in_service,
    reduction_at_limit,
)
from calculators.equipment.locomotive import ReleaseType as ValveRelease
from calculators.figures.nominal import AUXILIARY_VOLUME
from calculators.law.records import Citation
from calculators.questions.locomotive_brake.inputs import LocomotiveBrakeInputs
from calculators.questions.locomotive_brake.words import headline, notes, working
from calculators.questions.shared.car import CarInputs

CURVE_TO = 36


@dataclass(frozen=True, slots=True, kw_only=True)
class LocomotiveBrake(Outcome):
    """The locomotive's gauges at rest, the pipes behind them, and the cars' figure beside."""

    equalizing_reservoir: Annotated[float, Quantity(term="Equalizing reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe", unit="psi")]
    pipe_16: Annotated[float, Quantity(term="Pipe 16 (control valve to relay valve)", unit="psi")]
    pipe_20: Annotated[float, Quantity(term="Pipe 20 (independent brake)", unit="psi")]
    pilot: Annotated[float, Quantity(term="Pilot to the relay valve", unit="psi")]
    decided_by: Annotated[str, Words(term="Passed by the double check valve")]
    brake_cylinder: Annotated[float, Quantity(term="Locomotive brake cylinder", unit="psi")]
    reduction_at_limit: Annotated[
        float, Quantity(term="Reduction at which pipe 16 is at its limit", unit="psi")
    ]
    car_brake_cylinder: Annotated[
        float,
        Quantity(
            term="A car's brake cylinder for the same reduction",
            unit="psi",
            help="the car given under The car, at its place in a charged train",
        ),
    ]


@calculator(
    "locomotive-brake",
    title="Locomotive brake",
    question="What should the locomotive's gauges show for this handle position, and why?",
    first=FirstScreen(
        figures={
            "brake_pipe": "brake pipe",
            "brake_cylinder": "locomotive",
            "car_brake_cylinder": "a car",
        },
        asked={
            "service": "{reduction:bare} off {brake_pipe_setting}",
            "": "{handle}, from {brake_pipe_setting}",
        },
        asked_by="handle",
        besides={"independent": "independent {independent}", "bail_off": "bail-off: {bail_off}"},
        keys=(
            Key(field="handle"),
            Key(field="reduction", presets=(6, 10, 12, 15, 20, 26), only=("handle", ("service",))),
            Key(field="independent"),
            Key(field="bail_off"),
        ),
        line={"brake_pipe_setting": "", "service_limit": "limit"},
        decided="decided_by",
        weighs=True,
        means={
            "brake_pipe": "circuits/service-lap/#when-it-shows-something-else",
            "": "circuits/service-application/#when-it-shows-something-else",
        },
        sought={
            result: tuple(
                Sought(
                    entry=f"{stage} {gauge}",
                    only={
                        "handle": "service",
                        "reduction": off,
                        "independent": 0.0,
                        "bail_off": "none",
                        "unit": "lead",
                    },
                )
                for stage, off in (("ten-off", 10.0), ("thirty-off", 30.0))
            )
            for result, gauge in (
                ("brake_cylinder", "cylinder"),
                ("brake_pipe", "pipe"),
                ("equalizing_reservoir", "reservoir"),
            )
        },
    ),
    sources=(
        Citation("ARMY-223", "pp. 2-7, 4-78"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("ARRC-96", "glossary; pages 63-6, 64"),
        Citation("MUS-26", "handle positions"),
    ),
    validity=(
        "At rest: everything has stopped moving. On the way there the gauges pass through other figures.",
        "Whole psi, and gauges are allowed an error of their own.",
        f"The control valve's own reservoir holds {AUXILIARY_VOLUME.value:,.0f} cu in unless you give its volume.",
    ),
    leaves_out=(
        "Leakage, faults, and a brake valve or control valve out of adjustment.",
        "How long it takes, and what the train's length does to it.",
    ),
    judges=("main-reservoir-over-brake-pipe",),
)
def locomotive_brake(given: LocomotiveBrakeInputs) -> LocomotiveBrake:
    """Predict the locomotive's pressures at rest.

    Returns
    -------
    LocomotiveBrake
        Pressures in psi and what decided them.

    Raises
    ------
    InputError
        If the reduction is more than the setting.
    """
    if given.reduction > given.brake_pipe_setting:
        raise InputError(
            "reduction",
            f"Reduction is {given.reduction:g} psi; the brake pipe holds only {given.brake_pipe_setting:g} psi, "
            "so no more than that can come off.",
        )
    equipment = Equipment(
        brake_pipe_setting=given.brake_pipe_setting,
        minimum_reduction=given.locomotive.minimum_reduction,
        suppression_reduction=given.locomotive.suppression_reduction,
        multiplier=given.locomotive.multiplier,
        service_limit=given.locomotive.service_limit,
        emergency_limit=given.locomotive.emergency_limit,
        emergency_threshold=given.locomotive.emergency_threshold,
        relay_ratio_automatic=given.locomotive.relay_ratio_automatic,
        relay_ratio_independent=given.locomotive.relay_ratio_independent,
        main_reservoir=given.locomotive.main_reservoir,
        cut_off=cast(CutOff, given.cut_off),
        release_type=cast(ValveRelease, given.release_type),
        unit=cast(UnitStanding, given.unit),
        dead_engine_setting=given.locomotive.dead_engine_setting,
        auxiliary_volume=given.auxiliary_volume,
        pipe_16_volume=given.locomotive.pipe_16_volume,
        emergency_drops_dynamic=given.emergency_drops_dynamic == "yes",
    )
    command = HandleDemand(
        handle=cast(Handle, given.handle),
        reduction=given.reduction,
        earlier_reduction=min(given.earlier_reduction, given.brake_pipe_setting),
        independent=given.independent,
        bail_off=cast(BailOff, given.bail_off),
        reduction_at_bail_off=given.reduction_at_bail_off,
        dynamic_brake=given.dynamic_brake == "on",
        control_reservoir=given.control_reservoir,
    )
    state = at_rest(equipment, command)
    cars = _cars(given.whole_car, equipment, command, state)
    charged = min(given.brake_pipe_setting, given.locomotive.main_reservoir)
    most, _ = limit_in_service(equipment, control_reservoir=charged)
    return LocomotiveBrake(
        equalizing_reservoir=state.equalizing_reservoir,
        brake_pipe=state.brake_pipe,
        pipe_16=state.pipe_16,
        pipe_20=state.pipe_20,
        pilot=state.pilot,
        decided_by=state.decided_by,
        brake_cylinder=state.brake_cylinder,
        reduction_at_limit=reduction_at_limit(limit=most, multiplier=equipment.multiplier),
        car_brake_cylinder=cars,
        headline=headline(equipment, command, state, cars, needs=given.emergency_needs),
        working=tuple(working(equipment, command, state, cars)),
        notes=tuple(notes(equipment, command, state, needs=given.emergency_needs)),
        readings=(
            Reading(
                limit="main-reservoir-over-brake-pipe",
                value=psi(given.locomotive.main_reservoir - given.brake_pipe_setting),
                not_applicable=(
                    say("A dead unit's main reservoir is fed from the brake pipe.")
                    if given.unit == "dead"
                    else None
                ),
            ),
        ),
        series=(_curve(given.whole_car, equipment, command, state),),
    )


def _cars(one: CarInputs, equipment: Equipment, command: HandleDemand, state: AtRest) -> float:
    """A car's cylinder for the same brake pipe, which never stands above what it was charged to."""
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    if command.handle == "emergency":
        return car.emergency_pressure(charged=charged, car=one.brake(), atmosphere=one.atmosphere)
    if state.train_released:
        return 0.0
    return _car_in_service(one, charged, charged - state.brake_pipe)


def _car_in_service(one: CarInputs, charged: float, reduction: float) -> float:
    """A car's cylinder with its quick service, as the car brake calculator has it."""
    return car.cylinder_pressure(
        charged=charged,
        reduction=reduction,
        quick_service_limit=one.quick_service_limit,
        moving_reduction=one.moving_reduction,
        car=one.brake(),
        atmosphere=one.atmosphere,
    )


def _curve(one: CarInputs, equipment: Equipment, command: HandleDemand, state: AtRest) -> Series:
    """Cylinder against reduction, locomotive and car, with this answer marked."""
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    most = int(min(CURVE_TO, charged))
    offs = [float(off) for off in range(0, most + 1, 2)]
    cap = equipment.service_limit
    locomotive = tuple(
        (
            off,
            min(
                equipment.relay_ratio_automatic * min(equipment.multiplier * off, cap), state.supply
            ),
        )
        for off in offs
    )
    cars = tuple((off, _car_in_service(one, charged, off)) for off in offs)
    shown = state.train_reduction <= most and command.handle != "emergency"
    return Series(
        title="Brake cylinder against reduction, in service",
        x=Axis(term="Reduction", unit="psi"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(name="Locomotive, automatic", points=locomotive, color="brake_cylinder"),
            Line(name="Car", points=cars, color="brake_pipe"),
        ),
        marked=((state.train_reduction, state.brake_cylinder),) if shown else (),
        note="The mark is this answer. Crews see the locomotive's gauge; the train feels the cars' line.",
    )
