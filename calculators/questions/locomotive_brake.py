"""The `locomotive-brake` calculator: what the gauges show at rest, and which link decided."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Mark, Option, Quantity, Words
from calculators.base.registry import calculator
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Reading,
    Series,
    Step,
    Value,
    plain,
    psi,
    say,
)
from calculators.base.sources import Citation
from calculators.base.vocabulary import BrakePipeSetting, Reduction, ReleaseType
from calculators.equipment import car
from calculators.equipment.locomotive import (
    MAIN_RESERVOIR_MARGIN,
    AtRest,
    BailOff,
    Command,
    CutOff,
    Equipment,
    Handle,
    UnitStanding,
    asked_reduction,
    at_rest,
    double_check,
    reduction_at_limit,
)
from calculators.equipment.locomotive import ReleaseType as ValveRelease

YOURS = "Your locomotive"
STATE = "How it is set up now"

# A cylinder above this is worth a second look on this equipment [P].
PLAUSIBLE_CYLINDER = 75.0
# One railroad keeps the cylinder at or under this while in dynamic [S: ARRC-96 64-34].
CYLINDER_IN_DYNAMIC = 18.0
# One railroad asks for at least this set before a release [S: ARRC-96 64-3].
RELEASE_FROM = 10.0
CURVE_TO = 36

HandleChoice = Annotated[
    str,
    Choice(
        term="Automatic brake handle",
        options=(
            Option(value="release", words="release"),
            Option(value="minimum-reduction", words="minimum reduction"),
            Option(value="service", words="service zone"),
            Option(value="suppression", words="suppression"),
            Option(value="handle-off", words="handle off"),
            Option(value="emergency", words="emergency"),
        ),
        help="On a trailing or dead unit this is the lead unit's handle.",
    ),
]
BailOffChoice = Annotated[
    str,
    Choice(
        term="Bail-off",
        options=(
            Option(value="none", words="not used"),
            Option(value="held", words="handle pressed and held"),
            Option(value="released", words="pressed, then let go"),
        ),
        help="Takes the automatic application off this locomotive. It never touches the cars.",
    ),
]
CutOffChoice = Annotated[
    str,
    Choice(
        term="Cut-off selector of the brake valve",
        options=(
            Option(value="freight", words="freight: rises only in release"),
            Option(value="passenger", words="passenger: follows the handle both ways"),
            Option(value="out", words="OUT: the brake pipe does not follow"),
        ),
        mark="M",
        group=STATE,
    ),
]
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


def _pressure(
    term: str, help: str, *, mark: Mark = "", group: str = "", high: float = 200, blank: str = ""
) -> Quantity:
    """A pressure input of this calculator; they differ in little but their words."""
    return Quantity(
        term=term,
        unit="psi",
        low=0,
        high=high,
        help=help,
        mark=mark,
        group=group,
        blank=blank,
    )


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
        _pressure(
            "Independent brake", "Pipe 20 pressure the independent handle asks for; 0 is release."
        ),
    ] = 0.0,
    bail_off: BailOffChoice = "none",
    service_limit: Annotated[
        float,
        _pressure(
            "Service limiting valve set at",
            "Caps pipe 16 in service; 55 to 62 is common.",
            mark="P",
            group=YOURS,
            high=150,
        ),
    ] = 60.0,
    emergency_limit: Annotated[
        float,
        _pressure(
            "Emergency limit at the cylinder",
            "68 to 72 where it was read, on related equipment.",
            mark="S*",
            group=YOURS,
            high=150,
        ),
    ] = 70.0,
    multiplier: Annotated[
        float,
        Quantity(
            term="Control valve multiplier",
            unit="",
            low=0.5,
            high=5,
            digits=1,
            help="Psi in pipe 16 for each psi of reduction.",
            mark="P",
            group=YOURS,
        ),
    ] = 2.5,
    relay_ratio_automatic: Annotated[
        float,
        Quantity(
            term="Relay ratio, automatic",
            unit="",
            low=0.2,
            high=4,
            digits=1,
            help="Cylinder psi for each psi of pilot from pipe 16.",
            mark="S*",
            group=YOURS,
        ),
    ] = 1.0,
    relay_ratio_independent: Annotated[
        float,
        Quantity(
            term="Relay ratio, independent",
            unit="",
            low=0.2,
            high=4,
            digits=1,
            help="Cylinder psi for each psi of pilot from pipe 20; 1.6 turns 45 into 72 on some units (from memory).",
            mark="P",
            group=YOURS,
        ),
    ] = 1.0,
    main_reservoir: Annotated[
        float,
        _pressure(
            "Main reservoir", "No pipe or cylinder can stand above it.", mark="P", group=YOURS
        ),
    ] = 130.0,
    minimum_reduction: Annotated[
        float,
        _pressure(
            "Minimum reduction takes off",
            "The first notch: 5 to 8 psi by the books read.",
            mark="S",
            group=YOURS,
            high=20,
        ),
    ] = 6.0,
    suppression_reduction: Annotated[
        float,
        _pressure(
            "Suppression takes off",
            "A fixed full-service reduction.",
            mark="M",
            group=YOURS,
            high=60,
        ),
    ] = 26.0,
    emergency_threshold: Annotated[
        float,
        _pressure(
            "Emergency limit also stands below a brake pipe of",
            "For a pipe that fell at service rate (handle off, penalty). 0 means never.",
            mark="M",
            group=YOURS,
            high=60,
        ),
    ] = 20.0,
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
    pipe_16_volume: Annotated[
        float,
        Quantity(
            term="Volume on pipe 16",
            unit="cu in",
            low=1,
            high=2000,
            help="Steadies build-up and release; at rest it only counts if the reservoir above does.",
            mark="P",
            group=YOURS,
        ),
    ] = 90.0,
    dead_engine_setting: Annotated[
        float,
        _pressure(
            "Dead-engine device feeds the main reservoir to",
            "Counts only on a unit hauled dead.",
            mark="M",
            group=YOURS,
        ),
    ] = 25.0,
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
        _pressure(
            "Deepest set since the last release",
            "0 if this is the first. Tells whether the handle is on its way back.",
            group=STATE,
            high=130,
        ),
    ] = 0.0,
    reduction_at_bail_off: Annotated[
        float | None,
        _pressure(
            "Reduction that stood at the bail-off",
            "After a bail-off let go, only what comes after it counts on this locomotive.",
            group=STATE,
            high=130,
            blank="the present reduction",
        ),
    ] = None,
    control_reservoir: Annotated[
        float | None,
        _pressure(
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
        headline=_headline(state, cars),
        working=tuple(_working(equipment, command, state, cars)),
        notes=tuple(_notes(equipment, command, state)),
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


def _headline(state: AtRest, cars: float) -> Phrase:
    return say(
        "Brake pipe {pipe}, locomotive cylinder {cylinder}; a car about {car}.",
        pipe=psi(state.brake_pipe),
        cylinder=psi(state.brake_cylinder),
        car=psi(cars),
    )


def _working(equipment: Equipment, command: Command, state: AtRest, cars: float) -> Iterator[Step]:
    yield from _command_steps(equipment, command, state)
    yield from _automatic_steps(equipment, command, state)
    yield from _cylinder_steps(equipment, state)
    yield Step(
        label="The cars",
        how=(
            say("Emergency joins both of a car's reservoirs to its cylinder.")
            if command.handle == "emergency"
            else say(
                "The same {off} off works on each car by its volumes and quick service, not by the locomotive's multiplier.",
                off=psi(state.train_reduction),
            )
        ),
        value=psi(cars),
    )


def _command_steps(equipment: Equipment, command: Command, state: AtRest) -> Iterator[Step]:
    setting = psi(equipment.brake_pipe_setting)
    lead_er = state.equalizing_reservoir if equipment.unit == "lead" else None
    if command.handle == "release":
        how = say("Release brings it to the setting, {setting}.", setting=setting)
    elif command.handle in ("handle-off", "emergency"):
        how = say("The handle takes it to zero.")
    else:
        asked = asked_reduction(equipment, command)
        how = say("{setting} − {off}", setting=setting, off=psi(asked))
        if equipment.cut_off != "passenger" and command.earlier_reduction > asked:
            how = say(
                "{earlier} was already off, and only release lets it rise again: {setting} − {earlier_again}",
                earlier=psi(command.earlier_reduction),
                setting=setting,
                earlier_again=psi(command.earlier_reduction),
            )
    if lead_er is None:
        yield Step(
            label="Equalizing reservoir",
            how=say("A unit that is not in control has none in use."),
            value=psi(0),
        )
    else:
        yield Step(label="Equalizing reservoir", how=how, value=psi(lead_er))
    if command.handle == "emergency":
        pipe = say("Vented straight to atmosphere, cut in or cut out.")
    elif equipment.unit != "lead":
        pipe = say("Comes from the train: the lead unit's handle decides it.")
    elif equipment.cut_off == "out":
        pipe = say("Cut out: it stays where it was.")
    elif state.brake_pipe < state.equalizing_reservoir:
        pipe = say("Cannot be fed above what the main reservoir or the cut-off valve allows.")
    else:
        pipe = say("Follows the equalizing reservoir.")
    yield Step(label="Brake pipe", how=pipe, value=psi(state.brake_pipe))


def _automatic_steps(equipment: Equipment, command: Command, state: AtRest) -> Iterator[Step]:
    times = plain(equipment.multiplier)
    if command.handle == "emergency":
        how = say("Main-reservoir air is fed to pipe 16 up to the emergency limit.")
    elif command.bail_off == "released":
        how = say(
            "After the bail-off only what has come off since then counts, times {times}.",
            times=times,
        )
    else:
        how = say(
            "{times} × ({charged} − {pipe})",
            times=times,
            charged=psi(state.control_reservoir),
            pipe=psi(state.brake_pipe),
        )
    yield Step(
        label="Control valve asks for",
        how=how,
        value=psi(state.demand),
        decides=state.decisive == "demand",
    )
    held = state.demand > state.limit
    yield Step(
        label=state.limited_by[0].upper() + state.limited_by[1:],
        how=(
            say("Holds pipe 16 at {limit}.", limit=psi(state.limit))
            if held or command.handle == "emergency"
            else say("Set at {limit}: not reached.", limit=psi(state.limit))
        ),
        value=psi(min(state.demand, state.limit)),
        decides=state.decisive == "limit",
    )
    if state.pipe_16 == 0 and state.demand > 0:
        held_off = command.bail_off == "held" and equipment.unit != "dead"
        yield Step(
            label="Bail-off" if held_off else "Dynamic brake interlock",
            how=say("Takes the automatic application off this locomotive."),
            value=psi(0),
            decides=state.decisive in ("bail-off", "dynamic brake"),
        )


def _cylinder_steps(equipment: Equipment, state: AtRest) -> Iterator[Step]:
    alike = equipment.relay_ratio_automatic == equipment.relay_ratio_independent
    _, greater = double_check(pipe_16=state.pipe_16, pipe_20=state.pipe_20)
    if state.decided_by == "neither":
        how = say("Nothing in pipe 16, nothing in pipe 20.")
    else:
        how = say(
            "Pipe 16 {sixteen} against pipe 20 {twenty}: {winner} decides, the two never add.",
            sixteen=psi(state.pipe_16),
            twenty=psi(state.pipe_20),
            winner=state.decided_by,
        )
        if not alike and greater != state.decided_by:
            how = say(
                "Pipe 16 {sixteen}, pipe 20 {twenty}: with its ratio {winner} asks for more.",
                sixteen=psi(state.pipe_16),
                twenty=psi(state.pipe_20),
                winner=state.decided_by,
            )
    yield Step(
        label="Double check valve",
        how=how,
        value=psi(state.pilot),
        decides=state.decisive == "independent",
    )
    ratio = (
        equipment.relay_ratio_independent
        if state.decided_by == "pipe 20"
        else equipment.relay_ratio_automatic
    )
    capped = state.decisive == "supply"
    template = "{ratio} × {pilot}" + (", and there is only {supply} to fill it" if capped else "")
    parts: dict[str, Value | str] = {"ratio": plain(ratio), "pilot": psi(state.pilot)}
    if capped:
        parts["supply"] = psi(state.supply)
    yield Step(
        label="Relay valve fills the cylinder to",
        how=Phrase(template, parts),
        value=psi(state.brake_cylinder),
        decides=state.decisive == "supply",
    )


def _warn(template: str, **parts: Value | str) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def _notes(equipment: Equipment, command: Command, state: AtRest) -> Iterator[Note]:
    yield from _equipment_notes(equipment, command, state)
    yield from _handling_notes(equipment, command, state)


def _equipment_notes(equipment: Equipment, command: Command, state: AtRest) -> Iterator[Note]:
    setting = equipment.brake_pipe_setting
    if state.brake_cylinder > PLAUSIBLE_CYLINDER:
        yield _warn(
            "{cylinder} in the locomotive cylinder is more than is usual here: check the limits and ratios you entered.",
            cylinder=psi(state.brake_cylinder),
        )
    if equipment.main_reservoir < setting + MAIN_RESERVOIR_MARGIN and equipment.unit != "dead":
        yield _warn(
            "Main reservoir {main} is less than {margin} above the setting: charging and holding suffer.",
            main=psi(equipment.main_reservoir),
            margin=psi(MAIN_RESERVOIR_MARGIN),
        )
    if state.control_reservoir > setting:
        yield _warn(
            "Overcharged: release cannot bring the pipe up to {charged}, so {residue} stays in pipe 16. "
            "The cure is your railroad's; it usually starts with a heavy reduction below the new setting.",
            charged=psi(state.control_reservoir),
            residue=psi(
                min(equipment.multiplier * (state.control_reservoir - setting), state.limit)
            ),
        )
    if equipment.unit == "trailing" and equipment.cut_off != "out":
        yield _warn(
            "A trailing unit belongs cut OUT: two brake valves that feed one pipe fight each other. "
            "This answer takes it as cut out."
        )
    if equipment.unit == "dead":
        yield _warn(
            "Hauled dead, the cylinders have only what the brake pipe left in the main reservoir: {supply}. "
            "An independent pressure counts for nothing here.",
            supply=psi(state.supply),
        )


def _handling_notes(equipment: Equipment, command: Command, state: AtRest) -> Iterator[Note]:
    moving_back = command.earlier_reduction > asked_reduction(equipment, command)
    if command.bail_off != "none" and equipment.unit != "dead":
        yield Note(text=say("Bail-off acts on the locomotive only: the cars stay as they are."))
        if command.handle == "emergency" and command.bail_off == "released":
            yield _warn(
                "In emergency the cylinder stays down only while the handle is held; let go, it returns."
            )
    if command.dynamic_brake:
        yield Note(
            text=say(
                "In dynamic the independent still adds; one railroad keeps the cylinder at or under {most}.",
                most=psi(CYLINDER_IN_DYNAMIC),
            )
        )
    if equipment.cut_off == "passenger" and equipment.unit == "lead" and moving_back:
        yield _warn(
            "With the cut-off in passenger the pipe rises with the handle: cars with direct release "
            "can let the whole train go on this first move back."
        )
    if command.handle == "release" and 0 < command.earlier_reduction < RELEASE_FROM:
        yield _warn(
            "Released from only {set}: one railroad asks for at least {least} off before a release, or "
            "some cars may not let go.",
            set=psi(command.earlier_reduction),
            least=psi(RELEASE_FROM),
        )
    if command.handle == "service" and 0 < command.reduction < equipment.minimum_reduction:
        yield Note(
            text=say(
                "The handle's first notch already takes {least} off; the valve cannot rest at less.",
                least=psi(equipment.minimum_reduction),
            )
        )
    full = car.full_service_reduction(charged=equipment.brake_pipe_setting)
    if command.handle in ("service", "suppression") and state.train_reduction > full:
        yield Note(
            text=say(
                "The cars reached full service at {full} off; the rest adds nothing there and must be recharged.",
                full=psi(full),
            )
        )
    if (
        command.handle == "suppression"
        and state.train_reduction < full - 1
        and equipment.cut_off != "out"
    ):
        yield Note(
            text=say(
                "At this setting the cars would need {full} off for their full service.",
                full=psi(full),
            )
        )
    if (
        equipment.cut_off == "out"
        and equipment.unit == "lead"
        and command.handle not in ("emergency", "release")
    ):
        yield _warn(
            "Cut OUT on the unit in control: the equalizing reservoir moves, the train does not brake."
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
