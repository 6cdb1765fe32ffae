"""What can be wrong with a locomotive's brake or a train, as data that the running brake takes.

A fault says in figures what is other than it should be (`Wrong`, most of it the `Change` of the
running brake), in words what proves it and what is done about it. What it does to gauges, exhausts
and pistons is never typed here: the running brake works that out.
"""

from calculators.equipment.faults.locomotive import FAULTS, family_of, find_fault
from calculators.equipment.faults.records import (
    FAMILIES,
    OF_TRAIN,
    SOUND,
    WHERE_WORDS,
    Family,
    Fault,
    Proof,
    Wrong,
)
from calculators.equipment.faults.train import TRAIN_FAULTS, TrainFault

__all__ = [
    "FAMILIES",
    "FAULTS",
    "OF_TRAIN",
    "SOUND",
    "TRAIN_FAULTS",
    "WHERE_WORDS",
    "Family",
    "Fault",
    "Proof",
    "TrainFault",
    "Wrong",
    "family_of",
    "find_fault",
]
