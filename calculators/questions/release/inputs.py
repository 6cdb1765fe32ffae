"""What the `release` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import (
    THE_CAR,
    BrakePipeSetting,
    Charged,
    Reduction,
    ReleaseType,
)
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.train import JF_3, TrainInputs

GRADUATED = "A control valve with graduated release"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseInputs:
    """The inputs of `release`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    reduction: Reduction = 12.0
    rise: Annotated[
        float,
        Quantity(
            term="Rise of the brake pipe at this car",
            unit="psi",
            low=0,
            high=130,
            digits=1,
            help="From the lowest the pipe has been. The head's rise is not the rear's.",
        ),
    ] = 4.0
    release_type: ReleaseType = "direct"
    charged: Charged = None
    release_margin_low: Annotated[
        float,
        Quantity(
            term="A direct valve may let go at a rise over its auxiliary of",
            setting="release_margin_low",
            unit="psi",
            low=0.5,
            high=5,
            digits=1,
            mark="M",
            group=THE_CAR,
        ),
    ] = 1.5
    release_margin_high: Annotated[
        float,
        Quantity(
            term="and is counted on to let go at",
            setting="release_margin_high",
            unit="psi",
            low=0.5,
            high=6,
            digits=1,
            mark="M",
            group=THE_CAR,
        ),
    ] = 3.0
    car: Annotated[
        CarInputs,
        Takes(
            "piston_travel",
            "cylinder_bore",
            "auxiliary_volume",
            "unswept_volume",
            "quick_service_limit",
            "moving_reduction",
            "atmosphere",
        ),
    ] = CAR
    multiplier: Annotated[
        float,
        Quantity(
            term="Control valve multiplier",
            setting="multiplier",
            unit="",
            low=0.5,
            high=5,
            digits=2,
            help="Psi in the cylinder for each psi that the pipe is below the control reservoir.",
            mark="P",
            group=GRADUATED,
        ),
    ] = 2.5
    service_limit: Annotated[
        float,
        Quantity(
            term="Service limiting valve set at",
            setting="service_limit",
            unit="psi",
            low=0,
            high=150,
            mark="P",
            group=GRADUATED,
        ),
    ] = 60.0
    train: Annotated[TrainInputs, Takes("cars", "car_length")] = JF_3
