"""Drills: which skills, a question, an answer judged, a record read."""

from __future__ import annotations

import json
from typing import Any

from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS
from calculators.browser.entries import texts
from calculators.catalog import find_calculator
from calculators.kept.settings import settings_for
from calculators.rendering.study import (
    feedback_html,
    options_html,
    question_html,
    verdict_words,
    why_words,
)
from calculators.study.catalog import SKILLS, find_skill
from calculators.study.fading import faded
from calculators.study.grading import Judged, judged
from calculators.study.items import DRAWN_AS, Item, asked_again, in_turn, item, skills_of
from calculators.study.pictures import pictured
from calculators.study.schedule import STAGES, Outcome, Record, at, graded, new, read
from calculators.study.sets import MOST, todays

# What a file of records calls itself.
FORMAT, VERSION = "study record", 1
_MOST_ASKED = 60
# In milliseconds since 1970; a question is shown alike at any moment.
_SOME_MOMENT = 1e12


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """Do what ``do`` says: ``sitting``, ``drill``, ``question``, ``options``, ``answer`` or ``read``."""
    try:
        return _DOERS[str(asked.get("do"))](asked)
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        return {"failed": f"This set cannot be shown: {error}"}


def _sitting(asked: dict[str, Any]) -> dict[str, Any]:
    """``skills`` of a sitting from the ``records``, due by ``until``."""
    given = asked.get("records")
    held = given if isinstance(given, dict) else {}
    records = {str(id): record for id, data in held.items() if (record := read(data)) is not None}
    return {
        "skills": list(
            todays(
                records,
                until=at(asked["until"]),
                started_today=int(asked.get("started", 0)),
                topics=_topics(asked),
                most=min(int(asked.get("most", MOST)), _MOST_ASKED),
                seed=str(asked.get("seed", "")),
            )
        )
    }


def _drill(asked: dict[str, Any]) -> dict[str, Any]:
    """``skills`` of a set that a link names, the same on every device; or ``refused`` in words."""
    if str(asked.get("v", DRAWN_AS)) != str(DRAWN_AS):
        return {
            "refused": "This link was made by another version of the questions. It would draw another "
            "set here, so none is drawn: ask for a new link."
        }
    topics, seed = _topics(asked), str(asked.get("seed", ""))
    order = in_turn(skills_of(topics), seed)
    most = min(int(asked.get("most", MOST)), _MOST_ASKED)
    return {"skills": [order[turn % len(order)].id for turn in range(most)]}


def _question(asked: dict[str, Any]) -> dict[str, Any]:
    """The question's ``html``, what to keep of it (``entries``), and how it is ``answered``."""
    display, one = _display(asked), _item(asked)
    shown = faded(one, _stage(asked))
    drawn = pictured(one, display)
    unit = display.unit_for(one.right.unit) if one.right.unit else ""
    id = str(asked.get("id", "study"))
    return {
        "html": question_html(one, shown, id=id, unit=unit, drawn=drawn),
        "entries": dict(one.entries),
        "answered": "why" if shown.shows else "choice" if one.right.value is None else "figure",
        "text": one.question,
    }


def _options(asked: dict[str, Any]) -> dict[str, Any]:
    return {"html": options_html(_item(asked), id=str(asked.get("id", "study")))}


def _answer(asked: dict[str, Any]) -> dict[str, Any]:
    """Judge ``text``; ``record`` is there when the question is done with.

    ``tries`` is how often it was answered before, ``helped`` whether options were asked for,
    ``chosen`` whether the text is one of some options, ``gives_up`` whether none is given.
    """
    display, one, record = _display(asked), _item(asked), _record(asked)
    text, root = str(asked.get("text", "")), str(asked.get("root", ""))
    if faded(one, _stage(asked)).shows:
        right, mistake = text == one.wrong[0].name, one.wrong[0]
        said, found = why_words(one, text), Judged(right=right, mistake=mistake)
        whole, first = True, True
    else:
        found = Judged() if asked.get("gives_up") else judged(one, text, display=display)
        if found.error:
            return {"error": found.error}
        first = not asked.get("tries") and not asked.get("helped")
        again = bool(asked.get("tries") or asked.get("chosen") or asked.get("gives_up"))
        whole = found.right or again
        said = verdict_words(one, found, text, whole=whole)
    made: dict[str, Any] = {
        "right": found.right,
        "said": said,
        "html": feedback_html(one, found, root=root, whole=whole),
        "answer": one.right.words,
    }
    if whole:
        outcome: Outcome = "wrong" if not found.right else "right" if first else "right after help"
        seconds = asked.get("seconds")
        after = graded(
            record,
            outcome,
            now=at(asked["now"]),
            seconds=float(seconds) if isinstance(seconds, int | float) else None,
        )
        made["record"] = after.as_data()
        made["counted"] = after is not record
    return made


def _read(asked: dict[str, Any]) -> dict[str, Any]:
    """The ``records`` of a file's ``text``; or ``refused`` in words, and nothing is changed."""
    try:
        held = json.loads(str(asked.get("text", "")))
        known = held.get("format") == FORMAT
        version, given = held.get("version"), held.get("records")
    except (ValueError, AttributeError, RecursionError):
        return {"refused": "This is no record of drills. Nothing was changed."}
    if not known or not isinstance(given, dict):
        return {"refused": "This is no record of drills. Nothing was changed."}
    if version != VERSION:
        return {"refused": "This record was made by another version. Nothing was changed."}
    records = {id: read(data) for id, data in given.items()}
    if bad := [id for id, record in records.items() if record is None]:
        return {"refused": f"This record is damaged ({bad[0][:60]}). Nothing was changed."}
    return {
        "records": {id: record.as_data() for id, record in records.items() if record is not None},
        "unknown": len([id for id in records if id not in SKILLS]),
    }


def _topics(asked: dict[str, Any]) -> tuple[str, ...]:
    given = asked.get("topics")
    return tuple(str(one) for one in given) if isinstance(given, list) else ()


def _record(asked: dict[str, Any]) -> Record:
    found = read(asked.get("record"))
    if found is not None:
        return found
    now = asked.get("now")
    return new(at(now if isinstance(now, int | float) else _SOME_MOMENT))


def _stage(asked: dict[str, Any]) -> int:
    """How much of the working stands there; a set from a link asks everybody the same."""
    return _record(asked).stage if asked.get("fades", True) else STAGES - 1


def _item(asked: dict[str, Any]) -> Item:
    skill, seed = str(asked.get("skill", "")), str(asked.get("seed", ""))
    calculator = find_calculator(find_skill(skill).form.calculator)
    own = settings_for(calculator, texts(asked.get("settings")))
    entries = texts(asked.get("entries"))
    if entries:
        return asked_again(skill, seed, entries, settings=own, display=_display(asked))
    return item(skill, seed, settings=own, display=_display(asked))


def _display(asked: dict[str, Any]) -> Display:
    unit = texts(asked.get("settings")).get("pressure_unit", "")
    return Display(pressure=unit) if unit in PRESSURE_UNITS else Display()


_DOERS = {
    "sitting": _sitting,
    "drill": _drill,
    "question": _question,
    "options": _options,
    "answer": _answer,
    "read": _read,
}
