"""The `grade-balance` calculator: the reduction that holds a train at a steady speed downhill."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Outcome
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import (
    CarBrake,
    emergency_pressure,
    full_service_pressure,
    full_service_reduction,
)
from calculators.equipment.force.friction import Friction
from calculators.equipment.force.holding import (
    balancing_pressure,
    grade_force,
    reduction_for,
    tons_per_operative_brake,
)
from calculators.equipment.force.resistance import curve_resistance, grade_resistance
from calculators.law.records import Citation
from calculators.questions.grade_balance import words
from calculators.questions.grade_balance.inputs import GradeBalanceInputs
from calculators.questions.shared.force_inputs import (
    ESTIMATE,
)

NO_BALANCE = "no balance worked out"


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeBalance(Outcome):
    """What the grade pulls, and the reduction that balances it."""

    reduction: Annotated[
        float | None,
        Quantity(term="Reduction that balances the grade", unit="psi", digits=1, blank=NO_BALANCE),
    ]
    brake_cylinder: Annotated[
        float | None, Quantity(term="Brake cylinders then", unit="psi", digits=1, blank=NO_BALANCE)
    ]
    half_of_full_service: Annotated[
        float, Quantity(term="Half of a full-service reduction", unit="psi", digits=1)
    ]
    tons_per_operative_brake: Annotated[
        float | None,
        Quantity(
            term="Weight on each operative brake",
            unit="tons",
            digits=1,
            blank="needs their number",
        ),
    ]
    grade_force: Annotated[float, Quantity(term="Pull of the grade", unit="lbf")]
    dynamic_force: Annotated[float, Quantity(term="Dynamic brake holds back", unit="lbf")]
    reduction_with_dynamic: Annotated[
        float | None,
        Quantity(
            term="Reduction while the dynamic brake holds",
            unit="psi",
            digits=1,
            help="not to be counted on",
            blank=NO_BALANCE,
        ),
    ]


@calculator(
    "grade-balance",
    title="Balance on a grade",
    question="How much reduction balances this grade, and what does each operative brake hold?",
    first=FirstScreen(
        figures={
            "reduction": "off, to balance",
            "brake_cylinder": "in the cylinders",
            "half_of_full_service": "half of full service",
        },
        asked={"": "{weight} on {grade} at {speed}"},
        keys=(
            Key(field="grade", step=0.1, presets=(0.5, 1, 1.5, 2, 2.5)),
            Key(field="speed", step=5, presets=(10, 15, 20, 25, 30)),
            Key(field="operative_brakes"),
        ),
        line={"weight": "", "cars": "cars", "brake_pipe_setting": ""},
    ),
    sources=(
        Citation("NTSB-90", "p. 59 and p. 61 of the scan; rules 33 and 61.E"),
        Citation("LECTURE", "train resistance, grade and curve"),
        Citation("PROUT", "pp. 68-71"),
        Citation("CFR-232-109", "(j)"),
    ),
    validity=(
        "A fully charged train that runs steadily down one grade with cold shoes.",
        "Every car's brake is the one given under The car, with the same travel.",
        "All brakes alike; those that do not work spread their share over the others.",
    ),
    leaves_out=(
        "Heat: shoes fade on a long grade, and the balance found here is then lost.",
        "Recharging: after a release there is less air than this counts on.",
        "The light set that quick service gives, which would only help.",
    ),
    example={
        "operative_brakes": "118",
        "braking_ratio": "10",
        "friction": "0.3",
        "half_friction_speed": "150",
    },
    estimate=ESTIMATE,
)
def grade_balance(given: GradeBalanceInputs) -> GradeBalance:
    """Find the service reduction that balances a grade at a steady speed.

    Returns
    -------
    GradeBalance
        Pressures in psi, forces in pounds; None where a figure is missing or the grade cannot be
        balanced.

    Raises
    ------
    InputError
        If more brakes work than there are, or weight and cars do not fit.
    """
    if given.operative_brakes is not None and given.operative_brakes > given.brakes:
        raise InputError(
            "operative_brakes",
            f"Operative brakes are {given.operative_brakes:g} of {given.brakes:g}; no more can work "
            "than there are. Where articulated cars have several, give the brakes in the train.",
        )
    rolling = given.rolling.of_train(weight=given.train.weight, cars=given.train.cars)
    law = given.shoes.law()
    car, air = given.car.brake(), given.car.atmosphere
    charged = given.brake_pipe_setting
    dynamic = given.dynamic_axles * (given.dynamic_axle_force or 0.0)
    found = words.Found(
        full=full_service_pressure(charged=charged, car=car, atmosphere=air),
        full_reduction=full_service_reduction(charged=charged, car=car, atmosphere=air),
        emergency=emergency_pressure(charged=charged, car=car, atmosphere=air),
        law=law,
        missing=given.shoes.missing()
        + (("the number of operative brakes",) if given.operative_brakes is None else ()),
        rolling=rolling,
        pull=grade_resistance(grade=given.grade) - curve_resistance(curve=given.curve),
        dynamic=dynamic,
    )
    tons = (
        None
        if given.operative_brakes is None
        else tons_per_operative_brake(
            weight=given.train.weight, operative_brakes=given.operative_brakes
        )
    )
    if found.missing:
        return _outcome(given, found, tons=tons, balance=None)
    ratio = given.shoes.braking_ratio
    assert law is not None
    assert ratio is not None
    assert given.operative_brakes is not None
    share = given.operative_brakes / given.brakes

    def balanced_at(mph: float, held_otherwise: float) -> tuple[float, float | None]:
        return _balance(
            needed=found.pull - rolling.at(mph) - held_otherwise,
            ratio=ratio,
            ratio_pressure=given.shoes.ratio_pressure,
            friction=law,
            speed=mph,
            share=share,
            charged=charged,
            car=car,
            atmosphere=air,
        )

    pressure, reduction = balanced_at(given.speed, 0.0)
    faster = min(given.speed + words.SPEED_STEP, words.CURVE_TO)
    balance = words.Balance(
        pressure=pressure,
        reduction=reduction,
        with_dynamic=balanced_at(given.speed, dynamic / given.train.weight)[1],
        faster=faster,
        faster_reduction=balanced_at(faster, 0.0)[1],
        share=share,
        against_speed=tuple(
            (float(mph), needed)
            for mph in range(words.CURVE_STEP, words.CURVE_TO + 1, words.CURVE_STEP)
            if (needed := balanced_at(mph, 0.0)[1]) is not None
        ),
    )
    return _outcome(given, found, tons=tons, balance=balance)


def _balance(
    *,
    needed: float,
    ratio: float,
    ratio_pressure: float,
    friction: Friction,
    speed: float,
    share: float,
    charged: float,
    car: CarBrake,
    atmosphere: float,
) -> tuple[float, float | None]:
    """Cylinder pressure that balances a pull, and the reduction that gives it if any does."""
    pressure = balancing_pressure(
        needed=needed,
        braking_ratio=ratio,
        ratio_pressure=ratio_pressure,
        friction=friction.at(speed),
        operative_share=share,
    )
    return pressure, reduction_for(
        brake_cylinder=pressure, charged=charged, car=car, atmosphere=atmosphere
    )


def _outcome(
    given: GradeBalanceInputs,
    found: words.Found,
    *,
    tons: float | None,
    balance: words.Balance | None,
) -> GradeBalance:
    return GradeBalance(
        reduction=None if balance is None else balance.reduction,
        brake_cylinder=(None if balance is None or balance.reduction is None else balance.pressure),
        half_of_full_service=found.full_reduction / 2.0,
        tons_per_operative_brake=tons,
        grade_force=grade_force(weight=given.train.weight, grade=given.grade),
        dynamic_force=found.dynamic,
        reduction_with_dynamic=None if balance is None else balance.with_dynamic,
        headline=words.headline(given, found, balance),
        working=tuple(words.working(given, found, balance, tons)),
        notes=tuple(words.notes(given, found, balance, tons)),
        series=words.curves(given, found, balance),
    )
