"""The `charging-time` calculator: the least time a train can charge in, and a rule of the yard."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import inf
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Progress,
    Series,
    Step,
    ToFollow,
    Value,
    plain,
    psi,
    say,
)
from calculators.base.units import ATMOSPHERE, CUBIC_INCHES_PER_CUBIC_FOOT
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment import air_supply
from calculators.equipment.air_supply import air_needed
from calculators.equipment.leakage import falling_volume, pipe_volume
from calculators.equipment.reserve import NAVY_MINUTES_PER_TEN_CARS
from calculators.figures.nominal import CHARGING_RESERVOIR
from calculators.law.records import Citation
from calculators.questions.charging_time import model
from calculators.questions.charging_time.inputs import ChargingTimeInputs
from calculators.questions.shared.train_model import WHO, progress_in_minutes

CURVE_TO = 200
CURVE_STEP = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargingTime(Outcome):
    """Air to be put in, the least time for it, the rule's time, and the train model's times."""

    air_needed: Annotated[float, Quantity(term="Free air to charge the train", unit="cu ft")]
    air_per_car: Annotated[float, Quantity(term="Free air for one car", unit="cu ft", digits=1)]
    time_lower_bound: Annotated[
        float | None,
        Quantity(
            term="No sooner than",
            unit="min",
            digits=1,
            help="all the air, and none of the cars' chokes",
            blank="never: leakage takes the whole delivery",
        ),
    ]
    rule_time: Annotated[
        float,
        Quantity(
            term="By the rule of five minutes for ten cars",
            unit="min",
            help="a rule of a yard book, with margin",
        ),
    ]
    rule_delivery: Annotated[
        float | None,
        Quantity(
            term="Mean delivery that the rule amounts to",
            unit="cfm",
            digits=1,
            blank="nothing to charge",
        ),
    ]
    time: Annotated[
        float | None,
        Quantity(
            term="By the train model",
            unit="min",
            help="until the last car's reservoirs are charged",
            blank="not by the train model",
        ),
    ]
    rear_gauge_time: Annotated[
        float | None,
        Quantity(
            term="Its rear gauge is near the setting after",
            unit="min",
            help="within what a brake test asks for",
            blank="not by the train model",
        ),
    ]


@calculator(
    "charging-time",
    title="Charging time",
    question="How long does the train take to charge, at the very least?",
    first=FirstScreen(
        figures={
            "time_lower_bound": "no sooner than",
            "rule_time": "a yard book's rule",
            "time": "by the train model",
        },
        asked={"": "{cars} cars from {from_pressure:bare} to {brake_pipe_setting}"},
        keys=(
            Key(field="cars", step=5, presets=(20, 50, 80, 100, 150)),
            Key(field="from_pressure", step=5),
            Key(field="delivery", step=5),
        ),
        line={"brake_pipe_setting": "", "car_length": "cars of"},
    ),
    sources=(Citation("NAVY", "charging a train"), Citation("CFR-232-205", "(c)(1)(i)(A)")),
    validity=(
        "A lower bound: no train charges sooner, every real one takes longer.",
        "The delivery is what reaches the train, held for the whole time.",
    ),
    leaves_out=(
        "In the lower bound: the chokes of the cars, the brake valve and the long pipe.",
        "In the lower bound: the locomotive's own pipe and reservoirs.",
        "Air lost by brakes that stay applied or are set meanwhile.",
        "Other atmospheres than 14.7 psi.",
    ),
)
def charging_time(given: ChargingTimeInputs) -> ChargingTime:
    """Work out the air a train needs and the least time in which it can be delivered.

    Returns
    -------
    ChargingTime
        Air in cu ft, times in min.

    Raises
    ------
    InputError
        If the cars stand above the setting already.
    """
    if given.from_pressure > given.brake_pipe_setting:
        raise InputError(
            "from_pressure",
            f"Charged so far to {plain(given.from_pressure)} psi; that is over the setting, "
            f"{plain(given.brake_pipe_setting)} psi: the train is overcharged, and charging does "
            "not help.",
        )
    cars = given.train.cars
    air, least = _air(given, cars), _least_time(given, cars)
    rule = cars / 10 * NAVY_MINUTES_PER_TEN_CARS
    bound = least if least < inf else None
    first = ChargingTime(
        air_needed=air,
        air_per_car=air / cars,
        time_lower_bound=bound,
        rule_time=rule,
        rule_delivery=air / rule if air > 0 else None,
        time=None,
        rear_gauge_time=None,
        headline=_headline(cars, bound, rule),
        working=tuple(_working(given, bound, rule)),
        notes=tuple(_notes(given, bound, rule)),
        series=(_curve(given),),
    )
    reason = model.why_not(given, bound=bound)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("time", "rear_gauge_time"),
            of=progress_in_minutes(0.0, model.expected(given)),
            work=partial(_with_model, first, given),
        ),
    )


def _with_model(
    first: ChargingTime, given: ChargingTimeInputs
) -> Generator[Progress, None, ChargingTime]:
    """The first answer with the train model's times in it."""
    charged = yield from model.run_charging(given)
    times = {"time": charged.seconds, "rear_gauge_time": charged.rear_gauge_seconds}
    assert first.time_lower_bound is not None
    return replace(
        first,
        time=None if charged.seconds is None else charged.seconds / 60.0,
        rear_gauge_time=(
            None if charged.rear_gauge_seconds is None else charged.rear_gauge_seconds / 60.0
        ),
        headline=model.headline(given, charged, bound=first.time_lower_bound, rule=first.rule_time),
        working=(*first.working, *model.working(given, charged)),
        notes=(*first.notes, *model.notes(given, charged)),
        series=(*first.series, model.curve(charged)),
        bands={
            name: model.minutes_band(given, seconds)
            for name, seconds in times.items()
            if seconds is not None
        },
        to_follow=None,
    )


def _pipe(given: ChargingTimeInputs, cars: float) -> float:
    """Brake pipe of so many cars, in cu ft."""
    return pipe_volume(cars=cars, car_length=given.train.car_length, bore=float(given.pipe_bore))


def _reservoirs(given: ChargingTimeInputs) -> float:
    """Both reservoirs of a car, in cu in."""
    return given.car.auxiliary_volume + given.car.emergency_volume


def _volume(given: ChargingTimeInputs, cars: float) -> float:
    """Volume to charge, in cu ft."""
    return falling_volume(cars=cars, pipe=_pipe(given, cars), reservoir_volume=_reservoirs(given))


def _air(given: ChargingTimeInputs, cars: float) -> float:
    """Free air to put in, in cu ft."""
    rise = given.brake_pipe_setting - given.from_pressure
    return air_needed(volume=_volume(given, cars), rise=rise)


def _least_time(given: ChargingTimeInputs, cars: float) -> float:
    """Least time, in min; infinite where leakage takes the whole delivery."""
    return air_supply.charging_time(
        volume=_volume(given, cars),
        from_pressure=given.from_pressure,
        to_pressure=given.brake_pipe_setting,
        delivery=given.delivery,
        leakage=given.leakage_flow,
    )


def _minutes(amount: float) -> Value:
    return Value(amount, "min", 1)


def _headline(cars: float, bound: float | None, rule: float) -> Phrase:
    if bound is None:
        return say("Never at this delivery: leakage takes all of it before the train is charged.")
    return say(
        "{cars} cars: no sooner than {bound}; a yard book's rule allows {rule}.",
        cars=Value(cars, ""),
        bound=_minutes(bound),
        rule=Value(rule, "min"),
    )


def _working(given: ChargingTimeInputs, bound: float | None, rule: float) -> Iterator[Step]:
    cars = given.train.cars
    yield Step(
        label="One car holds",
        how=say(
            "Reservoirs {reservoirs}, pipe {pipe}",
            reservoirs=Value(_reservoirs(given), "cu in"),
            pipe=Value(_pipe(given, 1) * CUBIC_INCHES_PER_CUBIC_FOOT, "cu in"),
        ),
        value=Value(_volume(given, 1), "cu ft", 2),
    )
    yield Step(
        label="Free air",
        shows="air_needed",
        how=say(
            "{cars} × {volume} × ({setting} − {start}) ÷ {atmosphere}",
            cars=Value(cars, ""),
            volume=Value(_volume(given, 1), "cu ft", 2),
            setting=psi(given.brake_pipe_setting),
            start=psi(given.from_pressure),
            atmosphere=psi(ATMOSPHERE, 1),
        ),
        value=Value(_air(given, cars), "cu ft"),
    )
    if bound is not None:
        how = say("÷ {delivery}", delivery=Value(given.delivery, "cfm"))
        if given.leakage_flow > 0:
            how = say(
                "÷ {delivery}, of which leakage takes more and more, {leakage} in the end",
                delivery=Value(given.delivery, "cfm"),
                leakage=Value(given.leakage_flow, "cfm"),
            )
        yield Step(
            label="Least time",
            shows="time_lower_bound",
            how=how,
            value=_minutes(bound),
            decides=True,
        )
    yield Step(
        label="Rule",
        shows="rule_time",
        how=say(
            "{cars} ÷ 10 × {minutes}",
            cars=Value(cars, ""),
            minutes=Value(NAVY_MINUTES_PER_TEN_CARS, "min"),
        ),
        value=Value(rule, "min"),
    )


def _notes(given: ChargingTimeInputs, bound: float | None, rule: float) -> Iterator[Note]:
    if bound is None:
        yield Note(
            kind="warning",
            text=say(
                "Leakage {leakage} is as much as the delivery {delivery}: find the leak first.",
                leakage=Value(given.leakage_flow, "cfm"),
                delivery=Value(given.delivery, "cfm"),
            ),
        )
    elif bound > rule:
        yield Note(
            kind="warning",
            text=say(
                "With this delivery the least time is already over the rule's {rule}: the rule was "
                "made for more air or shorter cars.",
                rule=Value(rule, "min"),
            ),
        )
    yield Note(
        text=say(
            "The rear gauge comes up before the cars' reservoirs do. The train is charged when the "
            "flow has fallen to what leaks and the rear has stopped rising."
        )
    )
    yield Note(
        text=say(
            "The rule assumes a main reservoir held at {pressure} or more while the train charges.",
            pressure=psi(CHARGING_RESERVOIR.value),
        )
    )


def _curve(given: ChargingTimeInputs) -> Series:
    """Least time and rule against the number of cars."""
    counts = [float(cars) for cars in range(CURVE_STEP, CURVE_TO + 1, CURVE_STEP)]
    bounds = [(cars, _least_time(given, cars)) for cars in counts]
    bound = Line(
        name="No sooner than",
        points=tuple((cars, time) for cars, time in bounds if time < inf),
        color="brake_pipe",
    )
    rule = Line(
        name="Rule of five minutes for ten cars",
        points=tuple((cars, cars / 10 * NAVY_MINUTES_PER_TEN_CARS) for cars in counts),
        color="exhaust",
    )
    return Series(
        title="Charging time against train length",
        x=Axis(term="Cars", unit=""),
        y=Axis(term="Time", unit="min"),
        lines=(bound, rule) if bound.points else (rule,),
        note="The same delivery for every length. Real trains lie above the lower line.",
    )
