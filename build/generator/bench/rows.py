"""The rows of the measured table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median, quantiles


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRow:
    """One measured figure beside what it is held to, and how it was taken."""

    what: str
    held_to: str
    measured: str
    how: str

    def line(self) -> str:
        """The row as one line of progress."""
        return f"{self.what}: {self.measured} (held to: {self.held_to or 'nothing'}; {self.how})"


def table(rows: Sequence[BenchRow]) -> str:
    """The rows as a Markdown table, ready for a note."""
    lines = ["| what | held to | measured | how |", "| --- | --- | --- | --- |"]
    lines += [f"| {row.what} | {row.held_to} | {row.measured} | {row.how} |" for row in rows]
    return "\n".join(lines)


def by_turns(arms: Mapping[str, Callable[[], float]], times: int) -> dict[str, list[float]]:
    """Measure every arm so often, one after the other: what slows the machine slows them all."""
    taken: dict[str, list[float]] = {name: [] for name in arms}
    for _ in range(times):
        for name, measure in arms.items():
            taken[name].append(measure())
    return taken


def middle(times: Sequence[float]) -> float:
    """The median."""
    return median(times)


def slow_end(times: Sequence[float]) -> float:
    """The 95th centile; of few values the largest."""
    return quantiles(times, n=20)[-1] if len(times) >= 20 else max(times)
