"""How far the train model's answers can be trusted, kind by kind.

No measured curve of a train has been compared with the model point by point: none was found in
the texts read. The bands rest on what was fitted, on how the answers move with the size of the
cells, and on the accuracy published for models of this kind (within 15 percent of measurements,
for a full fluid model fitted to them). They are not error bars of a measurement.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Output = Literal[
    "settled pressures",
    "emergency times",
    "service times",
    "cylinder times",
    "release times",
    "charging times",
    "gradient and flow",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The band of one kind of answer, as a share of the answer or as so many psi."""

    share: float
    """Relative half-width: 0.2 is 20 percent either way. [-]"""
    at_least: float
    """Half-width below which the band is never printed, in the answer's own unit (psi, s, cfm)."""
    rests_on: str
    """What was fitted, to what, and what is from memory, in words for the page."""


BANDS: dict[Output, Band] = {
    "settled pressures": Band(
        share=0.03,
        at_least=2.0,
        rests_on=(
            "Conservation of air between reservoirs and cylinder. The cylinder's clearance is "
            "fitted so that 26 psi off 90 gives 64 psi; reservoir volumes are nominal, from "
            "memory. Emergency pressure is not fitted. Cars differ by 1 to 2 psi from one "
            "another, as they lap."
        ),
    ),
    "emergency times": Band(
        share=0.1,
        at_least=0.5,
        rests_on=(
            "An emergency runs with the pipe's own waves at constant temperature, and 2 percent "
            "faster by the size of the cells; nothing is fitted, the vent's size is from memory. "
            "The usual 900 to 950 ft/s is from memory too."
        ),
    ),
    "service times": Band(
        share=0.2,
        at_least=0.5,
        rests_on=(
            "Differential and quick service of the control valve are fitted to a service speed "
            "of 500 to 600 ft/s, from memory, and so that an application reaches the rear of "
            "every train tried without releasing or going to emergency by itself. Cells of one "
            "car's length make it 5 to 8 percent slower than much finer ones."
        ),
    ),
    "cylinder times": Band(
        share=0.2,
        at_least=1.0,
        rests_on=(
            "Service and emergency openings are fitted to build-up times at one car that are "
            "from memory; on rear cars the time follows from the pipe's friction, nominal."
        ),
    ),
    "release times": Band(
        share=0.25,
        at_least=2.0,
        rests_on=(
            "Release differential fitted with the service differential; accelerated release and "
            "cylinder exhaust openings from memory; slow direct fitted to 86 s of blow-down."
        ),
    ),
    "charging times": Band(
        share=0.3,
        at_least=30.0,
        rests_on=(
            "The auxiliary's charging opening is fitted to 45 to 60 s from 0 to 70 psi with the "
            "pipe held at 90, read for an old triple valve. A long train's time is mostly the "
            "compressor's delivery and the pipe's friction: give the delivery."
        ),
    ),
    "gradient and flow": Band(
        share=0.15,
        at_least=1.0,
        rests_on=(
            "Friction factor and the length added for hoses and cocks are nominal, from memory; "
            "where along the train the leaks are matters more."
        ),
    ),
}
"""One band for each kind of answer; pages print it beside the figure."""
