"""The part of an answer that takes seconds: followed with its progress, or waited for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from calculators.answering.answer import Answer, verdicts_of, with_setting_note
from calculators.base.results import Progress


def follow(first: Answer) -> Iterator[Progress | Answer]:
    """Work out what an answer still lacks: its progress, and last the whole answer.

    An answer that lacks nothing comes back at once. To give up, stop asking.
    """
    if first.outcome is None or first.outcome.to_follow is None:
        yield first
        return
    worked = yield from first.outcome.to_follow.work()
    outcome = with_setting_note(first.inputs, worked)
    yield replace(first, outcome=outcome, verdicts=verdicts_of(outcome, first.railroad))


def finished(first: Answer) -> Answer:
    """The whole answer, however long it takes."""
    *_, last = follow(first)
    assert isinstance(last, Answer)
    return last


def waits_for(first: Answer, name: str) -> bool:
    """Whether a result may still change by what is worked out after the first answer."""
    rest = first.outcome.to_follow if first.outcome is not None else None
    return rest is not None and name in (*rest.fills, *rest.lowers)


def with_results(first: Answer, names: Iterable[str]) -> Answer:
    """The answer with these results in it: the whole one only if one of them may still change."""
    return finished(first) if any(waits_for(first, name) for name in names) else first
