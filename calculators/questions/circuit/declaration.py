"""The `circuit` calculator: a move of the handles followed until everything rests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any

from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import (
    Axis,
    Display,
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
from calculators.circuits.asking import AS_SHOWN, Asked, Handles, story_of
from calculators.circuits.catalog import CIRCUITS
from calculators.circuits.story import Event, Frame, Story, moving_words, stops
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, ReleaseType
from calculators.equipment import car
from calculators.equipment.locomotive import Equipment
from calculators.equipment.locomotive_time import LONGEST_RUN, Setup
from calculators.equipment.locomotive_time.figures import CYLINDER_VOLUME, CYLINDERS
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.law.records import Citation
from calculators.questions.shared.locomotive import YOURS
from calculators.questions.locomotive_brake.declaration import locomotive_brake

BEFORE = "Before this move"
TRAIN = "Your train"

# Below this an emergency application may not start or run through the train [M].
EMERGENCY_NOT_ASSURED = 45.0

CURVE_POINTS = 60
SHORTEST_CURVE = 8.0
MINUTES_FROM = 120.0
TENTHS_BELOW = 10.0

_THEIRS = locomotive_brake.inputs()
_DEFAULTS = locomotive_brake.defaults()
_SHOWN = Option(value=AS_SHOWN, words="as the circuit shows")


def _default(name: str) -> float:
    """A figure of the locomotive as the locomotive brake calculator starts with it."""
    value = _DEFAULTS[name]
    assert isinstance(value, float)
    return value


def _operated(name: str, group: str = "") -> Choice:
    """A choice of the locomotive brake calculator, with the circuit's own place as default."""
    theirs = _THEIRS[name]
    assert isinstance(theirs, Choice)
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
        Option(value="emergency-from-rear", words="the rear device vents the pipe"),
    ),
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


def _at_bail_off() -> Quantity:
    theirs = _THEIRS["reduction_at_bail_off"]
    assert isinstance(theirs, Quantity)
    return replace(theirs, group=BEFORE)


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitState(Outcome):
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
    handle: Annotated[str, _operated("handle")] = AS_SHOWN,
    reduction: Annotated[
        float | None, _taken_off("How far the handle is taken into the service zone.")
    ] = None,
    independent: Annotated[float | None, _by_hand()] = None,
    bail_off: Annotated[str, _operated("bail_off")] = AS_SHOWN,
    cut_off: Annotated[str, _operated("cut_off")] = AS_SHOWN,
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
            help="As read standing alone at the setting.",
            blank="as the circuit shows",
            group=TRAIN,
        ),
    ] = None,
    service_limit: Annotated[float, _THEIRS["service_limit"]] = _default("service_limit"),
    emergency_limit: Annotated[float, _THEIRS["emergency_limit"]] = _default("emergency_limit"),
    multiplier: Annotated[float, _THEIRS["multiplier"]] = _default("multiplier"),
    relay_ratio_automatic: Annotated[float, _THEIRS["relay_ratio_automatic"]] = _default(
        "relay_ratio_automatic"
    ),
    relay_ratio_independent: Annotated[float, _THEIRS["relay_ratio_independent"]] = _default(
        "relay_ratio_independent"
    ),
    main_reservoir: Annotated[float, _THEIRS["main_reservoir"]] = _default("main_reservoir"),
    minimum_reduction: Annotated[float, _THEIRS["minimum_reduction"]] = _default(
        "minimum_reduction"
    ),
    suppression_reduction: Annotated[float, _THEIRS["suppression_reduction"]] = _default(
        "suppression_reduction"
    ),
    emergency_threshold: Annotated[float, _THEIRS["emergency_threshold"]] = _default(
        "emergency_threshold"
    ),
    pipe_16_volume: Annotated[float, _THEIRS["pipe_16_volume"]] = _default("pipe_16_volume"),
    dead_engine_setting: Annotated[float, _THEIRS["dead_engine_setting"]] = _default(
        "dead_engine_setting"
    ),
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
    from_handle: Annotated[str, _operated("handle", BEFORE)] = AS_SHOWN,
    from_reduction: Annotated[
        float | None, _taken_off("Counts only if the handle's place before is given.", BEFORE)
    ] = None,
    from_independent: Annotated[float | None, _by_hand(BEFORE)] = None,
    from_bail_off: Annotated[str, _operated("bail_off", BEFORE)] = AS_SHOWN,
    from_cut_off: Annotated[str, _operated("cut_off", BEFORE)] = AS_SHOWN,
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
    reduction_at_bail_off: Annotated[float | None, _at_bail_off()] = None,
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
    story = story_of(asked_of(locals()))
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
        headline=headline(story, frame),
        working=tuple(_step(event) for event in story.events),
        notes=tuple(_notes(story)),
        series=tuple(_curves(story)),
    )


def asked_of(values: Mapping[str, Any]) -> Asked:
    """The question that a set of parsed inputs asks."""

    def handles(prefix: str) -> Handles:
        return Handles(
            handle=values[f"{prefix}handle"],
            reduction=values[f"{prefix}reduction"],
            independent=values[f"{prefix}independent"],
            bail_off=values[f"{prefix}bail_off"],
            cut_off=values[f"{prefix}cut_off"],
            event=values[f"{prefix}event"],
        )

    equipment = Equipment(
        brake_pipe_setting=values["brake_pipe_setting"],
        minimum_reduction=values["minimum_reduction"],
        suppression_reduction=values["suppression_reduction"],
        multiplier=values["multiplier"],
        service_limit=values["service_limit"],
        emergency_limit=values["emergency_limit"],
        emergency_threshold=values["emergency_threshold"],
        relay_ratio_automatic=values["relay_ratio_automatic"],
        relay_ratio_independent=values["relay_ratio_independent"],
        main_reservoir=values["main_reservoir"],
        cut_off="freight",
        release_type=values["release_type"],
        unit="lead",
        dead_engine_setting=values["dead_engine_setting"],
        auxiliary_volume=None,
        pipe_16_volume=values["pipe_16_volume"],
        emergency_drops_dynamic=True,
    )
    return Asked(
        circuit=values["circuit"],
        stage=round(values["stage"]),
        handles=handles(""),
        start=handles("from_"),
        earlier_reduction=values["earlier_reduction"],
        reduction_at_bail_off=values["reduction_at_bail_off"],
        leakage=values["leakage"],
        setup=Setup(
            equipment=equipment,
            cars=round(values["cars"]),
            car_length=values["car_length"],
            cylinders=values["cylinders"],
            cylinder_volume=values["cylinder_volume"],
            compressor_delivery=values["compressor_delivery"],
        ),
    )


def seconds(amount: float) -> Value:
    """A time since the move, in minutes once seconds say too much."""
    if amount >= MINUTES_FROM:
        return Value(amount / 60.0, "min", 1)
    return Value(amount, "s", 1 if amount < TENTHS_BELOW else 0)


def headline(story: Story, frame: Frame) -> Phrase:
    """The picture in one sentence: when, what the gauges show, what still moves."""
    pressures = frame.moment.pressures
    gauges = {"pipe": psi(pressures["brake_pipe"]), "cylinder": psi(pressures["brake_cylinder"])}
    if frame.first and not frame.last:
        return say("Before the move: brake pipe {pipe}, locomotive cylinder {cylinder}.", **gauges)
    if not story.events:
        return say("Nothing moves: brake pipe {pipe}, locomotive cylinder {cylinder}.", **gauges)
    rest = story.run.rest_after
    if frame.last and rest is not None:
        return say(
            "At rest after {after}: brake pipe {pipe}, locomotive cylinder {cylinder}.",
            after=seconds(rest),
            **gauges,
        )
    return say(
        "After {after}: brake pipe {pipe}, locomotive cylinder {cylinder}.",
        after=seconds(frame.moment.seconds),
        **gauges,
    )


def _step(event: Event) -> Step:
    why = Phrase("{at}. " + event.why.template, {"at": seconds(event.seconds), **event.why.parts})
    return Step(label=event.what, how=why, value=event.value)


def _notes(story: Story) -> Iterator[Note]:
    yield from _train_notes(story)
    move, equipment = story.now.move, story.now.equipment
    if move.bail_off == "held" and equipment.unit != "dead":
        yield Note(text=say("Bail-off acts on the locomotive only: the cars stay as they are."))
    lead_out = equipment.cut_off == "out" and equipment.unit == "lead"
    if lead_out and move.handle not in ("emergency", "handle-off"):
        yield Note(
            kind="warning",
            text=say(
                "Cut OUT on the unit in control: the equalizing reservoir follows the handle, the "
                "train does not. Before cutting in again take the equalizing reservoir a little "
                "under the brake pipe: above it the valve feeds the pipe and brakes may let go."
            ),
        )
    if equipment.cut_off == "passenger" and equipment.unit == "lead":
        yield Note(
            kind="warning",
            text=say(
                "With the cut-off in passenger the brake pipe rises with the handle: cars with direct "
                "release can let the whole train go on the first move back."
            ),
        )
    if not story.events:
        yield Note(text=say("This move opens no valve that passes air: every gauge stays."))


def _train_notes(story: Story) -> Iterator[Note]:
    rest, move = story.run.after, story.now.move
    low = rest.brake_pipe < EMERGENCY_NOT_ASSURED
    by_service = story.now.command.handle != "emergency" and story.now.command.vented == "nowhere"
    if low and by_service:
        yield Note(
            kind="warning",
            text=say(
                "With the brake pipe under about {least} an emergency is not assured on the cars "
                "(from memory): secure first.",
                least=psi(EMERGENCY_NOT_ASSURED),
            ),
        )
    before = story.before.rest.brake_pipe if story.before is not None else 0.0
    if rest.brake_pipe > before and story.setup.cars:
        yield Note(
            kind="warning",
            text=say(
                "The head is up long before the rear: until the cars have recharged, a new set is "
                "worth less than it reads, and full service and emergency hold less."
            ),
        )
    charged = min(story.now.equipment.brake_pipe_setting, story.now.equipment.main_reservoir)
    off = charged - rest.brake_pipe
    if move.handle in ("service", "minimum-reduction", "suppression") and story.setup.cars:
        yield Note(
            text=say(
                "For the same {off} a car's cylinder comes to about {car}: see the car brake.",
                off=psi(off),
                car=psi(car.service_pressure(charged=charged, reduction=off)),
            )
        )


def _curves(story: Story) -> Iterator[Series]:
    """Pressures over time, as far as the locomotive's own gauges move."""
    own = [
        stops(used, story.run)
        for used in story.run.used
        if used.passage not in ("compressor", "leakage", "pipe-feed", "pipe-exhaust", "train-pipe")
    ]
    if not own:
        return
    end = max(SHORTEST_CURVE, 1.5 * max(own))
    samples = [sample for sample in story.run.samples if sample.seconds <= end]
    step = max(1, -(-len(samples) // CURVE_POINTS))
    kept = [*samples[::step], *(samples[-1:] if (len(samples) - 1) % step else [])]
    places = ("equalizing_reservoir", "brake_pipe", "pipe_16", "pipe_20", "brake_cylinder")
    lines = [
        Line(
            name=_PLACE_LINES[place],
            color=place,
            points=tuple((sample.seconds, sample.pressure(place)) for sample in kept),
        )
        for place in places
        if any(sample.pressure(place) > 0.5 for sample in kept)
    ]
    rest = story.run.rest_after
    later = rest is not None and rest > kept[-1].seconds + 0.5
    yield Series(
        title="Pressures after the move",
        x=Axis(term="Time", unit="s", digits=1),
        y=Axis(term="Pressure", unit="psi"),
        lines=tuple(lines),
        note="Times are estimates." + (" The train goes on moving after this." if later else ""),
    )


_PLACE_LINES = {
    "equalizing_reservoir": "Equalizing reservoir",
    "brake_pipe": "Brake pipe, at the head",
    "pipe_16": "Pipe 16",
    "pipe_20": "Pipe 20",
    "brake_cylinder": "Brake cylinder",
}
