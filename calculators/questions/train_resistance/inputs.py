"""What the `train-resistance` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Quantity
from calculators.questions.shared.force_inputs import (
    DIRECTION,
    RESISTANCE_FORMULA,
    ROLLING,
    Curve,
    Drag,
    FrontalArea,
    Grade,
    TrainWeight,
)
from calculators.questions.shared.juniper_fork import YARD_GRADE
from calculators.questions.shared.train import JF_3

_FORMULAS = Choice(
    term="Formula",
    options=RESISTANCE_FORMULA.options[1:],
    help=RESISTANCE_FORMULA.help,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainResistanceInputs:
    """The inputs of `train-resistance`, in their published order."""

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
    ] = 30.0
    axles: Annotated[
        float, Quantity(term="Axles of a car", unit="", low=2, high=20, whole=True, mark="P")
    ] = 4.0
    speed: Annotated[float, Quantity(term="Speed", unit="mph", low=0, high=90)] = 40.0
    grade: Grade = YARD_GRADE
    direction: Annotated[str, DIRECTION] = "up"
    curve: Curve = 0.0
    weight: TrainWeight = JF_3.weight
    formula: Annotated[str, _FORMULAS] = "davis"
    frontal_area: FrontalArea = ROLLING.frontal_area
    drag: Drag = ROLLING.drag
