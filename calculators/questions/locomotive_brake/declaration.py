"""The `locomotive-brake` calculator: what the gauges show at rest, and which link decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import Axis, Line, Outcome, Reading, Series, psi, say
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, Reduction, ReleaseType
from calculators.equipment import car
from calculators.equipment.locomotive import (
    AtRest,
    BailOff,
    Command,
    CutOff,
    Equipment,
    Handle,
    UnitStanding,
    at_rest,
    reduction_at_limit,
)
from calculators.equipment.locomotive import ReleaseType as ValveRelease
from calculators.law.records import Citation
from calculators.questions.locomotive_brake.words import headline, notes, working
from calculators.questions.shared.locomotive import (
    EXAMPLE,
    REDUCTION_AT_BAIL_OFF,
    STATE,
    YOURS,
    BailOffChoice,
    CutOffChoice,
    DeadEngineSetting,
    EmergencyLimit,
    EmergencyThreshold,
    HandleChoice,
    MainReservoir,
    MinimumReduction,
    Multiplier,
    Pipe16Volume,
    RelayRatioAutomatic,
    RelayRatioIndependent,
    ServiceLimit,
    SuppressionReduction,
    pressure,
)

CURVE_TO = 36

UnitChoice = Annotated[
    str,
    Choice(
        term="This unit is",
        options=(
            Option(value="lead", words="the lead, in control"),
            Option(value="trailing", words="trailing, cut out"),
            Option(value="dead", words="hauled dead"),
        ),
        group=STATE,
    ),
]
YesNo = (Option(value="no", words="no"), Option(value="yes", words="yes"))
OnOff = (Option(value="off", words="off"), Option(value="on", words="on"))


@dataclass(frozen=True, slots=True, kw_only=True)
class LocomotiveBrake(Outcome):
    """The locomotive's gauges at rest, the pipes behind them, and the cars' figure beside."""

    equalizing_reservoir: Annotated[float, Quantity(term="Equalizing reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe", unit="psi")]
    pipe_16: Annotated[float, Quantity(term="Pipe 16 (control valve to relay valve)", unit="psi")]
    pipe_20: Annotated[float, Quantity(term="Pipe 20 (independent brake)", unit="psi")]
    pilot: Annotated[float, Quantity(term="Pilot to the relay valve", unit="psi")]
    decided_by: Annotated[str, Words(term="Decided by")]
    brake_cylinder: Annotated[float, Quantity(term="Locomotive brake cylinder", unit="psi")]
    reduction_at_limit: Annotated[
        float, Quantity(term="Reduction at which the limiting valve takes over", unit="psi")
    ]
    car_brake_cylinder: Annotated[
        float,
        Quantity(
            term="A car's brake cylinder for the same reduction",
            unit="psi",
            help="nominal car, 8 in travel; see the car brake calculator",
        ),
    ]


@calculator(
    "locomotive-brake",
    title="Locomotive brake",
    question="What should the locomotive's gauges show for this handle position, and why?",
    sources=(
        Citation("ARMY-223", "pp. 2-7, 4-78"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("ARRC-96", "glossary; pages 63-6, 64"),
        Citation("MUS-26", "handle positions"),
    ),
    validity=(
        "At rest: everything has stopped moving. On the way there the gauges pass through other figures.",
        "Whole psi, and gauges are allowed an error of their own.",
    ),
    leaves_out=(
        "Leakage, faults, and a brake valve or control valve out of adjustment.",
        "How long it takes, and what the train's length does to it.",
        "The control valve's own reservoir as a limit, unless you give its volume: it only pilots.",
    ),
)
def locomotive_brake(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    handle: HandleChoice = "service",
    reduction: Reduction = 10.0,
    independent: Annotated[
        float,
        pressure(
            "Independent brake", "Pipe 20 pressure the independent handle asks for; 0 is release."
        ),
    ] = 0.0,
    bail_off: BailOffChoice = "none",
    service_limit: ServiceLimit = EXAMPLE.service_limit,
    emergency_limit: EmergencyLimit = EXAMPLE.emergency_limit,
    multiplier: Multiplier = EXAMPLE.multiplier,
    relay_ratio_automatic: RelayRatioAutomatic = EXAMPLE.relay_ratio_automatic,
    relay_ratio_independent: RelayRatioIndependent = EXAMPLE.relay_ratio_independent,
    main_reservoir: MainReservoir = EXAMPLE.main_reservoir,
    minimum_reduction: MinimumReduction = EXAMPLE.minimum_reduction,
    suppression_reduction: SuppressionReduction = EXAMPLE.suppression_reduction,
    emergency_threshold: EmergencyThreshold = EXAMPLE.emergency_threshold,
    auxiliary_volume: Annotated[
        float | None,
        Quantity(
            term="Volume of the control valve's own reservoir",
            unit="cu in",
            low=10,
            high=20000,
            help="It only pilots and does not decide under the usual limits.",
            blank="not counted",
            group=YOURS,
        ),
    ] = None,
    pipe_16_volume: Pipe16Volume = EXAMPLE.pipe_16_volume,
    dead_engine_setting: DeadEngineSetting = EXAMPLE.dead_engine_setting,
    emergency_drops_dynamic: Annotated[
        str,
        Choice(
            term="Emergency drops the dynamic brake",
            options=YesNo,
            help="By design on one railroad's units.",
            mark="S",
            group=YOURS,
        ),
    ] = "yes",
    cut_off: CutOffChoice = "freight",
    release_type: ReleaseType = "direct",
    unit: UnitChoice = "lead",
    dynamic_brake: Annotated[str, Choice(term="Dynamic brake", options=OnOff, group=STATE)] = "off",
    earlier_reduction: Annotated[
        float,
        pressure(
            "Deepest set since the last release",
            "0 if this is the first. Tells whether the handle is on its way back.",
            group=STATE,
            high=130,
        ),
    ] = 0.0,
    reduction_at_bail_off: Annotated[float | None, REDUCTION_AT_BAIL_OFF] = None,
    control_reservoir: Annotated[
        float | None,
        pressure(
            "Control reservoir charged to",
            "Higher than the setting after an overcharge.",
            group=STATE,
            blank="the setting",
        ),
    ] = None,
) -> LocomotiveBrake:
    """Predict the locomotive's pressures at rest.

    Parameters
    ----------
    brake_pipe_setting, handle, reduction, independent, bail_off
        The setting [psi], the automatic handle's position, the reduction made [psi], the
        independent brake's pressure [psi], and the use of the bail-off.
    service_limit, emergency_limit, emergency_threshold
        Caps on pipe 16 in service and at the cylinder in emergency; the brake pipe below which
        the emergency cap stands. [psi]
    multiplier, relay_ratio_automatic, relay_ratio_independent
        Control valve multiplier and the relay's two ratios.
    main_reservoir, minimum_reduction, suppression_reduction, dead_engine_setting
        Pressures and fixed reductions of this locomotive. [psi]
    auxiliary_volume, pipe_16_volume
        Volumes of the control valve's reservoir and on pipe 16. [cu in]
    emergency_drops_dynamic, dynamic_brake
        The interlock, and whether the dynamic brake is on.
    cut_off, release_type, unit
        Cut-off selector, release type of the control valve, the unit's place.
    earlier_reduction, reduction_at_bail_off, control_reservoir
        Deepest set so far, reduction at the bail-off, charged control reservoir. [psi]

    Returns
    -------
    LocomotiveBrake
        Pressures in psi and what decided them.

    Raises
    ------
    InputError
        If the reduction is more than the setting.
    """
    if reduction > brake_pipe_setting:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; the brake pipe holds only {brake_pipe_setting:g} psi, "
            "so no more than that can come off.",
        )
    equipment = Equipment(
        brake_pipe_setting=brake_pipe_setting,
        minimum_reduction=minimum_reduction,
        suppression_reduction=suppression_reduction,
        multiplier=multiplier,
        service_limit=service_limit,
        emergency_limit=emergency_limit,
        emergency_threshold=emergency_threshold,
        relay_ratio_automatic=relay_ratio_automatic,
        relay_ratio_independent=relay_ratio_independent,
        main_reservoir=main_reservoir,
        cut_off=cast(CutOff, cut_off),
        release_type=cast(ValveRelease, release_type),
        unit=cast(UnitStanding, unit),
        dead_engine_setting=dead_engine_setting,
        auxiliary_volume=auxiliary_volume,
        pipe_16_volume=pipe_16_volume,
        emergency_drops_dynamic=emergency_drops_dynamic == "yes",
    )
    command = Command(
        handle=cast(Handle, handle),
        reduction=reduction,
        earlier_reduction=min(earlier_reduction, brake_pipe_setting),
        independent=independent,
        bail_off=cast(BailOff, bail_off),
        reduction_at_bail_off=reduction_at_bail_off,
        dynamic_brake=dynamic_brake == "on",
        control_reservoir=control_reservoir,
    )
    state = at_rest(equipment, command)
    cars = _cars(equipment, command, state)
    return LocomotiveBrake(
        equalizing_reservoir=state.equalizing_reservoir,
        brake_pipe=state.brake_pipe,
        pipe_16=state.pipe_16,
        pipe_20=state.pipe_20,
        pilot=state.pilot,
        decided_by=state.decided_by,
        brake_cylinder=state.brake_cylinder,
        reduction_at_limit=reduction_at_limit(service_limit=service_limit, multiplier=multiplier),
        car_brake_cylinder=cars,
        headline=headline(state, cars),
        working=tuple(working(equipment, command, state, cars)),
        notes=tuple(notes(equipment, command, state)),
        readings=(
            Reading(
                limit="main-reservoir-over-brake-pipe",
                value=psi(main_reservoir - brake_pipe_setting),
                not_applicable=(
                    say("A dead unit's main reservoir is fed from the brake pipe.")
                    if unit == "dead"
                    else None
                ),
            ),
        ),
        series=(_curve(equipment, command, state),),
    )


def _cars(equipment: Equipment, command: Command, state: AtRest) -> float:
    """A car's cylinder for the same brake pipe, which never stands above what it was charged to."""
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    if command.handle == "emergency":
        return car.emergency_pressure(charged=charged)
    if state.train_released:
        return 0.0
    return _car_in_service(charged, charged - state.brake_pipe)


def _car_in_service(charged: float, reduction: float) -> float:
    """A nominal car's cylinder with its quick service, as the car brake calculator starts."""
    return car.cylinder_pressure(
        charged=charged,
        reduction=reduction,
        quick_service_limit=car.QUICK_SERVICE_LIMIT,
        moving_reduction=car.MOVING_REDUCTION,
    )


def _curve(equipment: Equipment, command: Command, state: AtRest) -> Series:
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
    cars = tuple((off, _car_in_service(charged, off)) for off in offs)
    shown = state.train_reduction <= most and command.handle != "emergency"
    return Series(
        title="Brake cylinder against reduction, in service",
        x=Axis(term="Reduction", unit="psi"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(name="Locomotive, automatic", points=locomotive, color="brake_cylinder"),
            Line(name="Car, nominal", points=cars, color="brake_pipe"),
        ),
        marked=((state.train_reduction, state.brake_cylinder),) if shown else (),
        note="The mark is this answer. Crews see the locomotive's gauge; the train feels the cars' line.",
    )
