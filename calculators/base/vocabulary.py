"""The inputs that several calculators share, each worded once.

Defaults stand in the calculators' signatures; the two trains of the example scenario are JF-3
(two locomotives, 118 cars, brake pipe 90 psi) and JF-7 (one locomotive, 26 cars, 80 psi).
"""

from __future__ import annotations

from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity

BrakePipeSetting = Annotated[
    float,
    Quantity(
        term="Brake pipe setting",
        unit="psi",
        low=40,
        high=130,
        help="The pressure the regulating valve is set to hold. 90 on freight, 70 to 110 in use.",
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
    Quantity(term="Cars", unit="", low=1, high=250, whole=True, help="Cars behind the locomotives."),
]

CarLength = Annotated[
    float,
    Quantity(
        term="Car length",
        unit="ft",
        low=30,
        high=125,
        help="Length of brake pipe for one car, about its length over couplers.",
        mark="P",
    ),
]

PIPE_BORES = Choice(
    term="Brake pipe bore",
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
        options=(
            Option(value="direct", words="direct: the first rise releases all of it"),
            Option(value="graduated", words="graduated: follows the brake pipe back up"),
        ),
        help="Freight runs direct.",
        mark="P",
        group="Your equipment",
    ),
]
