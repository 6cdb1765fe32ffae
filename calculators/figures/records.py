"""What a figure outside the law is: its value, how well it is known, and what it decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.quantities import MARKS, Mark
from calculators.base.results import Phrase, Value, say
from calculators.law.records import Citation

FigureMark = Mark | Literal["own"]

MARK_WORDS: dict[FigureMark, str] = dict(MARKS) | {"own": "our own choice"}
"""What each mark says on a page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure that an answer rests on though no regulation gives it.

    ``value`` (and ``upper`` for a range) is in ``unit``. ``decides`` says what hangs on it, from
    which side. ``sources`` are the texts it was read in; a figure from memory or of our own has
    none and says in ``from_where`` what it is instead. ``setting`` names the railroad's setting that
    stands in for it, where one does: then every answer follows that.
    """

    id: str
    title: str
    value: float
    upper: float | None = None
    unit: str
    digits: int = 0
    mark: FigureMark
    decides: str
    sources: tuple[Citation, ...] = ()
    from_where: str = ""
    setting: str = ""

    def __post_init__(self) -> None:
        """Refuse a figure that was read nowhere and does not say where it comes from."""
        read = self.mark in ("S", "S*")
        if read != bool(self.sources) or (not read and not self.from_where):
            raise ValueError(f"{self.id}: a figure has its texts, or says where it comes from")

    def span(self) -> tuple[float, float]:
        """The figure's two ends; both the same where it is one."""
        return self.value, self.value if self.upper is None else self.upper

    def shown(self) -> Value:
        """The figure with its unit and the digits it can carry."""
        return Value(self.value, self.unit, self.digits)

    def words(self) -> Phrase:
        """The figure as a phrase: "45 psi", "3 s to 5 s"."""
        if self.upper is None:
            return say("{value}", value=self.shown())
        return say(
            "{value} to {upper}",
            value=self.shown(),
            upper=Value(self.upper, self.unit, self.digits),
        )
