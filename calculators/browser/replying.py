"""Requests by their kind: which module answers it, and what is said if none can.

A request holds ``calculator``, ``entries`` (texts as typed), optional ``settings`` and ``id``.
``kind`` is ``answer`` (the default), ``restate``, which says the pressures in another unit,
``otherwise``, which lays what a gauge shows beside an answer, ``settings``, which reads a railroad's settings, ``card``, the pocket card for them, ``figures``, those
in a page's text for them, ``short``, which makes and reads short links, ``sheet``, an answer laid out for paper, ``worksheet``, questions with their key, ``screen``, what a class sees, ``curves``, their figures as a table, ``circuit``,
the moments of a circuit's move, or ``study``, drills.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib import import_module
from typing import Any

from calculators.base.errors import UnknownNameError

# Most pages ask for nothing else, so these are loaded with the start.
from calculators.browser import answers

# The other kinds, by the module of this package that is loaded when one is first asked for.
KINDS = {
    "restate": "restating",
    "settings": "settings",
    "card": "cards",
    "circuit": "circuits",
    "figures": "figures",
    "otherwise": "otherwise",
    "study": "study",
    "short": "short_links",
    "sheet": "sheets",
    "screen": "screens",
    "curves": "sheets",
    "worksheet": "worksheets",
}


def reply(request: str) -> str:
    """Answer one request of the page.

    Returns
    -------
    str
        JSON: what ``reply`` of the kind's module gives, or ``failed`` with the reason for a
        request that names nothing this copy knows.
    """
    asked: dict[str, Any] = json.loads(request)
    module = KINDS.get(str(asked.get("kind")))
    kind: Any = answers if module is None else import_module(f"calculators.browser.{module}")
    try:
        replied = kind.reply(asked)
    except UnknownNameError as error:
        replied = {"failed": str(error)}
    return json.dumps(replied, ensure_ascii=False)


def stream(request: str) -> Iterator[str]:
    """Work out an answer's long part.

    Yields
    ------
    str
        JSON: ``progress`` (``done``, ``of`` and ``words``) any number of times, and last the whole
        answer as ``reply`` gives it; or ``failed`` with the reason.
    """
    asked: dict[str, Any] = json.loads(request)
    kind: Any = answers
    if asked.get("kind") == "circuit":
        kind = import_module("calculators.browser.circuits")
    try:
        for said in kind.parts(asked):
            yield json.dumps(said, ensure_ascii=False)
    except UnknownNameError as error:
        yield json.dumps({"failed": str(error)}, ensure_ascii=False)
