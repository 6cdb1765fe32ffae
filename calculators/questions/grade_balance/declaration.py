"""The `grade-balance` calculator: the reduction that holds a train at a steady speed downhill."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Typical
from calculators.base.results import Outcome
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting, Cars
from calculators.equipment import car
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
from calculators.questions.shared.force_inputs import (
    ESTIMATE,
    RESISTANCE_FORMULA,
    BrakingRatio,
    Curve,
    Drag,
    FrictionLaw,
    FrontalArea,
    Grade,
    HalfSpeed,
    RatioPressure,
    ShoeFriction,
    Speed,
    TrainWeight,
    missing_figures,
    rolling_of_train,
    shoe_friction,
)

NO_BALANCE = "no balance worked out"
THE_DYNAMIC = "Dynamic brake, shown apart"


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
    sources=(
        Citation("NTSB-90", "p. 59 and p. 61 of the scan; rules 33 and 61.E"),
        Citation("LECTURE", "train resistance, grade and curve"),
        Citation("PROUT", "pp. 68-71"),
        Citation("CFR-232-109", "(j)"),
    ),
    validity=(
        "A fully charged train that runs steadily down one grade with cold shoes.",
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
def grade_balance(
    *,
    weight: TrainWeight = 14_600.0,
    grade: Grade = 1.0,
    speed: Speed = 20.0,
    curve: Curve = 0.0,
    cars: Cars = 118.0,
    operative_brakes: Annotated[
        float | None,
        Quantity(
            term="Operative brakes",
            unit="",
            low=1,
            high=250,
            whole=True,
            help="Cars whose brake is cut in and works. Count them, do not guess.",
            blank="needed for an answer",
        ),
    ] = None,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    braking_ratio: BrakingRatio = None,
    ratio_pressure: RatioPressure = 64.0,
    friction: ShoeFriction = None,
    friction_law: FrictionLaw = "falling",
    half_friction_speed: HalfSpeed = None,
    dynamic_axles: Annotated[
        float,
        Quantity(
            term="Axles with dynamic brake",
            unit="",
            low=0,
            high=72,
            whole=True,
            group=THE_DYNAMIC,
        ),
    ] = 0.0,
    dynamic_axle_force: Annotated[
        float | None,
        Quantity(
            term="Each holds back, at this speed",
            unit="lbf",
            low=0,
            high=30_000,
            help="It changes with speed: ask for your units' curve.",
            group=THE_DYNAMIC,
            blank="not given",
            typical=(
                Typical(value=10_000, words="at 23 mph, units of one accident report", mark="S"),
                Typical(value=5_700, words="at 40 mph, the same units", mark="S"),
            ),
        ),
    ] = None,
    resistance_formula: Annotated[str, RESISTANCE_FORMULA] = "left-out",
    frontal_area: FrontalArea = 90.0,
    drag: Drag = 0.07,
) -> GradeBalance:
    """Find the service reduction that balances a grade at a steady speed.

    Parameters
    ----------
    weight, grade, speed, curve
        Tons held, grade descended [%], speed [mph], curve [degrees].
    cars, operative_brakes, brake_pipe_setting
        Cars of the train, how many of their brakes work, charged pressure [psi].
    braking_ratio, ratio_pressure
        Shoe force over weight with every brake working [%], and the cylinder pressure [psi] it is
        stated for.
    friction, friction_law, half_friction_speed
        Shoe friction, whether it falls with speed, and the speed [mph] that halves it.
    dynamic_axles, dynamic_axle_force
        Axles with dynamic brake and what each holds back [lb]; shown apart.
    resistance_formula, frontal_area, drag
        The resistance formula and its figures.

    Returns
    -------
    GradeBalance
        Pressures in psi, forces in pounds; None where a figure is missing or the grade cannot be
        balanced.

    Raises
    ------
    InputError
        If more brakes work than there are cars, or weight and cars do not fit.
    """
    if operative_brakes is not None and operative_brakes > cars:
        raise InputError(
            "operative_brakes",
            f"Operative brakes are {operative_brakes:g} on {cars:g} cars; "
            "there cannot be more than one for each car.",
        )
    rolling = rolling_of_train(
        formula=resistance_formula,
        weight=weight,
        cars=cars,
        frontal_area=frontal_area,
        drag=drag,
    )
    law = shoe_friction(
        friction=friction, friction_law=friction_law, half_friction_speed=half_friction_speed
    )
    full = car.full_service_pressure(charged=brake_pipe_setting)
    full_reduction = car.full_service_reduction(charged=brake_pipe_setting)
    dynamic = dynamic_axles * (dynamic_axle_force or 0.0)
    facts = words.Facts(
        weight=weight,
        grade=grade,
        speed=speed,
        curve=curve,
        cars=cars,
        operative_brakes=operative_brakes,
        charged=brake_pipe_setting,
        full=full,
        full_reduction=full_reduction,
        emergency=car.emergency_pressure(charged=brake_pipe_setting),
        ratio=braking_ratio,
        ratio_pressure=ratio_pressure,
        law=law,
        missing=missing_figures(
            braking_ratio=braking_ratio,
            friction=friction,
            friction_law=friction_law,
            half_friction_speed=half_friction_speed,
        )
        + (("the number of operative brakes",) if operative_brakes is None else ()),
        rolling=rolling,
        pull=grade_resistance(grade=grade) - curve_resistance(curve=curve),
        dynamic_axles=dynamic_axles,
        dynamic=dynamic,
    )
    tons = (
        None
        if operative_brakes is None
        else tons_per_operative_brake(weight=weight, operative_brakes=operative_brakes)
    )
    if facts.missing:
        return _outcome(facts, tons=tons, balance=None)
    assert law is not None
    assert braking_ratio is not None
    assert operative_brakes is not None
    share = operative_brakes / cars

    def balanced_at(mph: float, held_otherwise: float) -> tuple[float, float | None]:
        return _balance(
            needed=facts.pull - rolling.at(mph) - held_otherwise,
            ratio=braking_ratio,
            ratio_pressure=ratio_pressure,
            friction=law,
            speed=mph,
            share=share,
            charged=brake_pipe_setting,
        )

    pressure, reduction = balanced_at(speed, 0.0)
    faster = min(speed + words.SPEED_STEP, words.CURVE_TO)
    balance = words.Balance(
        pressure=pressure,
        reduction=reduction,
        with_dynamic=balanced_at(speed, dynamic / weight)[1],
        faster=faster,
        faster_reduction=balanced_at(faster, 0.0)[1],
        share=share,
        against_speed=tuple(
            (float(mph), needed)
            for mph in range(words.CURVE_STEP, words.CURVE_TO + 1, words.CURVE_STEP)
            if (needed := balanced_at(mph, 0.0)[1]) is not None
        ),
    )
    return _outcome(facts, tons=tons, balance=balance)


def _balance(
    *,
    needed: float,
    ratio: float,
    ratio_pressure: float,
    friction: Friction,
    speed: float,
    share: float,
    charged: float,
) -> tuple[float, float | None]:
    """Cylinder pressure that balances a pull, and the reduction that gives it if any does."""
    pressure = balancing_pressure(
        needed=needed,
        braking_ratio=ratio,
        ratio_pressure=ratio_pressure,
        friction=friction.at(speed),
        operative_share=share,
    )
    return pressure, reduction_for(brake_cylinder=pressure, charged=charged)


def _outcome(
    facts: words.Facts, *, tons: float | None, balance: words.Balance | None
) -> GradeBalance:
    return GradeBalance(
        reduction=None if balance is None else balance.reduction,
        brake_cylinder=(None if balance is None or balance.reduction is None else balance.pressure),
        half_of_full_service=facts.full_reduction / 2.0,
        tons_per_operative_brake=tons,
        grade_force=grade_force(weight=facts.weight, grade=facts.grade),
        dynamic_force=facts.dynamic,
        reduction_with_dynamic=None if balance is None else balance.with_dynamic,
        headline=words.headline(facts, balance),
        working=tuple(words.working(facts, balance, tons)),
        notes=tuple(words.notes(facts, balance, tons)),
        series=words.curves(facts, balance),
    )
