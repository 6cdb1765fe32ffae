"""One brake that runs: the locomotive's 26-L type brake and its train, stepped together.

The train model (`calculators.equipment.train`) has a plain brake valve at its head: an
equalizing reservoir and a relay. Here the whole locomotive stands in its place, in the same cell
of the pipe, with the same equalizing reservoir and the same law of the brake valve: regulating
valve, handle, cut-off, charging cut-off, control valve with its reservoirs, pipes 12, 13, 16, 20
and 53, double check valve, relay, the cylinders of two trucks, bail-off, dynamic brake interlock,
safety control, dead-engine device, main reservoir and compressor.

State alone decides: no history is handed in. A `Brake` is told things at any moment (`handle`,
`independent`, `bail_off`, ...), moves on by `advance` and can be copied while it runs. Holes,
volumes, held valves and leaks are one frozen value in its `Setup`, so that a fault is a change of
data (`Change`).

>>> brake = start(Setup(equipment=EXAMPLE))
>>> brake.handle("service", reduction=10.0)
>>> brake.advance(30.0)
>>> [round(brake.gauge(place)) for place in ("equalizing_reservoir", "brake_pipe", "pipe_16")]
[80, 80, 25]

What it cannot say: whether a real locomotive takes as long. No hole was found in a drawing; the
equalizing reservoir follows times that were read, the rest is nominal, from memory.
"""

from calculators.equipment.running.brake import Brake, start
from calculators.equipment.running.figures import (
    EXAMPLE,
    Change,
    Holes,
    Leak,
    Setup,
    Source,
    Volumes,
)
from calculators.equipment.running.follow import follow
from calculators.equipment.running.places import PASSAGES, PLACES
from calculators.equipment.running.standing import StandingTimes, standing_times

__all__ = [
    "EXAMPLE",
    "PASSAGES",
    "PLACES",
    "Brake",
    "Change",
    "Holes",
    "Leak",
    "Setup",
    "Source",
    "StandingTimes",
    "Volumes",
    "follow",
    "standing_times",
    "start",
]
