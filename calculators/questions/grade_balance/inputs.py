"""What the `grade-balance` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Typical
from calculators.declaring.inputs import After, Takes
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.questions.shared.car import CAR, CarOfVolumes
from calculators.questions.shared.force_inputs import (
    ROLLING,
    SHOES,
    Curve,
    Grade,
    RollingInputs,
    ShoesInputs,
    Speed,
)
from calculators.questions.shared.juniper_fork import DOWN_GRADE
from calculators.questions.shared.train import JF_3, TrainInputs

THE_DYNAMIC = "Dynamic brake, shown apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeBalanceInputs:
    """The inputs of `grade-balance`, in their published order."""

    train: Annotated[TrainInputs, Takes("weight", "cars")] = JF_3
    grade: Annotated[Grade, After("weight")] = DOWN_GRADE
    speed: Annotated[Speed, After("grade")] = 20.0
    curve: Annotated[Curve, After("speed")] = 0.0
    operative_brakes: Annotated[
        float | None,
        Quantity(
            term="Operative brakes",
            unit="",
            low=1,
            high=600,
            whole=True,
            help="Brakes that are cut in and work. Count them, do not guess.",
            blank="needed for an answer",
        ),
    ] = None
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    shoes: ShoesInputs = SHOES
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
    ] = 0.0
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
    ] = None
    rolling: RollingInputs = ROLLING
    control_valves: Annotated[
        float | None,
        Quantity(
            term="Brakes in the train",
            unit="",
            low=1,
            high=600,
            whole=True,
            help="Articulated cars have more than one control valve: count all, working or not.",
            blank="one for each car",
        ),
    ] = None
    car: CarOfVolumes = CAR

    @property
    def brakes(self) -> float:
        """How many brakes the train has, working or not."""
        return self.train.cars if self.control_valves is None else self.control_valves
