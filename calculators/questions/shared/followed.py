"""The ranges in which the running brake can be followed; what asks it offers no more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.equipment.train.consist import CAR_LENGTHS, RESERVOIRS, SETTINGS
from calculators.questions.shared.locomotive import (
    EXAMPLE,
    LEAST_RESERVOIR,
    YOURS,
    LocomotiveInputs,
)

FollowedSetting = Annotated[
    float,
    Quantity(
        term="Brake pipe setting",
        setting="brake_pipe_setting",
        unit="psi",
        low=SETTINGS[0],
        high=SETTINGS[1],
        help="The pressure the regulating valve is set to hold.",
        mark="P",
    ),
]
FollowedCarLength = Annotated[
    float,
    Quantity(
        term="Car length",
        setting="car_length",
        unit="ft",
        low=CAR_LENGTHS[0],
        high=CAR_LENGTHS[1],
        help="Length of brake pipe for one car, about its length over couplers.",
        mark="P",
    ),
]
FollowedReservoir = Annotated[
    float,
    Quantity(
        term="Main reservoir",
        setting="main_reservoir",
        unit="psi",
        low=RESERVOIRS[0],
        high=RESERVOIRS[1],
        help=LEAST_RESERVOIR,
        mark="P",
        group=YOURS,
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowedLocomotive(LocomotiveInputs):
    """Your locomotive as the running brake takes it; pressures [psi], ratios, a volume [cu in]."""

    main_reservoir: FollowedReservoir = EXAMPLE.main_reservoir


FOLLOWED_EXAMPLE = FollowedLocomotive()
"""The locomotive of the examples, as the running brake takes it."""
