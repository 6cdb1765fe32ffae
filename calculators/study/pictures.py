"""What a question shows beside its words: the circuit at the moment it asks about."""

from __future__ import annotations

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.catalog import find_calculator
from calculators.study.catalog import find_skill
from calculators.study.items import Item


def pictured(item: Item, display: Display) -> Answer | None:
    """The circuit's answer that a question's picture shows; None where it shows none."""
    if not item.picture:
        return None
    calculator = find_calculator(find_skill(item.skill).form.calculator)
    known = {name: text for name, text in item.entries.items() if name in calculator.inputs()}
    return answer(calculator, known | {"pressure_unit": display.pressure})
