"""What a train run warns of: pressures too low for an emergency, trains outside what was fitted."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Note, psi
from calculators.equipment.train import Run
from calculators.questions.shared.low_emergency import how_known, is_low
from calculators.questions.shared.spacing import warn, warnings_of_spacing
from calculators.questions.train_run.asked import AskedRun


def low_emergency(asked: AskedRun, run: Run | None) -> float | None:
    """The lowest brake pipe at which an emergency is asked for, if it is not assured there, in psi.

    Without a run, that is where the train starts.
    """
    first = min(
        (one.at_seconds for one in asked.commands if one.action == "emergency"), default=None
    )
    if first is None:
        return None
    low = asked.train.starting_pressure
    if run is not None:
        # At the first only: what it has emptied, a second one cannot be asked for.
        low = min([one for one in run.samples if one.seconds <= first][-1].brake_pipe)
    return low if low is not None and is_low(low, asked.needs) else None


def warnings_of_pressure(asked: AskedRun, run: Run | None) -> Iterator[Note]:
    """Emergency not assured: where it is asked for, or where the train starts."""
    low = low_emergency(asked, run)
    if low is not None:
        yield warn(
            "Emergency not assured: it is asked for with a brake pipe down to {low}. Below about "
            "{needs}, {known}, an emergency may not start or not run through. The "
            "model carries it through all the same: do not count on the figures below.",
            low=psi(low),
            needs=psi(asked.needs),
            known=how_known(asked.needs),
        )
        return
    start = asked.train.starting_pressure
    if start is not None and is_low(start, asked.needs):
        yield warn(
            "Emergency not assured: the train starts at {start}. Until the brake pipe is above "
            "about {needs} along the whole train, {known}, it may have no emergency.",
            start=psi(start),
            needs=psi(asked.needs),
            known=how_known(asked.needs),
        )


def warnings_of_length(asked: AskedRun) -> Iterator[Note]:
    """A service application in a train whose brakes stand further apart than was fitted."""
    if any(one.action == "service" for one in asked.commands):
        yield from warnings_of_spacing(asked.by_spacing())
