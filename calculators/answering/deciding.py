"""Which step of the working decided, where one of several could have."""

from __future__ import annotations

from calculators.answering.answer import Answer
from calculators.base.results import Step


def deciding_step(answer: Answer) -> Step | None:
    """The step that decided; None where nothing else could, or nothing was worked out.

    The last line of a plain sum decides nothing: only a calculator that weighs its steps against
    each other (`FirstScreen.weighs`) says which of them did.
    """
    if answer.outcome is None or not answer.calculator.first.weighs:
        return None
    return next((step for step in answer.outcome.working if step.decides), None)
