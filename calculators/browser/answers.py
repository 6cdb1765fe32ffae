"""An answer as a page shows it, at once or in parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from calculators.answering.answer import Answer, answer
from calculators.answering.asked import line_words, read_as
from calculators.answering.follow import follow
from calculators.answering.refusals import repeated
from calculators.browser.entries import texts
from calculators.catalog import find_calculator
from calculators.kept import settings
from calculators.rendering.answers.bar import bar_html, spoken_text
from calculators.rendering.answers.html import answer_html
from calculators.rendering.answers.text import answer_text
from calculators.rendering.common import progress_words
from calculators.rendering.forms.readings import readings_html


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """What can be said at once.

    Returns
    -------
    dict
        ``html``, ``bar``, ``line``, what stands ``beside`` each reading, ``text``, ``headline``, ``errors`` by field, ``link``, ``pressure_unit``,
        ``texts`` by field, ``settings_notes`` and whether something is ``to_follow``.
    """
    return _rendered(asked, first(asked))


def parts(asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The progress of an answer's long part, and last the whole answer."""
    found = first(asked)
    rest = found.outcome.to_follow if found.outcome is not None else None
    for part in follow(found):
        if isinstance(part, Answer):
            yield _rendered(asked, part)
        else:
            assert rest is not None
            words = progress_words(rest.what, part)
            yield {"progress": {"done": part.done, "of": part.of, "words": words}}


def first(asked: dict[str, Any]) -> Answer:
    """The answer without what takes long, and how its inputs differ from the settings."""
    calculator = find_calculator(str(asked.get("calculator", "")))
    entries = texts(asked.get("entries"))
    own = settings.settings_for(calculator, texts(asked.get("settings")))
    found = answer(calculator, entries, settings=own)
    twice = asked.get("repeated")
    errors = repeated([name for name in twice if isinstance(name, str)]) if twice else {}
    if errors:
        return replace(found, outcome=None, verdicts=(), errors={**found.errors, **errors})
    return replace(found, differences=settings.differences(found, entries, own))


def settings_notes(asked: dict[str, Any], found: Answer) -> dict[str, str]:
    """What to say at each field: how its text was read, and what the device's settings say."""
    own = settings.settings_for(found.calculator, texts(asked.get("settings")))
    notes = dict(settings.field_notes(found, own))
    for name, words in read_as(found).items():
        notes[name] = f"{words} {notes[name]}" if name in notes else words
    return notes


def _rendered(asked: dict[str, Any], found: Answer) -> dict[str, Any]:
    own = settings.settings_for(found.calculator, texts(asked.get("settings")))
    id, page = str(asked.get("id", found.calculator.name)), str(asked.get("page", ""))
    return {
        "html": answer_html(found, id=id, page=page),
        "bar": bar_html(found),
        "beside": readings_html(found),
        "line": line_words(found, found.calculator.first, own),
        "text": answer_text(found),
        "headline": spoken_text(found),
        "errors": dict(found.errors),
        "link": found.link_query(),
        "pressure_unit": found.display.pressure,
        "texts": {item.name: item.text for item in found.inputs},
        "settings_notes": settings_notes(asked, found),
        "to_follow": found.outcome is not None and found.outcome.to_follow is not None,
    }
