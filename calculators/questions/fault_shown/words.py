"""How an answer of `fault-shown` is said: the series of the locomotive, healthy beside faulty."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from calculators.base.results import Compared, Comparison, Note, Pair, Phrase, Step, Value, say
from calculators.base.wording import at_begin, inside, spoken
from calculators.finding.series import GAUGE_UNITS, GAUGE_WORDS, GAUGES, PISTONS, STAGES
from calculators.finding.showing import Apart, Shows, apart
from calculators.finding.signatures import Shown

SHOWN = 4
"""Differences that stand in the working."""
ABOUT_AS_WELL = 0.75
"""Share of the greatest difference from which a stage shows a fault about as well."""
_NEVER_REACHED = "not reached: the valve may not be cut in"

BY_LINE = Note(
    text=say(
        "By a straight line between two sizes of the example, shifted to your settings; the model of the "
        "brake works it out exactly."
    )
)
NO_ROOM = Note(
    text=say(
        "With your settings the model cannot be run with this fault of this size: the figures are those of "
        "the example, shifted to your settings."
    )
)
ONE_SIZE = Note(text=say("This fault is there or is not: its size is not asked for."))


def size_words(shows: Shows) -> Phrase:
    """How large it is, in its own unit."""
    fault = shows.fault
    if not fault.graded:
        return say("there or not")
    if fault.unit == "in":
        said = say("a hole of {size}", size=Value(shows.size, "in", 3))
    elif fault.unit == "psi":
        said = say("off by {size}", size=Value(shows.size, "psi"))
    else:
        said = say("off by {size}", size=Value(100.0 * shows.size, "%"))
    if shows.size >= fault.largest * 0.999:
        return Phrase(f"{said.template} ({fault.complete})", said.parts)
    return said


def at_end(words: Phrase) -> Phrase:
    """Words as a whole sentence."""
    return Phrase(f"{at_begin(words.template)}.", words.parts)


def headline(shows: Shows) -> Phrase:
    """The fault, its size, and where it shows most."""
    found = _most(shows)
    sized = size_words(shows)
    name = f"{shows.fault.title}, {sized.template}" if shows.fault.graded else shows.fault.title
    parts = dict(sized.parts)
    if not found:
        heard = heard_words(shows)
        told = f"it is told by ear: {heard}" if heard else "pistons and marks tell it"
        return Phrase(f"{name}: no gauge reads beyond its error; {told}.", parts)
    one = found[0]
    return Phrase(
        f"{name}: {inside(STAGES[one.stage].title)}, {GAUGE_WORDS[GAUGES[one.gauge]]} {{shown}}; "
        "in order {usual}.",
        parts | {"shown": _value(one.gauge, one.shown), "usual": _value(one.gauge, one.usual)},
    )


def shows_words(shows: Shows) -> str:
    """The stages at which a gauge reads otherwise, in words."""
    stages = dict.fromkeys(STAGES[one.stage].title for one in apart(shows))
    return "; ".join(inside(title) for title in stages) or "at no stage: by ear or eye only"


def heard_words(shows: Shows) -> str:
    """What blows with it and not in order, each place once; empty if nothing does."""
    found: dict[str, None] = {}
    for usual, shown in zip(shows.usual, shows.shown, strict=True):
        if usual is not None and shown is not None:
            found |= dict.fromkeys(sorted(shown.blows - usual.blows))
    return ", ".join(map(spoken, found))


def seen_words(shows: Shows) -> str:
    """Whose pistons stand otherwise, in words; empty if none do."""
    found = {
        truck
        for usual, shown in zip(shows.usual, shows.shown, strict=True)
        if usual is not None and shown is not None
        for truck, a, b in zip(PISTONS, usual.out, shown.out, strict=True)
        if a != b
    }
    return ", ".join(spoken(truck) for truck in PISTONS if truck in found)


def steps(shows: Shows) -> Iterator[Step]:
    """How large it is, and the greatest differences, each with both figures."""
    if shows.fault.graded:
        yield Step(label="How large", how=at_end(size_words(shows)))
    for number, one in enumerate(_most(shows)[:SHOWN]):
        yield Step(
            label=STAGES[one.stage].title,
            how=say(
                f"{GAUGE_WORDS[GAUGES[one.gauge]]} {{shown}}; in order {{usual}}.",
                shown=_value(one.gauge, one.shown),
                usual=_value(one.gauge, one.usual),
            ),
            decides=number == 0,
        )


def comparison(shows: Shows) -> Comparison:
    """All stages, healthy beside faulty."""
    differs = {(one.stage, one.gauge) for one in apart(shows)}
    rows = []
    for number, (stage, usual, shown) in enumerate(
        zip(STAGES, shows.usual, shows.shown, strict=True)
    ):
        rows.append(
            Compared(
                name=stage.title,
                pairs=tuple(
                    Pair(
                        usual=None if usual is None else _value(g, usual.gauges()[g]),
                        shown=None if shown is None else _value(g, shown.gauges()[g]),
                        differs=(number, g) in differs,
                    )
                    for g in range(len(GAUGES))
                ),
                said=_said(usual, shown),
            )
        )
    return Comparison(
        title="The series, stage by stage",
        row="Stage",
        columns=tuple(at_begin(GAUGE_WORDS[gauge]) for gauge in GAUGES),
        rows=tuple(rows),
        said="Blows, pistons",
        note="≠ stands where a gauge reads beyond what it may be off, or something blows or stands otherwise "
        "than in order; what a locomotive in order shows stands behind it. [model: this reference's own]",
    )


def _said(usual: Shown | None, shown: Shown | None) -> str:
    if usual is None:
        return ""
    if shown is None:
        return _NEVER_REACHED
    words = []
    if more := shown.blows - usual.blows:
        words.append(f"blows: {_places(more)}")
    if less := usual.blows - shown.blows:
        words.append(f"quiet: {_places(less)}")
    for truck, a, b in zip(PISTONS, usual.out, shown.out, strict=True):
        if a != b:
            words.append(f"pistons {'out' if b else 'in'}: {spoken(truck)}")
    return "; ".join(words)


def _places(blows: Iterable[str]) -> str:
    return ", ".join(spoken(place) for place in sorted(blows))


def _most(shows: Shows) -> list[Apart]:
    """The greatest difference of each stage, the greatest first."""
    by_stage: dict[int, Apart] = {}
    for one in apart(shows):
        if one.stage not in by_stage or one.errors > by_stage[one.stage].errors:
            by_stage[one.stage] = one
    most = max((one.errors for one in by_stage.values()), default=0.0)
    # Of those that show it about as well the earliest comes first: it is read first.
    return sorted(by_stage.values(), key=lambda one: (one.errors < ABOUT_AS_WELL * most, one.stage))


def _value(gauge: int, amount: float) -> Value:
    return Value(max(0.0, amount), GAUGE_UNITS[GAUGES[gauge]])
