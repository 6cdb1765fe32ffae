"""What the `exhaust-time` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import BrakePipeSetting, PipeBore, Reduction
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.train import JF_3, TrainInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhaustTimeInputs:
    """The inputs of `exhaust-time`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    reduction: Reduction = 10.0
    train: Annotated[TrainInputs, Takes("cars", "car_length")] = JF_3
    heard: Annotated[
        float | None,
        Quantity(
            term="The head blew for",
            unit="s",
            low=0,
            high=1200,
            help="If you have timed it.",
            blank="not timed",
        ),
    ] = None
    air_flow: Annotated[
        float | None,
        Quantity(
            term="Air flow into the train, charged",
            unit="cfm",
            low=0,
            high=200,
            help="What leaks out does not come back to the head: leakage shortens the blow.",
            blank="taken as none",
        ),
    ] = None
    pipe_bore: PipeBore = JF_3.pipe_bore
    car: Annotated[CarInputs, Takes("atmosphere")] = CAR

    @property
    def cars(self) -> int:
        """Cars in the train."""
        return int(self.train.cars)
