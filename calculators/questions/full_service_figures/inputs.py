"""What the `full-service-figures` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import (
    THE_CAR,
    BrakePipeSetting,
)
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3


@dataclass(frozen=True, slots=True, kw_only=True)
class FullServiceFiguresInputs:
    """The inputs of `full-service-figures`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    car: Annotated[
        CarInputs,
        Takes(
            "piston_travel",
            "cylinder_bore",
            "auxiliary_volume",
            "emergency_volume",
            "unswept_volume",
            "atmosphere",
        ),
    ] = CAR
    emergency_needs: Annotated[float, in_group(THE_CAR)] = EMERGENCY_NEEDS.value
