"""What the `charging-time` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import BrakePipeSetting, PipeBore
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.train import JF_3, TrainInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargingTimeInputs:
    """The inputs of `charging-time`, in their published order."""

    train: Annotated[TrainInputs, Takes("cars", "car_length")] = JF_3
    from_pressure: Annotated[
        float,
        Quantity(
            term="Charged so far to",
            unit="psi",
            low=0,
            high=130,
            help="0 is a dry train. The cars' reservoirs count, not the gauge at the head.",
        ),
    ] = 0.0
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    delivery: Annotated[
        float,
        Quantity(
            term="Air delivered to the train",
            setting="delivery",
            unit="cfm",
            low=1,
            high=1000,
            help="What the compressors make and the brake valve passes, all locomotives together.",
            mark="P",
        ),
    ] = 60.0
    leakage_flow: Annotated[
        float,
        Quantity(
            term="Leakage once charged",
            unit="cfm",
            low=0,
            high=500,
            help="Takes part of the delivery, the more the higher the pipe is.",
        ),
    ] = 0.0
    pipe_bore: PipeBore = JF_3.pipe_bore
    car: Annotated[CarInputs, Takes("auxiliary_volume", "emergency_volume")] = CAR
