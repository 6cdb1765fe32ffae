"""What the `full-service-figures` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.declaring.vocabulary import (
    THE_CAR,
    BrakePipeSetting,
)
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR, CarOfVolumes
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3


@dataclass(frozen=True, slots=True, kw_only=True)
class FullServiceFiguresInputs:
    """The inputs of `full-service-figures`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    car: CarOfVolumes = CAR
    emergency_needs: Annotated[float, in_group(THE_CAR)] = EMERGENCY_NEEDS.value
