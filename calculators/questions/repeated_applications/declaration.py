"""The `repeated-applications` calculator: what the last car has left after sets and short waits."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.results import Note, Outcome, Progress, ToFollow
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import (
    Atmosphere,
    AuxiliaryVolume,
    BrakePipeSetting,
    CarLength,
    Cars,
    CylinderBore,
    EmergencyVolume,
    MovingReduction,
    PipeBore,
    PistonTravel,
    UnsweptVolume,
)
from calculators.equipment.car import CarBrake, full_service_pressure
from calculators.equipment.reserve import (
    CarState,
    Recharge,
    charged_car,
    cylinder_gauge,
    emergency_left,
    pipe_at_rear,
    recharge,
    recharge_of_train,
    release_brake,
    service_left,
    set_brake,
    worth,
)
from calculators.law.records import Citation
from calculators.questions.repeated_applications import model, words
from calculators.questions.repeated_applications.words import Event
from calculators.questions.shared.car import CAR
from calculators.questions.shared.train_model import WHO

# The most that the last car may stand under the setting when a brake test begins [S: 49 CFR 232.205].
REAR_UNDER_SETTING = 15.0
SAMPLES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedApplications(Outcome):
    """The last car's reservoirs, counted against the user, and what they would still give."""

    full_service_left: Annotated[
        float, Quantity(term="A full service would still give", unit="psi", help="at least")
    ]
    emergency_left: Annotated[
        float | None,
        Quantity(term="An emergency that runs through would give", unit="psi", help="at least"),
    ]
    brake_cylinder: Annotated[float, Quantity(term="Brake cylinder now", unit="psi")]
    auxiliary: Annotated[float, Quantity(term="Auxiliary reservoir", unit="psi")]
    emergency_reservoir: Annotated[float, Quantity(term="Emergency reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe at this car", unit="psi")]
    last_set_worth: Annotated[
        float,
        Quantity(term="The last set was worth", unit="psi", help="its fall below the auxiliary"),
    ]
    model_full_service: Annotated[
        float | None,
        Quantity(
            term="By the train model: a full service",
            unit="psi",
            help="a nominal train; not to be counted on",
            blank="not by the train model",
        ),
    ]
    model_emergency: Annotated[
        float | None,
        Quantity(
            term="By the train model: an emergency",
            unit="psi",
            help="a nominal train; not to be counted on",
            blank="not assured",
        ),
    ]


@calculator(
    "repeated-applications",
    title="Repeated applications",
    question="What is left in reserve after sets and releases with too little time to recharge?",
    first=FirstScreen(
        figures={
            "full_service_left": "full service left",
            "emergency_left": "emergency left",
            "last_set_worth": "the last set is worth",
        },
        asked={"": "sets of {reductions}, with waits of {waits}"},
        keys=(Key(field="reductions"), Key(field="waits"), Key(field="last_set")),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("NAVY", "charging a train"),
        Citation("MCB-06", "test 2"),
        Citation("ARRC-96", "pages 64, 64-2; glossary"),
        Citation("ARMY-203", "ch. 8"),
        Citation("CFR-232-205", "(c)(1)(i)(A), (c)(5)"),
    ),
    validity=(
        "For the last car, where least comes back. The rest of the train has this much or more.",
        "A lower bound by intent: what no text gives is counted on the side of less air. It tells "
        "what you can count on, not what the car will have.",
        "Direct release, every car alike, every brake working.",
        "The reference's own train model is run over the same moves. Where its last car has less, "
        "as where a set reaches it so slowly that its valve never moves, the answer takes that. No "
        "measured train was found to compare with.",
    ),
    leaves_out=(
        "Leakage of cylinders and reservoirs, which takes more still.",
        "Where the train model does not go: a set that comes so slowly at the rear that the "
        "auxiliary follows the pipe and its valve never moves. That air is gone.",
        "Worn or frozen valves, cars cut out, brakes that do not apply.",
        "Air that retaining valves keep, and the dynamic brake.",
    ),
    estimate=(
        "A lower bound for learning. A train that has been braked again and again is a train to "
        "stop and secure, not to reckon with."
    ),
)
def repeated_applications(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    cars: Cars = 118.0,
    car_length: CarLength = 55.0,
    reductions: Annotated[
        tuple[float, ...],
        Quantity(
            term="Sets, one after another",
            unit="psi",
            low=0,
            high=130,
            many=True,
            help="Each as its total off the setting: 10, then 6 more, is one set of 16. "
            "Handle off or a penalty takes all of it off.",
        ),
    ] = (10.0, 14.0, 18.0),
    waits: Annotated[
        tuple[float, ...],
        Quantity(
            term="Minutes in release after each set",
            unit="min",
            low=0,
            high=600,
            digits=1,
            many=True,
            help="One for every set; the one after a set that is still on may be left out.",
        ),
    ] = (2.0, 3.0),
    last_set: Annotated[
        str,
        Choice(
            term="The last set is",
            options=(
                Option(value="on", words="still on"),
                Option(value="released", words="released"),
            ),
        ),
    ] = "on",
    rear: Annotated[
        float | None,
        Quantity(
            term="Rear gauge before the first set",
            unit="psi",
            low=30,
            high=130,
            help="What the last car was really charged to.",
            blank="15 under the setting",
        ),
    ] = None,
    minutes_per_ten_cars: Annotated[
        float,
        Quantity(
            term="Charging time for ten cars",
            setting="minutes_per_ten_cars",
            unit="min",
            low=1,
            high=20,
            digits=1,
            help="A rule with margin; your own train's time, if you have measured it.",
            mark="S",
            group="How air comes back",
        ),
    ] = 5.0,
    emergency_needs: Annotated[
        float,
        Quantity(
            term="Emergency is not counted on below a brake pipe of",
            setting="emergency_needs",
            unit="psi",
            low=40,
            high=90,
            help="Below this it may not start, or not run through the train.",
            mark="M",
            group="How air comes back",
        ),
    ] = 45.0,
    pipe_bore: PipeBore = "1.278",
    piston_travel: PistonTravel = 9.0,
    cylinder_bore: CylinderBore = 10.0,
    auxiliary_volume: AuxiliaryVolume = CAR.auxiliary_volume,
    emergency_volume: EmergencyVolume = CAR.emergency_volume,
    unswept_volume: UnsweptVolume = None,
    moving_reduction: MovingReduction = 2.5,
    atmosphere: Atmosphere = CAR.atmosphere,
) -> RepeatedApplications:
    """Follow the last car's reservoirs through sets, releases and waits.

    Parameters
    ----------
    brake_pipe_setting, rear
        The setting, and what the last car was charged to. [psi]
    cars, car_length, pipe_bore
        The train: cars, length [ft] and bore [in] of their brake pipe.
    reductions, waits, last_set
        Each set's total reduction off the setting [psi], the minutes in release after it, and whether the last
        set is still on.
    minutes_per_ten_cars, emergency_needs
        Charging rule [min] and the pipe below which no emergency is counted on. [psi]
    piston_travel, cylinder_bore
        Travel and bore of the brake cylinder. [in]
    auxiliary_volume, emergency_volume, unswept_volume
        Reservoirs and the cylinder space that is not swept. [cu in]
    moving_reduction
        Reduction that moves the valve. [psi]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    RepeatedApplications
        Pressures in psi; emergency None where it is not assured.

    Raises
    ------
    InputError
        If sets and waits do not go together.
    """
    sets = len(reductions)
    if len(waits) not in ((sets - 1, sets) if last_set == "on" else (sets,)):
        raise InputError(
            "waits",
            f"There are {sets} sets and {len(waits)} waits; write one wait for every set. Only "
            "the one after a set that is still on may be left out.",
        )
    charged = brake_pipe_setting - REAR_UNDER_SETTING if rear is None else rear
    charged = min(charged, brake_pipe_setting)
    car = CarBrake(
        auxiliary_volume=auxiliary_volume,
        emergency_volume=emergency_volume,
        cylinder_bore=cylinder_bore,
        piston_travel=piston_travel,
        unswept_volume=unswept_volume,
    )
    run = _Run(
        car=car,
        atmosphere=atmosphere,
        moving_reduction=moving_reduction,
        setting=brake_pipe_setting,
        car_length=car_length,
        pipe_bore=float(pipe_bore),
        rate=recharge_of_train(
            charged=charged,
            cars=cars,
            car_length=car_length,
            minutes_per_ten_cars=minutes_per_ten_cars,
        ),
    )
    if last_set == "on":
        waits = waits[: sets - 1]
    lean = run.follow(reductions, waits, into_auxiliary=False)
    mixed = run.follow(reductions, waits, into_auxiliary=True)
    events = tuple(_least(one, other) for one, other in zip(lean, mixed, strict=True))
    state = events[-1].after
    last = [event for event in events if event.kind == "set"][-1]
    emergency = None
    if state.brake_pipe >= emergency_needs:
        # From the lesser of each reservoir: what one of them gave may be gone down the train.
        emergency = emergency_left(state, car=car, atmosphere=atmosphere)
    service = service_left(state, car=car, atmosphere=atmosphere)
    facts = words.Facts(
        setting=brake_pipe_setting,
        charged=charged,
        rear_given=rear is not None,
        cars=int(cars),
        events=events,
        full_service=full_service_pressure(charged=charged, car=car, atmosphere=atmosphere),
        service_left=service,
        emergency_left=emergency,
        emergency_needs=emergency_needs,
        moving_reduction=moving_reduction,
        piston_travel=piston_travel,
        rate=run.rate,
    )
    first = RepeatedApplications(
        full_service_left=service,
        emergency_left=emergency,
        brake_cylinder=events[-1].cylinder,
        auxiliary=state.auxiliary,
        emergency_reservoir=state.emergency_reservoir,
        brake_pipe=state.brake_pipe,
        last_set_worth=last.worth,
        model_full_service=None,
        model_emergency=None,
        headline=words.headline(facts),
        working=tuple(words.working(facts)),
        notes=tuple(words.notes(facts)),
        series=(words.curve(facts),),
    )
    moves = model.Moves(
        cars=int(cars),
        car_length=car_length,
        bore=float(pipe_bore),
        setting=brake_pipe_setting,
        rear=charged,
        reductions=tuple(reductions),
        waits=tuple(waits),
        car=car,
        atmosphere=atmosphere,
    )
    reason = model.why_not(moves)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("model_full_service", "model_emergency"),
            of=Progress(done=0.0, of=moves.commands()[1]),
            work=partial(_with_model, first, facts, moves),
            lowers=("full_service_left", "emergency_left", "brake_cylinder"),
        ),
    )


def _with_model(
    first: RepeatedApplications, facts: words.Facts, moves: model.Moves
) -> Generator[Progress, None, RepeatedApplications]:
    """The first answer with what the train model's last car has left; the lesser of both counts."""
    left = yield from model.run_moves(moves, emergency_needs=facts.emergency_needs)
    if facts.emergency_left is None:
        # Not assured by the count: then no figure of a train in order may say otherwise.
        left = replace(left, emergency=None)
    counted = replace(
        facts,
        service_left=min(facts.service_left, left.full_service),
        emergency_left=_lesser(facts.emergency_left, left.emergency),
    )
    lowered = (counted.service_left, counted.emergency_left) != (
        facts.service_left,
        facts.emergency_left,
    )
    modelled = tuple(model.working(left))
    if lowered:
        modelled = (*modelled, *words.lesser(counted, pipe=left.run.samples[-1].rear))
    brake_cylinder = min(first.brake_cylinder, left.run.samples[-1].brake_cylinder[-1])
    no_more = {"full_service_left", "emergency_left"} if lowered else set()
    if brake_cylinder < first.brake_cylinder:
        no_more.add("brake_cylinder")
    return replace(
        first,
        headline=words.headline(counted),
        full_service_left=counted.service_left,
        emergency_left=counted.emergency_left,
        brake_cylinder=brake_cylinder,
        model_full_service=left.full_service,
        model_emergency=left.emergency,
        working=(
            *(
                replace(
                    step,
                    decides=step.decides and not lowered,
                    shows="" if step.shows in no_more else step.shows,
                )
                for step in first.working
            ),
            *modelled,
        ),
        notes=(
            *first.notes,
            *(words.lower_by_the_model(facts, counted) if lowered else ()),
            *model.notes(moves, left),
        ),
        series=(*first.series, model.curve(left)),
        bands=model.bands(left),
        to_follow=None,
    )


def _lesser(one: float | None, other: float | None) -> float | None:
    """The lesser of two emergencies; one that is not assured is the lesser."""
    return None if one is None or other is None else min(one, other)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """One car's way through a list of sets and waits."""

    car: CarBrake
    atmosphere: float
    moving_reduction: float
    setting: float
    car_length: float
    pipe_bore: float
    rate: Recharge

    def follow(
        self, reductions: Sequence[float], waits: Sequence[float], *, into_auxiliary: bool
    ) -> tuple[Event, ...]:
        state = charged_car(charged=self.rate.charged, car=self.car, atmosphere=self.atmosphere)
        minute = 0.0
        events: list[Event] = []
        for number, reduction in enumerate(reductions):
            events.append(self._set(state, reduction, minute))
            if number < len(waits):
                events.append(
                    self._release(events[-1].after, waits[number], minute, into_auxiliary)
                )
                minute += waits[number]
            state = events[-1].after
        return tuple(events)

    def _set(self, state: CarState, reduction: float, minute: float) -> Event:
        target = pipe_at_rear(
            rear=self.rate.charged,
            setting=self.setting,
            reduction=reduction,
            atmosphere=self.atmosphere,
        )
        after = set_brake(
            state,
            brake_pipe=target,
            moving_reduction=self.moving_reduction,
            car=self.car,
            atmosphere=self.atmosphere,
        )
        return Event(
            kind="set",
            amount=reduction,
            # Past full service the auxiliary stays behind, and so does the worth.
            worth=min(worth(state, brake_pipe=target), state.auxiliary - after.auxiliary),
            target=target,
            kept=after.emergency_reservoir,
            before=state,
            after=after,
            cylinder=cylinder_gauge(after, car=self.car, atmosphere=self.atmosphere),
            samples=((minute, after),),
        )

    def _release(
        self, state: CarState, minutes: float, minute: float, into_auxiliary: bool
    ) -> Event:
        let_go = release_brake(
            state,
            car_length=self.car_length,
            into_auxiliary=into_auxiliary,
            pipe_bore=self.pipe_bore,
            car=self.car,
            atmosphere=self.atmosphere,
        )
        steps = [minutes * number / SAMPLES for number in range(SAMPLES + 1)]
        samples = tuple(
            (minute + step, recharge(let_go, minutes=step, rate=self.rate, car=self.car))
            for step in steps
        )
        return Event(
            kind="release",
            amount=minutes,
            worth=0.0,
            target=samples[-1][1].brake_pipe,
            kept=let_go.emergency_reservoir,
            before=let_go,
            after=samples[-1][1],
            cylinder=0.0,
            samples=samples,
        )


def _least(lean: Event, mixed: Event) -> Event:
    """The event with the emergency reservoir of the way that leaves less in it."""

    def least(one: CarState, other: CarState) -> CarState:
        return replace(
            one, emergency_reservoir=min(one.emergency_reservoir, other.emergency_reservoir)
        )

    return replace(
        lean,
        before=least(lean.before, mixed.before),
        after=least(lean.after, mixed.after),
        samples=tuple(
            (minute, least(one, other))
            for (minute, one), (_, other) in zip(lean.samples, mixed.samples, strict=True)
        ),
    )
