"""How much of the working stands with a question: all of it at first, then less from the end."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.study.draws import Draws
from calculators.study.items import OPTIONS, Item, Line

# At the first showing the sum stands worked out, and what is asked is a mistake's name.
EXAMPLE = 0
# The last steps that are left to the learner, by stage; afterwards nothing stands there.
_LEFT = {1: 1, 2: 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Faded:
    """What stands with a question: steps as they are, and labels of steps that are left out.

    ``shows`` is a wrong answer whose mistake is asked for, in words; empty where the question's own
    answer is asked. ``names`` are the mistakes to choose from.
    """

    steps: tuple[Line, ...] = ()
    left_out: tuple[str, ...] = ()
    shows: str = ""
    names: tuple[str, ...] = ()


def faded(item: Item, stage: int) -> Faded:
    """The working that stands with a question at a stage.

    Only a figure that the working itself comes to can begin as an example; everything else is asked
    without any.
    """
    steps = _to_the_answer(item)
    names = tuple(dict.fromkeys(wrong.name for wrong in item.wrong))[:OPTIONS]
    if not steps or (stage == EXAMPLE and len(names) < 2):
        return Faded()
    if stage == EXAMPLE:
        return Faded(
            steps=steps,
            shows=item.wrong[0].words,
            names=Draws(f"{item.skill}|{item.seed}|names").mixed(names),
        )
    left = _LEFT.get(stage)
    if left is None or left >= len(steps):
        return Faded()
    return Faded(steps=steps[:-left], left_out=tuple(step.label for step in steps[-left:]))


def _to_the_answer(item: Item) -> tuple[Line, ...]:
    """The working up to the step that comes to the answer; nothing where none does."""
    if item.kind != "number":
        return ()
    ends = [n for n, line in enumerate(item.working) if line.value == item.right.words]
    return item.working[: ends[-1] + 1] if ends else ()
