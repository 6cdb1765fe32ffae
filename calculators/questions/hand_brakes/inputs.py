"""What the `hand-brakes` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Typical
from calculators.declaring.vocabulary import Cars
from calculators.questions.shared.force_inputs import Grade
from calculators.questions.shared.juniper_fork import SPUR_GRADE
from calculators.questions.shared.train import JF_7


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBrakesInputs:
    """The inputs of `hand-brakes`, in their published order."""

    weight: Annotated[
        float,
        Quantity(
            term="Weight left standing",
            unit="tons",
            low=10,
            high=40_000,
            help="All of it that could roll. Tons of 2,000 lb.",
        ),
    ] = JF_7.weight
    grade: Grade = SPUR_GRADE
    cars: Cars = JF_7.cars
    holding_force: Annotated[
        float | None,
        Quantity(
            term="One hand brake holds, at the rail",
            setting="holding_force",
            unit="lbf",
            low=200,
            high=40_000,
            help=(
                "Measured on equipment like yours, set as it is really set. No text gives it for "
                "your cars."
            ),
            blank="needed for an answer",
            typical=(
                Typical(
                    value=4600,
                    words="implied by a table quoted from Canada's TSB report R11Q0056, 80 ft-lb at the wheel",
                    mark="S",
                ),
            ),
        ),
    ] = None
    margin: Annotated[
        float,
        Quantity(
            term="Margin",
            setting="margin",
            unit="%",
            low=0,
            high=400,
            help="Added to the pull. Our own choice, not a rule: your railroad's chart decides.",
        ),
    ] = 50.0
