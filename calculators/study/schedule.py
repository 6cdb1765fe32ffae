"""When a skill comes back: a record of plain data, moved on by a spaced repetition library.

The library (`fsrs`, bundled with what is fetched for study) decides the interval from the record's
own history. Its words for how well something was known stay in here: nobody is asked to judge
himself, and none of its estimates is shown. Due moments are plain data, so that a page can tell what
is due without asking anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any, Literal

from fsrs import Card, Rating, Scheduler, State

Outcome = Literal["right", "right after help", "wrong"]

# Answers faster than this were not read: they count for nothing [s].
LEAST_SECONDS = 2.0
# Without the library's random spread: the same answers give the same days on every device.
_SCHEDULER = Scheduler(enable_fuzzing=False)
_RATINGS = {"right": Rating.Good, "right after help": Rating.Hard, "wrong": Rating.Again}
# A sum begins as a worked example, loses its last step, its last two, and then all of them.
STAGES = 4
_RIGHT_TO_MOVE_ON = 2
# No learner's record reaches these; a record that does was not written here.
_LATEST_YEAR = 2300
_MOST_TIMES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What is kept of one skill.

    ``due`` and ``last`` are moments in UTC; ``stability`` and ``difficulty`` belong to the library,
    as do ``state`` and ``step``. ``stage`` is how much of the working is left to the learner,
    ``in_row`` how often it was right there in a row. ``right`` and ``wrong`` count answers; ``first`` is
    the moment of the first one.
    """

    due: datetime
    last: datetime | None = None
    state: int = 1
    step: int | None = 0
    stability: float | None = None
    difficulty: float | None = None
    stage: int = 0
    in_row: int = 0
    right: int = 0
    wrong: int = 0
    first: datetime | None = None

    def as_data(self) -> dict[str, Any]:
        """Plain data for the device's store; moments as whole milliseconds since 1970."""
        return {
            "due": _milliseconds(self.due),
            "last": _milliseconds(self.last) if self.last else None,
            "state": self.state,
            "step": self.step,
            "stability": self.stability,
            "difficulty": self.difficulty,
            "stage": self.stage,
            "in_row": self.in_row,
            "right": self.right,
            "wrong": self.wrong,
            "first": _milliseconds(self.first) if self.first else None,
        }


def new(now: datetime) -> Record:
    """A skill that was never asked: due at once."""
    return Record(due=now)


def read(data: object) -> Record | None:
    """A record out of what a store or a file held; None if it is none."""
    if not isinstance(data, Mapping):
        return None
    try:
        record = Record(
            due=_moment(data["due"]),
            last=None if data.get("last") is None else _moment(data["last"]),
            state=State(_whole(data["state"])).value,
            step=None if data["step"] is None else _whole(data["step"]),
            stability=_known(data["stability"]),
            difficulty=_known(data["difficulty"]),
            stage=_whole(data["stage"]),
            in_row=_whole(data["in_row"]),
            right=_whole(data["right"]),
            wrong=_whole(data["wrong"]),
            first=None if data.get("first") is None else _moment(data["first"]),
        )
    except (KeyError, TypeError, ValueError, OverflowError, OSError):
        return None
    return record if _is_whole(record) else None


def graded(
    record: Record, outcome: Outcome, *, now: datetime, seconds: float | None = None
) -> Record:
    """The record after an answer.

    Parameters
    ----------
    record
        What was kept so far.
    outcome
        Wrong at the end, right at once, or right after a wrong try or with a hint.
    now
        The device's clock, in UTC. Where it stands before the last answer, it was set back: then
        the moment of the last answer counts, so that no interval is under nothing.
    seconds
        How long the answer took. Under `LEAST_SECONDS` it was not read and counts for nothing;
        otherwise time decides nothing.
    """
    if seconds is not None and seconds < LEAST_SECONDS:
        return record
    moment = max(now, record.last) if record.last else now
    card = Card(
        card_id=1,
        state=State(record.state),
        step=record.step,
        stability=record.stability,
        difficulty=record.difficulty,
        due=record.due,
        last_review=record.last,
    )
    after, _ = _SCHEDULER.review_card(card, _RATINGS[outcome], moment)
    right = outcome != "wrong"
    in_row = record.in_row + 1 if right else 0
    # The example itself is left after one showing; a blank is left after two right answers.
    moves_on = right and in_row >= (1 if record.stage == 0 else _RIGHT_TO_MOVE_ON)
    return replace(
        record,
        due=after.due,
        last=moment,
        state=after.state.value,
        step=after.step,
        stability=after.stability,
        difficulty=after.difficulty,
        stage=min(record.stage + 1, STAGES - 1) if moves_on else record.stage,
        in_row=0 if moves_on else in_row,
        right=record.right + right,
        wrong=record.wrong + (not right),
        first=record.first or moment,
    )


def at(milliseconds: float) -> datetime:
    """The moment of a device's clock.

    Raises
    ------
    ValueError
        If it is no moment of a calendar.
    """
    return _moment(milliseconds)


def _moment(milliseconds: object) -> datetime:
    if isinstance(milliseconds, bool) or not isinstance(milliseconds, int | float):
        raise TypeError(f"{milliseconds!r} is no moment")
    moment = datetime.fromtimestamp(milliseconds / 1000, UTC)
    if not 2000 <= moment.year < _LATEST_YEAR:
        raise ValueError(f"{moment} is no moment of a learner")
    return moment


def _milliseconds(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)


def _whole(number: object) -> int:
    if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number <= _MOST_TIMES:
        raise ValueError(f"{number!r} is no count")
    return number


def _known(number: object) -> float | None:
    if number is None:
        return None
    if isinstance(number, bool) or not isinstance(number, int | float) or not 0 < number < 1e6:
        raise ValueError(f"{number!r} is no figure of the library")
    return float(number)


def _is_whole(record: Record) -> bool:
    """Whether the parts of a record go together, as the library needs them."""
    both = (record.stability is None) == (record.difficulty is None)
    known = record.stability is not None
    begun = record.last is None or known
    steps = (record.step is not None) == (record.state != State.Review)
    later = known or record.state == State.Learning
    return both and begun and steps and later and record.stage < STAGES and (record.step or 0) < 9
