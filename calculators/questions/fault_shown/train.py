"""A fault of the train over the train's own series: two runs of the train model, healthy and faulty."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calculators.base.results import Compared, Comparison, Pair, Phrase, Step, Value, say
from calculators.base.wording import at_begin, inside
from calculators.equipment.faults import TrainFault
from calculators.finding.observing import TRAIN_READ
from calculators.finding.train_series import (
    TRAIN_TITLES,
    TRAIN_UNITS,
    TRAIN_WORDS,
    TrainShown,
    beyond_error,
)

Both = tuple[Sequence[TrainShown], Sequence[TrainShown]]


def comparison(both: Both) -> Comparison:
    """All stages of the train's series, healthy beside faulty."""
    rows = []
    for title, usual, shown in zip(TRAIN_TITLES, *both, strict=True):
        pairs = tuple(
            Pair(usual=_value(n, a), shown=_value(n, b), differs=beyond_error(n, a, b))
            for n, (a, b) in enumerate(zip(usual.figures(), shown.figures(), strict=True))
        )
        rows.append(Compared(name=title, pairs=pairs))
    return Comparison(
        title="The train's series, stage by stage",
        row="Stage",
        columns=tuple(at_begin(TRAIN_WORDS[name]) for name in TRAIN_READ),
        rows=tuple(rows),
        said="Seen",
        note="≠ stands where something reads beyond what it may be off; what a train in order shows stands "
        "behind it. [model: this reference's own]",
    )


def headline(fault: TrainFault, car: int, both: Both) -> Phrase:
    """The fault, where it is, and what tells it most."""
    found = list(_apart(both))
    name = f"{fault.title}, car {car}"
    if not found:
        return say(
            f"{name}: nothing read at the head or the rear is beyond its error; only eyes at the car tell it."
        )
    stage, which, usual, shown = found[0]
    return say(
        f"{name}: {inside(TRAIN_TITLES[stage])}, {TRAIN_WORDS[TRAIN_READ[which]]} {{shown}}; in order {{usual}}.",
        shown=_value(which, shown),
        usual=_value(which, usual),
    )


def shows_words(both: Both) -> str:
    """The stages at which something reads otherwise, in words."""
    titles = dict.fromkeys(TRAIN_TITLES[stage] for stage, *_ in _apart(both, by_size=False))
    return "; ".join(inside(title) for title in titles) or "at no stage: by eye only"


def steps(both: Both) -> Iterator[Step]:
    """The greatest differences, each with both figures."""
    for number, (stage, which, usual, shown) in enumerate(list(_apart(both))[:4]):
        yield Step(
            label=TRAIN_TITLES[stage],
            how=say(
                f"{TRAIN_WORDS[TRAIN_READ[which]]} {{shown}}; in order {{usual}}.",
                shown=_value(which, shown),
                usual=_value(which, usual),
            ),
            decides=number == 0,
        )


def _apart(both: Both, *, by_size: bool = True) -> Iterator[tuple[int, int, float, float]]:
    found = [
        (abs(b - a) / max(1.0, a), stage, which, a, b)
        for stage, (usual, shown) in enumerate(zip(*both, strict=True))
        for which, (a, b) in enumerate(zip(usual.figures(), shown.figures(), strict=True))
        if beyond_error(which, a, b)
    ]
    if by_size:
        found.sort(key=lambda one: -one[0])
    for _, stage, which, a, b in found:
        yield stage, which, a, b


def _value(which: int, amount: float) -> Value:
    return Value(amount, TRAIN_UNITS[TRAIN_READ[which]])
