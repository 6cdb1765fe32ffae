"""At the foot of a part's page: the answers whose working names it, read from the answers themselves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from calculators.answering.answer import answer
from calculators.answering.pages import page_of_words
from calculators.base.quantities import Choice
from calculators.catalog import every_calculator, find_calculator
from calculators.rendering.elements import append, element, html
from generator.addresses import address_of, folder_of

# Its working depends on the handle: every one of them is asked.
_TURNED = "handle"


@cache
def users() -> Mapping[str, tuple[str, ...]]:
    """The calculators by the page that their working leads to, each by its name."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for name, calculator in every_calculator().items():
        turned = calculator.inputs().get(_TURNED)
        options = [one.value for one in turned.options] if isinstance(turned, Choice) else [""]
        for option in options:
            raw = {**calculator.example_readings, **({_TURNED: option} if option else {})}
            outcome = answer(calculator, raw, example=True).outcome
            for step in outcome.working if outcome is not None else ():
                if page := page_of_words(step.label):
                    found[page][name] = None
    return {page: tuple(names) for page, names in found.items()}


def used_in(page: Path) -> str:
    """The line for a page's foot; empty for a page that no working leads to, or a calculator's."""
    if page.parts[0] == "calculators":
        return ""
    names = users().get(f"{folder_of(page).as_posix()}/", ())
    if not names:
        return ""
    made = element("p", "Used in the working of: ", class_="used-in", data_search_exclude="")
    for number, name in enumerate(names):
        address = address_of(Path("calculators") / f"{name}.md", seen_from=page)
        link = element("a", find_calculator(name).title, href=address)
        append(made, ", " if number else None, link)
    append(made, ".")
    return html(made)
