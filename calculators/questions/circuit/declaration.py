"""The `circuit` calculator: a move of the handles followed until everything rests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import Display
from calculators.circuits.asking import AS_SHOWN, story_of
from calculators.circuits.catalog import CIRCUITS
from calculators.circuits.story import Told, moving_words
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, ReleaseType
from calculators.equipment.locomotive_time import LONGEST_RUN
from calculators.equipment.locomotive_time.figures import CYLINDER_VOLUME, CYLINDERS
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.law.records import Citation
from calculators.questions.circuit.asked import asked_of
from calculators.questions.circuit.pictures import curves
from calculators.questions.circuit.words import headline, notes, step_of, suppression_notes
from calculators.questions.shared.locomotive import (
    BAIL_OFF,
    CUT_OFF,
    EXAMPLE,
    HANDLE,
    REDUCTION_AT_BAIL_OFF,
    YOURS,
    DeadEngineSetting,
    EmergencyLimit,
    EmergencyThreshold,
    MainReservoir,
    MinimumReduction,
    Multiplier,
    Pipe16Volume,
    RelayRatioAutomatic,
    RelayRatioIndependent,
    ServiceLimit,
    SuppressionReduction,
)

BEFORE = "Before this move"
TRAIN = "Your train"

_SHOWN = Option(value=AS_SHOWN, words="as the circuit shows")


def _operated(theirs: Choice, group: str = "") -> Choice:
    """A choice of the locomotive brake calculator, with the circuit's own place as default."""
    return Choice(
        term=theirs.term, options=(_SHOWN, *theirs.options), help=theirs.help, group=group
    )


_EVENTS = Choice(
    term="What else happens",
    options=(
        _SHOWN,
        Option(value="none", words="nothing"),
        Option(value="penalty", words="a penalty: a safety device takes the brake"),
        Option(value="emergency-from-train", words="a hose parts in the train"),
        Option(value="emergency-from-rear", words="the end-of-train device vents the pipe"),
    ),
)

_PENALTY_SOURCE = Choice(
    term="What asks for the penalty",
    options=(
        Option(value="pedal", words="the pedal"),
        Option(value="overspeed", words="overspeed"),
        Option(value="alerter", words="the alerter"),
        Option(value="train-control", words="train control"),
    ),
    help="Counts where suppression was set before the penalty comes.",
    group=YOURS,
)
_SUPPRESSION_COVERS = Choice(
    term="Suppression holds off",
    options=(
        Option(value="pedal-and-overspeed", words="pedal and overspeed (from memory)"),
        Option(value="every-source", words="every source"),
        Option(value="none", words="none of them"),
    ),
    help="A setting of your unit. Set before the penalty comes; one that has begun runs on.",
    group=YOURS,
)


def _taken_off(help: str, group: str = "") -> Quantity:
    return Quantity(
        term="Reduction",
        unit="psi",
        low=0,
        high=130,
        help=help,
        blank="as the circuit shows",
        group=group,
    )


def _by_hand(group: str = "") -> Quantity:
    return Quantity(
        term="Independent brake",
        unit="psi",
        low=0,
        high=200,
        help="Pipe 20 pressure the independent handle asks for; 0 is release.",
        blank="as the circuit shows",
        group=group,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitState(Told):
    """Every pressure of the locomotive at a moment of a move, and what still moves."""

    equalizing_reservoir: Annotated[float, Quantity(term="Equalizing reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe, at the head", unit="psi")]
    rear_brake_pipe: Annotated[
        float | None, Quantity(term="Brake pipe, at the rear", unit="psi", help="of a train")
    ]
    control_reservoir: Annotated[float, Quantity(term="Control reservoir", unit="psi")]
    pipe_16: Annotated[float, Quantity(term="Pipe 16 (control valve to relay valve)", unit="psi")]
    pipe_20: Annotated[float, Quantity(term="Pipe 20 (independent brake)", unit="psi")]
    brake_cylinder: Annotated[float, Quantity(term="Locomotive brake cylinder", unit="psi")]
    supply: Annotated[float, Quantity(term="Main reservoir", unit="psi")]
    first_to_move: Annotated[str, Words(term="First to move")]
    still_moving: Annotated[str, Words(term="At this moment")]
    rest_after: Annotated[
        float | None, Quantity(term="All at rest after", unit="s", help="an estimate")
    ]
    rest_after_minutes: Annotated[
        float | None, Quantity(term="The same in minutes", unit="min", digits=1)
    ]


@calculator(
    "circuit",
    title="Circuit",
    question="A handle moves: what moves first and why, what do the gauges show, and when is it still?",
    first=FirstScreen(
        figures={
            "brake_pipe": "brake pipe",
            "brake_cylinder": "locomotive cylinder",
            "rest_after": "still after",
        },
        asked={"": "{circuit}"},
        keys=(Key(field="circuit"), Key(field="handle"), Key(field="reduction")),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("ARMY-223", "pp. 2-7, 4-78"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("ARRC-96", "glossary; pages 63-6, 64"),
        Citation("MUS-26", "handle positions"),
        Citation("RLE", "equalizing reservoir through a service choke"),
    ),
    validity=(
        "One move at a time, from rest to rest: the next move starts when the one before has come to rest.",
        "The pressures at rest are those of the locomotive brake calculator.",
        "Times are estimates: no hole of these valves was found in a drawing. The equalizing reservoir "
        "follows published times, the rest is nominal.",
    ),
    leaves_out=(
        "Waves in the brake pipe and how an application runs from car to car; the train run calculator "
        "follows those. The cars' quick service is one lump, fitted to it for sets of 10 psi and more.",
        "The volume a piston leaves behind: cylinders are taken with the piston out.",
        "The pressure of the control valve's own reservoir: it only pilots.",
    ),
    estimate="The pressures at rest are worked out; the times on the way there are estimates for learning.",
)
def circuit(
    *,
    circuit: Annotated[
        str,
        Choice(
            term="Circuit",
            options=tuple(Option(value=c.id, words=c.title) for c in CIRCUITS.values()),
        ),
    ] = "service-application",
    stage: Annotated[
        float,
        Quantity(
            term="Move of the circuit",
            unit="",
            low=1,
            high=max(len(c.stages) for c in CIRCUITS.values()),
            whole=True,
            help="Some circuits go on: recovery, release.",
        ),
    ] = 1.0,
    handle: Annotated[str, _operated(HANDLE)] = AS_SHOWN,
    reduction: Annotated[
        float | None, _taken_off("How far the handle is taken into the service zone.")
    ] = None,
    independent: Annotated[float | None, _by_hand()] = None,
    bail_off: Annotated[str, _operated(BAIL_OFF)] = AS_SHOWN,
    cut_off: Annotated[str, _operated(CUT_OFF)] = AS_SHOWN,
    event: Annotated[str, _EVENTS] = AS_SHOWN,
    moment: Annotated[
        float | None,
        Quantity(
            term="Moment",
            unit="s",
            low=0,
            high=LONGEST_RUN,
            digits=1,
            help="Time since the move.",
            blank="at rest",
        ),
    ] = None,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    cars: Annotated[
        float,
        Quantity(
            term="Cars",
            setting="cars",
            unit="",
            low=0,
            high=250,
            whole=True,
            help="Cars behind the locomotive; 0 is a light locomotive.",
            group=TRAIN,
        ),
    ] = 118.0,
    car_length: CarLength = 55.0,
    leakage: Annotated[
        float | None,
        Quantity(
            term="Brake pipe leakage",
            unit="psi/min",
            low=0,
            high=30,
            digits=1,
            help="As read with the valve cut out, at the setting.",
            blank="as the circuit shows",
            group=TRAIN,
        ),
    ] = None,
    service_limit: ServiceLimit = EXAMPLE.service_limit,
    emergency_limit: EmergencyLimit = EXAMPLE.emergency_limit,
    multiplier: Multiplier = EXAMPLE.multiplier,
    relay_ratio_automatic: RelayRatioAutomatic = EXAMPLE.relay_ratio_automatic,
    relay_ratio_independent: RelayRatioIndependent = EXAMPLE.relay_ratio_independent,
    main_reservoir: MainReservoir = EXAMPLE.main_reservoir,
    minimum_reduction: MinimumReduction = EXAMPLE.minimum_reduction,
    suppression_reduction: SuppressionReduction = EXAMPLE.suppression_reduction,
    emergency_threshold: EmergencyThreshold = EXAMPLE.emergency_threshold,
    pipe_16_volume: Pipe16Volume = EXAMPLE.pipe_16_volume,
    dead_engine_setting: DeadEngineSetting = EXAMPLE.dead_engine_setting,
    release_type: ReleaseType = "direct",
    cylinders: Annotated[
        float,
        Quantity(
            term="Brake cylinders",
            unit="",
            low=1,
            high=24,
            whole=True,
            help="On this locomotive.",
            mark="P",
            group=YOURS,
        ),
    ] = CYLINDERS,
    cylinder_volume: Annotated[
        float,
        Quantity(
            term="Volume of one cylinder, piston out",
            unit="cu in",
            low=50,
            high=3000,
            help="Only decides how long it takes.",
            mark="M",
            group=YOURS,
        ),
    ] = CYLINDER_VOLUME,
    compressor_delivery: Annotated[
        float,
        Quantity(
            term="Compressor delivers",
            unit="cfm",
            low=10,
            high=600,
            help="Only decides how long it takes.",
            mark="M",
            group=YOURS,
        ),
    ] = AIR_SUPPLY.compressor_delivery,
    from_handle: Annotated[str, _operated(HANDLE, BEFORE)] = AS_SHOWN,
    from_reduction: Annotated[
        float | None, _taken_off("Counts only if the handle's place before is given.", BEFORE)
    ] = None,
    from_independent: Annotated[float | None, _by_hand(BEFORE)] = None,
    from_bail_off: Annotated[str, _operated(BAIL_OFF, BEFORE)] = AS_SHOWN,
    from_cut_off: Annotated[str, _operated(CUT_OFF, BEFORE)] = AS_SHOWN,
    from_event: Annotated[
        str, Choice(term="What else had happened", options=_EVENTS.options, group=BEFORE)
    ] = AS_SHOWN,
    earlier_reduction: Annotated[
        float | None,
        Quantity(
            term="Deepest set since the last release",
            unit="psi",
            low=0,
            high=130,
            help="Before the state this move starts from.",
            blank="none",
            group=BEFORE,
        ),
    ] = None,
    reduction_at_bail_off: Annotated[
        float | None, replace(REDUCTION_AT_BAIL_OFF, group=BEFORE)
    ] = None,
    penalty_source: Annotated[str, _PENALTY_SOURCE] = "pedal",
    suppression_covers: Annotated[str, _SUPPRESSION_COVERS] = "pedal-and-overspeed",
) -> CircuitState:
    """Follow a move of the handles from rest to rest.

    Parameters
    ----------
    circuit, stage
        Which circuit, and which of its moves.
    handle, reduction, independent, bail_off, cut_off, event
        The move, where it is not the circuit's own. [psi]
    moment
        The moment that the results are for; None is the end. [s]
    brake_pipe_setting, main_reservoir, minimum_reduction, suppression_reduction
        Pressures and fixed reductions of this locomotive. [psi]
    cars, car_length, leakage
        The train: number, length of each [ft], fall of its pipe [psi/min].
    service_limit, emergency_limit, emergency_threshold, dead_engine_setting
        Caps and settings of this locomotive. [psi]
    multiplier, relay_ratio_automatic, relay_ratio_independent, release_type
        Control valve and relay.
    pipe_16_volume, cylinders, cylinder_volume, compressor_delivery
        What decides how long it takes: volumes [cu in], number, delivery [cfm].
    from_handle, from_reduction, from_independent, from_bail_off, from_cut_off, from_event
        The state it starts from, where it is not the circuit's own. [psi]
    earlier_reduction, reduction_at_bail_off
        What had gone before that state. [psi]
    penalty_source, suppression_covers
        What asks for a penalty, and what this unit's suppression holds off.

    Returns
    -------
    CircuitState
        Pressures at the moment in psi, the steps as working, curves.

    Raises
    ------
    InputError
        If a reduction is more than the setting, or the circuit has no such move.
    """
    # The arguments, by name, and nothing else yet.
    asked = asked_of(locals())
    story = story_of(asked)
    frame = story.frame_at(moment) if moment is not None else story.frames[-1]
    pressures, rest = frame.moment.pressures, story.run.rest_after
    return CircuitState(
        equalizing_reservoir=pressures["equalizing_reservoir"],
        brake_pipe=pressures["brake_pipe"],
        rear_brake_pipe=pressures.get("rear"),
        control_reservoir=pressures["control_reservoir"],
        pipe_16=pressures["pipe_16"],
        pipe_20=pressures["pipe_20"],
        brake_cylinder=pressures["brake_cylinder"],
        supply=pressures["main_reservoir"],
        first_to_move=story.events[0].what if story.events else "nothing",
        still_moving=moving_words(story, frame).text(Display()),
        rest_after=rest,
        rest_after_minutes=None if rest is None else rest / 60.0,
        story=story,
        headline=headline(story, frame),
        working=tuple(step_of(event) for event in story.events),
        notes=(*suppression_notes(asked, story), *notes(story)),
        series=tuple(curves(story)),
    )
