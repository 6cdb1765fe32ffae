"""The places that hold air on the locomotive, and the ways between them, by name."""

from __future__ import annotations

ATMOSPHERE = "atmosphere"
REGULATED = "regulated"
"""Main-reservoir air behind the regulating valve: never above its setting."""
PILOT = "pilot"
"""Whichever of pipes 16 and 20 passes the double check valve."""

PLACES = (
    "main_reservoir",
    "equalizing_reservoir",
    "brake_pipe",
    "control_reservoir",
    "auxiliary_reservoir",
    "pipe_16",
    "pipe_20",
    "pipe_13",
    "pipe_12",
    "pipe_53",
    "brake_cylinder",
    "brake_cylinder_2",
)
"""The volumes that are followed, in flow order; the two cylinders are those of the two trucks."""

(
    MAIN,
    EQUALIZING,
    BRAKE_PIPE,
    CONTROL,
    AUXILIARY,
    SIXTEEN,
    TWENTY,
    THIRTEEN,
    TWELVE,
    FIFTY_THREE,
    CYLINDER,
    CYLINDER_2,
) = range(len(PLACES))

PASSAGES = (
    "handle-charge",
    "handle-exhaust",
    "handle-vent",
    "actuating-feed",
    "actuating-exhaust",
    "pipe-12-feed",
    "pipe-12-exhaust",
    "pipe-53-feed",
    "pipe-53-exhaust",
    "control-charge",
    "control-back",
    "control-bail",
    "auxiliary-charge",
    "emergency-feed",
    "control-feed",
    "control-exhaust",
    "independent-feed",
    "independent-exhaust",
    "relay-feed",
    "relay-exhaust",
    "relay-feed-2",
    "relay-exhaust-2",
    "dead-engine",
)
"""Ways that a fault can scale; the brake pipe's own feed and exhaust are the train model's relay."""

NUMBER_OF = {name: number for number, name in enumerate(PASSAGES)}
