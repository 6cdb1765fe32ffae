"""What the `daily-brake-test` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.questions.shared.locomotive import (
    EXAMPLE,
    LocomotiveInputs,
    full_independent,
)
from calculators.questions.shared.train import JF_3

READ = "What you read"


def _off(term: str, help: str) -> Quantity:
    return Quantity(term=term, unit="psi", low=0, high=130, help=help, mark="S*")


def _read(
    term: str, help: str, *, unit: str = "psi", high: float = 250, digits: int = 0
) -> Quantity:
    return Quantity(
        term=term,
        unit=unit,
        low=0,
        high=high,
        digits=digits,
        help=help,
        group=READ,
        blank="not read",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyBrakeTestInputs:
    """The inputs of `daily-brake-test`, in their published order."""

    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    first_reduction: Annotated[float, _off("First set takes off", "10 in the test in print.")] = (
        10.0
    )
    second_reduction: Annotated[float, _off("Second set, in all", "15 in the test in print.")] = (
        15.0
    )
    full_reduction: Annotated[float, _off("Full service takes off", "About 26 from 90.")] = 26.0
    independent: Annotated[
        float,
        full_independent(low=0, high=130),
    ] = 45.0
    locomotive: Annotated[
        LocomotiveInputs,
        Takes(
            "service_limit",
            "emergency_limit",
            "multiplier",
            "relay_ratio_automatic",
            "relay_ratio_independent",
            "main_reservoir",
            "pipe_16_volume",
        ),
    ] = EXAMPLE
    track_speed: Annotated[
        float,
        Quantity(
            term="Track speed, for the alerter",
            unit="mph",
            low=1,
            high=150,
            help="The speed that the alerter's time is worked out for.",
        ),
    ] = 40.0
    first_cylinder_read: Annotated[
        float | None, _read("Cylinder after the first set", "Step 2.")
    ] = None
    equalizing_fall_read: Annotated[
        float | None,
        _read("Equalizing reservoir fell", "Step 3, in the minute.", digits=1),
    ] = None
    brake_pipe_fall_read: Annotated[
        float | None,
        _read("Brake pipe fell", "Step 3, in the minute.", unit="psi/min", high=60, digits=1),
    ] = None
    bailed_off_cylinder_read: Annotated[
        float | None, _read("Cylinder after the bail-off", "Step 4.")
    ] = None
    second_cylinder_read: Annotated[
        float | None, _read("Cylinder after the second set", "Step 5.")
    ] = None
    equalizing_rise_read: Annotated[
        float | None,
        _read("Equalizing reservoir rose", "Step 6, handle half-way back.", digits=1),
    ] = None
    full_service_cylinder_read: Annotated[
        float | None, _read("Cylinder in full service", "Step 7.")
    ] = None
    hold_read: Annotated[
        float | None,
        _read(
            "Brakes stayed on for", "Full service, supply cut off.", unit="min", high=600, digits=1
        ),
    ] = None
    independent_cylinder_read: Annotated[
        float | None, _read("Cylinder with the independent full on", "Step 8.")
    ] = None
    emergency_cylinder_read: Annotated[float | None, _read("Cylinder in emergency", "Step 9.")] = (
        None
    )
    emergency_seconds_read: Annotated[
        float | None,
        _read("Equalizing reservoir empty after", "Step 9.", unit="s", high=600, digits=1),
    ] = None
    emergency_held_cylinder_read: Annotated[
        float | None, _read("Cylinder in emergency, handle pressed", "Step 10.")
    ] = None
    main_reservoir_leakage_read: Annotated[
        float | None,
        _read(
            "Main reservoir leakage",
            "Average over 3 minutes; see the main reservoir calculator.",
            unit="psi/min",
            high=60,
            digits=1,
        ),
    ] = None
    alerter_read: Annotated[
        float | None,
        _read(
            "Alerter warned after",
            "Let it run out while stopped and secured: it ends in a penalty application.",
            unit="s",
            high=600,
        ),
    ] = None
