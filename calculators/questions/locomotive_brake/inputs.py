"""What the `locomotive-brake` question asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.inputs import After, Takes
from calculators.declaring.vocabulary import (
    AuxiliaryVolume,
    BrakePipeSetting,
    Reduction,
    ReleaseType,
)
from calculators.figures import nominal
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.locomotive import (
    EXAMPLE,
    REDUCTION_AT_BAIL_OFF,
    STATE,
    YOURS,
    BailOffChoice,
    CutOffChoice,
    HandleChoice,
    LocomotiveInputs,
    pressure,
)
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3

UnitChoice = Annotated[
    str,
    Choice(
        term="This unit is",
        options=(
            Option(value="lead", words="the lead, in control"),
            Option(value="trailing", words="trailing, cut out"),
            Option(value="dead", words="hauled dead"),
        ),
        group=STATE,
    ),
]

YesNo = (Option(value="no", words="no"), Option(value="yes", words="yes"))

OnOff = (Option(value="off", words="off"), Option(value="on", words="on"))


@dataclass(frozen=True, slots=True, kw_only=True)
class LocomotiveBrakeInputs:
    """The inputs of `locomotive-brake`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    handle: HandleChoice = "service"
    reduction: Reduction = 10.0
    independent: Annotated[
        float,
        pressure(
            "Independent brake", "Pipe 20 pressure the independent handle asks for; 0 is release."
        ),
    ] = 0.0
    bail_off: BailOffChoice = "none"
    locomotive: LocomotiveInputs = EXAMPLE
    auxiliary_volume: Annotated[
        float | None,
        Quantity(
            term="Volume of the control valve's own reservoir",
            setting="locomotive-brake.auxiliary_volume",
            unit="cu in",
            low=10,
            high=20000,
            help="It fills pipe 16 alone, and decides only where the setting is near the limit.",
            blank=f"{nominal.AUXILIARY_VOLUME.value:,.0f} cu in, nominal",
            group=YOURS,
        ),
        After("emergency_threshold"),
    ] = None
    emergency_drops_dynamic: Annotated[
        str,
        Choice(
            term="Emergency drops the dynamic brake",
            setting="emergency_drops_dynamic",
            options=YesNo,
            help="By design on one railroad's units.",
            mark="S",
            group=YOURS,
        ),
    ] = "yes"
    cut_off: CutOffChoice = "freight"
    release_type: ReleaseType = "direct"
    unit: UnitChoice = "lead"
    dynamic_brake: Annotated[str, Choice(term="Dynamic brake", options=OnOff, group=STATE)] = "off"
    earlier_reduction: Annotated[
        float,
        pressure(
            "Deepest set since the last release",
            "0 if this is the first. Tells whether the handle is on its way back.",
            group=STATE,
            high=130,
        ),
    ] = 0.0
    reduction_at_bail_off: Annotated[float | None, REDUCTION_AT_BAIL_OFF] = None
    control_reservoir: Annotated[
        float | None,
        pressure(
            "Control reservoir charged to",
            "Higher than the setting after an overcharge.",
            group=STATE,
            blank="the setting",
        ),
    ] = None
    emergency_needs: Annotated[float, in_group(YOURS)] = EMERGENCY_NEEDS.value
    car: Annotated[
        CarInputs,
        Takes(
            "piston_travel",
            "cylinder_bore",
            "emergency_volume",
            "unswept_volume",
            "quick_service_limit",
            "moving_reduction",
            "atmosphere",
        ),
    ] = CAR
    car_auxiliary_volume: AuxiliaryVolume = CAR.auxiliary_volume

    @property
    def whole_car(self) -> CarInputs:
        """The car with its auxiliary, whose usual name is taken by the locomotive's own."""
        return replace(self.car, auxiliary_volume=self.car_auxiliary_volume)
