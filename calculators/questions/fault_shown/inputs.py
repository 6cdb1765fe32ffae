"""What the `fault-shown` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.equipment.faults import FAULTS, OF_TRAIN, TRAIN_FAULTS
from calculators.finding.making import INDEPENDENT
from calculators.questions.shared.locomotive import EXAMPLE, LocomotiveInputs, full_independent
from calculators.questions.shared.train import JF_3, JF_7, TrainInputs

FAULT = Choice(
    term="Fault",
    options=(
        *(Option(value=one.id, words=one.title, kin=one.family) for one in FAULTS),
        *(Option(value=one.id, words=one.title, kin=OF_TRAIN.id) for one in TRAIN_FAULTS),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultShownInputs:
    """The inputs of `fault-shown`, in their published order."""

    fault: Annotated[str, FAULT] = "pipe-16-leaking"
    size: Annotated[
        float,
        Quantity(
            term="How large",
            unit="%",
            low=0,
            high=100,
            help="0: just shows on a gauge of the example; 100: as large as it can be. "
            "A fault that is there or is not has no size.",
        ),
    ] = 50.0
    car: Annotated[
        float,
        Quantity(
            term="At car",
            unit="",
            low=1,
            high=250,
            whole=True,
            help="Counted from the head; only for faults of the train.",
        ),
    ] = 10.0
    train: Annotated[TrainInputs, Takes("cars")] = JF_7
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    independent: Annotated[float, full_independent(low=20, high=70)] = INDEPENDENT
    locomotive: Annotated[
        LocomotiveInputs,
        Takes("service_limit", "multiplier", "minimum_reduction", "main_reservoir"),
    ] = EXAMPLE
