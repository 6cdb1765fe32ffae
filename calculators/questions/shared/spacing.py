"""What the model says of a service application where working brakes stand far apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calculators.base.results import Note, Phrase, Value
from calculators.equipment.train import LONGEST_FITTED_CAR, Car
from calculators.figures.thresholds import WIDEST_TRIED_GAP

_STRETCH = 20
"""Working brakes in the stretch whose spacing counts: a shorter one is bridged."""


_DO_NOT_TAKE = (
    "Nothing read says that a real one does or does not. Do not take from this run whether a "
    "service application reaches the rear, or when."
)


def warn(template: str, **parts: Value | str | int) -> Note:
    """A note that stands before the figures."""
    return Note(kind="warning", text=Phrase(template, parts))


def gaps(cars: Sequence[Car]) -> tuple[float, ...]:
    """Brake pipe from each working brake to the next, in ft; the first from the locomotive.

    Examples
    --------
    >>> gaps((Car(length=50.0), Car(length=50.0, cut_out=True), Car(length=60.0)))
    (50.0, 110.0)
    """
    found: list[float] = []
    bare = 0.0
    for car in cars:
        bare += car.length
        if not car.cut_out:
            found.append(bare)
            bare = 0.0
    return tuple(found)


def widest_spacing(found: Sequence[float]) -> float:
    """Brake pipe for one working brake, in ft, where it is most along the train.

    The mean of the gaps over the whole train, or over any stretch of `_STRETCH` of them.

    Examples
    --------
    >>> widest_spacing((50.0, 70.0))
    60.0
    """
    stretch = min(_STRETCH, len(found))
    sums = (sum(found[at : at + stretch]) for at in range(len(found) - stretch + 1))
    return max(sums) / stretch if stretch else 0.0


def warnings_of_spacing(cars: Sequence[Car]) -> Iterator[Note]:
    """What to say of a service application by the model along these cars; nothing if it was fitted."""
    found = gaps(cars)
    spacing, gap = widest_spacing(found), max(found, default=0.0)
    if spacing > LONGEST_FITTED_CAR:
        yield warn(
            "This train has {spacing} of brake pipe for one working brake, over all its length or "
            "a part of it. The model's quick service was fitted, and tried on trains of up to 200 "
            "cars, only up to {fitted}. Beyond that a service application can die out on its way "
            "in the model: with cars of {longer} it did so after 55 to 90 of them. {say}",
            spacing=Value(spacing, "ft"),
            fitted=Value(LONGEST_FITTED_CAR, "ft"),
            longer=Value(110.0, "ft"),
            say=_DO_NOT_TAKE,
        )
    if gap > WIDEST_TRIED_GAP.value:
        yield warn(
            "Between two working brakes there are {gap} of brake pipe. In the model a service "
            "application crossed {tried} in every trial, and often died out where it was more. "
            "{say}",
            gap=Value(gap, "ft"),
            tried=Value(WIDEST_TRIED_GAP.value, "ft"),
            say=_DO_NOT_TAKE,
        )
