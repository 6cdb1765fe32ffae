"""The `train-resistance` calculator: what holds a rolling train back besides its brakes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.quantities import Quantity
from calculators.base.results import Axis, Line, Note, Outcome, Phrase, Series, Step, Value, say
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.force.resistance import curve_resistance, grade_resistance
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import (
    Direction,
    ResistanceFormula,
    Rolling,
    sampled,
)
from calculators.questions.train_resistance.inputs import TrainResistanceInputs

CURVE_TO = 70


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
    first=FirstScreen(
        figures={
            "resistance": "together",
            "grade_part": "the grade's part",
            "resistance_force": "the whole train",
        },
        asked={"": "{speed}, grade {grade} {direction}, {weight_per_axle} on each axle"},
        keys=(
            Key(field="speed", step=5, presets=(10, 20, 40, 60)),
            Key(field="grade", step=0.1),
            Key(field="direction"),
            Key(field="weight_per_axle"),
        ),
        line={"weight": "", "axles": "axles", "curve": "curve"},
    ),
    sources=(Citation("LECTURE", "train resistance, grade and curve"),),
    validity=(
        "A freight train that runs. A train at rest needs more to start, and none of it is sure "
        "to hold a train at rest.",
        "Cars of the kind the formula was made for: four axles, about 15 to 40 tons on each.",
    ),
    leaves_out=("Wind, cold bearings, dragging brakes, and the locomotives' own shape.",),
)
def train_resistance(given: TrainResistanceInputs) -> TrainResistance:
    """Work out the resistance of a running train.

    Returns
    -------
    TrainResistance
        In lb/ton and lb; positive holds back.
    """
    model = Rolling(
        formula=cast(ResistanceFormula, given.formula),
        weight_per_axle=given.weight_per_axle,
        axles=given.axles,
        frontal_area=given.frontal_area,
        drag=given.drag,
    )
    rising = given.grade if cast(Direction, given.direction) == "up" else -given.grade
    rolling = model.at(given.speed)
    by_grade = grade_resistance(grade=rising)
    by_curve = curve_resistance(curve=given.curve)
    total = rolling + by_grade + by_curve
    return TrainResistance(
        resistance=total,
        rolling=rolling,
        grade_part=by_grade,
        curve_part=by_curve,
        resistance_force=total * given.weight,
        headline=_headline(total, total * given.weight, given.speed),
        working=(
            Step(
                label="Rolling and air",
                shows="rolling",
                how=model.how(given.speed),
                value=_each(rolling),
            ),
            Step(
                label="Grade",
                shows="grade_part",
                how=say("20 × {grade}", grade=Value(rising, "%", 2)),
                value=_each(by_grade),
            ),
            Step(
                label="Curve",
                shows="curve_part",
                how=say("0.8 × {curve}", curve=Value(given.curve, "deg", 1)),
                value=_each(by_curve),
            ),
            Step(
                label="Together",
                shows="resistance",
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
                shows="resistance_force",
                how=say("{each} × {weight}", each=_each(total), weight=Value(given.weight, "tons")),
                value=Value(total * given.weight, "lbf"),
            ),
        ),
        notes=tuple(_notes(given.formula, total)),
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
