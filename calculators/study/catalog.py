"""All forms, skills, topics and mistakes by their names."""

from __future__ import annotations

from calculators.base.errors import UnknownNameError
from calculators.study.forms import air, cars, causes, circuits, daily, locomotive
from calculators.study.forms.force import sums, weights
from calculators.study.forms.law import due, readings, steps, tests
from calculators.study.forms.runs import trains
from calculators.study.mistakes import MISTAKES
from calculators.study.model import Form, Skill

__all__ = ["FORMS", "MISTAKES", "SKILLS", "TOPICS", "find_skill"]

TOPICS: dict[str, str] = {
    "locomotive": "The locomotive's brake",
    "cars": "The cars' brake",
    "circuits": "Circuits in time",
    "air": "Leakage, flow, charging, supply",
    "tests": "Tests and their limits",
    "force": "Force, grades, stopping",
}

FORMS: tuple[Form, ...] = (
    *locomotive.FORMS,
    *daily.FORMS,
    *cars.FORMS,
    *circuits.FORMS,
    *air.FORMS,
    *tests.FORMS,
    *due.FORMS,
    *readings.FORMS,
    *steps.FORMS,
    *sums.FORMS,
    *weights.FORMS,
    *trains.FORMS,
    *causes.FORMS,
)

SKILLS: dict[str, Skill] = {
    skill.id: skill
    for form in FORMS
    for slip in form.slips[: form.own]
    for skill in (Skill(form, slip),)
}


def find_skill(id: str) -> Skill:
    """The skill of a name; raises UnknownNameError for another."""
    if id not in SKILLS:
        raise UnknownNameError(f'no skill is called "{id[:80]}"')
    return SKILLS[id]
