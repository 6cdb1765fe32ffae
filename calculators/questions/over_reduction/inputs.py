"""What the `over-reduction` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.declaring.inputs import After, Takes
from calculators.declaring.vocabulary import (
    BrakePipeSetting,
    Charged,
    Reduction,
)
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.train import JF_3, TrainInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class OverReductionInputs:
    """The inputs of `over-reduction`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    reduction: Reduction = 32.0
    train: Annotated[TrainInputs, Takes("cars", "car_length", "pipe_bore")] = JF_3
    delivery: Annotated[
        float,
        Quantity(
            term="Air that goes into the train",
            unit="cfm",
            low=1,
            high=400,
            help="What the supply really puts into the pipe while it recharges.",
            mark="P",
        ),
        After("car_length"),
    ] = 60.0
    charged: Charged = None
    car: Annotated[
        CarInputs,
        Takes("piston_travel", "cylinder_bore", "auxiliary_volume", "unswept_volume", "atmosphere"),
    ] = CAR
