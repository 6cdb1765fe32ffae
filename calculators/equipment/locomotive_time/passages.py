"""The ways air takes on the locomotive, each between two places and each with its name.

A passage belongs to the valve that opens it. Circuits, step lists and faults speak of passages by
these names.
"""

from __future__ import annotations

from dataclasses import dataclass

ATMOSPHERE_PLACE = "atmosphere"
OWN_RESERVOIR = "auxiliary_reservoir"
CARS_PLACE = "train"

PLACES = (
    "main_reservoir",
    "equalizing_reservoir",
    "brake_pipe",
    "control_reservoir",
    "pipe_16",
    "pipe_20",
    "pipe_13",
    "brake_cylinder",
)
"""The volumes whose pressures are followed, in flow order."""

MAIN, EQUALIZING, BRAKE_PIPE, CONTROL, SIXTEEN, TWENTY, THIRTEEN, CYLINDER = range(len(PLACES))


@dataclass(frozen=True, slots=True)
class Passage:
    """A way from one place to another and the valve that opens it."""

    name: str
    source: str
    sink: str
    valve: str


PASSAGES: tuple[Passage, ...] = (
    Passage("compressor", ATMOSPHERE_PLACE, "main_reservoir", "compressor"),
    Passage("handle-charge", "main_reservoir", "equalizing_reservoir", "handle_valve"),
    Passage("handle-exhaust", "equalizing_reservoir", ATMOSPHERE_PLACE, "handle_valve"),
    Passage("handle-vent", "equalizing_reservoir", ATMOSPHERE_PLACE, "handle_valve"),
    Passage("pipe-vent", "brake_pipe", ATMOSPHERE_PLACE, "vent_valve"),
    Passage("pipe-feed", "main_reservoir", "brake_pipe", "pipe_relay"),
    Passage("pipe-exhaust", "brake_pipe", ATMOSPHERE_PLACE, "pipe_relay"),
    Passage("train-pipe", "brake_pipe", CARS_PLACE, "train"),
    Passage("train-vent", CARS_PLACE, ATMOSPHERE_PLACE, "train"),
    Passage("leakage", "brake_pipe", ATMOSPHERE_PLACE, "train"),
    Passage("actuating-feed", "main_reservoir", "pipe_13", "actuating_valve"),
    Passage("actuating-exhaust", "pipe_13", ATMOSPHERE_PLACE, "actuating_valve"),
    Passage("control-charge", "brake_pipe", "control_reservoir", "control_valve"),
    Passage("control-bail", "control_reservoir", ATMOSPHERE_PLACE, "control_valve"),
    Passage("emergency-feed", "main_reservoir", "pipe_16", "emergency_limiting_valve"),
    Passage("control-feed", OWN_RESERVOIR, "pipe_16", "control_valve"),
    Passage("control-exhaust", "pipe_16", ATMOSPHERE_PLACE, "control_valve"),
    Passage("independent-feed", "main_reservoir", "pipe_20", "independent_valve"),
    Passage("independent-exhaust", "pipe_20", ATMOSPHERE_PLACE, "independent_valve"),
    Passage("relay-feed", "main_reservoir", "brake_cylinder", "relay_valve"),
    Passage("relay-exhaust", "brake_cylinder", ATMOSPHERE_PLACE, "relay_valve"),
)
"""Every passage, each after the ones that can set it going."""

NUMBER_OF = {passage.name: number for number, passage in enumerate(PASSAGES)}
