"""The moments of a circuit's move, at once or in parts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calculators.answering.answer import Answer
from calculators.base.results import say
from calculators.browser.answers import first, settings_notes
from calculators.circuits.asking import carry_on, first_moments
from calculators.circuits.words import seconds
from calculators.rendering.circuit.moments import story_in
from calculators.rendering.circuit.page import circuit_reply

AT_ONCE = 20.0
"""What is followed before anything is shown, of the brake's own time. [s]"""


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """The moments of a move; see `calculators.rendering.circuit.page.circuit_reply`.

    With ``first`` asked for only those that can be had at once, and whether more are ``to_follow``.
    """
    if not asked.get("first"):
        return _replied(asked, first(asked))
    with first_moments(AT_ONCE):
        return _replied(asked, first(asked))


def parts(asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The progress of following a move to rest, and last all of its moments."""
    with first_moments(AT_ONCE):
        found = first(asked)
    for so_far in carry_on() if _cut_short(found) else ():
        yield {"progress": _progress(so_far, found)}
    yield _replied(asked, first(asked))


def _progress(so_far: float, found: Answer) -> dict[str, str]:
    """How far a move has been followed, and what is said if it is ended there."""
    under_way = say("Following it to rest: {so_far} so far.", so_far=seconds(so_far))
    ended = say(
        "Stopped after {so_far} of the move. The first {shown} stay on show, and are not its end.",
        so_far=seconds(so_far),
        shown=seconds(AT_ONCE),
    )
    return {"words": under_way.text(found.display), "stopped": ended.text(found.display)}


def _cut_short(found: Answer) -> bool:
    return found.outcome is not None and story_in(found).cut_short


def _replied(asked: dict[str, Any], found: Answer) -> dict[str, Any]:
    id = str(asked.get("id", found.calculator.name))
    said = circuit_reply(found, id=id, with_form=bool(asked.get("form")))
    more = {"to_follow": True, "go_on": {}} if _cut_short(found) else {}
    return said | more | {"settings_notes": settings_notes(asked, found)}
