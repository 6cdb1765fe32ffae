"""What the `repeated-applications` question asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import PipeBore
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.law.limit_list import find_limit
from calculators.questions.shared.car import CAR, CarInputs
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3, TrainInputs

"""The most that the last car may stand under the setting when a brake test begins. [psi] 49 CFR
232.205."""


LONG_TRAVEL = replace(CAR, piston_travel=9.0)
"""A car with a piston that travels far, as its air is counted against the user."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedApplicationsInputs:
    """The inputs of `repeated-applications`, in their published order."""

    train: Annotated[TrainInputs, Takes("brake_pipe_setting", "cars", "car_length")] = JF_3
    reductions: Annotated[
        tuple[float, ...],
        Quantity(
            term="Sets, one after another",
            unit="psi",
            low=0,
            high=130,
            many=True,
            help="Each as its total off the setting: 10, then 6 more, is one set of 16. "
            "Handle off or a penalty takes all of it off.",
        ),
    ] = (10.0, 14.0, 18.0)
    waits: Annotated[
        tuple[float, ...],
        Quantity(
            term="Minutes in release after each set",
            unit="min",
            low=0,
            high=600,
            digits=1,
            many=True,
            help="One for every set; the one after a set that is still on may be left out.",
        ),
    ] = (2.0, 3.0)
    last_set: Annotated[
        str,
        Choice(
            term="The last set is",
            options=(
                Option(value="on", words="still on"),
                Option(value="released", words="released"),
            ),
        ),
    ] = "on"
    rear: Annotated[
        float | None,
        Quantity(
            term="Rear gauge before the first set",
            unit="psi",
            low=30,
            high=130,
            help="What the last car was really charged to.",
            blank="15 under the setting",
        ),
    ] = None
    minutes_per_ten_cars: Annotated[
        float,
        Quantity(
            term="Charging time for ten cars",
            setting="minutes_per_ten_cars",
            unit="min",
            low=1,
            high=20,
            digits=1,
            help="A rule with margin; your own train's time, if you have measured it.",
            mark="S",
            group="How air comes back",
        ),
    ] = 5.0
    emergency_needs: Annotated[float, in_group("How air comes back")] = EMERGENCY_NEEDS.value
    pipe_bore: PipeBore = JF_3.pipe_bore
    car: Annotated[
        CarInputs,
        Takes(
            "piston_travel",
            "cylinder_bore",
            "auxiliary_volume",
            "emergency_volume",
            "unswept_volume",
            "moving_reduction",
            "atmosphere",
        ),
    ] = LONG_TRAVEL

    @property
    def setting(self) -> float:
        """Brake pipe setting. [psi]."""
        return self.train.brake_pipe_setting

    @property
    def cars(self) -> int:
        """Cars in the train."""
        return int(self.train.cars)

    @property
    def charged(self) -> float:
        """What the last car counts as when charged. [psi]."""
        charged = (
            self.setting - find_limit("rear-gradient").figure if self.rear is None else self.rear
        )
        return min(charged, self.setting)

    @property
    def waited(self) -> tuple[float, ...]:
        """The waits that are made: none after a set that is still on. [min]."""
        return self.waits[: len(self.reductions) - 1] if self.last_set == "on" else self.waits
