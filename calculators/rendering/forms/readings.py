"""Readings as they are taken, each with its limit and how it stands beside it."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.answering.standing import kind_of
from calculators.base.quantities import Quantity
from calculators.law.judging import Verdict
from calculators.rendering.answers.bar import MARKS
from calculators.rendering.elements import append, element, html, phrase_element
from calculators.rendering.forms.fields import help_parts, number_input, unit_button

NO_LIMIT = "This test sets no limit for it."


def readings_element(answer: Answer, *, id: str) -> Element | None:
    """The list of readings, and last what no reading shows; None where none are declared."""
    first = answer.calculator.first
    if not first.readings:
        return None
    items = {item.name: item for item in answer.inputs}
    made = element("div", class_="readings")
    beside = readings_beside(answer)
    for name in first.readings:
        item = items[name]
        description = item.description
        assert isinstance(description, Quantity)
        field_id = f"{id}-{name}"
        error = answer.errors.get(name, "")
        append(
            made,
            element(
                "div",
                element("label", description.term, for_=field_id),
                element(
                    "div",
                    number_input(item, description, field_id, error=error),
                    unit_button(item, description),
                    class_="entry",
                ),
                element("div", *beside[name], class_="beside", data_beside=name),
                element("p", *help_parts(item), id=f"{field_id}-help", class_="help for-readers"),
                element("p", error, id=f"{field_id}-error", class_="field-error"),
                class_="field reading-field",
            ),
        )
    if first.never:
        mark = element("span", MARKS["not read"], class_="standing-mark", aria_hidden="true")
        append(made, element("p", mark, " ", first.never, class_="never", data_standing="not read"))
    return made


def readings_html(answer: Answer) -> dict[str, str]:
    """What stands beside each reading, as fragments by field; empty for a refused answer."""
    if answer.outcome is None:
        return {}
    return {name: "".join(map(html, made)) for name, made in readings_beside(answer).items()}


def readings_beside(answer: Answer) -> dict[str, list[Element]]:
    """Limit and standing for each reading that is declared."""
    return {
        name: [_line(v, answer) for v in answer.verdicts if v.limit.id in limits]
        # A number that only goes with another has no limit in any test.
        or ([element("p", NO_LIMIT, class_="no-limit")] if limits else [])
        for name, limits in answer.calculator.first.readings.items()
    }


def _line(verdict: Verdict, answer: Answer) -> Element:
    kind = kind_of(verdict)
    whose = "yours, " if verdict.own else ""
    line = element("p", data_standing=kind)
    if kind:
        append(line, element("span", MARKS[kind], class_="standing-mark", aria_hidden="true"), " ")
    if verdict.why is not None and not kind:
        # What is only asked under a condition says the condition.
        append(line, phrase_element("span", verdict.why, answer.display), ": ")
    else:
        append(line, element("strong", verdict.standing, class_="standing"), ": ", whose)
    append(line, phrase_element("span", verdict.words, answer.display))
    return line
