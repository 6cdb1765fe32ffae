"""What the `measured-stop` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.questions.shared.force_inputs import DIRECTION

THE_BRAKES = "What is known of the brakes"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredStopInputs:
    """The inputs of `measured-stop`, in their published order."""

    speed: Annotated[
        float, Quantity(term="Speed at the start", unit="mph", low=1, high=150, digits=1)
    ] = 40.0
    end_speed: Annotated[
        float,
        Quantity(
            term="Speed at the end",
            unit="mph",
            low=0,
            high=149,
            digits=1,
            help="0 for a full stop.",
        ),
    ] = 0.0
    distance: Annotated[float, Quantity(term="Distance run", unit="ft", low=1, high=200_000)] = (
        1800.0
    )
    time: Annotated[
        float | None,
        Quantity(
            term="Time taken",
            unit="s",
            low=0.5,
            high=5000,
            digits=1,
            help="With it the dead time can be told.",
            blank="not timed",
        ),
    ] = None
    grade: Annotated[
        float,
        Quantity(
            term="Grade",
            unit="%",
            low=0,
            high=15,
            digits=2,
            help="Feet of rise or fall in each hundred feet.",
        ),
    ] = 0.0
    direction: Annotated[str, DIRECTION] = "down"
    braking_ratio: Annotated[
        float | None,
        Quantity(
            term="Braking ratio, by the levers",
            unit="%",
            low=1,
            high=250,
            digits=1,
            help="Shoe force without losses over weight; then efficiency and friction come out.",
            group=THE_BRAKES,
            blank="not known",
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
            help="3 loaded to 9 empty. Published means mostly count none.",
            mark="S",
            group=THE_BRAKES,
        ),
    ] = 0.0
