"""Questions drawn from a seed: the mistake first, then inputs in which it shows.

``items`` is the one door: today's set, a set by topic, worksheets and lessons all take their
questions from it. The same seed gives the same questions on every device, for the same settings.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import isfinite
from string import Formatter

from calculators.answering.answer import Answer
from calculators.answering.asked import input_text
from calculators.base.errors import UnknownNameError
from calculators.base.quantities import Quantity
from calculators.base.results import Display, Step, Value
from calculators.catalog import find_calculator
from calculators.law.limit_list import find_limit
from calculators.study.catalog import MISTAKES, SKILLS, TOPICS, find_skill
from calculators.study.draws import Draws
from calculators.study.model import DECIDING, Drawn, Figure, Form, Kind, Seen, Skill, Slip

# Raised when the same seed would draw other questions than before; links and papers name it.
DRAWN_AS = 2

# Wrong pressures stand at least this far from the right one and from each other [psi].
APART_PSI = 4.0
# A typed pressure this near counts as right: the whole psi that an answer carries, and a half.
TYPED_PSI = 1.5
# Of the right figure, where the unit is not psi; never less than a unit of the last digit shown.
TYPED_SHARE = 0.02
OPTIONS = 3
_TRIES = 60
_DEFAULT_NUMBER = 10
NO_SETTINGS: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Right:
    """The right answer: in words, and where it is a figure its value in the trade's unit.

    A typed figure within ``tolerance`` of ``value`` (both in ``unit``) is right. ``value`` is None
    where one of the options is chosen.
    """

    words: str
    value: float | None = None
    unit: str = ""
    digits: int = 0
    tolerance: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """A wrong answer: what it says, the mistake that gives it, where that enters the working.

    ``mistake`` is its id, ``name`` what it is called, ``step`` the label of the step, ``why`` what
    is wrong, ``page`` the page that sets it right.
    """

    words: str
    mistake: str
    name: str
    step: str
    why: str
    page: str
    value: float | None = None

    def sentence(self) -> str:
        """What to say to somebody who gave it."""
        return f"{self.name}. It enters at “{self.step}”: {self.why}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One step of the calculator's own working."""

    label: str
    how: str
    value: str
    decides: bool

    def words(self) -> str:
        """The step as one sentence; an arrow only where it comes to a figure."""
        return f"{self.label}: {self.how}" + (f" → {self.value}" if self.value else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One question as it is asked.

    ``wrong`` holds every mistake that shows here, the one it was drawn for first. ``working`` is
    the calculator's own. ``address`` opens the calculator with the very same inputs (from the
    site's root), ``entries`` are those that were drawn, as texts. ``seed`` and ``skill`` draw it
    again. ``picture`` is the query of a circuit's moment that the question shows, else empty.
    """

    skill: str
    topic: str
    kind: Kind
    mistake: str
    question: str
    right: Right
    wrong: tuple[Wrong, ...]
    working: tuple[Line, ...]
    title: str
    page: str
    address: str
    entries: Mapping[str, str]
    seed: str
    picture: str = ""

    def options(self) -> tuple[str, ...]:
        """The right answer and at most two wrong ones, in an order that the seed gives."""
        wrong = [one.words for one in self.wrong[: OPTIONS - 1]]
        return Draws(f"{self.skill}|{self.seed}|options").mixed([self.right.words, *wrong])


def items(
    topics: Iterable[str] = (),
    number: int = _DEFAULT_NUMBER,
    seed: str = "1",
    *,
    settings: Mapping[str, Mapping[str, str]] = {},
    display: Display | None = None,
    alike: bool = False,
) -> tuple[Item, ...]:
    """Draw a set of questions.

    Parameters
    ----------
    topics
        Ids of `catalog.TOPICS`, or of single skills; all topics where none is named.
    number
        How many; a skill comes again, with other numbers, only when all have been asked.
    seed
        Any text. The same one gives the same set.
    settings
        The railroad's own settings by calculator, in its fields, for inputs that are not drawn. A
        set that others are to get alike is drawn without.
    display
        The unit in which pressures are shown.
    alike
        Whether the seed changes only the numbers: two papers of one kind ask after the same
        mistakes and are as hard.

    Raises
    ------
    UnknownNameError
        If a topic is not known; the message names those that are.
    """
    order = in_turn(skills_of(topics), "alike" if alike else seed)
    made = []
    for turn in range(number):
        skill = order[turn % len(order)]
        # The turn is in the seed: a skill that comes again has other numbers.
        made.append(
            item(
                skill.id,
                f"{seed}.{turn}",
                settings=settings.get(skill.form.calculator, NO_SETTINGS),
                display=display,
            )
        )
    return tuple(made)


def skills_of(topics: Iterable[str]) -> tuple[Skill, ...]:
    """The skills of some topics (or named singly), all of them where none is named."""
    named = tuple(topics)
    for topic in named:
        if topic not in TOPICS and topic not in SKILLS:
            raise UnknownNameError(f'no topic is called "{topic}"; known: {", ".join(TOPICS)}')
    return tuple(
        skill
        for skill in SKILLS.values()
        if not named or skill.form.topic in named or skill.id in named
    )


def in_turn(skills: Iterable[Skill], seed: str) -> tuple[Skill, ...]:
    """Skills in a mixed order: where it can be had, at most two of a topic or kind in a row."""
    left = list(Draws(f"order {seed}").mixed(tuple(skills)))
    whole = Counter(one.form.topic for one in left)
    made: list[Skill] = []
    while left:
        fit = [one for one in left if not _third(made, one)] or left
        # The topic of which the largest share is left, so that all go on side by side to the end.
        counts = Counter(one.form.topic for one in left)
        best = max(fit, key=lambda one: counts[one.form.topic] / whole[one.form.topic])
        left.remove(best)
        made.append(best)
    return tuple(made)


def _third(made: list[Skill], one: Skill) -> bool:
    """Whether it would be the third of its topic or of its kind in a row."""
    last = made[-2:]
    return len(last) == 2 and (
        all(other.form.topic == one.form.topic for other in last)
        or all(other.form.kind == one.form.kind for other in last)
    )


def item(
    skill: str,
    seed: str,
    *,
    settings: Mapping[str, str] = NO_SETTINGS,
    display: Display | None = None,
) -> Item:
    """Draw one question of a skill.

    Raises
    ------
    UnknownNameError
        If no skill has this name.
    LookupError
        If its mistake shows in nothing that can be drawn; a test keeps this from happening for the
        example's settings, and for own settings the example's are drawn instead.
    """
    wanted = find_skill(skill)
    found = _drawn(wanted, seed, settings)
    if found is None and settings:
        found = _drawn(wanted, seed, NO_SETTINGS)
    if found is None:
        raise LookupError(f"{skill}: no inputs were found in which the mistake shows")
    return _made(wanted, seed, found, display)


def asked_again(
    skill: str,
    seed: str,
    entries: Mapping[str, str],
    *,
    settings: Mapping[str, str] = NO_SETTINGS,
    display: Display | None = None,
) -> Item:
    """A question that was drawn before, from what was kept of it: its entries, not its answer."""
    wanted = find_skill(skill)
    drawn = wanted.form.draw(Draws(f"{skill}|{seed}"))
    drawn |= {name: _figure_or_text(drawn.get(name), text) for name, text in entries.items()}
    form = wanted.form
    seen = Seen(find_calculator(form.calculator), drawn, settings, form.asks, form.follows)
    found = None if seen.failed else _showing(wanted, seen)
    if found is None:
        return item(skill, seed, settings=settings, display=display)
    return _made(wanted, seed, found, display)


def _figure_or_text(drawn: float | str | None, text: str) -> float | str:
    """What was kept as a text, as the figure that it was drawn as."""
    if not isinstance(drawn, float):
        return text
    try:
        figure = float(text)
    except ValueError:
        return text
    return figure if isfinite(figure) else drawn


@dataclass(frozen=True, slots=True)
class _Found:
    """Inputs in which a skill's mistake shows, with all slips that do."""

    seen: Seen
    right: Figure
    slips: tuple[tuple[Slip, Figure], ...]


def _drawn(skill: Skill, seed: str, settings: Mapping[str, str]) -> _Found | None:
    """Draw inputs until the mistake shows; better with a second wrong answer beside it."""
    draws = Draws(f"{skill.id}|{seed}")
    calculator = find_calculator(skill.form.calculator)
    second: _Found | None = None
    for _ in range(_TRIES):
        form = skill.form
        seen = Seen(calculator, form.draw(draws), settings, form.asks, form.follows)
        found = None if seen.failed else _showing(skill, seen)
        if found is not None and len(found.slips) >= OPTIONS - 1:
            return found
        second = second or found
    return second


def _showing(skill: Skill, seen: Seen) -> _Found | None:
    """What shows for these inputs; None if the skill's own mistake does not."""
    form = skill.form
    right = form.answer_of(seen)
    if right is None or (isinstance(right, float) and right < form.least):
        return None
    steps = {step.label for step in _steps(skill, seen.answer)}
    shown: list[tuple[Slip, Figure]] = []
    others = [slip for slip in form.slips if slip is not skill.slip]
    for slip in (skill.slip, *others):
        given = slip.gives(seen)
        if given is not None and (slip.step in steps or slip.step == DECIDING):
            taken = [right, *(figure for _, figure in shown)]
            # A mistake about limits shows only where the reading stands otherwise beside its own.
            hidden = form.kind == "within" and not shown and _standing(given) == _standing(right)
            if not hidden and all(_apart(skill, given, one) for one in taken):
                shown.append((slip, given))
        if not shown:
            return None
    return _Found(seen, right, tuple(shown))


def _standing(figure: Figure) -> str:
    return str(figure).partition("|")[0]


def _apart(skill: Skill, one: Figure, other: Figure) -> bool:
    """Whether two answers can be told from each other, also as they are shown in other units."""
    if isinstance(one, str) or isinstance(other, str) or one is None or other is None:
        return one != other
    form, description = skill.form, _asked(skill)
    if description.unit == "psi":
        return abs(one - other) >= APART_PSI
    least = max(form.apart * max(abs(one), abs(other)), 4 * 10.0**-description.digits)
    return abs(one - other) >= least


def _asked(skill: Skill) -> Quantity:
    description = find_calculator(skill.form.calculator).outputs()[skill.form.asks]
    assert isinstance(description, Quantity)
    return description


def _steps(skill: Skill, found: Answer) -> tuple[Step, ...]:
    """The working as far as it belongs to the question."""
    assert found.outcome is not None
    working, until = found.outcome.working, skill.form.until
    for number, step in enumerate(working):
        if step.label == until:
            return working[: number + 1]
    return working


def _made(skill: Skill, seed: str, found: _Found, display: Display | None) -> Item:
    form, seen = skill.form, found.seen
    shown = display or Display()
    calculator = seen.answer.calculator
    working = tuple(
        Line(
            label=step.label,
            how=step.how.text(shown),
            value=shown.value(step.value) if step.value is not None else "",
            decides=step.decides,
        )
        for step in _steps(skill, seen.answer)
    )
    deciding = next((line.label for line in working if line.decides), working[-1].label)
    page = f"calculators/{calculator.name}/"
    asked = replace(seen.answer, display=shown)
    return Item(
        skill=skill.id,
        topic=form.topic,
        kind=form.kind,
        mistake=skill.slip.mistake,
        question=_question(form, seen, shown),
        right=_right(skill, found.right, shown),
        wrong=tuple(
            Wrong(
                words=_words(skill, given, shown),
                mistake=slip.mistake,
                name=MISTAKES[slip.mistake].name,
                step=deciding if slip.step == DECIDING else slip.step,
                why=slip.why,
                page=MISTAKES[slip.mistake].page,
                value=given if isinstance(given, float) else None,
            )
            for slip, given in found.slips
        ),
        working=working,
        title=calculator.title,
        page=page,
        address=f"{page}?{asked.link_query()}",
        entries=_kept(seen.drawn),
        seed=seed,
        picture=asked.link_query() if form.kind == "picture" else "",
    )


def _kept(drawn: Drawn) -> dict[str, str]:
    return {
        name: value if isinstance(value, str) else f"{value:.10g}" for name, value in drawn.items()
    }


def _question(form: Form, seen: Seen, display: Display) -> str:
    inputs = {item.name: item for item in seen.answer.inputs}
    made = []
    for text, name, unit, _ in Formatter().parse(form.words):
        made.append(text)
        if name in inputs:
            made.append(input_text(inputs[name], display))
        elif name is not None:
            value = form.also[name](seen) if name in form.also else seen.read(name)
            if isinstance(value, float) and unit:
                made.append(display.value(Value(value, unit)))
            else:
                made.append(f"{value:g}" if isinstance(value, float) else str(value))
    return "".join(made)


def _right(skill: Skill, right: Figure, display: Display) -> Right:
    words = _words(skill, right, display)
    if not isinstance(right, float):
        return Right(words=words)
    description = _asked(skill)
    tolerance = (
        TYPED_PSI
        if description.unit == "psi"
        else max(TYPED_SHARE * abs(right), 10.0**-description.digits)
    )
    return Right(
        words=words,
        value=right,
        unit=description.unit,
        digits=description.digits,
        tolerance=tolerance,
    )


def _words(skill: Skill, figure: Figure, display: Display) -> str:
    if isinstance(figure, str):
        standing, mark, limit = figure.partition("|")
        if mark:
            found = find_limit(limit)
            # One paragraph is enough to choose by; the page of limits names them all.
            section = re.split(r"[,;]", found.section)[0]
            return f"{standing}: {found.words().text(display)}, {section}"
        return skill.form.options.get(figure, figure)
    assert figure is not None
    description = _asked(skill)
    return display.value(Value(figure, description.unit, description.digits))
