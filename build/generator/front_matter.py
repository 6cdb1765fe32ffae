"""What a page says of itself to machines: the YAML at its head."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

_MARK = "---\n"


def front_matter(text: str) -> dict[str, Any]:
    r"""The settings at the head of a page's text; empty if there are none.

    Raises
    ------
    ValueError
        If the head is no YAML mapping.

    Examples
    --------
    >>> front_matter("---\ntitle: Retaining valves\n---\n\n# Retaining valves\n")
    {'title': 'Retaining valves'}
    >>> front_matter("# No head\n")
    {}
    """
    if not text.startswith(_MARK):
        return {}
    head, end, _ = text.removeprefix(_MARK).partition(f"\n{_MARK}")
    if not end:
        raise ValueError('the front matter is not closed by a line "---"')
    try:
        found = yaml.safe_load(head)
    except yaml.YAMLError as error:
        raise ValueError(f"the front matter is no YAML: {error}") from error
    if not isinstance(found, dict):
        raise ValueError("the front matter is no list of settings")
    return found


def title_of(page: Path) -> str:
    """The title of a page in ``content/``; raises LookupError if it has none or is not there."""
    if not page.is_file():
        raise LookupError(f"{page.name} is no page: {page}")
    title = front_matter(page.read_text(encoding="utf-8")).get("title")
    if not isinstance(title, str) or not title:
        raise LookupError(f"{page} has no title")
    return title
