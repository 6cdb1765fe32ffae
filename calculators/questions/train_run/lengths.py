"""Lengths of cars as a person writes them: "55, 55, 90", or in blocks "60 cars of 50, 40 of 90"."""

from __future__ import annotations

import re

from calculators.base.errors import InputError
from calculators.base.fields import typed
from calculators.base.quantities import Quantity, Text
from calculators.equipment.train.consist import CAR_LENGTHS, MOST_CARS

FIELD = "car_lengths"

CAR_LENGTHS_FIELD = Text(
    term="Lengths one after another",
    help=(
        "In ft from the head, parted by commas, and again from the first when they run out: "
        "55, 55, 90. Blocks of cars: 60 cars of 50, 58 cars of 90."
    ),
    group="More of the train",
    blank="all alike, as above",
)

_LENGTH = Quantity(term="A length", unit="ft", low=CAR_LENGTHS[0], high=CAR_LENGTHS[1])
_NUMBER = Quantity(
    term="The number of cars of a length", unit="", low=1, high=MOST_CARS, whole=True
)
_BLOCK = re.compile(
    r"(?P<number>[0-9][0-9.,]*)\s*(?:cars?(?:\s+of)?|of|times|[x×*])\s*(?P<length>\S.*)",
    re.IGNORECASE,
)


def read_lengths(text: str) -> tuple[float, ...]:
    """Read the lengths of cars from the head, in ft; none for an empty text.

    Raises
    ------
    InputError
        If an entry cannot be read, is out of range, or they are more than a train's cars.

    Examples
    --------
    >>> read_lengths("2 cars of 50, 90 ft")
    (50.0, 50.0, 90.0)
    """
    lengths: list[float] = []
    for entry in re.split(r"[;,]|\s+then\s+", text):
        if not entry.strip():
            continue
        block = _BLOCK.fullmatch(entry.strip())
        number = int(typed(FIELD, _NUMBER, block["number"]).value) if block else 1
        length = typed(FIELD, _LENGTH, block["length"] if block else entry).value
        lengths += [length] * number
    if len(lengths) > MOST_CARS:
        raise InputError(
            FIELD, f"Lengths are given for {len(lengths)} cars; a train has at most {MOST_CARS}."
        )
    return tuple(lengths)
