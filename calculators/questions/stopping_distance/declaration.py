"""The `stopping-distance` calculator: how far a train runs before it stands, part by part."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated, Literal, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Progress, ToFollow
from calculators.base.units import POUNDS_PER_TON
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment import car
from calculators.equipment.force.friction import Friction
from calculators.equipment.force.kinematics import dead_time
from calculators.equipment.force.motion import BuildUp, SpreadBuildUp, Stop, stop
from calculators.equipment.force.resistance import curve_resistance, grade_resistance
from calculators.equipment.force.rigging import braking_ratio_at
from calculators.figures.nominal import (
    EMERGENCY_FILL,
    EMERGENCY_TRAVEL,
    FILL_SCATTER,
    SERVICE_FILL,
    SERVICE_FILL_PER_CAR,
    SERVICE_TRAVEL,
    SHOE_SCATTER,
)
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import (
    ESTIMATE,
    Rolling,
)
from calculators.questions.shared.train_model import WHO, why_not_covered
from calculators.questions.stopping_distance import model, words
from calculators.questions.stopping_distance.inputs import StoppingDistanceInputs

BrakeKind = Literal["service", "emergency"]

# The brake's start runs along the train at about this speed [M: 900-950 and 400-600 ft/s].
TRAVEL_SPEED: dict[BrakeKind, float] = {
    "emergency": EMERGENCY_TRAVEL.value,
    "service": SERVICE_TRAVEL.value,
}
# A car's cylinder then takes about this long [M]. In service it waits for the pipe, which falls
# more slowly the longer the train is. The mean delay of all cylinders that follows is near the one
# of the train model: a little long for short trains, within a tenth for long ones.
FILL_TIME: dict[BrakeKind, float] = {
    "emergency": EMERGENCY_FILL.value,
    "service": SERVICE_FILL.value,
}
FILL_TIME_PER_CAR: dict[BrakeKind, float] = {
    "emergency": 0.0,
    "service": SERVICE_FILL_PER_CAR.value,
}


NO_STOP = "no stop worked out"

_DISTANCE = partial(Quantity, unit="ft", digits=-1, blank=NO_STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class StoppingDistance(Outcome):
    """Distance and time of the stop, its parts, and the band around it."""

    distance: Annotated[float | None, _DISTANCE(term="Stopping distance")]
    shortest: Annotated[float | None, _DISTANCE(term="At the near end of the band")]
    longest: Annotated[float | None, _DISTANCE(term="At the far end of the band")]
    time: Annotated[float | None, Quantity(term="Time to stop", unit="s", blank=NO_STOP)]
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
    question="How far does this train run before it stops, and where does the distance go?",
    first=FirstScreen(
        figures={"distance": "about", "shortest": "shortest", "longest": "longest"},
        asked={
            "service": "{reduction:bare} off from {speed}, grade {grade} {direction}",
            "emergency": "emergency from {speed}, grade {grade} {direction}",
        },
        asked_by="command",
        keys=(
            Key(field="speed", step=5, presets=(10, 20, 30, 40, 50, 60)),
            Key(field="command"),
            Key(field="reduction", only=("command", ("service",))),
            Key(field="grade", step=0.1),
            Key(field="direction"),
        ),
        line={"weight": "", "cars": "cars", "brake_pipe_setting": ""},
    ),
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
def stopping_distance(given: StoppingDistanceInputs) -> StoppingDistance:
    """Follow the train from the decision to stop until it stands.

    Returns
    -------
    StoppingDistance
        Feet and seconds; None where a figure is missing or the train does not stop.

    Raises
    ------
    InputError
        If the reduction is more than the setting, or weight and cars do not fit.
    """
    kind = cast(BrakeKind, given.command)
    if kind == "service" and given.reduction > given.train.brake_pipe_setting:
        raise InputError(
            "reduction",
            f"Reduction is {given.reduction:g} psi; the brake pipe holds only {given.train.brake_pipe_setting:g} psi, "
            "so no more than that can come off.",
        )
    rolling = given.rolling.of_train(weight=given.train.weight, cars=given.train.cars)
    cylinder = (
        car.emergency_pressure(charged=given.train.brake_pipe_setting)
        if kind == "emergency"
        else car.service_pressure(charged=given.train.brake_pipe_setting, reduction=given.reduction)
    )
    nominal_fill = FILL_TIME[kind] + FILL_TIME_PER_CAR[kind] * given.train.cars
    fill = nominal_fill if given.fill_time is None else given.fill_time
    travel = (
        given.train.cars
        * given.train.car_length
        / (TRAVEL_SPEED[kind] if given.travel_speed is None else given.travel_speed)
    )
    law = given.shoes.law()
    track = grade_resistance(
        grade=given.grade if given.direction == "up" else -given.grade
    ) + curve_resistance(curve=given.curve)
    found = words.Found(
        emergency=kind == "emergency",
        full_reduction=car.full_service_reduction(charged=given.train.brake_pipe_setting),
        cylinder=cylinder,
        downhill=given.direction == "down",
        track=track,
        rolling=rolling,
        law=law,
        missing=given.shoes.missing(),
        travel=travel,
        fill=fill,
    )
    if law is None or given.shoes.braking_ratio is None:
        return _unanswered(given, found)
    ratio_now = braking_ratio_at(
        ratio=given.shoes.braking_ratio,
        stated_at=given.shoes.ratio_pressure,
        brake_cylinder=cylinder,
    )
    make = partial(
        _stop,
        speed=given.speed,
        reaction_time=given.reaction_time,
        ratio=ratio_now,
        law=law,
        track=track,
        rolling=rolling,
        rotating_mass=given.rotating_mass,
    )
    stops = words.Stops(
        nominal=make(build_up=SpreadBuildUp(travel_time=travel, fill_time=fill), better=1.0),
        shortest=make(
            build_up=SpreadBuildUp(travel_time=travel, fill_time=fill / FILL_SCATTER.value),
            better=SHOE_SCATTER.value,
        ),
        longest=make(
            build_up=SpreadBuildUp(travel_time=travel, fill_time=fill * FILL_SCATTER.value),
            better=1.0 / SHOE_SCATTER.value,
        ),
        ratio=ratio_now,
        effort_at_start=ratio_now / 100.0 * law.at(given.speed),
        effort_at_rest=ratio_now / 100.0 * law.standstill,
    )
    first = _answered(given, found, stops)
    reason = why_not_covered(
        cars=given.train.cars,
        car_length=given.train.car_length,
        setting=given.train.brake_pipe_setting,
    )
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    if cylinder == 0.0:
        return first
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("model_distance",),
            of=Progress(done=0.0, of=model.seconds_followed(kind, cars=int(given.train.cars))),
            work=partial(
                _with_model,
                first,
                stops.nominal,
                SpreadBuildUp(travel_time=travel, fill_time=fill),
                partial(
                    model.run_stop,
                    command=kind,
                    reduction=given.reduction,
                    cars=int(given.train.cars),
                    car_length=given.train.car_length,
                    setting=given.train.brake_pipe_setting,
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


def _unanswered(given: StoppingDistanceInputs, found: words.Found) -> StoppingDistance:
    return StoppingDistance(
        distance=None,
        shortest=None,
        longest=None,
        time=None,
        parts=None,
        brake_cylinder=found.cylinder,
        effort=None,
        dead_time=None,
        build_up_time=found.travel + found.fill,
        model_distance=None,
        headline=words.headline_without(given, found),
        working=tuple(words.build_up_steps(given, found)),
        notes=tuple(words.notes_without(given, found)),
    )


def _answered(
    given: StoppingDistanceInputs, found: words.Found, stops: words.Stops
) -> StoppingDistance:
    made = stops.nominal
    return StoppingDistance(
        distance=made.distance if made.stopped else None,
        shortest=stops.shortest.distance if stops.shortest.stopped else None,
        longest=stops.longest.distance if stops.longest.stopped else None,
        time=made.time if made.stopped else None,
        parts=(made.reaction, made.build_up, made.full_brake) if made.stopped else None,
        brake_cylinder=found.cylinder,
        effort=100.0 * stops.effort_at_start,
        dead_time=(
            dead_time(speed=given.speed, distance=made.distance, time=made.time)
            if made.stopped
            else None
        ),
        build_up_time=found.travel + found.fill,
        model_distance=None,
        headline=words.headline(given, found, stops),
        working=tuple(words.working(given, found, stops)),
        notes=tuple(words.notes(given, found, stops)),
        series=(words.curve(stops),),
    )
