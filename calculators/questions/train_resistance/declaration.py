"""The `train-resistance` calculator: what holds a rolling train back besides its brakes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Axis, Line, Note, Outcome, Phrase, Series, Step, Value, say
from calculators.declaring.registry import calculator
from calculators.equipment.force.resistance import curve_resistance, grade_resistance
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import (
    DIRECTION,
    RESISTANCE_FORMULA,
    Curve,
    Direction,
    Drag,
    FrontalArea,
    Grade,
    ResistanceFormula,
    Rolling,
    TrainWeight,
    sampled,
)

CURVE_TO = 70

_FORMULAS = Choice(
    term="Formula",
    options=RESISTANCE_FORMULA.options[1:],
    help=RESISTANCE_FORMULA.help,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainResistance(Outcome):
    """Resistance in pounds for each ton, in its parts, and in pounds for the train."""

    resistance: Annotated[
        float,
        Quantity(
            term="Resistance",
            unit="lb/ton",
            digits=1,
            help="below zero the grade pulls the train along",
        ),
    ]
    rolling: Annotated[float, Quantity(term="Of that, rolling and air", unit="lb/ton", digits=1)]
    grade_part: Annotated[float, Quantity(term="Of that, grade", unit="lb/ton", digits=1)]
    curve_part: Annotated[float, Quantity(term="Of that, curve", unit="lb/ton", digits=1)]
    resistance_force: Annotated[float, Quantity(term="For the whole train", unit="lbf")]


@calculator(
    "train-resistance",
    title="Train resistance",
    question="What holds this train back, or pulls it along, without any brake?",
    sources=(Citation("LECTURE", "train resistance, grade and curve"),),
    validity=(
        "A freight train that runs. A train at rest needs more to start, and none of it is sure "
        "to hold a train at rest.",
        "Cars of the kind the formula was made for: four axles, about 15 to 40 tons on each.",
    ),
    leaves_out=("Wind, cold bearings, dragging brakes, and the locomotives' own shape.",),
)
def train_resistance(
    *,
    weight_per_axle: Annotated[
        float,
        Quantity(
            term="Weight on each axle",
            unit="tons",
            low=3,
            high=45,
            digits=1,
            help="Weight of a car over its axles. Tons of 2,000 lb.",
        ),
    ] = 30.0,
    axles: Annotated[
        float, Quantity(term="Axles of a car", unit="", low=2, high=20, whole=True, mark="P")
    ] = 4.0,
    speed: Annotated[float, Quantity(term="Speed", unit="mph", low=0, high=90)] = 40.0,
    grade: Grade = 0.0,
    direction: Annotated[str, DIRECTION] = "up",
    curve: Curve = 0.0,
    weight: TrainWeight = 14_600.0,
    formula: Annotated[str, _FORMULAS] = "davis",
    frontal_area: FrontalArea = 90.0,
    drag: Drag = 0.07,
) -> TrainResistance:
    """Work out the resistance of a running train.

    Parameters
    ----------
    weight_per_axle, axles, frontal_area
        A car: tons on each axle, axles, frontal area [sq ft].
    speed, grade, direction, curve
        Speed [mph], grade [%] and whether the train climbs or descends, curve [degrees].
    weight
        Weight of the train, for its resistance in pounds. [tons]
    formula, drag
        The formula of 1926 or its later form, with that form's air factor.

    Returns
    -------
    TrainResistance
        In lb/ton and lb; positive holds back.
    """
    model = Rolling(
        formula=cast(ResistanceFormula, formula),
        weight_per_axle=weight_per_axle,
        axles=axles,
        frontal_area=frontal_area,
        drag=drag,
    )
    rising = grade if cast(Direction, direction) == "up" else -grade
    rolling = model.at(speed)
    by_grade = grade_resistance(grade=rising)
    by_curve = curve_resistance(curve=curve)
    total = rolling + by_grade + by_curve
    return TrainResistance(
        resistance=total,
        rolling=rolling,
        grade_part=by_grade,
        curve_part=by_curve,
        resistance_force=total * weight,
        headline=_headline(total, total * weight, speed),
        working=(
            Step(label="Rolling and air", how=model.how(speed), value=_each(rolling)),
            Step(
                label="Grade",
                how=say("20 × {grade}", grade=Value(rising, "%", 2)),
                value=_each(by_grade),
            ),
            Step(
                label="Curve",
                how=say("0.8 × {curve}", curve=Value(curve, "deg", 1)),
                value=_each(by_curve),
            ),
            Step(
                label="Together",
                how=say(
                    "{rolling} + ({grade}) + {curve}",
                    rolling=_each(rolling),
                    grade=_each(by_grade),
                    curve=_each(by_curve),
                ),
                value=_each(total),
                decides=True,
            ),
            Step(
                label="For the train",
                how=say("{each} × {weight}", each=_each(total), weight=Value(weight, "tons")),
                value=Value(total * weight, "lbf"),
            ),
        ),
        notes=tuple(_notes(formula, total)),
        series=(_curve(model),),
    )


def _each(amount: float) -> Value:
    return Value(amount, "lb/ton", 1)


def _headline(total: float, force: float, speed: float) -> Phrase:
    if total < 0:
        return say(
            "At {speed} the grade pulls this train along with {each}, {force} in all.",
            speed=Value(speed, "mph"),
            each=_each(-total),
            force=Value(-force, "lbf"),
        )
    return say(
        "At {speed} {each} hold this train back, {force} in all.",
        speed=Value(speed, "mph"),
        each=_each(total),
        force=Value(force, "lbf"),
    )


def _notes(formula: str, total: float) -> Iterator[Note]:
    if total < 0:
        yield Note(
            text=say(
                "Nothing but brakes holds this train: left alone it runs away, faster and faster."
            ),
            kind="warning",
        )
    if formula == "davis":
        yield Note(
            text=say(
                "The formula of 1926 was made for plain bearings. Cars on roller bearings roll more "
                "lightly, so it promises more holding back than they give."
            )
        )
    else:
        yield Note(
            text=say("The air factor K of the later form is from memory; the form itself was read.")
        )


def _curve(model: Rolling) -> Series:
    def line(name: str, formula: ResistanceFormula, color: str) -> Line:
        one = Rolling(
            formula=formula,
            weight_per_axle=model.weight_per_axle,
            axles=model.axles,
            frontal_area=model.frontal_area,
            drag=model.drag,
        )
        return Line(name=name, points=sampled(one.at, start=0, end=CURVE_TO, step=5), color=color)

    return Series(
        title="Rolling and air resistance against speed, level and straight",
        x=Axis(term="Speed", unit="mph"),
        y=Axis(term="Resistance", unit="lb/ton", digits=1),
        lines=(
            line("formula of 1926", "davis", "brake_pipe"),
            line("later form", "modified", "equalizing_reservoir"),
        ),
    )
