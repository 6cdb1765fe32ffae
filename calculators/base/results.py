"""What a calculator gives back: numbers, the working, notes, readings to judge, curves.

Nothing here is text yet: a sentence is a ``Phrase`` whose figures keep their unit, so the same
answer can be shown in the unit the user chose.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from string import Formatter
from typing import Literal

from calculators.base.units import UNITS, convert

# Finer steps than these would claim more than a pressure model can carry.
_DIGITS_ADDED = {"kPa": 0, "bar": 2, "MPa": 3, "kPa/min": 0, "bar/min": 2}
_SAME_CHOICE = {"kPa": "kPa/min", "bar": "bar/min"}


# What templates count; behind the figure 1 these lose their last letter.
_COUNTED = re.compile(
    r"^( (?:axle|brake|car|cylinder|hand brake|hour|locomotive|minute|second|set|ton|unit|valve))s\b"
)


def rounded(amount: float, digits: int) -> str:
    """A number as it is shown: halves go up, thousands are parted by commas.

    >>> rounded(12.5, 0), rounded(1234.56, 1), rounded(-0.2, 0)
    ('13', '1,234.6', '0')
    """
    # Twelve significant digits take away the last bits of binary arithmetic (0.4999999 for 0.5).
    exact = Decimal(f"{amount:.12g}").quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    return f"{exact + 0 if exact else abs(exact):,f}"


def plain(amount: float) -> str:
    """A number as short as it can be written, the way it stands in a form or a link.

    >>> plain(90.0), plain(7.5)
    ('90', '7.5')
    """
    return f"{amount:.10g}" if abs(amount) < 1e10 else repr(amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class Display:
    """The user's choice of units for showing: psi, kPa or bar."""

    pressure: str = "psi"

    def unit_for(self, unit: str) -> str:
        """The unit in which a figure of ``unit`` is shown."""
        kind = UNITS[unit].kind
        if kind == "pressure":
            return self.pressure
        if kind == "pressure rate":
            return _SAME_CHOICE.get(self.pressure, unit)
        return unit

    def amount(self, amount: float, unit: str, digits: int) -> str:
        """The bare number in the chosen unit, rounded to what it can carry."""
        shown = self.unit_for(unit)
        if shown != unit:
            digits += _DIGITS_ADDED[shown]
        return rounded(convert(amount, unit, shown), digits)

    def value(self, value: Value) -> str:
        """The number with its unit, and its band where it has one."""
        unit = self.unit_for(value.unit)
        text = self.amount(value.amount, value.unit, value.digits)
        if value.band:
            text += f" ± {self.amount(value.band, value.unit, value.digits)}"
        return f"{text}{'' if unit in ('%', '') else ' '}{unit}"


def time_digits(band: float) -> int:
    """Digits that a time carries beside its band, both in seconds: tenths under 2 s, else none.

    >>> time_digits(1.5), time_digits(2.6)
    (1, 0)
    """
    return 1 if band < 2.0 else 0


@dataclass(frozen=True, slots=True)
class Value:
    """A number with its unit, the digits it can carry, and its band (plus or minus)."""

    amount: float
    unit: str = "psi"
    digits: int = 0
    band: float = 0.0


Part = Value | str | int


@dataclass(frozen=True, slots=True)
class Phrase:
    """A sentence with named places for figures: ``"{reduction} off"``."""

    template: str
    parts: Mapping[str, Part] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse a template whose places and parts do not match."""
        places = {name for _, name, _, _ in Formatter().parse(self.template) if name is not None}
        if places != set(self.parts):
            raise ValueError(
                f"{self.template!r} asks for {sorted(places)}, got {sorted(self.parts)}"
            )

    def pieces(self, display: Display) -> list[tuple[str, bool]]:
        """The sentence in order as (text, whether it is a figure)."""
        found: list[tuple[str, bool]] = []
        for text, name, _, _ in Formatter().parse(self.template):
            if text:
                found.append((text, False))
            if name is not None:
                part = self.parts[name]
                if isinstance(part, Value):
                    found.append((display.value(part), True))
                else:
                    found.append((str(part), isinstance(part, int)))
        return _one_of_a_kind(found)

    def text(self, display: Display) -> str:
        """The sentence as plain text in the chosen units."""
        return "".join(piece for piece, _ in self.pieces(display))


def _one_of_a_kind(pieces: list[tuple[str, bool]]) -> list[tuple[str, bool]]:
    """Let the word behind a lone 1 be singular: "1 car", where a template says "cars"."""
    made: list[tuple[str, bool]] = []
    for text, figure in pieces:
        if not figure and made and made[-1] == ("1", True):
            text = _COUNTED.sub(r"\1", text)
        made.append((text, figure))
    return made


def say(template: str, **parts: Part) -> Phrase:
    """Make a phrase; every place in the template needs a part of its name."""
    return Phrase(template, parts)


def psi(amount: float, digits: int = 0, *, band: float = 0.0) -> Value:
    """A gauge pressure in psi."""
    return Value(amount, "psi", digits, band)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the working: what is worked out, how, and what comes out.

    ``decides`` marks the step that settled the answer. ``shows`` is the published name of the
    result that this step ends in: its value is then that result, neither rounded nor worked out a
    second time, which one test asks of every calculator. ``see`` are pages that say more, each with
    its words and its address from the site's root.
    """

    label: str
    how: Phrase
    value: Value | None = None
    decides: bool = False
    shows: str = ""
    see: tuple[tuple[str, str], ...] = ()


NoteKind = Literal["note", "warning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something to know beside the answer; a warning stands before the figures."""

    text: Phrase
    kind: NoteKind = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A figure to be judged against one limit, by the limit's id.

    ``not_applicable`` says why the limit does not apply; ``value`` None means nothing was read.
    """

    limit: str
    value: Value | None
    not_applicable: Phrase | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One axis of a curve."""

    term: str
    unit: str
    digits: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a curve; ``color`` names a role (brake_pipe, brake_cylinder, ...)."""

    name: str
    points: tuple[tuple[float, float], ...]
    color: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """A curve with its data: drawn as a picture and printed as a table."""

    title: str
    x: Axis
    y: Axis
    lines: tuple[Line, ...]
    marked: tuple[tuple[float, float], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One quantity over a grid: for every column the values of all rows; ``color`` as for lines."""

    name: str
    unit: str
    values: tuple[tuple[float, ...], ...]
    color: str = ""
    digits: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """One quantity that has a value for every column of a grid, but none for its rows."""

    name: str
    unit: str
    values: tuple[float, ...]
    digits: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Quantities over two axes, such as cars and time: drawn as pictures with sliders, and tables.

    ``at`` holds where the columns stand on their axis, ``row`` what a row is ("Car"), ``names``
    each row's own name.
    """

    title: str
    columns: Axis
    at: tuple[float, ...]
    row: str
    names: tuple[str, ...]
    layers: tuple[Layer, ...]
    gauges: tuple[Gauge, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A figure as it should be and as it is; None where it cannot be had.

    ``differs`` says that no error of its gauge explains the difference.
    """

    usual: Value | None
    shown: Value | None
    differs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One row of a comparison: its name, its pairs by column, and what is said of it in words."""

    name: str
    pairs: tuple[Pair, ...]
    said: str = ""

    @property
    def differs(self) -> bool:
        """Whether anything in it is other than it should be."""
        return bool(self.said) or any(pair.differs for pair in self.pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Figures as they should be beside figures as they are, row by row; ``row`` is what a row is."""

    title: str
    row: str
    columns: tuple[str, ...]
    rows: tuple[Compared, ...]
    said: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a long computation is: ``done`` of ``of``, both in ``unit``."""

    done: float
    of: float
    unit: str = "s"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToFollow:
    """What is added to an outcome later, because it takes too long to wait for.

    ``what`` says who is at work ("the train model"), ``fills`` names the results that are empty
    until then, ``lowers`` those that stand already and may come out lower, never higher; ``of`` is
    how far the computation goes at most. ``work`` does it: it yields its progress and returns the
    whole outcome, the first one's other figures included.
    """

    what: str
    fills: tuple[str, ...]
    of: Progress
    work: Callable[[], Generator[Progress, None, Outcome]]
    lowers: tuple[str, ...] = ()


# Marks a field of an outcome that is no result of its own: what its picture is drawn from.
CARRIED: Mapping[str, bool] = {"carried": True}


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What every calculator's result adds to its own figures.

    A calculator's result class derives from this one; its own annotated fields are the results
    by their published names, except fields marked ``CARRIED``. ``headline`` is the answer in one sentence. ``bands`` gives results
    their band, plus or minus, in the result's own unit. ``to_follow`` is there while a part is
    still to be worked out.
    """

    headline: Phrase
    working: tuple[Step, ...] = ()
    notes: tuple[Note, ...] = ()
    readings: tuple[Reading, ...] = ()
    series: tuple[Series, ...] = ()
    grids: tuple[Grid, ...] = ()
    compared: tuple[Comparison, ...] = ()
    bands: Mapping[str, float] = field(default_factory=dict)
    to_follow: ToFollow | None = field(default=None, compare=False, repr=False)
