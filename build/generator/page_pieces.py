"""Pages as pieces, so that what all pages share crosses the line once and not with every page.

Most of a page is the same in many: head, header, menu. Lines that occur in several pages, and
always together, become a block with a name made from its content. One file holds the blocks; each
page gets a piece file: its own text, and the names of the blocks between. The service worker
fetches blocks and pieces, each checked like every file, and puts a page together when it is asked
for. The pages themselves stay for a visit without the service worker.
"""

import json
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest
from pathlib import Path

from generator.digests import content_name

BLOCKS = "pages/blocks.json"
ENDING = ".json"

# Where one part of a page may end and the next begin: behind a line, and before elements that our
# fragments, which are one long line each, hold in many pages.
_SEAMS = re.compile(r'(?<=\n)|(?=<(?:option|li|dt|details|section|symbol|g)\b|<div class="field")')
# A part is shared from this many pages on.
_SHARED_FROM = 2
# A shorter block is cheaper said again than named.
_SHORTEST = 30
_NAME_LENGTH = 6

Piece = list[str | list[str]]
"""In order: names of blocks parted by spaces, or a list that holds one text of the page's own."""


def write_pieces(site: Path, pages: Iterable[Path]) -> list[str]:
    """Write the blocks and a piece beside every page.

    Returns
    -------
    list of str
        The paths of the pages that are put together from pieces, inside the site.
    """
    texts = {page: page.read_text(encoding="utf-8") for page in pages}
    blocks, pieces = split(texts)
    (site / BLOCKS).parent.mkdir(exist_ok=True)
    _write(site / BLOCKS, blocks)
    for page, piece in pieces.items():
        _write(page.with_name(page.name + ENDING), piece)
    return sorted(page.relative_to(site).as_posix() for page in texts)


def split(texts: Mapping[Path, str]) -> tuple[dict[str, str], dict[Path, Piece]]:
    """Split texts into the blocks that they share and a piece for each.

    Raises
    ------
    ValueError
        If two blocks get one name, or a piece would not give its page back.
    """
    lines = {page: [part for part in _SEAMS.split(text) if part] for page, text in texts.items()}
    pages_of_line = Counter(line for each in lines.values() for line in set(each))
    shared = {line for line, pages in pages_of_line.items() if pages >= _SHARED_FROM}
    together = _always_together(lines.values())
    blocks: dict[str, str] = {}
    pieces: dict[Path, Piece] = {}
    for page, each in lines.items():
        pieces[page] = _piece(each, shared, together, blocks)
        if compose(pieces[page], blocks) != texts[page]:
            raise ValueError(f"{page.name}: its pieces do not give the page back")
    return dict(sorted(blocks.items())), pieces


def compose(piece: Piece, blocks: Mapping[str, str]) -> str:
    """Put a page together, by the same rule as the service worker."""
    return "".join(
        part[0] if isinstance(part, list) else "".join(blocks[name] for name in part.split(" "))
        for part in piece
    )


def _always_together(texts: Iterable[Sequence[str]]) -> set[tuple[str, str]]:
    """Pairs of lines of which neither occurs without the other at its side."""
    after: dict[str, set[str]] = defaultdict(set)
    before: dict[str, set[str]] = defaultdict(set)
    for lines in texts:
        for one, two in zip(["", *lines], [*lines, ""], strict=True):
            after[one].add(two)
            before[two].add(one)
    return {
        (one, next(iter(followers)))
        for one, followers in after.items()
        if len(followers) == 1 and len(before[next(iter(followers))]) == 1
    }


def _piece(
    lines: Sequence[str],
    shared: set[str],
    together: set[tuple[str, str]],
    blocks: dict[str, str],
) -> Piece:
    piece: Piece = []
    run = ""
    for line, following in zip_longest(lines, lines[1:], fillvalue=""):
        run += line
        if line in shared and following in shared and (line, following) in together:
            continue
        if line in shared and len(run) >= _SHORTEST:
            name = _name(run)
            if blocks.setdefault(name, run) != run:
                raise ValueError(f"two blocks of the pages are both called {name}")
            _add_name(piece, name)
        else:
            _add_text(piece, run)
        run = ""
    return piece


def _add_name(piece: Piece, name: str) -> None:
    if piece and isinstance(piece[-1], str):
        piece[-1] += f" {name}"
    else:
        piece.append(name)


def _add_text(piece: Piece, text: str) -> None:
    if piece and isinstance(piece[-1], list):
        piece[-1][0] += text
    else:
        piece.append([text])


def _name(text: str) -> str:
    return content_name(text.encode())[:_NAME_LENGTH]


def _write(file: Path, value: object) -> None:
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    file.write_text(text, encoding="utf-8", newline="\n")
