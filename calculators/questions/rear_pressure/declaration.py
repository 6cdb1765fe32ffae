"""The `rear-pressure` calculator: gradient and floor at the rear, and what the rear car has left."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated, get_args

from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Progress,
    Reading,
    Series,
    Step,
    ToFollow,
    psi,
    say,
)
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, Cars, PistonTravel
from calculators.equipment.car import CarBrake, emergency_pressure, full_service_pressure
from calculators.equipment.train import Train, equal_cars
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import DEMANDS, least_rear, rear_readings
from calculators.questions.rear_pressure import model
from calculators.questions.shared.train_model import WHO, why_not_covered

CURVE_FROM = 50
YOUR_TRAIN = "Your train, with its air flow"


def _of_train(shared: object) -> Quantity:
    """A shared description in this calculator's own part of the form."""
    (description,) = get_args(shared)[1:]
    assert isinstance(description, Quantity)
    return replace(description, group=YOUR_TRAIN)


_CARS, _CAR_LENGTH = _of_train(Cars), _of_train(CarLength)


# One railroad's rear pressure before a mountain grade: this far under the setting, but never
# under the floor (65/75/85 for 90/100/110) [S: ARRC-96 64-13, 64-35].
SUMMIT_UNDER_SETTING = 25.0
SUMMIT_FLOOR = 60.0

TESTS = Choice(
    term="For which test",
    options=(
        Option(value="class-1", words="Class I", spellings=("class I", "1")),
        Option(value="class-1a", words="Class IA", spellings=("class IA", "1a")),
        Option(value="class-2", words="Class II", spellings=("class II", "2")),
        Option(value="class-3", words="Class III (continuity)", spellings=("class III", "3")),
        Option(value="transfer", words="transfer train"),
        Option(value="yard-air", words="test from yard air"),
    ),
    help="The floor at the rear is not the same for every test.",
)
TestChoice = Annotated[str, TESTS]


@dataclass(frozen=True, slots=True, kw_only=True)
class RearPressure(Outcome):
    """The gradient, the least the test asks for, and what the rear car's brake still gives."""

    gradient: Annotated[float, Quantity(term="Gradient, setting to rear", unit="psi")]
    least_rear: Annotated[float, Quantity(term="Least rear pressure for this test", unit="psi")]
    decided_by: Annotated[str, Words(term="Decided by")]
    full_service_at_rear: Annotated[
        float, Quantity(term="Full service the rear car can give", unit="psi")
    ]
    full_service_at_setting: Annotated[
        float, Quantity(term="A car charged to the setting gives", unit="psi")
    ]
    emergency_at_rear: Annotated[
        float | None, Quantity(term="Emergency the rear car can give", unit="psi")
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
    sources=(
        Citation("CFR-232-205", "(c)(1)(i)(A)"),
        Citation("CFR-232-207", "(b)"),
        Citation("CFR-232-209"),
        Citation("CFR-232-211"),
        Citation("CFR-232-215"),
        Citation("CFR-232-217"),
        Citation("CFR-232-409"),
        Citation("ARRC-96", "glossary, G-3; pages 64-13, 64-35"),
        Citation("KC77", "a leak further back has the larger effect"),
    ),
    example={"air_flow": "35"},
    validity=(
        "The train is charged: nothing still flows into the cars, and the rear has stopped rising.",
        "The rear car's reservoirs have come up to the brake pipe beside them.",
    ),
    leaves_out=(
        "Gauges and the rear unit have errors of their own.",
        "Quick service, retaining valves, empty/load devices.",
    ),
)
def rear_pressure(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    rear: Annotated[
        float,
        Quantity(
            term="Rear pressure",
            unit="psi",
            low=0,
            high=130,
            help="Brake pipe at the last car: gauge or end-of-train device.",
        ),
    ] = 82.0,
    test: TestChoice = "class-1",
    head: Annotated[
        float | None,
        Quantity(
            term="Head gauge",
            unit="psi",
            low=0,
            high=130,
            help="Brake pipe in the controlling cab.",
            blank="the setting",
        ),
    ] = None,
    second_reading: Annotated[
        float | None,
        Quantity(
            term="The rear pressure, read a second way",
            unit="psi",
            low=0,
            high=130,
            help="At the rear unit or a gauge beside it, to compare with the cab's display.",
            blank="not read",
        ),
    ] = None,
    air_flow: Annotated[
        float | None,
        Quantity(
            term="Air flow into the train",
            unit="cfm",
            low=0,
            high=150,
            help="Read at the head with the train charged; the train model then says what gradient "
            "such a leakage makes.",
            blank="not read",
            group=YOUR_TRAIN,
        ),
    ] = None,
    cars: Annotated[float, _CARS] = 118.0,
    car_length: Annotated[float, _CAR_LENGTH] = 55.0,
    piston_travel: PistonTravel = 8.0,
    emergency_needs: Annotated[
        float,
        Quantity(
            term="Emergency is not counted on below a brake pipe of",
            unit="psi",
            low=40,
            high=90,
            help="Below this it may not start, or not run through the train.",
            mark="M",
            group="Your equipment",
        ),
    ] = 45.0,
) -> RearPressure:
    """Compare the rear with what a test asks for, and say what its brake can give.

    Parameters
    ----------
    brake_pipe_setting
        Pressure at which the train will be operated; on yard air the regulator setting. [psi]
    rear, second_reading
        Brake pipe at the last car, and the same pressure read a second way or None. [psi]
    test
        The test that is to be made.
    head
        Head gauge, None if not read. [psi]
    air_flow, cars, car_length
        Air flow that the charged train takes [cfm], number of cars, length of pipe per car [ft].
    piston_travel
        Piston travel of the rear car. [in]
    emergency_needs
        Brake pipe under which an emergency is not counted on. [psi]

    Returns
    -------
    RearPressure
        Pressures in psi; the emergency is None where it is not assured.
    """
    car = CarBrake(piston_travel=piston_travel)
    least, decided = least_rear(test=test, operating=brake_pipe_setting)
    assured = rear >= emergency_needs
    full = full_service_pressure(charged=rear, car=car)
    emergency = emergency_pressure(charged=rear, car=car) if assured else None
    first = RearPressure(
        gradient=brake_pipe_setting - rear,
        least_rear=least,
        decided_by=find_limit(decided).title,
        full_service_at_rear=full,
        full_service_at_setting=full_service_pressure(charged=brake_pipe_setting, car=car),
        emergency_at_rear=emergency,
        emergency_at_setting=emergency_pressure(charged=brake_pipe_setting, car=car),
        spread_gradient=None,
        gradient_if_at_rear=None,
        headline=say(
            "Gradient {gradient}: the rear reads {rear}, {test} asks for {least} or more.",
            gradient=psi(brake_pipe_setting - rear),
            rear=psi(rear),
            test=TESTS.words_of(test),
            least=psi(least),
        ),
        working=tuple(_working(brake_pipe_setting, rear, test, full, emergency)),
        notes=tuple(_notes(brake_pipe_setting, rear, test, head, emergency_needs)),
        readings=tuple(_readings(brake_pipe_setting, rear, test, second_reading)),
        series=(_curve(brake_pipe_setting, rear, car),),
    )
    if air_flow is None:
        return first
    reason = why_not_covered(cars=cars, car_length=car_length, setting=brake_pipe_setting)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    train = Train(
        cars=equal_cars(int(cars), length=car_length), brake_pipe_setting=brake_pipe_setting
    )
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("spread_gradient", "gradient_if_at_rear"),
            of=model.NOT_BEGUN,
            work=partial(_with_model, first, train, air_flow),
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


def _working(
    setting: float, rear: float, test: str, full: float, emergency: float | None
) -> Iterator[Step]:
    yield Step(
        label="Gradient",
        how=say("{setting} − {rear}", setting=psi(setting), rear=psi(rear)),
        value=psi(setting - rear),
    )
    demand = DEMANDS[test]
    _, decided = least_rear(test=test, operating=setting)
    if demand.gradient is not None:
        within = find_limit(demand.gradient).figure
        yield Step(
            label="Within the gradient",
            how=say(
                "The rear within {within} of {setting}", within=psi(within), setting=psi(setting)
            ),
            value=psi(setting - within),
            decides=decided == demand.gradient,
        )
    yield Step(
        label="Floor",
        how=say("{test} has a floor of its own", test=TESTS.words_of(test)),
        value=psi(find_limit(demand.floor).figure),
        decides=decided == demand.floor,
    )
    yield Step(
        label="Rear car, full service",
        how=say("Its auxiliary at {rear} meets its cylinder", rear=psi(rear)),
        value=psi(full),
    )
    if emergency is not None:
        yield Step(
            label="Rear car, emergency",
            how=say("Both reservoirs at {rear} meet the cylinder", rear=psi(rear)),
            value=psi(emergency),
        )


def _notes(
    setting: float, rear: float, test: str, head: float | None, emergency_needs: float
) -> Iterator[Note]:
    least, _ = least_rear(test=test, operating=setting)
    if rear < emergency_needs:
        yield Note(
            kind="warning",
            text=say(
                "Emergency is not assured at the rear: {rear} is under {needs}, where it may not "
                "start or not run through.",
                rear=psi(rear),
                needs=psi(emergency_needs),
            ),
        )
    if rear > setting:
        yield Note(
            kind="warning",
            text=say(
                "The rear reads {over} over the setting: overcharged, or one of the gauges is wrong. "
                "A reduction counts from what stands in each car.",
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
                "setting; from the head gauge the gradient would be {gradient}.",
                head=psi(head),
                setting=psi(setting),
                gradient=psi(head - rear),
            ),
        )
    yield Note(
        text=say(
            "A gradient read while air still flows is not the train's gradient: the rear gauge can "
            "stand near its figure while the cars' reservoirs still fill. Wait until flow and rear "
            "both hold."
        )
    )
    yield Note(
        text=say(
            "Before a mountain grade one railroad asks for {summit} or more at the rear, or an air flow "
            "within its limit; what yours asks for is in its rules.",
            summit=psi(max(SUMMIT_FLOOR, setting - SUMMIT_UNDER_SETTING)),
        )
    )
    yield Note(
        text=say(
            "The head gauge does not tell the rear. Each car brakes and releases by what stands in "
            "its own reservoirs, and the rear car's are at the rear's pressure at best."
        )
    )


def _readings(
    setting: float, rear: float, test: str, second_reading: float | None
) -> Iterator[Reading]:
    yield from rear_readings(test=test, operating=setting, rear=rear)
    if second_reading is not None:
        yield Reading(limit="head-rear-agreement", value=psi(abs(rear - second_reading)))


def _curve(setting: float, rear: float, car: CarBrake) -> Series:
    """Full service and emergency of a car against the pressure it is charged to."""
    top = int(max(setting, rear, CURVE_FROM + 10))
    charges = [float(charge) for charge in range(CURVE_FROM, top + 1, 5)]
    shown = CURVE_FROM <= rear <= top
    return Series(
        title="What a car can give against its charge",
        x=Axis(term="Brake pipe at the car", unit="psi"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(
                name="Full service",
                points=tuple((c, full_service_pressure(charged=c, car=car)) for c in charges),
                color="brake_cylinder",
            ),
            Line(
                name="Emergency",
                points=tuple((c, emergency_pressure(charged=c, car=car)) for c in charges),
                color="brake_pipe",
            ),
        ),
        marked=((rear, full_service_pressure(charged=rear, car=car)),) if shown else (),
        note="The mark is the rear car's full service.",
    )
