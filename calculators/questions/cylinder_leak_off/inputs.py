"""What the `cylinder-leak-off` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Typical
from calculators.declaring.vocabulary import Atmosphere
from calculators.questions.shared.car import CAR


@dataclass(frozen=True, slots=True, kw_only=True)
class CylinderLeakOffInputs:
    """The inputs of `cylinder-leak-off`, in their published order."""

    brake_cylinder: Annotated[
        float,
        Quantity(
            term="Brake cylinder now",
            unit="psi",
            low=1,
            high=110,
            help="A set, or what a retaining valve holds.",
        ),
    ] = 24.0
    leakage: Annotated[
        float | None,
        Quantity(
            term="Leakage of the cylinder at that pressure",
            unit="psi/min",
            low=0.001,
            high=50,
            digits=2,
            help="Read it: the fall in so many minutes, divided by the minutes.",
            blank="not read",
            typical=(
                Typical(
                    value=0.1,
                    words="our reckoning of a train that let go after some three hours",
                    mark="",
                ),
                Typical(value=1.0, words="a poor cylinder", mark="M"),
            ),
        ),
    ] = None
    wait: Annotated[
        float, Quantity(term="The train waits for", unit="h", low=0, high=240, digits=1)
    ] = 3.0
    pressure_needed: Annotated[
        float | None,
        Quantity(
            term="Cylinder pressure that is needed to hold",
            unit="psi",
            low=0,
            high=110,
            help="From the grade and the train, with a margin; no text gives it.",
            blank="not known",
        ),
    ] = None
    atmosphere: Atmosphere = CAR.atmosphere
