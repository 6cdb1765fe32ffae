"""What the `car-brake` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity, Typical
from calculators.declaring.inputs import After
from calculators.declaring.vocabulary import (
    THE_CAR,
    BrakePipeSetting,
    Charged,
    Reduction,
)
from calculators.figures.nominal import BLOW_DOWN_SECONDS, RETAINED_HIGH, RETAINED_LOW
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3


@dataclass(frozen=True, slots=True, kw_only=True)
class CarBrakeInputs:
    """The inputs of `car-brake`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    reduction: Reduction = 10.0
    application: Annotated[
        str,
        Choice(
            term="Application",
            options=(
                Option(value="service", words="service"),
                Option(value="emergency", words="emergency"),
            ),
        ),
    ] = "service"
    retaining_valve: Annotated[
        str,
        Choice(
            term="Retaining valve",
            options=(
                Option(value="direct", words="direct: lets everything out"),
                Option(
                    value="high-pressure",
                    words=f"high pressure: holds {RETAINED_HIGH.value:.0f} psi",
                ),
                Option(
                    value="low-pressure", words=f"low pressure: holds {RETAINED_LOW.value:.0f} psi"
                ),
                Option(
                    value="slow-direct",
                    words=f"slow direct: lets it out in about {BLOW_DOWN_SECONDS.value:.0f} s",
                ),
            ),
            help="Acts only after a release.",
            mark="S",
        ),
    ] = "direct"
    charged: Charged = None
    car: CarInputs = CAR
    load_device: Annotated[
        str,
        Choice(
            term="Empty/load device",
            setting="load_device",
            options=(
                Option(value="none", words="none on this car"),
                Option(value="loaded", words="in the loaded position"),
                Option(value="empty", words="in the empty position"),
            ),
            group=THE_CAR,
        ),
        After("moving_reduction"),
    ] = "none"
    empty_share: Annotated[
        float | None,
        Quantity(
            term="Empty position gives, of the loaded force",
            setting="empty_share",
            unit="%",
            low=20,
            high=100,
            help="35 to 60 was read; the car's own badge or manual tells.",
            blank="35 to 60",
            typical=(
                Typical(value=35, words="low end read", mark="S"),
                Typical(value=60, words="high end read", mark="S"),
            ),
            group=THE_CAR,
        ),
        After("load_device"),
    ] = None
    emergency_needs: Annotated[float, in_group(THE_CAR)] = EMERGENCY_NEEDS.value
