"""Descriptions that ride in the type of every input and result.

A calculator's signature is its declaration: ``Annotated[float, Quantity(...)]`` gives a number
its words, unit and range, ``Annotated[str, Choice(...)]`` gives a choice its options. Form,
command line, link, reference page and tests are all read from there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.units import UNITS

Mark = Literal["", "S", "S*", "P", "M"]

MARKS: dict[Mark, str] = {
    "S": "published source",
    "S*": "published for a locomotive with the same brake valve and an older control valve",
    "P": "common practice of the trade, no source",
    "M": "nominal, from memory",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Typical:
    """A typical figure that a form offers where no text gives one for the user's own train."""

    value: float
    words: str
    mark: Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number with its words, unit and range.

    ``low`` and ``high`` are inclusive and in ``unit``; ``digits`` is how many decimals the
    model can carry when the number is shown. ``mark`` says how sure the default is.
    ``many`` takes several numbers, ``whole`` only whole ones. ``group`` names the part of the
    form that holds the field; the first group stays open. ``blank`` is the meaning of an empty
    field. ``setting`` names the railroad's setting that this input takes: inputs that name the same
    one are the same quantity, whatever they are called. Readings and moves name none.
    ``of_the_sum`` marks a result that checks the arithmetic and tells nothing of a brake: scripts
    and tests get it, a reader does not.
    """

    term: str
    unit: str
    low: float | None = None
    high: float | None = None
    digits: int = 0
    help: str = ""
    mark: Mark = ""
    group: str = ""
    blank: str = ""
    many: bool = False
    whole: bool = False
    typical: tuple[Typical, ...] = ()
    setting: str = ""
    of_the_sum: bool = False

    def __post_init__(self) -> None:
        """Refuse a unit that the table does not hold."""
        if self.unit not in UNITS:
            raise ValueError(f"{self.term}: no unit is called {self.unit!r}")

    @property
    def kind(self) -> str:
        """What the number measures; decides which units may be typed."""
        return UNITS[self.unit].kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One option of a choice: the word used in links, and the words shown.

    Among many options those of one ``kin`` stand open with the one that is chosen.
    """

    value: str
    words: str
    spellings: tuple[str, ...] = ()
    kin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An input that takes one of a few words; ``setting`` as in `Quantity`."""

    term: str
    options: tuple[Option, ...]
    help: str = ""
    mark: Mark = ""
    group: str = ""
    setting: str = ""

    def words_of(self, value: str) -> str:
        """The words shown for an option; raises KeyError for a word that is none."""
        return {option.value: option.words for option in self.options}[value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One entry that can be added to a text by tapping: the words shown, and what is added.

    In ``text``, ``{at}`` stands for the time and ``{figure}`` for the number typed beside it;
    ``figure`` says what that number is, and is empty where none is needed.
    """

    words: str
    text: str
    figure: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """An input that takes a text in a small language of its own, such as a list of moves.

    The calculator reads it; entries are parted by semicolons. ``pieces`` are what a form offers
    to build it from. ``blank`` is the meaning of an empty field.
    """

    term: str
    help: str = ""
    group: str = ""
    blank: str = ""
    pieces: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A result that is said in words."""

    term: str
    help: str = ""


Description = Quantity | Choice | Text | Words
