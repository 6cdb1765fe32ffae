"""The inputs that several calculators share, each worded once.

Defaults stand in the calculators' signatures; the two trains of the example scenario are JF-3
(two locomotives, 118 cars, brake pipe 90 psi) and JF-7 (one locomotive, 26 cars, 90 psi).
"""

from __future__ import annotations

from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity

BrakePipeSetting = Annotated[
    float,
    Quantity(
        term="Brake pipe setting",
        setting="brake_pipe_setting",
        unit="psi",
        low=40,
        high=130,
        help="The pressure the regulating valve is set to hold. 90 or more on the road.",
        mark="P",
    ),
]

Reduction = Annotated[
    float,
    Quantity(
        term="Reduction",
        unit="psi",
        low=0,
        high=130,
        help="How far the brake pipe has been taken down from where it was charged.",
    ),
]

Cars = Annotated[
    float,
    Quantity(
        term="Cars",
        setting="cars",
        unit="",
        low=1,
        high=250,
        whole=True,
        help="Cars behind the locomotives.",
    ),
]

CarLength = Annotated[
    float,
    Quantity(
        term="Car length",
        setting="car_length",
        unit="ft",
        low=30,
        high=125,
        help="Length of brake pipe for one car, about its length over couplers.",
        mark="P",
    ),
]

PIPE_BORES = Choice(
    term="Brake pipe bore",
    setting="pipe_bore",
    options=(
        Option(value="1.278", words="1.278 in, extra-heavy 1 1/4-in pipe"),
        Option(value="1.380", words="1.380 in, standard-weight 1 1/4-in pipe", spellings=("1.38",)),
        Option(value="1.25", words="1.25 in, the nominal size", spellings=("1.250",)),
    ),
    help="Inside width of the pipe; decides how much air the pipe holds.",
    mark="M",
    group="Your equipment",
)
PipeBore = Annotated[str, PIPE_BORES]

ReleaseType = Annotated[
    str,
    Choice(
        term="Release type of the control valve",
        setting="release_type",
        options=(
            Option(value="direct", words="direct: the first rise releases all of it"),
            Option(value="graduated", words="graduated: follows the brake pipe back up"),
        ),
        help="Freight runs direct.",
        mark="P",
        group="How it is set up now",
    ),
]

# The car's brake. Field names: charged, piston_travel, cylinder_bore, auxiliary_volume,
# emergency_volume, unswept_volume, quick_service_limit, moving_reduction, atmosphere.
THE_CAR = "The car"

Charged = Annotated[
    float | None,
    Quantity(
        term="This car was charged to",
        unit="psi",
        low=20,
        high=130,
        help="For a car at the rear: what its gauge read before the set. Reductions count from there.",
        blank="the setting",
        group=THE_CAR,
    ),
]

PistonTravel = Annotated[
    float,
    Quantity(
        term="Piston travel",
        setting="piston_travel",
        unit="in",
        low=3,
        high=12,
        digits=1,
        help="7 1/2 is nominal in service; the usual figures are worked at 8.",
        mark="S",
        group=THE_CAR,
    ),
]

CylinderBore = Annotated[
    float,
    Quantity(
        term="Brake cylinder bore",
        setting="cylinder_bore",
        unit="in",
        low=8,
        high=10.5,
        digits=1,
        help="10 or 8 1/2 in on freight cars.",
        mark="S",
        group=THE_CAR,
    ),
]

AuxiliaryVolume = Annotated[
    float,
    Quantity(
        term="Auxiliary reservoir",
        setting="auxiliary_volume",
        unit="cu in",
        low=1500,
        high=6000,
        help="Gives the air of a service application.",
        mark="M",
        group=THE_CAR,
    ),
]

EmergencyVolume = Annotated[
    float,
    Quantity(
        term="Emergency reservoir",
        setting="emergency_volume",
        unit="cu in",
        low=1000,
        high=8000,
        help="Joins the auxiliary in emergency and feeds the release.",
        mark="M",
        group=THE_CAR,
    ),
]

UnsweptVolume = Annotated[
    float | None,
    Quantity(
        term="Cylinder space that the piston does not sweep",
        setting="unswept_volume",
        unit="cu in",
        low=0,
        high=1000,
        help="No dimension of a drawing: fitted so that 90 psi meets the cylinder at 64.",
        blank="fitted to the bore",
        group=THE_CAR,
    ),
]

QuickServiceLimit = Annotated[
    float,
    Quantity(
        term="Quick service fills the cylinder to",
        setting="quick_service_limit",
        unit="psi",
        low=0,
        high=20,
        help="8 to 12 by most accounts; 0 leaves quick service out.",
        mark="M",
        group=THE_CAR,
    ),
]

MovingReduction = Annotated[
    float,
    Quantity(
        term="Reduction that moves the car's valve",
        setting="moving_reduction",
        unit="psi",
        low=0,
        high=6,
        digits=1,
        help="Less than this applies nothing.",
        mark="M",
        group=THE_CAR,
    ),
]

Atmosphere = Annotated[
    float,
    Quantity(
        term="Pressure of the atmosphere",
        setting="atmosphere",
        unit="psi",
        low=9,
        high=15.5,
        digits=1,
        help="14.7 at sea level, about 12.2 at 5,000 ft. Not a gauge reading: it counts from a vacuum.",
        mark="S",
        group=THE_CAR,
    ),
]

AirSources = Annotated[
    str,
    Choice(
        term="Air comes into the train from",
        setting="air_sources",
        options=(
            Option(value="one", words="one place"),
            Option(
                value="two-or-more",
                words="two or more places (distributed power or air repeater unit)",
                spellings=("two or more", "two"),
            ),
        ),
        help="The air flow figure depends on it.",
    ),
]
