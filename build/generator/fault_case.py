"""A case of fault finding in a lesson: what was read and heard, and what fits, folded up.

An author names the fault that is put in, and the model says what it shows at its largest; or gives
the readings. What fits, speaks against it and is looked at next is the answer of `find-fault`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from urllib.parse import urlencode
from xml.etree.ElementTree import Element

from calculators.answering.answer import answer
from calculators.base.errors import InputError, UnknownNameError, near
from calculators.base.wording import spoken
from calculators.catalog import find_calculator
from calculators.equipment.faults import FAULTS, Fault
from calculators.finding.observing import (
    FIELD,
    Heard,
    Observation,
    Piston,
    Read,
    Usual,
    as_text,
    read,
)
from calculators.finding.own import EXAMPLE, finder_for
from calculators.finding.series import GAUGE_UNITS, GAUGE_WORDS, GAUGES, PISTONS, SOUNDS, STAGES
from calculators.rendering.elements import append, element, html
from generator.addresses import address_of
from generator.embeds import Block

GIVEN = "readings"
STAGE_SETTING = "stages"
# What a case reads where its author names no stages: a set, a deeper one, the independent, release.
_OFTEN = ("ten-off", "thirty-off", "independent")
# Of the gauges those that an application is read by; the others where the fault moves them.
_READ_ALWAYS = 3
_MOVED = 3.0
_PAGE = Path("calculators/find-fault.md")
# The fault that was put in is among so many that are named, or the case is none.
_AMONG = 3
_TRUCKS = ("the truck that the gauge shows", "the other truck")


def fault(block: Block) -> str:
    """A case: the id of a fault with ``stages``, or ``readings`` with ``observations``.

    Raises
    ------
    LookupError
        If there is no such fault or stage; names those near it.
    ValueError
        If a line is not known, readings cannot be used, or what is read does not lead to the fault.
    """
    put_in = None if block.subject == GIVEN else _fault(block.subject)
    takes = FIELD if put_in is None else STAGE_SETTING
    for name in block.settings:
        if name != takes:
            raise ValueError(f"this case takes {takes}, not {name}{near(name, [takes])}")
    seen = _given(block.settings) if put_in is None else tuple(_shown(put_in, block.settings))
    texts = "; ".join(as_text(one) for one in seen)
    found = answer(find_calculator("find-fault"), {FIELD: texts}, example=True)
    if found.errors:
        raise ValueError("; ".join(found.errors.values()))
    if put_in is not None:
        _must_be_among(put_in, seen)
    words = {name: str(text) for name, text in found.results().items()}
    where = f"{address_of(_PAGE, seen_from=block.page)}?{urlencode({'v': '1', FIELD: texts})}"
    solved = element(
        "details",
        element("summary", "What fits, when you have yours"),
        element("p", element("strong", "Fits best: "), words["faults"], "."),
        element("p", element("strong", "Speaks against it: "), words["contradicts"], "."),
        element("p", element("strong", "Look at next: "), words["next_check"]),
        _truth(put_in, block.page),
        element("p", element("a", "The same case in fault finding", href=where)),
        class_="more-fields",
    )
    case = element(
        "div",
        element(
            "p",
            f"On the example locomotive, charged to {EXAMPLE.brake_pipe_setting:g} psi, secured, the rest not looked at:",
            class_="of-example",
        ),
        element("ul", *(_line(stage, seen) for stage in _stages(seen))),
        element("p", "Say first: what fits, what speaks against it, and what you look at next."),
        solved,
        class_="fault-case",
    )
    return f'<div class="embed">{html(case)}</div>'


def _fault(id: str) -> Fault:
    known = {one.id: one for one in FAULTS}
    if id not in known:
        raise UnknownNameError(f'no fault is called "{id}"{near(id, known)}')
    return known[id]


def _given(settings: Mapping[str, str]) -> tuple[Observation, ...]:
    """An author's readings, of the locomotive's own series."""
    try:
        seen = read(settings.get(FIELD, ""))
    except InputError as error:
        known = (*(stage.id for stage in STAGES), *GAUGES, *SOUNDS, *PISTONS)
        wrong = [word for word in re.split(r"[;\s]+", settings[FIELD]) if word not in known]
        raise ValueError(error.message + "".join(near(word, known) for word in wrong)) from error
    if not seen:
        raise ValueError(f"a case of {GIVEN} needs a line {FIELD} = what was read and heard")
    for one in seen:
        if not isinstance(one, Read | Heard | Piston | Usual):
            raise ValueError(f'"{as_text(one)}" is no reading of the locomotive\'s series')
    return seen


def _shown(put_in: Fault, settings: Mapping[str, str]) -> Iterator[Observation]:
    """What a fault shows at its largest, at the stages that are named; gauges to whole figures."""
    ids = [stage.id for stage in STAGES]
    rows = [row for row in finder_for(EXAMPLE).rows if row.fault == put_in.id]
    for id in settings.get(STAGE_SETTING, " ".join(_OFTEN)).split():
        if id not in ids:
            raise UnknownNameError(f'no stage is called "{id}"{near(id, ids)}')
        number = ids.index(id)
        shown = rows[-1].shows[number]
        if shown is None:
            raise ValueError(f'with {put_in.id} the stage "{id}" is not reached')
        usual = finder_for(EXAMPLE).in_order[number]
        for gauge, figure in enumerate(shown.gauges()):
            moved = usual is not None and abs(figure - usual.gauges()[gauge]) >= _MOVED
            if gauge < _READ_ALWAYS or moved:
                yield Read(number, gauge, float(round(figure)))
        for place in sorted(shown.blows):
            yield Heard(number, place, blows=True)
        for truck, out in enumerate(shown.out):
            if usual is not None and out != usual.out[truck]:
                yield Piston(number, truck, out)


def _must_be_among(put_in: Fault, seen: tuple[Observation, ...]) -> None:
    """Refuse a case that leads elsewhere: its author named too few stages."""
    finder = finder_for(EXAMPLE)
    first = [one.group for one in finder.ranked(seen)[:_AMONG]]
    # What reads as a locomotive in order is no case, whatever comes behind it.
    first = first[: first.index(finder.group_of[""])] if finder.group_of[""] in first else first
    if finder.group_of[put_in.id] not in first:
        raise ValueError(
            f"what is read at these stages does not lead to {put_in.id}: name others of "
            f"{', '.join(stage.id for stage in STAGES)}"
        )


def _stages(seen: tuple[Observation, ...]) -> list[int]:
    return sorted({one.stage for one in seen if isinstance(one, Read | Heard | Piston | Usual)})


def _line(stage: int, seen: tuple[Observation, ...]) -> Element:
    said = [_words(one) for one in seen if getattr(one, "stage", None) == stage]
    return element("li", element("strong", STAGES[stage].title), f": {', '.join(said)}.")


def _words(one: Observation) -> str:
    match one:
        case Read():
            gauge = GAUGES[one.gauge]
            return f"{GAUGE_WORDS[gauge]} {one.figure:g} {GAUGE_UNITS[gauge]}"
        case Heard():
            return f"{spoken(one.place)} {'blows' if one.blows else 'is quiet'}"
        case Piston():
            where = "out" if one.out else "in"
            return f"pistons of {_TRUCKS[one.truck]} {where}"
    return "as usual"


def _truth(put_in: Fault | None, page: Path) -> Element | None:
    """What was put in, with the part that fails; None where the author gave the readings."""
    if put_in is None:
        return None
    part = address_of(Path(f"parts/{put_in.part}.md"), seen_from=page)
    made = element("p", element("strong", "Put in: "))
    append(made, element("a", put_in.title, href=part), ".")
    return made
