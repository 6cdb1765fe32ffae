"""The search index in pieces, so that a text edit fetches one piece and not the whole index.

The site keeps the theme's one `search/search_index.json` for a visit without the service worker.
The worker fetches the pieces instead and joins them: together they are that file, byte for byte.
"""

import hashlib
import json
from itertools import groupby
from pathlib import Path
from typing import Any

INDEX = "search/search_index.json"
PIECES = "search/pieces"

# A piece ends behind a page whose address hashes to a multiple of this, so that a page added or
# taken away changes its own piece and no other. It is the mean number of pages in a piece.
_PAGES_PER_PIECE = 4


def split_search_index(site: Path) -> dict[str, list[str]]:
    """Write the pieces of the site's search index.

    Returns
    -------
    dict
        The index's path, with the paths of its pieces in order; empty if the site has no index.
    """
    index = site / INDEX
    if not index.is_file():
        return {}
    pieces = split(json.loads(index.read_text(encoding="utf-8")))
    index.write_text("".join(pieces), encoding="utf-8", newline="\n")
    folder = site / PIECES
    folder.mkdir(exist_ok=True)
    for old in folder.glob("*.txt"):
        old.unlink()
    paths = []
    for piece in pieces:
        name = f"{hashlib.sha256(piece.encode()).hexdigest()[:12]}.txt"
        (folder / name).write_text(piece, encoding="utf-8", newline="\n")
        paths.append(f"{PIECES}/{name}")
    return {INDEX: paths}


def split(index: dict[str, Any]) -> list[str]:
    """Split an index into texts that make up its JSON when joined.

    The first holds all but the documents, each of the others the documents of a few pages.
    """
    rest = {name: value for name, value in index.items() if name != "docs"}
    texts = [f'{_json(rest)[:-1]}{"," if rest else ""}"docs":[']
    group: list[str] = []
    for page, documents in groupby(index["docs"], key=lambda one: one["location"].split("#")[0]):
        group += [_json(document) for document in documents]
        if _ends_piece(page):
            texts.append(",".join(group))
            group = []
    if group:
        texts.append(",".join(group))
    head, *pieces = texts
    if not pieces:
        return [f"{head}]}}"]
    return [head, *(f"{piece}," for piece in pieces[:-1]), f"{pieces[-1]}]}}"]


def _ends_piece(page: str) -> bool:
    return hashlib.sha256(page.encode()).digest()[0] % _PAGES_PER_PIECE == 0


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
