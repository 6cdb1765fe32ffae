"""Abbreviations of a page get their words at its foot, from which Markdown marks them.

The page's script makes them open by tap and by key (``build/browser/expand.js``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping


def definitions(text: str, abbreviations: Mapping[str, str]) -> str:
    r"""The definitions of those abbreviations that a page uses, for Markdown's ``abbr``.

    >>> definitions("ER 78 psi", {"BP": "brake pipe", "ER": "equalizing reservoir"})
    '*[ER]: equalizing reservoir\n'
    """
    return "".join(
        f"*[{short}]: {words}\n"
        for short, words in abbreviations.items()
        if re.search(rf"(?<!\w){re.escape(short)}(?!\w)", text)
    )
