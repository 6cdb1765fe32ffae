"""Back from a page to the answers that lead to it, read from the answers themselves.

At the foot of a part's page, under a term of the glossary, beside a limit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.answering.answer import answer
from calculators.answering.pages import (
    page_of_limit,
    page_of_result,
    page_of_words,
    words_of_page,
)
from calculators.answering.shown import shown_outputs
from calculators.base.quantities import Choice
from calculators.catalog import every_calculator, find_calculator
from calculators.declaring.registry import Calculator
from calculators.rendering.elements import append, element, html
from generator.addresses import address_of, folder_of

_CIRCUIT, _CIRCUITS = "circuit", Path("circuits/index.md")
# Its working depends on the handle: every one of them is asked.
_TURNED = "handle"


@cache
def users() -> Mapping[str, tuple[str, ...]]:
    """The calculators, each by its name, by the address that a line of their answers leads to."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for name, calculator in every_calculator().items():
        for page in _leads(calculator):
            if page:
                found[page][name] = None
    return {page: tuple(names) for page, names in found.items()}


def _leads(calculator: Calculator) -> Iterator[str]:
    """Where the results, the limits and the working of a calculator lead."""
    for result, description in shown_outputs(calculator).items():
        yield page_of_result(calculator.name, result, description.term)
    for limit in calculator.judges:
        yield page_of_limit(limit)
    turned = calculator.inputs().get(_TURNED)
    options = [one.value for one in turned.options] if isinstance(turned, Choice) else [""]
    for option in options:
        raw = {**calculator.example_readings, **({_TURNED: option} if option else {})}
        outcome = answer(calculator, raw, example=True).outcome
        for step in outcome.working if outcome is not None else ():
            yield page_of_words(step.label)


def used_in(page: Path) -> str:
    """The line for a page's foot; empty for a page that no answer leads to, or a calculator's."""
    if page.parts[0] == "calculators":
        return ""
    made = used_by(f"{folder_of(page).as_posix()}/", seen_from=page)
    if made is None:
        return ""
    line = element("p", "Used in: ", class_="used-in", data_search_exclude="")
    append(line, *made, ".")
    return html(line)


def used_by(address: str, *, seen_from: Path) -> list[Element | str] | None:
    """Links to the calculators whose answers lead to an address; None if there are none."""
    made: list[Element | str] = []
    for name in users().get(address, ()):
        where = address_of(Path("calculators") / f"{name}.md", seen_from=seen_from)
        made += [", "] if made else []
        made.append(element("a", find_calculator(name).title, href=where))
        if name == _CIRCUIT:
            every = address_of(_CIRCUITS, seen_from=seen_from)
            made += [", ", element("a", "all circuits", href=every)]
    return made or None


def parts_shown(page: Path) -> str:
    """The line for a circuit's foot: the parts whose pressures it shows; empty for other pages."""
    if page.parts[0] != _CIRCUITS.parts[0] or page == _CIRCUITS:
        return ""
    made = element("p", "Parts it shows: ", class_="used-in", data_search_exclude="")
    outputs = find_calculator(_CIRCUIT).outputs()
    leads = (page_of_result(_CIRCUIT, name, one.term) for name, one in outputs.items())
    parts = dict.fromkeys(lead for lead in leads if lead.startswith("parts/"))
    for number, part in enumerate(parts):
        where = address_of(Path(f"{part.rstrip('/')}.md"), seen_from=page)
        append(made, ", " if number else None, element("a", words_of_page(part), href=where))
    append(made, ".")
    return html(made)
