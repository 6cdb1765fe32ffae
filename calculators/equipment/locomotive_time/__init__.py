"""The locomotive's brake in time: from one state at rest to the next, after a move of a handle.

`run` starts where `calculators.equipment.locomotive.at_rest` leaves one command and ends where
it leaves the next: the volumes and holes here decide only how long it takes and in which order
things move, never what the gauges show in the end. Air is ideal and isothermal, holes are choked
or not (`calculators.air.orifice`), what one volume loses another or the atmosphere gains.

A valve follows what is asked of it: it passes air through its hole until its outlet has come to
the pressure asked for, and it starts once the difference has overcome its friction. What is asked
for is worked out at every moment by the same functions that say it at rest. The train is its brake
pipe in a few lengths with friction between them and the cars' reservoirs beside; no waves run in
it, so the head's gauge and the time scale of the rear are meant, not the arrival of an
application at a car (`calculators.equipment.train` follows that).

Not one hole was found in a drawing: see `figures`. One move at a time: the move before has come
to rest when the next is made.
"""

from calculators.equipment.locomotive_time.figures import Setup
from calculators.equipment.locomotive_time.history import carried_on
from calculators.equipment.locomotive_time.passages import PASSAGES, PLACES, Passage
from calculators.equipment.locomotive_time.run import (
    LONGEST_RUN,
    Run,
    Sample,
    Used,
    run,
    start_from_empty,
)

__all__ = [
    "LONGEST_RUN",
    "PASSAGES",
    "PLACES",
    "Passage",
    "Run",
    "Sample",
    "Setup",
    "Used",
    "carried_on",
    "run",
    "start_from_empty",
]
