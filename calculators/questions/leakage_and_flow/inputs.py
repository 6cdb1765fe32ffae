"""What the `leakage-and-flow` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import (
    AirSources,
    PipeBore,
)
from calculators.law.limit_list import find_limit
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.train import JF_3, TrainInputs

FallingChoice = Annotated[
    str,
    Choice(
        term="What falls while the leakage is read",
        options=(
            Option(value="pipe", words="the pipe alone: after a set, valves lapped"),
            Option(value="auxiliaries", words="pipe and auxiliary reservoirs"),
            Option(value="reservoirs", words="pipe and both reservoirs of each car"),
        ),
        help="The test is read after a set, so the pipe alone counts. The others show what a "
        "reading on released brakes would hide.",
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakageAndFlowInputs:
    """The inputs of `leakage-and-flow`, in their published order."""

    train: Annotated[TrainInputs, Takes("cars", "car_length")] = JF_3
    leakage: Annotated[
        float | None,
        Quantity(
            term="Leakage read",
            unit="psi/min",
            low=0,
            high=60,
            digits=1,
            help="Fall of the brake pipe in one minute, brake valve cut out, after the wait.",
            blank="not read",
        ),
    ] = None
    leakage_pressure: Annotated[
        float | None,
        Quantity(
            term="Brake pipe when the leakage was read",
            unit="psi",
            low=20,
            high=130,
            help="After the set: 70 when 20 came off 90.",
            blank="the pressure after the set",
        ),
    ] = None
    air_flow: Annotated[
        float | None,
        Quantity(
            term="Air flow read",
            unit="cfm",
            low=0,
            high=250,
            digits=1,
            help="Brake valve cut in, train charged, indicator steady.",
            blank="not read",
        ),
    ] = None
    flow_pressure: Annotated[
        float,
        Quantity(
            term="Brake pipe when the air flow was read",
            setting="brake_pipe_setting",
            unit="psi",
            low=20,
            high=130,
            help="Charged, brakes released.",
        ),
    ] = JF_3.brake_pipe_setting
    air_sources: AirSources = "one"
    falling: FallingChoice = "pipe"
    pipe_bore: PipeBore = JF_3.pipe_bore
    car: Annotated[CarInputs, Takes("auxiliary_volume", "emergency_volume")] = CAR

    @property
    def after_the_set(self) -> float:
        """Pressure at which the leakage was read, in psi: as given, or after the set of the test."""
        if self.leakage_pressure is not None:
            return self.leakage_pressure
        return max(0.0, self.flow_pressure - find_limit("leakage-test-reduction").figure)
