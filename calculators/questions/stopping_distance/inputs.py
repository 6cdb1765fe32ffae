"""What the `stopping-distance` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import Reduction
from calculators.questions.shared.force_inputs import (
    DIRECTION,
    ROLLING,
    SHOES,
    THE_BRAKES,
    Curve,
    Grade,
    RollingInputs,
    ShoesInputs,
    Speed,
)
from calculators.questions.shared.juniper_fork import YARD_GRADE
from calculators.questions.shared.train import JF_3, TrainInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class StoppingDistanceInputs:
    """The inputs of `stopping-distance`, in their published order."""

    speed: Speed = 40.0
    command: Annotated[
        str,
        Choice(
            term="Application",
            options=(
                Option(value="emergency", words="emergency"),
                Option(value="service", words="service, by the reduction below"),
            ),
        ),
    ] = "emergency"
    reduction: Reduction = 26.0
    grade: Grade = YARD_GRADE
    direction: Annotated[str, DIRECTION] = "down"
    curve: Curve = 0.0
    train: Annotated[TrainInputs, Takes("weight", "cars", "car_length", "brake_pipe_setting")] = (
        JF_3
    )
    shoes: ShoesInputs = SHOES
    reaction_time: Annotated[
        float,
        Quantity(
            term="Reaction time",
            setting="reaction_time",
            unit="s",
            low=0,
            high=60,
            digits=1,
            help="From seeing the need until the handle is there. Our own example.",
            group=THE_BRAKES,
        ),
    ] = 2.0
    travel_speed: Annotated[
        float | None,
        Quantity(
            term="The start runs along the train at",
            setting="travel_speed",
            unit="ft/s",
            low=50,
            high=1100,
            help="Nominal 930 ft/s in emergency, 500 ft/s in service. Nothing outruns sound.",
            mark="M",
            group=THE_BRAKES,
            blank="nominal",
        ),
    ] = None
    fill_time: Annotated[
        float | None,
        Quantity(
            term="A car's cylinder takes",
            setting="fill_time",
            unit="s",
            low=0,
            high=300,
            help="Nominal 11 s in emergency; in service 10 s and 0.5 s for every car of the train.",
            mark="M",
            group=THE_BRAKES,
            blank="nominal",
        ),
    ] = None
    rotating_mass: Annotated[
        float,
        Quantity(
            term="Added for turning wheels",
            setting="rotating_mass",
            unit="%",
            low=0,
            high=15,
            digits=1,
            help="3 loaded to 9 empty.",
            mark="S",
            group=THE_BRAKES,
        ),
    ] = 5.0
    rolling: RollingInputs = ROLLING
