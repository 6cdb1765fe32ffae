"""The train model's part of the `rear-pressure` answer: what gradient a leakage makes."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from math import inf

from calculators.base.results import Note, Progress, Step, Value, psi, say
from calculators.equipment.train import Leak, Steady, Train, steady
from calculators.law.limit_list import find_limit
from calculators.questions.shared.train_model import band, band_notes

# The model's flow at the head is brought this near to the flow read.
_SAME_FLOW = 0.002
_QUICK_ROUNDS = 10
_HALVINGS = 40
_LARGEST_LEAK = 500.0

NOT_BEGUN = Progress(done=0.0, of=2.0, unit="trains")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gradients:
    """Gradients [psi] of a train that takes one flow at the head [cfm], by where it leaks.

    None where the pipe cannot carry the flow that far.
    """

    flow: float
    spread: float | None
    at_rear: float | None


def gradients(train: Train, *, flow: float) -> Generator[Progress, None, Gradients]:
    """Both gradients, one train after the other."""
    spread = gradient_of_leak(train, flow=flow, at_car=None)
    yield replace(NOT_BEGUN, done=1.0)
    return Gradients(
        flow=flow,
        spread=spread,
        at_rear=gradient_of_leak(train, flow=flow, at_car=len(train.cars)),
    )


def gradient_of_leak(train: Train, *, flow: float, at_car: int | None) -> float | None:
    """Gradient of a train that takes this flow at the head, by the train model.

    Parameters
    ----------
    train
        The train; leaks of its own are left out.
    flow
        Flow at the head with the train charged, zero or more. [cfm]
    at_car
        Car that the leak is at, or None for leaks of one size all along.

    Returns
    -------
    float or None
        Head less rear [psi]; None if the pipe cannot carry so much to where it leaks.

    Notes
    -----
    A leak is known by the flow it has at the setting; with a gradient it passes less. The leak is
    enlarged until the flow at the head is the one read.
    """
    if flow == 0.0:
        return 0.0

    def at(leak: float) -> Steady:
        return steady(replace(train, leaks=(Leak(flow=leak, at_car=at_car),)))

    def is_read(found: Steady) -> bool:
        return abs(found.flow - flow) < _SAME_FLOW * flow

    leak = flow
    for _ in range(_QUICK_ROUNDS):
        found = at(leak)
        if is_read(found):
            return found.gradient
        if leak == _LARGEST_LEAK:
            return None
        leak = min(_LARGEST_LEAK, leak * flow / found.flow)
    # Near the most that the pipe carries, the flow hardly follows the leak: halve what is left.
    low, high = leak, _LARGEST_LEAK
    found = at(high)
    if found.flow < flow and not is_read(found):
        return None
    for _ in range(_HALVINGS):
        leak = 0.5 * (low + high)
        found = at(leak)
        if is_read(found):
            break
        low, high = (leak, high) if found.flow < flow else (low, leak)
    return found.gradient


def bands(found: Gradients) -> dict[str, float]:
    """Bands in psi by the names of the results."""
    named = {"spread_gradient": found.spread, "gradient_if_at_rear": found.at_rear}
    return {
        name: band("gradient and flow", gradient)
        for name, gradient in named.items()
        if gradient is not None
    }


def working(train: Train, found: Gradients) -> Iterator[Step]:
    """Where the flow was let leak, and what gradient it made."""
    for label, shows, gradient, template in (
        (
            "By the train model",
            "spread_gradient",
            found.spread,
            "{flow} leaking evenly along {cars} cars",
        ),
        (
            "At the far end",
            "gradient_if_at_rear",
            found.at_rear,
            "{flow} leaking at the last of {cars} cars alone",
        ),
    ):
        if gradient is not None:
            yield Step(
                label=label,
                shows=shows,
                how=say(template, flow=Value(found.flow, "cfm"), cars=len(train.cars)),
                value=psi(gradient, band=band("gradient and flow", gradient)),
            )


def notes(gradient: float | None, found: Gradients) -> Iterator[Note]:
    """What the gradient read says against these, gauges taken with the error allowed to them."""
    gauges = find_limit("cab-gauge-error").figure
    spread, at_rear = (inf if g is None else g for g in (found.spread, found.at_rear))
    most = at_rear + band("gradient and flow", at_rear) + gauges
    slack = band("gradient and flow", spread) + gauges
    if gradient is None:
        yield from band_notes("gradient and flow")
        return
    if gradient > most:
        yield Note(
            kind="warning",
            text=say(
                "The gradient read, {gradient}, is more than this flow makes wherever it leaks: "
                "the train is still charging, the pipe is partly blocked, or a reading is off.",
                gradient=psi(gradient),
            ),
        )
    elif gradient > spread + slack:
        yield Note(
            text=say(
                "The gradient read is more than an even leakage of this flow makes: the leaks lie "
                "more toward the rear, or the train is still charging."
            )
        )
    elif found.spread is not None and gradient < spread - slack:
        yield Note(
            text=say(
                "The gradient read is less than an even leakage of this flow makes: the leaks lie "
                "more toward the head, or a reading is off."
            )
        )
    yield from band_notes("gradient and flow")
