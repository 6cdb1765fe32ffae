"""The `rear-pressure` calculator: gradient and floor at the rear, and what the rear car has left."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from calculators.base.quantities import Quantity, Words
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Progress,
    Reading,
    Series,
    Step,
    ToFollow,
    psi,
    say,
)
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import CarBrake, emergency_pressure, full_service_pressure
from calculators.equipment.train import Train, equal_cars
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import DEMANDS, least_rear, rear_readings
from calculators.questions.rear_pressure import model
from calculators.questions.rear_pressure.inputs import TESTS, RearPressureInputs
from calculators.questions.shared.juniper_fork import readings
from calculators.questions.shared.low_emergency import is_low
from calculators.questions.shared.train_model import WHO, why_not_covered

CURVE_FROM = 50
NOT_READ = "give the rear's pressure"


@dataclass(frozen=True, slots=True, kw_only=True)
class RearPressure(Outcome):
    """The gradient, the least the test asks for, and what the rear car's brake still gives."""

    gradient: Annotated[
        float | None, Quantity(term="Gradient, setting to rear", unit="psi", blank=NOT_READ)
    ]
    least_rear: Annotated[float, Quantity(term="Least rear pressure for this test", unit="psi")]
    decided_by: Annotated[str, Words(term="Decided by")]
    full_service_at_rear: Annotated[
        float | None,
        Quantity(term="Full service the rear car can give", unit="psi", blank=NOT_READ),
    ]
    full_service_at_setting: Annotated[
        float, Quantity(term="A car charged to the setting gives", unit="psi")
    ]
    emergency_at_rear: Annotated[
        float | None,
        Quantity(
            term="Emergency the rear car can give",
            unit="psi",
            blank="not assured, or the rear was not read",
        ),
    ]
    emergency_at_setting: Annotated[
        float, Quantity(term="A car charged to the setting gives in emergency", unit="psi")
    ]
    spread_gradient: Annotated[
        float | None,
        Quantity(
            term="Gradient if that air leaks evenly along the train",
            unit="psi",
            help="by the train model",
            blank="not by the train model",
        ),
    ]
    gradient_if_at_rear: Annotated[
        float | None,
        Quantity(
            term="... and if it all leaks at the last car",
            unit="psi",
            help="by the train model",
            blank="not by the train model",
        ),
    ]


@calculator(
    "rear-pressure",
    title="Rear pressure and gradient",
    question="Is the rear of the train charged far enough for this test, and what brake has it left?",
    first=FirstScreen(
        weighs=True,
        figures={"gradient": "gradient", "least_rear": "least at the rear"},
        asked={"": "rear {rear:bare}, setting {brake_pipe_setting}"},
        keys=(Key(field="rear"), Key(field="test")),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("CFR-232-205", "(c)(1)(i)(A)"),
        Citation("CFR-232-207", "(b)"),
        Citation("CFR-232-209"),
        Citation("CFR-232-211"),
        Citation("CFR-232-215"),
        Citation("CFR-232-217"),
        Citation("CFR-232-409"),
        Citation("CFR-232-103", "(m)"),
        Citation("ARRC-96", "glossary, G-3"),
        Citation("KC77", "a leak further back has the larger effect"),
    ),
    example_readings=readings("rear", "air_flow"),
    validity=(
        "The train is charged: nothing still flows into the cars, and the rear has stopped rising.",
        "The rear car's reservoirs have come up to the brake pipe beside them.",
    ),
    leaves_out=(
        "Gauges and the rear unit have errors of their own.",
        "Quick service, retaining valves, empty/load devices.",
    ),
    judges=(
        "en-route-gradient",
        "head-rear-agreement",
        "rear-floor-class-1",
        "rear-floor-class-3",
        "rear-floor-transfer",
        "rear-floor-yard-air",
        "rear-gradient",
        "yard-air-gradient",
    ),
)
def rear_pressure(given: RearPressureInputs) -> RearPressure:
    """Compare the rear with what a test asks for, and say what its brake can give.

    Returns
    -------
    RearPressure
        Pressures in psi; what hangs on the rear is None where it was not read, and the emergency
        where it is not assured.
    """
    car, air = given.car.brake(), given.car.atmosphere
    least, decided = least_rear(test=given.test, operating=given.brake_pipe_setting)
    at_rear = (
        None
        if given.rear is None
        else full_service_pressure(charged=given.rear, car=car, atmosphere=air)
    )
    emergency = (
        emergency_pressure(charged=given.rear, car=car, atmosphere=air)
        if given.rear is not None and not is_low(given.rear, given.emergency_needs)
        else None
    )
    first = RearPressure(
        gradient=None if given.rear is None else given.brake_pipe_setting - given.rear,
        least_rear=least,
        decided_by=find_limit(decided).title,
        full_service_at_rear=at_rear,
        full_service_at_setting=full_service_pressure(
            charged=given.brake_pipe_setting, car=car, atmosphere=air
        ),
        emergency_at_rear=emergency,
        emergency_at_setting=emergency_pressure(
            charged=given.brake_pipe_setting, car=car, atmosphere=air
        ),
        spread_gradient=None,
        gradient_if_at_rear=None,
        headline=_headline(given.brake_pipe_setting, given.rear, given.test),
        working=(
            *_demand_steps(given.brake_pipe_setting, given.rear, given.test),
            *_rear_car_steps(given.rear, at_rear, emergency),
        ),
        notes=(
            *_notes(
                given.brake_pipe_setting, given.rear, given.test, given.head, given.emergency_needs
            ),
            *(_MISSING_REAR if given.rear is None and given.second_reading is not None else ()),
        ),
        readings=tuple(
            _readings(given.brake_pipe_setting, given.rear, given.test, given.second_reading)
        ),
        series=(_curve(given.brake_pipe_setting, given.rear, car, air),),
    )
    if given.air_flow is None:
        return first
    reason = why_not_covered(
        cars=given.cars, car_length=given.car_length, setting=given.brake_pipe_setting
    )
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    train = Train(
        cars=equal_cars(int(given.cars), length=given.car_length),
        brake_pipe_setting=given.brake_pipe_setting,
    )
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("spread_gradient", "gradient_if_at_rear"),
            of=model.NOT_BEGUN,
            work=partial(_with_model, first, train, given.air_flow),
        ),
    )


def _with_model(
    first: RearPressure, train: Train, air_flow: float
) -> Generator[Progress, None, RearPressure]:
    """The first answer with the gradients that leaks of this flow make."""
    found = yield from model.gradients(train, flow=air_flow)
    return replace(
        first,
        spread_gradient=found.spread,
        gradient_if_at_rear=found.at_rear,
        working=(*first.working, *model.working(train, found)),
        notes=(*first.notes, *model.notes(first.gradient, found)),
        bands=model.bands(found),
        to_follow=None,
    )


def _headline(setting: float, rear: float | None, test: str) -> Phrase:
    least, _ = least_rear(test=test, operating=setting)
    words = TESTS.words_of(test)
    if rear is None:
        return say(
            "At {setting} the rear must read {least} or more ({test}).",
            setting=psi(setting),
            least=psi(least),
            test=words,
        )
    if test == "road":
        return say(
            "Gradient {gradient}: the rear reads {rear}; on the road it is to read {least} or more.",
            gradient=psi(setting - rear),
            rear=psi(rear),
            least=psi(least),
        )
    return say(
        "Gradient {gradient}: the rear reads {rear}, {test} asks for {least} or more.",
        gradient=psi(setting - rear),
        rear=psi(rear),
        test=words,
        least=psi(least),
    )


def _demand_steps(setting: float, rear: float | None, test: str) -> Iterator[Step]:
    if rear is not None:
        yield Step(
            label="Gradient",
            shows="gradient",
            how=say("{setting} − {rear}", setting=psi(setting), rear=psi(rear)),
            value=psi(setting - rear),
        )
    demand = DEMANDS[test]
    _, decided = least_rear(test=test, operating=setting)
    if demand.gradient is not None:
        within = find_limit(demand.gradient).figure
        yield Step(
            label="Within the gradient",
            shows="least_rear" if decided == demand.gradient else "",
            how=say(
                "The rear within {within} of {setting}", within=psi(within), setting=psi(setting)
            ),
            value=psi(setting - within),
            decides=decided == demand.gradient,
        )
    if demand.floor is not None:
        yield Step(
            label="Floor",
            shows="least_rear" if decided == demand.floor else "",
            how=say("{test} has a floor of its own", test=TESTS.words_of(test)),
            value=psi(find_limit(demand.floor).figure),
            decides=decided == demand.floor,
        )


def _rear_car_steps(
    rear: float | None, full: float | None, emergency: float | None
) -> Iterator[Step]:
    if rear is not None and full is not None:
        yield Step(
            label="Rear car, full service",
            shows="full_service_at_rear",
            how=say("Its auxiliary at {rear} meets its cylinder", rear=psi(rear)),
            value=psi(full),
        )
    if rear is not None and emergency is not None:
        yield Step(
            label="Rear car, emergency",
            shows="emergency_at_rear",
            how=say("Both reservoirs at {rear} meet the cylinder", rear=psi(rear)),
            value=psi(emergency),
        )


def _notes(
    setting: float, rear: float | None, test: str, head: float | None, emergency_needs: float
) -> Iterator[Note]:
    least, _ = least_rear(test=test, operating=setting)
    if rear is not None and is_low(rear, emergency_needs):
        yield Note(
            kind="warning",
            text=say(
                "Emergency is not assured at the rear: {rear} is under {needs}, where it may not "
                "start or not run through.",
                rear=psi(rear),
                needs=psi(emergency_needs),
            ),
        )
    if rear is not None and rear > setting:
        yield Note(
            kind="warning",
            text=say(
                "The rear reads {over} over the setting: overcharged, or one of the gauges is wrong. "
                "A reduction counts from what is in each car.",
                over=psi(rear - setting),
            ),
        )
    if setting < least:
        yield Note(
            kind="warning",
            text=say(
                "At a setting of {setting} the rear cannot come to {least}.",
                setting=psi(setting),
                least=psi(least),
            ),
        )
    if head is not None and abs(head - setting) > find_limit("cab-gauge-error").figure:
        yield Note(
            kind="warning",
            text=say(
                "The head gauge reads {head} against a setting of {setting}: still charging, the "
                "regulating valve off its setting, or a gauge off. The figures here count from the "
                "setting.",
                head=psi(head),
                setting=psi(setting),
            ),
        )
        if rear is not None:
            yield Note(
                kind="warning",
                text=say(
                    "From the head gauge the gradient would be {gradient}.",
                    gradient=psi(head - rear),
                ),
            )
    yield Note(
        text=say(
            "A gradient read while air still flows is not the train's gradient: the rear gauge can "
            "be near its figure while the cars' reservoirs still fill. Wait until flow and rear "
            "both hold."
        )
    )
    yield Note(
        text=say(
            "On the road a gradient over {most}, or an air flow over its limit that does not come back, "
            "means: stop at the next available location and look for leaks (49 CFR 232.103(m)).",
            most=psi(find_limit("en-route-gradient").figure),
        )
    )
    yield Note(
        text=say(
            "The head gauge does not tell the rear. Each car brakes and releases by what is in "
            "its own reservoirs, and the rear car's are at the rear's pressure at best."
        )
    )


_MISSING_REAR = (
    Note(
        kind="warning",
        text=say("The second reading is compared once the rear pressure itself is given."),
    ),
)


def _readings(
    setting: float, rear: float | None, test: str, second_reading: float | None
) -> Iterator[Reading]:
    yield from rear_readings(test=test, operating=setting, rear=rear)
    if second_reading is not None and rear is not None:
        yield Reading(limit="head-rear-agreement", value=psi(abs(rear - second_reading)))


def _curve(setting: float, rear: float | None, car: CarBrake, air: float) -> Series:
    """Full service and emergency of a car against the pressure it is charged to."""
    top = int(max(setting, rear or setting, CURVE_FROM + 10))
    charges = [float(charge) for charge in range(CURVE_FROM, top + 1, 5)]
    return Series(
        title="What a car can give against its charge",
        x=Axis(term="Brake pipe at the car", unit="psi"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(
                name="Full service",
                points=tuple(
                    (c, full_service_pressure(charged=c, car=car, atmosphere=air)) for c in charges
                ),
                color="brake_cylinder",
            ),
            Line(
                name="Emergency",
                points=tuple(
                    (c, emergency_pressure(charged=c, car=car, atmosphere=air)) for c in charges
                ),
                color="brake_pipe",
            ),
        ),
        marked=((rear, full_service_pressure(charged=rear, car=car, atmosphere=air)),)
        if rear is not None and CURVE_FROM <= rear <= top
        else (),
        note="The mark is the rear car's full service." if rear is not None else "",
    )
