"""What the built site weighs on the line, held to the targets of size.

Weights are of the files as a usual host sends them: text compressed with gzip, archives and
pictures as they are. What really crosses the line in a visit, an update or a cut is counted in
the browser tests, from the server's log.
"""

import gzip
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from posixpath import normpath
from urllib.parse import unquote, urlsplit

from generator import later_part
from generator.content_types import is_compressed_by_hosts
from generator.offline import STAMP, WORKER, paths_of_copy
from generator.page_pieces import BLOCKS, ENDING
from generator.search_pieces import PIECES

FIRST_PART_AT_MOST = 5_200_000
WHOLE_SITE_AT_MOST = 6_000_000
PAGE_AT_MOST = 120_000
TEXT_EDIT_AT_MOST = 60_000
RUNTIME = "runtime/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A file or a sum of files."""

    name: str
    raw: int
    """Bytes as stored; what a host that does not compress sends."""
    sent: int
    """Bytes as sent by a usual host."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightReport:
    """The weights of a built site."""

    whole: Weighed
    """All files of the offline copy and the service worker."""
    first: Weighed
    """Those of its first part: with them pages and calculators are ready offline."""
    later: Weighed
    """Those of its second part: study, worksheets and fault finding."""
    groups: tuple[Weighed, ...]
    """The files of both parts by kind, the heaviest first."""
    heaviest_page: Weighed
    """The page that weighs most with all that it loads, but for the runtime."""
    dearest_edit: Weighed
    """The page whose text edit costs most: page, worker with its list, stamp, index pieces."""

    def problems(self) -> list[str]:
        """Give a sentence for each part of the site over its limit; empty if all are met."""
        return _over((self.first, FIRST_PART_AT_MOST), (self.whole, WHOLE_SITE_AT_MOST))

    def heavy_pages(self) -> list[str]:
        """Give a sentence for each figure of a single page over its limit.

        They hold no build up, as a page of one's own may be worth its weight; the tests ask that
        the project's own pages give none.
        """
        return [
            f"{said}: embed less, or make two pages of it"
            for said in _over(
                (self.heaviest_page, PAGE_AT_MOST), (self.dearest_edit, TEXT_EDIT_AT_MOST)
            )
        ]

    def table(self) -> str:
        """Give the report as lines of text for the build's output."""
        rows = [
            (self.first, f"{FIRST_PART_AT_MOST:,}"),
            (self.later, ""),
            (self.whole, f"{WHOLE_SITE_AT_MOST:,}"),
            *((group, "") for group in self.groups),
            (self.heaviest_page, f"{PAGE_AT_MOST:,}"),
            (self.dearest_edit, f"{TEXT_EDIT_AT_MOST:,}"),
        ]
        width = max(len(weighed.name) for weighed, _ in rows)
        head = f"{'':{width}}  {'as sent':>10}  {'stored':>10}  {'limit':>10}"
        return "\n".join(
            [head]
            + [
                f"{weighed.name:{width}}  {weighed.sent:>10,}  {weighed.raw:>10,}  {limit:>10}"
                for weighed, limit in rows
            ]
        )


def _over(*held: tuple[Weighed, int]) -> list[str]:
    return [
        f"{weighed.name} weighs {weighed.sent:,} bytes as sent; the limit is {limit:,}"
        for weighed, limit in held
        if weighed.sent > limit
    ]


def weigh(site: Path) -> WeightReport:
    """Weigh a finished site.

    Parameters
    ----------
    site
        The folder of the built site, after `finish_offline`.
    """
    files = {path: _weigh_file(site, path) for path in [*paths_of_copy(site)[0], WORKER]}
    # A first visit loads a page as it is; the copy holds it as a piece beside the shared blocks.
    pages = {
        path.removesuffix(ENDING): _weigh_file(site, path.removesuffix(ENDING))
        for path in files
        if path.endswith(f".html{ENDING}")
    }
    loadable = files | pages
    page_weights = [_sum(f"page {path}", _loaded(site, path, loadable)) for path in pages]
    groups: dict[str, list[Weighed]] = {}
    for path, weighed in files.items():
        groups.setdefault(_group(path), []).append(weighed)
    return WeightReport(
        whole=_sum("whole site", files.values()),
        first=_sum("first part", [files[path] for path in files if not later_part.is_later(path)]),
        later=_sum("second part", [files[path] for path in files if later_part.is_later(path)]),
        groups=tuple(
            sorted(
                (_sum(f"  {name}", weighed) for name, weighed in groups.items()),
                key=lambda one: (-one.sent, one.name),
            )
        ),
        heaviest_page=max(page_weights, key=lambda one: (one.sent, one.name)),
        dearest_edit=max(
            (_sum(f"text edit of {path}", _edited(site, path, files)) for path in pages),
            key=lambda one: (one.sent, one.name),
        ),
    )


def _weigh_file(site: Path, path: str) -> Weighed:
    content = (site / path).read_bytes()
    sent = len(content)
    if is_compressed_by_hosts(path):
        sent = min(sent, len(gzip.compress(content, compresslevel=6, mtime=0)))
    return Weighed(name=path, raw=len(content), sent=sent)


def _sum(name: str, parts: Iterable[Weighed]) -> Weighed:
    parts = list(parts)
    return Weighed(
        name=name, raw=sum(part.raw for part in parts), sent=sum(part.sent for part in parts)
    )


def _group(path: str) -> str:
    if path.startswith(RUNTIME):
        return "Python runtime and modules"
    if path.startswith(f"{PIECES}/"):
        return "search index"
    if path.endswith(f".html{ENDING}") or path == BLOCKS:
        return "pages"
    if path == WORKER:
        return "service worker with its list"
    return "theme, scripts and pictures"


def _edited(site: Path, page: str, files: dict[str, Weighed]) -> list[Weighed]:
    """Give what a device fetches anew when the text of one page changes."""
    place = re.compile(rf'"location":"{re.escape(page.removesuffix("index.html"))}["#]')
    pieces = [
        weighed
        for path, weighed in files.items()
        if path.startswith(f"{PIECES}/") and place.search(_read(site / path))
    ]
    return [files[page + ENDING], files[WORKER], files[STAMP], *pieces]


def _loaded(site: Path, page: str, files: dict[str, Weighed]) -> list[Weighed]:
    """Give the page and what it names to be loaded with it, but for the runtime."""
    reader = _LoadReader()
    reader.feed(_read(site / page))
    waiting = [(page, address) for address in reader.addresses]
    loaded = {page}
    while waiting:
        base, address = waiting.pop()
        path = _resolve(base, address)
        if path not in files or path in loaded or path.startswith(RUNTIME):
            continue
        loaded.add(path)
        if path.endswith(".js"):
            waiting += [(path, one) for one in _imports(_read(site / path))]
    return [files[path] for path in sorted(loaded)]


def _imports(module: str) -> list[str]:
    """Give the addresses that a module imports from its head, as our modules write them."""
    return [
        line.split('from "')[1].split('"')[0]
        for line in module.splitlines()
        if 'from "./' in line and line.rstrip().endswith(";")
    ]


def _resolve(base: str, address: str) -> str:
    path = unquote(urlsplit(address).path)
    if path.startswith("/"):
        return path.lstrip("/")
    return normpath(str(PurePosixPath(base).parent / path))


class _LoadReader(HTMLParser):
    """Collects the addresses that a browser fetches to show a page."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "link" and values.get("rel") in {"stylesheet", "icon", "manifest"}:
            self.addresses.append(values.get("href", ""))
        if tag in {"img", "script"} and "src" in values:
            self.addresses.append(values["src"])


def _read(path: Path) -> str:
    return path.read_text(encoding="utf-8")
