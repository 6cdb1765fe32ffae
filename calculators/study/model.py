"""What a drill is made of: mistakes, the forms of questions in which they show, skills.

A *form* is one way to ask one calculator: which inputs are drawn, which result is asked, in which
words. A *slip* is how a mistake shows in a form: what it would give there, and the step of the
working where it enters. A *skill* is one form with one of its slips: that is what comes back until
it is known. Every showing of a skill has new numbers, drawn so that its mistake shows.

Right answers come from `answering.answer` alone; what a mistake gives is the same answer with a
changed input (`Seen.again`), another figure of it, or a wrong sum named in the slip.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.answering.links import text_of
from calculators.base.fields import Plain
from calculators.catalog import find_calculator
from calculators.declaring.registry import Calculator
from calculators.study.draws import Draws

# In place of a step's label: the step that decided the answer, whatever it is called.
DECIDING = "*"

Kind = Literal["number", "decides", "moves", "order", "within", "picture", "tells", "wrong"]
Figure = float | str | None
Drawn = dict[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """A mistake people make: its name, and the page of the site that sets it right."""

    name: str
    page: str


class Seen:
    """A question's answer as forms and slips read it: results and inputs as attributes.

    What a form draws for its words only (a number of cars that the calculator does not ask for) is
    read the same way.
    """

    def __init__(
        self,
        calculator: Calculator,
        entries: Mapping[str, float | str],
        settings: Mapping[str, str],
        asks: str = "",
        follows: bool = False,
    ) -> None:
        known = calculator.inputs()
        self.drawn = dict(entries)
        self._asks, self._settings, self._follows = asks, settings, follows
        self.texts = {
            name: text_of(known[name], value) for name, value in entries.items() if name in known
        }
        first = answer(calculator, self.texts, settings=settings, example=True)
        self.answer: Answer = finished(first) if follows else first

    @property
    def failed(self) -> bool:
        """Whether the answer has errors instead of figures."""
        return self.answer.outcome is None

    def __getattr__(self, name: str) -> Any:
        """A result, an input or a drawn figure."""
        if name.startswith("_"):
            raise AttributeError(name)
        outcome = self.answer.outcome
        if outcome is not None and name in self.answer.calculator.outputs():
            return getattr(outcome, name)
        for item in self.answer.inputs:
            if item.name == name:
                return item.value
        return self.drawn[name]

    def read(self, name: str) -> Plain:
        """A result, an input or a drawn figure by its name."""
        value: Plain = getattr(self, name)
        return value

    def seen(self, **changes: float | str) -> Seen:
        """The same question with some inputs changed; an empty text takes an input away."""
        return Seen(
            self.answer.calculator,
            self.drawn | changes,
            self._settings,
            self._asks,
            self._follows,
        )

    def again(self, **changes: float | str) -> Any:
        """What is asked, answered with some inputs changed; None where there is no answer."""
        other = self.seen(**changes)
        return None if other.failed else other.read(self._asks)

    def other(self, calculator: str, **entries: float | str) -> Seen:
        """Another calculator's answer."""
        return Seen(find_calculator(calculator), entries, self._settings)

    def beside(self, limit: str) -> str | None:
        """How the answer's reading stands beside a limit: "not within|air-flow"; None if it does not."""
        for verdict in self.answer.verdicts:
            if verdict.limit.id == limit and verdict.reading is not None:
                return f"{verdict.standing}|{limit}"
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """How a mistake shows in a form.

    ``gives`` is what it would give there (None where it would give nothing); ``step`` is the label
    of the step of the working where it enters (`DECIDING` for the one that decided); ``why`` says
    what is wrong, and goes on behind a colon.
    """

    mistake: str
    step: str
    why: str
    gives: Callable[[Seen], Figure]


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One way to ask one calculator.

    ``words`` is the question with inputs in braces, and with what is drawn for the words only, its
    unit behind a colon (``{deeper:psi}``). ``asks``
    names the result; ``right`` works out the answer of a question that asks for no single result.
    The first ``own`` slips are skills of their own; the others only stand beside them.
    ``options`` are the words of such answers; an answer of the kind ``within`` is a standing and the
    id of its limit, as `Seen.beside` gives it. ``least`` is the smallest right figure worth asking.
    ``apart`` is how far a wrong figure must be from the right one, as a share of it, where the unit
    is not psi. ``also`` works out further figures that the words name. ``follows`` is whether the
    answer is the whole one, with what the train model adds after it: for short trains only, since
    the next question must not be waited for.
    """

    id: str
    topic: str
    calculator: str
    words: str
    draw: Callable[[Draws], Drawn]
    slips: tuple[Slip, ...]
    asks: str = ""
    kind: Kind = "number"
    right: Callable[[Seen], Figure] | None = None
    options: Mapping[str, str] = field(default_factory=dict)
    also: Mapping[str, Callable[[Seen], Figure]] = field(default_factory=dict)
    follows: bool = False
    own: int = 1
    least: float = 0.5
    apart: float = 0.1
    until: str = ""
    """Label of the last step of the working that belongs to the question; empty for all."""

    def answer_of(self, seen: Seen) -> Figure:
        """The right answer: a figure in the trade's unit, or the key of an option."""
        if self.right is not None:
            return self.right(seen)
        value = seen.read(self.asks)
        return float(value) if isinstance(value, int | float) else None


@dataclass(frozen=True, slots=True)
class Skill:
    """A form with the slip that it is to find out: what is scheduled."""

    form: Form
    slip: Slip

    @property
    def id(self) -> str:
        """Its name in links and records; never changes."""
        return f"{self.form.id}.{self.slip.mistake}"
