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
from calculators.declaring.vocabulary import (
    AuxiliaryVolume,
    BrakePipeSetting,
    CarLength,
    Cars,
    EmergencyVolume,
    PipeBore,
)
from calculators.equipment import air_supply
from calculators.equipment.air_supply import air_needed
from calculators.equipment.leakage import falling_volume, pipe_volume
from calculators.equipment.reserve import NAVY_MINUTES_PER_TEN_CARS
from calculators.law.records import Citation
from calculators.questions.charging_time import model
from calculators.questions.shared.car import CAR
from calculators.questions.shared.train_model import WHO, progress_in_minutes

# The main reservoir that the rule is given for [S: NAVY].
RULE_RESERVOIR = 100.0

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
        "The locomotives' own reservoirs; air lost by brakes that stay applied or are set meanwhile.",
        "Other atmospheres than 14.7 psi.",
    ),
)
def charging_time(
    *,
    cars: Cars = 118.0,
    car_length: CarLength = 55.0,
    from_pressure: Annotated[
        float,
        Quantity(
            term="Charged so far to",
            unit="psi",
            low=0,
            high=130,
            help="0 is a dry train. The cars' reservoirs count, not the gauge at the head.",
        ),
    ] = 0.0,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    delivery: Annotated[
        float,
        Quantity(
            term="Air delivered to the train",
            setting="delivery",
            unit="cfm",
            low=1,
            high=1000,
            help="What the compressors make and the brake valve passes, all locomotives together.",
            mark="P",
        ),
    ] = 60.0,
    leakage_flow: Annotated[
        float,
        Quantity(
            term="Leakage once charged",
            unit="cfm",
            low=0,
            high=500,
            help="Takes part of the delivery, the more the higher the pipe is.",
        ),
    ] = 0.0,
    pipe_bore: PipeBore = "1.278",
    auxiliary_volume: AuxiliaryVolume = CAR.auxiliary_volume,
    emergency_volume: EmergencyVolume = CAR.emergency_volume,
) -> ChargingTime:
    """Work out the air a train needs and the least time in which it can be delivered.

    Parameters
    ----------
    cars, car_length, pipe_bore
        Number of cars, length of pipe per car [ft], bore of the pipe [in].
    from_pressure, brake_pipe_setting
        Pressure in the cars now, and the setting they are charged to. [psi]
    delivery, leakage_flow
        Free air delivered to the train, and lost once it is charged. [cfm]
    auxiliary_volume, emergency_volume
        Reservoirs of one car. [cu in]

    Returns
    -------
    ChargingTime
        Air in cu ft, times in min.

    Raises
    ------
    InputError
        If the cars stand above the setting already.
    """
    if from_pressure > brake_pipe_setting:
        raise InputError(
            "from_pressure",
            f"Charged so far to {plain(from_pressure)} psi; that is over the setting, "
            f"{plain(brake_pipe_setting)} psi: the train is overcharged, and charging does not help.",
        )
    train = _Train(
        car_length=car_length,
        bore=float(pipe_bore),
        reservoirs=auxiliary_volume + emergency_volume,
        from_pressure=from_pressure,
        setting=brake_pipe_setting,
        delivery=delivery,
        leakage=leakage_flow,
    )
    air, least = train.air(cars), train.least_time(cars)
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
        working=tuple(_working(train, cars, bound, rule)),
        notes=tuple(_notes(train, bound, rule)),
        series=(_curve(train),),
    )
    charging = model.Charging(
        cars=int(cars),
        car_length=car_length,
        bore=train.bore,
        auxiliary_volume=auxiliary_volume,
        emergency_volume=emergency_volume,
        from_pressure=from_pressure,
        setting=brake_pipe_setting,
        delivery=delivery,
        leakage=leakage_flow,
    )
    reason = model.why_not(charging, bound=bound)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("time", "rear_gauge_time"),
            of=progress_in_minutes(0.0, charging.expected()),
            work=partial(_with_model, first, charging),
        ),
    )


def _with_model(
    first: ChargingTime, charging: model.Charging
) -> Generator[Progress, None, ChargingTime]:
    """The first answer with the train model's times in it."""
    charged = yield from model.run_charging(charging)
    times = {"time": charged.seconds, "rear_gauge_time": charged.rear_gauge_seconds}
    assert first.time_lower_bound is not None
    return replace(
        first,
        time=None if charged.seconds is None else charged.seconds / 60.0,
        rear_gauge_time=(
            None if charged.rear_gauge_seconds is None else charged.rear_gauge_seconds / 60.0
        ),
        headline=model.headline(
            charging, charged, bound=first.time_lower_bound, rule=first.rule_time
        ),
        working=(*first.working, *model.working(charged)),
        notes=(*first.notes, *model.notes(charging, charged)),
        series=(*first.series, model.curve(charged)),
        bands={
            name: model.minutes_band(seconds)
            for name, seconds in times.items()
            if seconds is not None
        },
        to_follow=None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Train:
    """What does not change with the number of cars."""

    car_length: float
    bore: float
    reservoirs: float
    from_pressure: float
    setting: float
    delivery: float
    leakage: float

    def volume(self, cars: float) -> float:
        """Volume to charge, in cu ft."""
        pipe = pipe_volume(cars=cars, car_length=self.car_length, bore=self.bore)
        return falling_volume(cars=cars, pipe=pipe, reservoir_volume=self.reservoirs)

    def air(self, cars: float) -> float:
        """Free air to put in, in cu ft."""
        return air_needed(volume=self.volume(cars), rise=self.setting - self.from_pressure)

    def least_time(self, cars: float) -> float:
        """Least time, in min; infinite where leakage takes the whole delivery."""
        return air_supply.charging_time(
            volume=self.volume(cars),
            from_pressure=self.from_pressure,
            to_pressure=self.setting,
            delivery=self.delivery,
            leakage=self.leakage,
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


def _working(train: _Train, cars: float, bound: float | None, rule: float) -> Iterator[Step]:
    pipe = pipe_volume(cars=1, car_length=train.car_length, bore=train.bore)
    yield Step(
        label="One car holds",
        how=say(
            "Reservoirs {reservoirs}, pipe {pipe}",
            reservoirs=Value(train.reservoirs, "cu in"),
            pipe=Value(pipe * CUBIC_INCHES_PER_CUBIC_FOOT, "cu in"),
        ),
        value=Value(train.volume(1), "cu ft", 2),
    )
    yield Step(
        label="Free air",
        shows="air_needed",
        how=say(
            "{cars} × {volume} × ({setting} − {start}) ÷ {atmosphere}",
            cars=Value(cars, ""),
            volume=Value(train.volume(1), "cu ft", 2),
            setting=psi(train.setting),
            start=psi(train.from_pressure),
            atmosphere=psi(ATMOSPHERE, 1),
        ),
        value=Value(train.air(cars), "cu ft"),
    )
    if bound is not None:
        how = say("÷ {delivery}", delivery=Value(train.delivery, "cfm"))
        if train.leakage > 0:
            how = say(
                "÷ {delivery}, of which leakage takes more and more, {leakage} in the end",
                delivery=Value(train.delivery, "cfm"),
                leakage=Value(train.leakage, "cfm"),
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


def _notes(train: _Train, bound: float | None, rule: float) -> Iterator[Note]:
    if bound is None:
        yield Note(
            kind="warning",
            text=say(
                "Leakage {leakage} is as much as the delivery {delivery}: find the leak first.",
                leakage=Value(train.leakage, "cfm"),
                delivery=Value(train.delivery, "cfm"),
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
            pressure=psi(RULE_RESERVOIR),
        )
    )


def _curve(train: _Train) -> Series:
    """Least time and rule against the number of cars."""
    counts = [float(cars) for cars in range(CURVE_STEP, CURVE_TO + 1, CURVE_STEP)]
    bounds = [(cars, train.least_time(cars)) for cars in counts]
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
