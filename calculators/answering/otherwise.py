"""A gauge that shows something else than the answer: what single thing would account for it.

The same answer is asked again with one input changed at a time. What comes out says which handle,
which setting or which figure would give the reading seen; it finds no faults, and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from calculators.answering.answer import Answer, Input, answer
from calculators.answering.asked import short
from calculators.base.errors import UnknownNameError
from calculators.base.fields import typed
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Display, Phrase, Value, plain, say
from calculators.declaring.registry import Calculator
from calculators.law.gauge_error import gauge_error

# A field is tried at so many places over its range, and closer in between where the figure passes.
_PLACES = 24
_HALVINGS = 12
# A figure without gauge is the same if it differs by no more than this share.
_ALIKE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """What a reading beside an answer comes to.

    ``alike`` says that the two differ by no more than the gauge's own error may be.
    ``causes`` are the single changes that would give it; ``judged`` is what the answer says of a
    reading that it has a field for; ``means`` names the page that says more; ``entry`` is the
    reading as it is entered where faults are found, empty where it has no place there.
    """

    compared: Phrase
    alike: bool
    causes: tuple[Phrase, ...]
    judged: tuple[Phrase, ...]
    means: str
    entry: str = ""


def otherwise(
    calculator: Calculator,
    raw: Mapping[str, str],
    *,
    result: str,
    text: str,
    settings: Mapping[str, str],
    display: Display,
) -> Otherwise:
    """Lay a reading beside one result of an answer.

    Parameters
    ----------
    calculator, raw, settings
        As for ``answer``.
    result
        The name of the result that the gauge shows.
    text
        What was read, as typed; a bare pressure is in the unit on show.
    display
        The unit of pressures on show.

    Raises
    ------
    UnknownNameError
        If the calculator has no such figure, or the answer has none yet.
    InputError
        If the text is no figure; its field is the result's name.
    """
    description = calculator.outputs().get(result)
    if not isinstance(description, Quantity):
        raise UnknownNameError(f"{calculator.name} has no figure {result!r}")
    found = answer(calculator, raw, settings=settings)
    expected = found.results().get(result)
    if not isinstance(expected, float | int):
        raise UnknownNameError("There is no figure yet to lay a reading beside.")
    reading = _with_unit(text, description, display)
    read = typed(result, replace(description, low=None, high=None, whole=False), reading).value
    error = _error(description, float(expected))
    shown = replace(description, digits=max(description.digits, 1))
    off = read - float(expected)
    parts = {
        "read": Value(read, description.unit, _digits(read, shown)),
        "expected": Value(float(expected), description.unit, description.digits),
    }
    alike = abs(off) <= error
    if alike:
        compared = say(
            "{read} read, {expected} by the answer: no further apart than a gauge in order may be.",
            **parts,
        )
    else:
        side = "more" if off > 0 else "less"
        compared = say(
            f"{{read}} read, {{expected}} by the answer: {{off}} {side}.",
            off=Value(abs(off), description.unit, _digits(abs(off), shown)),
            **parts,
        )
    first = calculator.first
    causes = () if alike else tuple(_causes(found, raw, settings, result, read, error))
    means = first.means.get(result, first.means.get("", ""))
    judged = tuple(_judged(found, raw, settings, first.read.get(result, ""), reading))
    entry = "" if alike else _entry(found, result, read)
    return Otherwise(
        compared=compared, alike=alike, causes=causes, judged=judged, means=means, entry=entry
    )


def _entry(found: Answer, result: str, read: float) -> str:
    """The reading as an entry of the series, where this answer is one of its stages."""
    values = {item.name: item.value for item in found.inputs}
    for sought in found.calculator.first.sought.get(result, ()):
        if all(values.get(name) == value for name, value in sought.only.items()):
            return f"{sought.entry} {plain(round(read, 1))}"
    return ""


def _with_unit(text: str, description: Quantity, display: Display) -> str:
    bare = not any(character.isalpha() for character in text)
    return f"{text} {display.pressure}" if bare and description.kind == "pressure" else text


def _judged(
    found: Answer, raw: Mapping[str, str], settings: Mapping[str, str], field: str, reading: str
) -> Iterator[Phrase]:
    """What the answer itself says once the reading stands in its own field."""
    if not field:
        return
    told = answer(found.calculator, {**raw, field: reading}, settings=settings)
    if found.outcome is None or told.outcome is None:
        return
    known = {note.text.text(found.display) for note in found.outcome.notes}
    for note in told.outcome.notes:
        if note.text.text(found.display) not in known:
            yield note.text


def _digits(amount: float, description: Quantity) -> int:
    return 0 if amount == round(amount) else description.digits


def _error(description: Quantity, expected: float) -> float:
    if description.kind == "pressure" and description.unit == "psi":
        return max(1.0, gauge_error(abs(expected)))
    return max(10.0**-description.digits, _ALIKE * abs(expected))


def _causes(
    found: Answer,
    raw: Mapping[str, str],
    settings: Mapping[str, str],
    result: str,
    read: float,
    error: float,
) -> Iterator[Phrase]:
    calculator = found.calculator
    first = calculator.first
    inputs = {item.name: item for item in found.inputs}

    def at(name: str, text: str) -> float | None:
        tried = answer(calculator, {**raw, name: text}, settings=settings)
        figure = tried.results().get(result)
        return float(figure) if isinstance(figure, float | int) else None

    for name in dict.fromkeys((*(key.field for key in first.keys), *first.line)):
        item = inputs[name]
        if isinstance(item.description, Choice):
            for option in item.description.options:
                figure = at(name, option.value) if option.value != item.value else None
                if figure is not None and abs(figure - read) <= error:
                    yield say(
                        "{term}: {words} instead of {now}.",
                        term=item.description.term,
                        words=short(option.words),
                        now=short(item.description.words_of(str(item.value))),
                    )
        elif isinstance(item.description, Quantity) and not item.description.many:
            value = _value_that_gives(item, read, error, partial(at, name))
            if value is not None:
                unit, digits = item.description.unit, item.description.digits
                yield say(
                    "{term}: about {value} instead of {now}.",
                    term=item.description.term,
                    value=Value(value, unit, digits),
                    now=Value(float(item.value), unit, digits)
                    if isinstance(item.value, float | int)
                    else item.description.blank or "none",
                )


def _value_that_gives(
    item: Input, read: float, error: float, at: Callable[[str], float | None]
) -> float | None:
    """The value of an input, nearest to its own, that gives the reading; None if none does."""
    description = item.description
    assert isinstance(description, Quantity)
    now = float(item.value) if isinstance(item.value, float | int) else 0.0
    low = description.low if description.low is not None else 0.0
    high = description.high if description.high is not None else 2.0 * max(now, 1.0)
    places = [low + (high - low) * number / _PLACES for number in range(_PLACES + 1)]
    if description.whole:
        places = sorted({float(round(place)) for place in places})
    offs = [(place, _off(at(plain(place)), read)) for place in places]
    found = [place for place, off in offs if off is not None and abs(off) <= error]
    for (left, off_left), (right, off_right) in pairwise(offs):
        if off_left is None or off_right is None or off_left * off_right >= 0:
            continue
        found.append(_crossing(left, right, off_left, read, at))
    # Near its own value an input says nothing: the answer would have been the reading.
    step = 10.0**-description.digits
    found = [
        place for place in found if abs(place - now) >= step and _meets(place, read, error, at)
    ]
    return min(found, key=lambda place: abs(place - now), default=None)


def _crossing(
    left: float, right: float, off_left: float, read: float, at: Callable[[str], float | None]
) -> float:
    for _ in range(_HALVINGS):
        middle = (left + right) / 2
        off = _off(at(plain(middle)), read)
        if off is None or off * off_left <= 0:
            right = middle
        else:
            left = middle
    return (left + right) / 2


def _meets(place: float, read: float, error: float, at: Callable[[str], float | None]) -> bool:
    """Whether the figure is reached there, and not leapt over."""
    off = _off(at(plain(place)), read)
    return off is not None and abs(off) <= error


def _off(figure: float | None, read: float) -> float | None:
    return None if figure is None else figure - read
