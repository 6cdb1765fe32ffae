"""What the `main-reservoir` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Mark, Quantity
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.questions.shared.train import JF_3

READINGS = "What you read"

ORIFICE = "Orifice test"


def _pressure(
    term: str, help: str, *, group: str = "", blank: str = "", mark: Mark = ""
) -> Quantity:
    """A pressure input of this calculator; they differ in little but their words."""
    return Quantity(
        term=term, unit="psi", low=0, high=250, help=help, group=group, blank=blank, mark=mark
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MainReservoirInputs:
    """The inputs of `main-reservoir`, in their published order."""

    volume: Annotated[
        float,
        Quantity(
            term="Main reservoir volume",
            setting="volume",
            unit="cu in",
            low=1000,
            high=1000000,
            help="All reservoirs that pump up together.",
            mark="M",
        ),
    ] = AIR_SUPPLY.reservoir_volume
    from_pressure: Annotated[float, _pressure("From", "Main reservoir at the start.")] = 0.0
    to_pressure: Annotated[float, _pressure("To", "Main reservoir at the end.")] = (
        AIR_SUPPLY.compressor_stops
    )
    delivery: Annotated[
        float,
        Quantity(
            term="Compressor delivery",
            setting="main-reservoir.delivery",
            unit="cfm",
            low=1,
            high=2000,
            help="Free air delivered, not the displacement.",
            mark="M",
        ),
    ] = AIR_SUPPLY.compressor_delivery
    leakage: Annotated[
        float | None,
        Quantity(
            term="Main reservoir leakage",
            unit="psi/min",
            low=0,
            high=60,
            digits=1,
            help="Average over 3 minutes, compressor stopped, from the pressure given below.",
            blank="not read",
        ),
    ] = None
    working_pressure: Annotated[
        float,
        Quantity(
            term="Maximum working pressure",
            setting="working_pressure",
            unit="psi",
            low=60,
            high=250,
            help="Of the main reservoir: where the compressor stops. Answers about the brake start "
            f"from {AIR_SUPPLY.compressor_starts:g} psi, where it starts again.",
            mark="M",
        ),
    ] = AIR_SUPPLY.compressor_stops
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    start_read: Annotated[
        float | None,
        _pressure("Compressor started at", "Read on the gauge.", group=READINGS, blank="not read"),
    ] = None
    stop_read: Annotated[
        float | None,
        _pressure("Compressor stopped at", "Read on the gauge.", group=READINGS, blank="not read"),
    ] = None
    safety_valve_read: Annotated[
        float | None,
        _pressure(
            "Highest pressure with the safety valve open",
            "Read on the gauge by a qualified person.",
            group=READINGS,
            blank="not read",
        ),
    ] = None
    time_read: Annotated[
        float | None,
        Quantity(
            term="Pump-up time",
            unit="min",
            low=0.05,
            high=600,
            digits=2,
            help="Timed over the same two pressures; gives what the compressor really delivers.",
            group=READINGS,
            blank="not read",
        ),
    ] = None
    orifice: Annotated[
        float | None,
        Quantity(
            term="Diameter of the test orifice",
            unit="in",
            low=0.03,
            high=1,
            digits=3,
            help="The compressor holds the pressure against it: it delivers what the orifice passes.",
            group=ORIFICE,
            blank="no orifice",
        ),
    ] = None
    orifice_pressure: Annotated[
        float,
        Quantity(
            term="Pressure held against the orifice",
            unit="psi",
            low=14,
            high=250,
            help="60 in the rule for steam compressors.",
            mark="S",
            group=ORIFICE,
        ),
    ] = 60.0
    discharge_coefficient: Annotated[
        float,
        Quantity(
            term="Discharge coefficient",
            unit="",
            low=0.5,
            high=1,
            digits=2,
            help="0.85 to 0.97 for a rounded orifice; about 0.6 to 0.85 for a sharp edge.",
            mark="P",
            group=ORIFICE,
        ),
    ] = 0.9
    temperature: Annotated[
        float,
        Quantity(
            term="Temperature of the air",
            unit="°F",
            low=-50,
            high=250,
            help="At the orifice.",
            group=ORIFICE,
        ),
    ] = 68.0
