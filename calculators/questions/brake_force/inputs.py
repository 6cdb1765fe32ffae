"""What the `brake-force` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Typical
from calculators.figures.thresholds import HIGHEST_LIGHT_RATIO
from calculators.questions.shared.car import CAR

THE_LEVERS = "From the levers, if the ratio is not known"

THE_WEIGHT = "Against the weight"


def _arm(term: str, help: str) -> Quantity:
    return Quantity(
        term=term,
        unit="in",
        low=0.5,
        high=100,
        digits=1,
        help=help,
        group=THE_LEVERS,
        blank="not given",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeForceInputs:
    """The inputs of `brake-force`, in their published order."""

    brake_cylinder: Annotated[
        float,
        Quantity(
            term="Brake cylinder",
            unit="psi",
            low=0,
            high=150,
            help="64 is a car's full service from 90 psi by its volumes.",
        ),
    ] = 64.0
    cylinders: Annotated[
        float, Quantity(term="Cylinders", setting="cylinders", unit="", low=1, high=12, whole=True)
    ] = 1.0
    cylinder_bore: Annotated[
        float,
        Quantity(
            term="Cylinder bore",
            unit="in",
            low=4,
            high=20,
            digits=1,
            help="10 in, or 8 1/2 in, on freight cars.",
            mark="S",
        ),
    ] = CAR.cylinder_bore
    lever_ratio: Annotated[
        float | None,
        Quantity(
            term="Lever ratio",
            setting="lever_ratio",
            unit="",
            low=0.5,
            high=40,
            digits=1,
            help="Force of all shoes over the push of one piston, without losses.",
            blank="needed, or the levers below",
            typical=(
                Typical(value=8, words="whole freight car, one cylinder", mark="M"),
                Typical(
                    value=16, words="a printed chain from the top rod to eight shoes", mark="S"
                ),
            ),
        ),
    ] = None
    efficiency: Annotated[
        float | None,
        Quantity(
            term="Efficiency of the rigging",
            setting="efficiency",
            unit="%",
            low=5,
            high=100,
            help="What pins and slides let through. 58 to 85 on cars at rest, in 1913.",
            blank="needed for an answer",
            typical=(
                Typical(value=58, words="lowest rigging read", mark="S"),
                Typical(value=85, words="highest rigging read", mark="S"),
                Typical(value=65, words="body-mounted rigging", mark="M"),
            ),
        ),
    ] = None
    shoes: Annotated[
        float,
        Quantity(term="Shoes", setting="shoes", unit="", low=1, high=48, whole=True, mark="P"),
    ] = 8.0
    weight: Annotated[
        float | None,
        Quantity(
            term="Weight these shoes brake",
            unit="tons",
            low=5,
            high=500,
            digits=1,
            help="The car as it is, loaded or empty. Tons of 2,000 lb.",
            group=THE_WEIGHT,
            blank="needed for the braking ratio",
            typical=(
                Typical(value=131.5, words="loaded car, 263,000 lb", mark="M"),
                Typical(value=143, words="loaded car, 286,000 lb", mark="M"),
                Typical(value=30, words="empty car", mark="M"),
            ),
        ),
    ] = None
    highest_ratio: Annotated[
        float,
        Quantity(
            term="Highest braking ratio allowed",
            setting="highest_ratio",
            unit="%",
            low=1,
            high=300,
            help="An old rule kept freight cars under 70 % of the light weight.",
            mark="S",
            group=THE_WEIGHT,
        ),
    ] = HIGHEST_LIGHT_RATIO.value
    cylinder_lever: Annotated[
        float | None,
        Quantity(
            term="Pull of one top rod over the push of the piston",
            unit="",
            low=0.05,
            high=10,
            digits=2,
            help="By the cylinder lever: its arms, one over the other.",
            group=THE_LEVERS,
            blank="not given",
        ),
    ] = None
    upper_arm: Annotated[
        float | None, _arm("Truck lever, top pin to middle pin", "The arm the top rod pulls on.")
    ] = None
    lower_arm: Annotated[
        float | None, _arm("Truck lever, middle pin to bottom pin", "The arm to the bottom rod.")
    ] = None
    beams: Annotated[
        float,
        Quantity(
            term="Brake beams",
            unit="",
            low=1,
            high=24,
            whole=True,
            help="Each gets the middle pin's force.",
            mark="P",
            group=THE_LEVERS,
        ),
    ] = 4.0
