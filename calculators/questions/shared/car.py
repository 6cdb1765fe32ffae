"""The car's brake as several questions ask for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.units import ATMOSPHERE
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import (
    Atmosphere,
    AuxiliaryVolume,
    CylinderBore,
    EmergencyVolume,
    MovingReduction,
    PistonTravel,
    QuickServiceLimit,
    UnsweptVolume,
)
from calculators.equipment.car import (
    AUXILIARY_VOLUME,
    CYLINDER_BORE,
    EMERGENCY_VOLUME,
    MOVING_REDUCTION,
    PISTON_TRAVEL,
    QUICK_SERVICE_LIMIT,
    CarBrake,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CarInputs:
    """One car's brake and the air around it; it starts as the nominal car at sea level."""

    piston_travel: PistonTravel = PISTON_TRAVEL
    cylinder_bore: CylinderBore = CYLINDER_BORE
    auxiliary_volume: AuxiliaryVolume = AUXILIARY_VOLUME
    emergency_volume: EmergencyVolume = EMERGENCY_VOLUME
    unswept_volume: UnsweptVolume = None
    quick_service_limit: QuickServiceLimit = QUICK_SERVICE_LIMIT
    moving_reduction: MovingReduction = MOVING_REDUCTION
    atmosphere: Atmosphere = ATMOSPHERE

    def brake(self) -> CarBrake:
        """The volumes that share the air."""
        return CarBrake(
            auxiliary_volume=self.auxiliary_volume,
            emergency_volume=self.emergency_volume,
            cylinder_bore=self.cylinder_bore,
            piston_travel=self.piston_travel,
            unswept_volume=self.unswept_volume,
        )


CAR = CarInputs()
"""The car of the examples."""

CarOfVolumes = Annotated[
    CarInputs,
    Takes(
        "piston_travel",
        "cylinder_bore",
        "auxiliary_volume",
        "emergency_volume",
        "unswept_volume",
        "atmosphere",
    ),
]
"""The car by what decides where its air ends, in service and in emergency, at rest."""
