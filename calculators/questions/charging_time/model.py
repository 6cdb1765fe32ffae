"""The train model's part of the `charging-time` answer: the train charged car by car."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace

from calculators.base.results import (
    Axis,
    Line,
    Note,
    Phrase,
    Progress,
    Series,
    Step,
    Value,
    psi,
    say,
)
from calculators.equipment.reserve import NAVY_MINUTES_PER_TEN_CARS
from calculators.equipment.train import Car, Leak, Sample, Train
from calculators.equipment.train.tables import AIR_SUPPLY, FREIGHT_VALVE, PIPE_LINE
from calculators.law.limit_list import find_limit
from calculators.questions.charging_time.inputs import ChargingTimeInputs
from calculators.questions.shared.train_model import (
    CHARGED_WITHIN,
    FEW_CARS,
    LONGEST_RUN,
    WHO,
    band,
    band_notes,
    charged_to,
    samples_until,
    short_train,
    why_not_covered,
)

REAR_WITHIN = find_limit("rear-gradient").figure
"""How near the setting the rear must read for a brake test. [psi] 49 CFR 232.205(c)(1)(i)(A)."""

_CURVE_POINTS = 40


def expected(given: ChargingTimeInputs) -> float:
    """About how long the model needs, in s, for its samples and its progress."""
    return min(LONGEST_RUN, 60.0 * given.train.cars / 10.0 * NAVY_MINUTES_PER_TEN_CARS + 60.0)


def made_train(given: ChargingTimeInputs) -> Train:
    """The train as the model takes it.

    One main reservoir stands at the setting, so that no stored air helps and only what is
    delivered comes into the train: the same question that the lower bound answers.
    """
    valve = replace(
        FREIGHT_VALVE,
        auxiliary_volume=given.car.auxiliary_volume,
        emergency_volume=given.car.emergency_volume,
    )
    return Train(
        cars=(Car(length=given.train.car_length, valve=valve),) * int(given.train.cars),
        brake_pipe_setting=given.brake_pipe_setting,
        locomotives=1,
        leaks=(Leak(flow=given.leakage_flow),) if given.leakage_flow > 0.0 else (),
        starting_pressure=given.from_pressure,
        main_reservoir=given.brake_pipe_setting,
        air_supply=replace(AIR_SUPPLY, compressor_delivery=given.delivery),
        pipe=replace(PIPE_LINE, bore=float(given.pipe_bore)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Charged:
    """What the run gave: times in s, None where it did not come to that; the rear at the end."""

    seconds: float | None
    rear_gauge_seconds: float | None
    settles_at: float
    samples: tuple[Sample, ...]


def why_not(given: ChargingTimeInputs, *, bound: float | None) -> Phrase | None:
    """Why the model is not asked; None if it is. ``bound`` is the least time in min."""
    reason = why_not_covered(
        cars=given.train.cars,
        car_length=given.train.car_length,
        setting=given.brake_pipe_setting,
    )
    if reason is not None:
        return reason
    if bound is None or bound == 0.0:
        return say("There is nothing for the train model to charge.")
    if bound * 60.0 > LONGEST_RUN:
        return say(
            "The train model follows at most {most}, and this train takes longer than that.",
            most=Value(LONGEST_RUN / 60.0, "min"),
        )
    return None


def run_charging(given: ChargingTimeInputs) -> Generator[Progress, None, Charged]:
    """Charge the train until its last car's reservoirs are near what they come to."""
    train = made_train(given)
    settles = charged_to(train)

    def met(sample: Sample) -> bool:
        low = min(sample.auxiliary[-1], sample.emergency_reservoir[-1])
        return low >= settles - CHARGED_WITHIN

    samples = yield from samples_until(train, (), expected=expected(given), met=met)
    return Charged(
        seconds=samples[-1].seconds if met(samples[-1]) else None,
        rear_gauge_seconds=next(
            (one.seconds for one in samples if one.rear >= given.brake_pipe_setting - REAR_WITHIN),
            None,
        ),
        settles_at=settles,
        samples=samples,
    )


def headline(given: ChargingTimeInputs, charged: Charged, *, bound: float, rule: float) -> Phrase:
    """Bound, model and rule in one sentence."""
    if charged.seconds is None:
        return say(
            "{cars} cars: no sooner than {bound}; by {who} not within {most}.",
            cars=int(given.train.cars),
            bound=Value(bound, "min", 1),
            who=WHO,
            most=Value(LONGEST_RUN / 60.0, "min"),
        )
    return say(
        "{cars} cars: no sooner than {bound}; by {who} {time}; a yard book's rule allows {rule}.",
        cars=int(given.train.cars),
        bound=Value(bound, "min", 1),
        who=WHO,
        time=minutes(given, charged.seconds),
        rule=Value(rule, "min"),
    )


def minutes(given: ChargingTimeInputs, seconds: float) -> Value:
    """A time of the model in minutes with its band."""
    return Value(seconds / 60.0, "min", band=minutes_band(given, seconds))


def minutes_band(given: ChargingTimeInputs, seconds: float) -> float:
    """Band of a charging time in minutes; on a short train it is wider."""
    return band("charging times", seconds, wider=short_train(given.train.cars)) / 60.0


def working(given: ChargingTimeInputs, charged: Charged) -> Iterator[Step]:
    """What the model was run to."""
    if charged.seconds is not None:
        yield Step(
            label="By the train model",
            shows="time",
            how=say(
                "Until the last car's reservoirs are within {within} of the {settles} they come to",
                within=psi(CHARGED_WITHIN),
                settles=psi(charged.settles_at),
            ),
            value=minutes(given, charged.seconds),
        )
    if charged.rear_gauge_seconds is not None:
        yield Step(
            label="Its rear gauge",
            shows="rear_gauge_time",
            how=say("Within {within} of the setting", within=psi(REAR_WITHIN)),
            value=minutes(given, charged.rear_gauge_seconds),
        )


def notes(given: ChargingTimeInputs, charged: Charged) -> Iterator[Note]:
    """What the model's times mean and rest on."""
    if charged.rear_gauge_seconds is None:
        yield Note(
            kind="warning",
            text=say(
                "In the run the rear never came within {within} of the setting: with this leakage "
                "it settles at {settles}.",
                within=psi(REAR_WITHIN),
                settles=psi(charged.settles_at),
            ),
        )
    elif charged.seconds is not None:
        yield Note(
            text=say(
                "In the run the rear gauge was within {within} of the setting at {gauge}; the last "
                "car's reservoirs needed until {time}.",
                within=psi(REAR_WITHIN),
                gauge=minutes(given, charged.rear_gauge_seconds),
                time=minutes(given, charged.seconds),
            )
        )
    yield Note(
        text=say(
            "The train model starts with a main reservoir no higher than the setting, so that only "
            "the {delivery} delivered come into the train. Air stored at a higher pressure helps.",
            delivery=Value(given.delivery, "cfm"),
        )
    )
    if given.train.cars < FEW_CARS:
        yield Note(
            text=say(
                "Under {few} cars the model charges sooner than yards reckon, ten of them in half "
                "of the rule's time: its band is widened there.",
                few=int(FEW_CARS),
            )
        )
    yield from band_notes("charging times")


def curve(charged: Charged) -> Series:
    """Rear gauge and the last car's auxiliary against time."""
    step = max(1, -(-len(charged.samples) // _CURVE_POINTS))
    last = charged.samples[-1]
    samples = [*charged.samples[:-1:step], last]
    return Series(
        title="The rear of the train charging, by the train model",
        x=Axis(term="Time", unit="min", digits=1),
        y=Axis(term="Pressure", unit="psi"),
        lines=(
            Line(
                name="Head gauge",
                points=tuple((one.seconds / 60.0, one.head) for one in samples),
                color="main_reservoir",
            ),
            Line(
                name="Rear gauge",
                points=tuple((one.seconds / 60.0, one.rear) for one in samples),
                color="brake_pipe",
            ),
            Line(
                name="Last car's auxiliary",
                points=tuple((one.seconds / 60.0, one.auxiliary[-1]) for one in samples),
                color="reservoir",
            ),
            Line(
                name="Last car's emergency reservoir",
                points=tuple((one.seconds / 60.0, one.emergency_reservoir[-1]) for one in samples),
                color="exhaust",
            ),
        ),
    )
