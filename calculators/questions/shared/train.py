"""The train as several questions ask for it, and the two trains of the examples."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.declaring.vocabulary import BrakePipeSetting, CarLength, Cars, PipeBore
from calculators.questions.shared.force_inputs import TrainWeight


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainInputs:
    """A train of like cars; what the examples start with is JF-3."""

    weight: TrainWeight = 14_600.0
    cars: Cars = 118.0
    car_length: CarLength = 55.0
    brake_pipe_setting: BrakePipeSetting = 90.0
    pipe_bore: PipeBore = "1.278"


JF_3 = TrainInputs()
"""Two locomotives and 118 cars."""

JF_7 = TrainInputs(weight=2500.0, cars=26.0, brake_pipe_setting=90.0)
"""One locomotive and 26 cars."""

TRAINS = {"JF-3": JF_3, "JF-7": JF_7}
"""By the names that the scenario gives them."""
