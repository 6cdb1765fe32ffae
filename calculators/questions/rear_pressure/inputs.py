"""What the `rear-pressure` question asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, get_args

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, Cars
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR, CarOfVolumes
from calculators.questions.shared.low_emergency import EmergencyNeeds
from calculators.questions.shared.train import JF_3

YOUR_TRAIN = "Your train, with its air flow"

TESTS = Choice(
    term="For which test",
    options=(
        Option(value="class-1", words="Class I", spellings=("class I", "1")),
        Option(value="class-1a", words="Class IA", spellings=("class IA", "1a")),
        Option(value="class-2", words="Class II", spellings=("class II", "2")),
        Option(value="class-3", words="Class III (continuity)", spellings=("class III", "3")),
        Option(value="transfer", words="transfer train"),
        Option(value="yard-air", words="test from yard air"),
        Option(value="road", words="on the road, no test", spellings=("on the road",)),
    ),
    help="The floor at the rear is not the same for every test.",
)

TestChoice = Annotated[str, TESTS]


def _of_train(shared: object) -> Quantity:
    """A shared description in this calculator's own part of the form."""
    (description,) = get_args(shared)[1:]
    assert isinstance(description, Quantity)
    return replace(description, group=YOUR_TRAIN)


_CARS, _CAR_LENGTH = _of_train(Cars), _of_train(CarLength)


@dataclass(frozen=True, slots=True, kw_only=True)
class RearPressureInputs:
    """The inputs of `rear-pressure`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    rear: Annotated[
        float | None,
        Quantity(
            term="Rear pressure",
            unit="psi",
            low=0,
            high=130,
            help="Brake pipe at the last car: gauge or end-of-train device.",
            blank="not read",
        ),
    ] = None
    test: TestChoice = "class-1"
    head: Annotated[
        float | None,
        Quantity(
            term="Head gauge",
            unit="psi",
            low=0,
            high=130,
            help="Brake pipe in the controlling cab.",
            blank="the setting",
        ),
    ] = None
    second_reading: Annotated[
        float | None,
        Quantity(
            term="The rear pressure, read a second way",
            unit="psi",
            low=0,
            high=130,
            help="At the rear unit or a gauge beside it, to compare with the cab's display.",
            blank="not read",
        ),
    ] = None
    air_flow: Annotated[
        float | None,
        Quantity(
            term="Air flow into the train",
            unit="cfm",
            low=0,
            high=150,
            help="Read at the head with the train charged; the train model then says what gradient "
            "such a leakage makes.",
            blank="not read",
            group=YOUR_TRAIN,
        ),
    ] = None
    cars: Annotated[float, _CARS] = JF_3.cars
    car_length: Annotated[float, _CAR_LENGTH] = JF_3.car_length
    car: CarOfVolumes = CAR
    emergency_needs: EmergencyNeeds = EMERGENCY_NEEDS.value
