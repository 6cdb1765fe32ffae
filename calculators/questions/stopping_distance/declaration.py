"""The `stopping-distance` calculator: how far a train runs before it stands, part by part."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated, Literal, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.results import Note, Outcome, Progress, ToFollow
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, Cars, Reduction
from calculators.equipment import car
from calculators.equipment.force.friction import Friction
from calculators.equipment.force.kinematics import dead_time
from calculators.equipment.force.motion import BuildUp, SpreadBuildUp, Stop, stop
from calculators.equipment.force.resistance import curve_resistance, grade_resistance
from calculators.equipment.force.rigging import POUNDS_PER_TON, braking_ratio_at
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import (
    DIRECTION,
    ESTIMATE,
    RESISTANCE_FORMULA,
    THE_BRAKES,
    BrakingRatio,
    Curve,
    Drag,
    FrictionLaw,
    FrontalArea,
    Grade,
    HalfSpeed,
    RatioPressure,
    Rolling,
    ShoeFriction,
    Speed,
    TrainWeight,
    missing_figures,
    rolling_of_train,
    shoe_friction,
)
from calculators.questions.shared.train_model import WHO, why_not_covered
from calculators.questions.stopping_distance import model, words

Command = Literal["service", "emergency"]

# The brake's start runs along the train at about this speed [M: 900-950 and 400-600 ft/s].
TRAVEL_SPEED: dict[Command, float] = {"emergency": 930.0, "service": 500.0}
# A car's cylinder then takes about this long [M]. In service it waits for the pipe, which falls
# more slowly the longer the train is. The mean delay of all cylinders that follows is near the one
# of the train model: a little long for short trains, within a tenth for long ones.
FILL_TIME: dict[Command, float] = {"emergency": 11.0, "service": 10.0}
FILL_TIME_PER_CAR: dict[Command, float] = {"emergency": 0.0, "service": 0.5}

# Shoes alone can change a stop by about a fifth [S: RLE on the tests of 1913].
SHOE_SCATTER = 1.2
# How much sooner or later than nominal the cylinders may fill: our own guess, a wide one.
FILL_SCATTER = 2.0

NO_STOP = "no stop worked out"

_DISTANCE = partial(Quantity, unit="ft", digits=-1, blank=NO_STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class StoppingDistance(Outcome):
    """Distance and time of the stop, its parts, and the band around it."""

    distance: Annotated[float | None, _DISTANCE(term="Stopping distance")]
    shortest: Annotated[float | None, _DISTANCE(term="At the near end of the band")]
    longest: Annotated[float | None, _DISTANCE(term="At the far end of the band")]
    time: Annotated[float | None, Quantity(term="Time to stand", unit="s", blank=NO_STOP)]
    parts: Annotated[
        tuple[float, ...] | None,
        _DISTANCE(term="Parts: reaction, build-up, full brake", many=True),
    ]
    brake_cylinder: Annotated[float, Quantity(term="Brake cylinders of the cars", unit="psi")]
    effort: Annotated[
        float | None,
        Quantity(
            term="Brakes hold back, at the starting speed",
            unit="%",
            digits=1,
            help="of the weight, once all are on",
            blank=NO_STOP,
        ),
    ]
    dead_time: Annotated[
        float | None,
        Quantity(
            term="Dead time of this stop",
            unit="s",
            digits=1,
            help="as if it had coasted, then slowed steadily",
            blank=NO_STOP,
        ),
    ]
    build_up_time: Annotated[
        float, Quantity(term="Until the last car is fully on", unit="s", help="from the command")
    ]
    model_distance: Annotated[
        float | None,
        _DISTANCE(
            term="With the train model's build-up",
            help="its band is of the build-up alone",
            blank="not by the train model",
        ),
    ]


@calculator(
    "stopping-distance",
    title="Stopping distance",
    question="How far does this train run before it stands, and where does the distance go?",
    sources=(
        Citation("PROUT", "pp. 68-71"),
        Citation("AB13", "p. 154 and p. 268"),
        Citation("RLE", "on the tests of 1913"),
        Citation("WEBB", "sections 120-121"),
        Citation("LECTURE", "train resistance, grade and curve"),
        Citation("CFR-236-741"),
    ),
    validity=(
        "A fully charged train of like cars, every brake cut in and working, wheels that turn.",
        "Full brakes for all cars; the braking ratio is that of the whole train, locomotives in it.",
    ),
    leaves_out=(
        "Heat. On a long grade the shoes fade and the train may not stop at all.",
        "Slack, sliding wheels, brakes cut out, bad weather, and a train not yet recharged.",
        "Dynamic and independent brakes. The band takes the build-up from two nominal figures.",
    ),
    example={"braking_ratio": "10", "friction": "0.3", "half_friction_speed": "150"},
    estimate=ESTIMATE,
)
def stopping_distance(
    *,
    speed: Speed = 40.0,
    command: Annotated[
        str,
        Choice(
            term="Application",
            options=(
                Option(value="emergency", words="emergency"),
                Option(value="service", words="service, by the reduction below"),
            ),
        ),
    ] = "emergency",
    reduction: Reduction = 26.0,
    grade: Grade = 0.0,
    direction: Annotated[str, DIRECTION] = "down",
    curve: Curve = 0.0,
    weight: TrainWeight = 14_600.0,
    cars: Cars = 118.0,
    car_length: CarLength = 55.0,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    braking_ratio: BrakingRatio = None,
    ratio_pressure: RatioPressure = 64.0,
    friction: ShoeFriction = None,
    friction_law: FrictionLaw = "falling",
    half_friction_speed: HalfSpeed = None,
    reaction_time: Annotated[
        float,
        Quantity(
            term="Reaction time",
            unit="s",
            low=0,
            high=60,
            digits=1,
            help="From seeing the need until the handle is there. Our own example.",
            group=THE_BRAKES,
        ),
    ] = 2.0,
    travel_speed: Annotated[
        float | None,
        Quantity(
            term="The start runs along the train at",
            unit="ft/s",
            low=50,
            high=1100,
            help="Nominal 930 ft/s in emergency, 500 ft/s in service. Nothing outruns sound.",
            mark="M",
            group=THE_BRAKES,
            blank="nominal",
        ),
    ] = None,
    fill_time: Annotated[
        float | None,
        Quantity(
            term="A car's cylinder takes",
            unit="s",
            low=0,
            high=300,
            help="Nominal 11 s in emergency; in service 10 s and 0.5 s for every car of the train.",
            mark="M",
            group=THE_BRAKES,
            blank="nominal",
        ),
    ] = None,
    rotating_mass: Annotated[
        float,
        Quantity(
            term="Added for turning wheels",
            unit="%",
            low=0,
            high=15,
            digits=1,
            help="3 loaded to 9 empty.",
            mark="S",
            group=THE_BRAKES,
        ),
    ] = 5.0,
    resistance_formula: Annotated[str, RESISTANCE_FORMULA] = "left-out",
    frontal_area: FrontalArea = 90.0,
    drag: Drag = 0.07,
) -> StoppingDistance:
    """Follow the train from the decision to stop until it stands.

    Parameters
    ----------
    speed, command, reduction
        Speed at the start [mph], emergency or a service reduction [psi].
    grade, direction, curve
        Grade [%] and whether the train descends or climbs it, curve [degrees].
    weight, cars, car_length, brake_pipe_setting
        The train: tons, cars, feet of each, charged pressure [psi].
    braking_ratio, ratio_pressure
        Shoe force over weight [%] and the cylinder pressure [psi] it is stated for.
    friction, friction_law, half_friction_speed
        Shoe friction, whether it falls with speed, and the speed [mph] that halves it.
    reaction_time, travel_speed, fill_time
        Seconds to the command, feet per second along the train, seconds for a cylinder.
    rotating_mass, resistance_formula, frontal_area, drag
        Addition for turning wheels [%]; the resistance formula and its figures.

    Returns
    -------
    StoppingDistance
        Feet and seconds; None where a figure is missing or the train does not stop.

    Raises
    ------
    InputError
        If the reduction is more than the setting, or weight and cars do not fit.
    """
    kind = cast(Command, command)
    if kind == "service" and reduction > brake_pipe_setting:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; the brake pipe holds only {brake_pipe_setting:g} psi, "
            "so no more than that can come off.",
        )
    rolling = rolling_of_train(
        formula=resistance_formula,
        weight=weight,
        cars=cars,
        frontal_area=frontal_area,
        drag=drag,
    )
    cylinder = (
        car.emergency_pressure(charged=brake_pipe_setting)
        if kind == "emergency"
        else car.service_pressure(charged=brake_pipe_setting, reduction=reduction)
    )
    nominal_fill = FILL_TIME[kind] + FILL_TIME_PER_CAR[kind] * cars
    fill = nominal_fill if fill_time is None else fill_time
    travel = cars * car_length / (TRAVEL_SPEED[kind] if travel_speed is None else travel_speed)
    law = shoe_friction(
        friction=friction, friction_law=friction_law, half_friction_speed=half_friction_speed
    )
    track = grade_resistance(grade=grade if direction == "up" else -grade) + curve_resistance(
        curve=curve
    )
    facts = words.Facts(
        speed=speed,
        emergency=kind == "emergency",
        reduction=reduction,
        charged=brake_pipe_setting,
        full_reduction=car.full_service_reduction(charged=brake_pipe_setting),
        cylinder=cylinder,
        grade=grade,
        downhill=direction == "down",
        track=track,
        weight=weight,
        rolling=rolling,
        ratio=braking_ratio,
        ratio_pressure=ratio_pressure,
        law=law,
        missing=missing_figures(
            braking_ratio=braking_ratio,
            friction=friction,
            friction_law=friction_law,
            half_friction_speed=half_friction_speed,
        ),
        reaction_time=reaction_time,
        travel=travel,
        fill=fill,
        rotating_mass=rotating_mass,
    )
    if law is None or braking_ratio is None:
        return _unanswered(facts)
    ratio_now = braking_ratio_at(
        ratio=braking_ratio, stated_at=ratio_pressure, brake_cylinder=cylinder
    )
    make = partial(
        _stop,
        speed=speed,
        reaction_time=reaction_time,
        ratio=ratio_now,
        law=law,
        track=track,
        rolling=rolling,
        rotating_mass=rotating_mass,
    )
    stops = words.Stops(
        nominal=make(build_up=SpreadBuildUp(travel_time=travel, fill_time=fill), better=1.0),
        shortest=make(
            build_up=SpreadBuildUp(travel_time=travel, fill_time=fill / FILL_SCATTER),
            better=SHOE_SCATTER,
        ),
        longest=make(
            build_up=SpreadBuildUp(travel_time=travel, fill_time=fill * FILL_SCATTER),
            better=1.0 / SHOE_SCATTER,
        ),
        ratio=ratio_now,
        effort_at_start=ratio_now / 100.0 * law.at(speed),
        effort_at_rest=ratio_now / 100.0 * law.standstill,
    )
    first = _answered(facts, stops)
    reason = why_not_covered(cars=cars, car_length=car_length, setting=brake_pipe_setting)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    if cylinder == 0.0:
        return first
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("model_distance",),
            of=Progress(done=0.0, of=model.seconds_followed(kind, cars=int(cars))),
            work=partial(
                _with_model,
                first,
                stops.nominal,
                SpreadBuildUp(travel_time=travel, fill_time=fill),
                partial(
                    model.run_stop,
                    command=kind,
                    reduction=reduction,
                    cars=int(cars),
                    car_length=car_length,
                    setting=brake_pipe_setting,
                    make=lambda build_up: make(build_up=build_up, better=1.0),
                ),
            ),
        ),
    )


def _with_model(
    first: StoppingDistance,
    nominal: Stop,
    build_up: BuildUp,
    run: Callable[[], Generator[Progress, None, model.Modeled]],
) -> Generator[Progress, None, StoppingDistance]:
    """The first answer with a stop by the train model's build-up."""
    found = yield from run()
    return replace(
        first,
        model_distance=found.stop.distance if found.stop.stopped else None,
        working=(*first.working, *model.working(found)),
        notes=(*first.notes, *model.notes(nominal=nominal, found=found)),
        series=(*first.series, model.curve(nominal=build_up, found=found)),
        bands={"model_distance": found.band} if found.stop.stopped else {},
        to_follow=None,
    )


def _stop(
    *,
    speed: float,
    reaction_time: float,
    ratio: float,
    law: Friction,
    track: float,
    rolling: Rolling,
    rotating_mass: float,
    build_up: BuildUp,
    better: float,
) -> Stop:
    """One run of the model; ``better`` multiplies the friction of the shoes."""
    held = ratio / 100.0 * better

    def effort(mph: float) -> float:
        return held * law.at(mph)

    def other(mph: float) -> float:
        return (rolling.at(mph) + track) / POUNDS_PER_TON

    return stop(
        speed=speed,
        reaction_time=reaction_time,
        effort=effort,
        build_up=build_up,
        other=other,
        rotating_mass=rotating_mass,
    )


def _unanswered(facts: words.Facts) -> StoppingDistance:
    return StoppingDistance(
        distance=None,
        shortest=None,
        longest=None,
        time=None,
        parts=None,
        brake_cylinder=facts.cylinder,
        effort=None,
        dead_time=None,
        build_up_time=facts.travel + facts.fill,
        model_distance=None,
        headline=words.headline_without(facts),
        working=tuple(words.build_up_steps(facts)),
        notes=tuple(words.notes_without(facts)),
    )


def _answered(facts: words.Facts, stops: words.Stops) -> StoppingDistance:
    made = stops.nominal
    return StoppingDistance(
        distance=made.distance if made.stopped else None,
        shortest=stops.shortest.distance if stops.shortest.stopped else None,
        longest=stops.longest.distance if stops.longest.stopped else None,
        time=made.time if made.stopped else None,
        parts=(made.reaction, made.build_up, made.full_brake) if made.stopped else None,
        brake_cylinder=facts.cylinder,
        effort=100.0 * stops.effort_at_start,
        dead_time=(
            dead_time(speed=facts.speed, distance=made.distance, time=made.time)
            if made.stopped
            else None
        ),
        build_up_time=facts.travel + facts.fill,
        model_distance=None,
        headline=words.headline(facts, stops),
        working=tuple(words.working(facts, stops)),
        notes=tuple(words.notes(facts, stops)),
        series=(words.curve(stops),),
    )
