"""What of a calculator stands on its first screen: the figures, the keys, the line of settings.

A reader at the track side wants the answer and the few inputs that change from one move to the
next. Which those are is a matter of the trade, so each calculator declares it; pages and scripts
only lay it out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """An input that is moved on the first screen.

    A choice gets a key for each option. A number gets a key that takes ``step`` off, one that adds
    it, and a key for each of ``presets``, all in the field's own unit. ``only`` names a choice and
    the options of it under which the input counts; under any other it is not shown. ``often`` are the
    options of a choice that stand open where there are many; the others open at a tap.
    """

    field: str
    step: float = 1.0
    presets: tuple[float, ...] = ()
    only: tuple[str, tuple[str, ...]] | None = None
    often: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """How a reading that differs is entered where faults are found, if the inputs are these.

    ``entry`` is the stage and the gauge ("ten-off cylinder"), ``only`` inputs by name that have to
    stand so.
    """

    entry: str
    only: Mapping[str, float | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstScreen:
    """The first screen of a calculator.

    Attributes
    ----------
    figures
        Two or three results by name, each with the short words that stand under its figure.
    asked
        What was asked, in words, with inputs in braces: ``"{reduction:bare} off {setting}"``;
        ``:bare`` leaves out the unit. By an option of the choice ``asked_by``, or by ``""``.
    besides
        Words added for an input that does not stand at its default.
    keys
        The inputs that are moved here, in order.
    line
        Inputs named in the line that opens the rest of the form, each with short words before it.
    decided
        The result that says what decided.
    weighs
        Whether steps of the working are weighed against each other, so that the answer says which
        of them decided; a sum that runs straight through has nothing to say there.
    read
        Inputs that take what a gauge showed in the place of a result, by the result's name.
    means
        Pages of the site, by a result's name, that say what it means if a gauge shows something
        else; ``""`` stands for all results.
    sought
        By a result's name, how a reading that differs is entered where faults are found.
    readings
        Inputs that take what was read, in order, each with the ids of the limits that stand beside
        it; they are empty until something is typed.
    never
        What has to be seen and what no reading shows, in words: it ends the list of readings, and
        nothing ever counts it as within.
    """

    figures: Mapping[str, str] = field(default_factory=dict)
    asked: Mapping[str, str] = field(default_factory=dict)
    keys: tuple[Key, ...] = ()
    line: Mapping[str, str] = field(default_factory=dict)
    asked_by: str = ""
    besides: Mapping[str, str] = field(default_factory=dict)
    decided: str = ""
    weighs: bool = False
    read: Mapping[str, str] = field(default_factory=dict)
    means: Mapping[str, str] = field(default_factory=dict)
    sought: Mapping[str, tuple[Sought, ...]] = field(default_factory=dict)
    readings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    never: str = ""

    def key_of(self, name: str) -> Key | None:
        """The key that moves an input, if one does."""
        return next((key for key in self.keys if key.field == name), None)


# A question that no page of its own asks, as in a test.
NOTHING_FIRST = FirstScreen()
