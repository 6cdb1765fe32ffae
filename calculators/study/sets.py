"""Which skills a sitting asks: what is due first, then a few new ones, mixed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from calculators.study.items import in_turn, skills_of
from calculators.study.schedule import Record

# About eight minutes; a short one is better than none.
MOST = 12
MOST_NEW = 5
AT_FOOT = 3


def todays(
    records: Mapping[str, Record],
    *,
    until: datetime,
    started_today: int = 0,
    topics: Iterable[str] = (),
    most: int = MOST,
    seed: str = "",
) -> tuple[str, ...]:
    """The skills of a sitting, in a mixed order.

    Parameters
    ----------
    records
        What is kept, by skill; names that are no skills of this version are left alone.
    until
        What is due by then counts as due: the end of the learner's day.
    started_today
        How many new skills have been begun today; at most `MOST_NEW` a day.
    topics
        Only these; all where none is named.
    most
        How many at most.
    seed
        Mixes the order; the day, so that every day has another.
    """
    skills = {skill.id: skill for skill in skills_of(topics)}
    due = sorted((r.due, id) for id, r in records.items() if id in skills and r.due <= until)
    taken = [id for _, id in due[:most]]
    room = max(0, min(most - len(taken), MOST_NEW - started_today))
    fresh = [skill.id for skill in in_turn(skills.values(), seed) if skill.id not in records]
    order = in_turn((skills[id] for id in (*taken, *fresh[:room])), seed)
    return tuple(skill.id for skill in order)
