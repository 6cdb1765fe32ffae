"""The offline copy: the list of all files with their hashes, the service worker and the manifest.

The last step of a build, behind which no file of the site may change. The list stands inside
`service-worker.js`, so the browser's own check of that one file finds every update, and the list
can't be evicted apart from the worker.

No page holds the date of the build: it would make every page new with every build. The date is
in `copy.json` (and in the worker), and a page says its version, which changes only on a release.
"""

import hashlib
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from fnmatch import fnmatch
from pathlib import Path

from generator import copy_stamp, manifest, page_pieces, search_pieces, worker_script
from generator.content_types import content_type
from generator.digests import content_name
from generator.not_found import built_root
from generator.policy import in_header, pages, write_policy
from generator.runtime.packing import MANIFEST

BROWSER = Path(__file__).resolve().parents[1] / "browser"
WORKER = "service-worker.js"
STAMP = "copy.json"

# Not in the copy: the worker itself; the search index, which comes in pieces; what the worker makes
# itself (the sitemap, for the address that the site really stands under); what only development
# reads; languages the site does not use.
LEFT_OUT = (
    WORKER,
    search_pieces.INDEX,
    "*.map",
    "sitemap.xml",
    "sitemap.xml.gz",
    "assets/javascripts/lunr/*",
    # A browser fetches these once, when it installs the site, and never for a page.
    "icons/*512.png",
    ".*",
    "*/.*",
)
# What the packed files of Python are called when the worker hands them out unpacked.
_UNPACKED = {
    "interpreter": "interpreter.wasm",
    "standardLibrary": "standard-library.zip",
    "calculators": "calculators.zip",
}
# A first visit is ready to read once all files up to this size are there; larger ones follow.
LARGEST_CORE_FILE = 200_000


class OfflineError(ValueError):
    """The built site cannot be made an offline site; the message says what is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedFile:
    """A file of the offline copy."""

    path: str
    sha256: str
    """The digest in base64url without padding, as the worker keys its store."""
    size: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OfflineReport:
    """What the offline copy holds."""

    version: str
    """Changes with any listed byte, whatever the build time."""
    built: str
    files: tuple[ListedFile, ...]
    """In the order in which a device fetches them."""
    core: int
    """How many of them a first visit waits for."""
    left_out: tuple[str, ...]

    @property
    def size(self) -> int:
        """Bytes that the copy takes on a device."""
        return sum(file.size for file in self.files)


def finish_offline(site: Path, *, policy: str, built: str, version: str) -> OfflineReport:
    """Make the built site an offline site.

    Writes the policy into the pages, the manifest, the icons, the build stamp and the service
    worker, and stamps pages and scripts with the copy's version. Running it again on its own output
    gives the same bytes.

    Parameters
    ----------
    site
        The folder of the built site, with the browser modules in `browser/`.
    policy
        The content security policy of every answer, from `content_security_policy`.
    built
        When this copy was built, ISO 8601 with offset. Give a time that changes only with what the
        site is made from (the last commit's, or SOURCE_DATE_EPOCH): a new one is a new copy.
    version
        The release that the pages name.

    Raises
    ------
    OfflineError
        If `built` is no such time, or a page or module that the copy needs is missing.
    """
    stamp_time = _utc(built)
    copy_stamp.take_off(site)
    _check(site)
    copy_stamp.mark_pages(site)
    write_policy(site, policy)
    manifest.write_manifest(site)
    joined = search_pieces.split_search_index(site)
    composed = page_pieces.write_pieces(site, pages(site))
    (site / STAMP).unlink(missing_ok=True)
    paths, left_out = paths_of_copy(site)
    listed = [_listed(site, path) for path in paths]
    content = _content_version(listed)
    stamp = {"version": version, "built": stamp_time, "content": content}
    _write_json(site / STAMP, stamp)
    files = sorted(
        [*listed, _listed(site, STAMP)],
        key=lambda file: (file.size > LARGEST_CORE_FILE, file.size, file.path),
    )
    core = sum(file.size <= LARGEST_CORE_FILE for file in files)
    page = (site / "404.html").read_text(encoding="utf-8")
    copy = {
        "version": content,
        "built": stamp_time,
        "policy": in_header(policy),
        "bytes": sum(file.size for file in files),
        "core": core,
        "files": [[file.path, file.sha256, file.size] for file in files],
        "joined": joined,
        "blocks": page_pieces.BLOCKS,
        "unpacked": _unpacked(site),
        "types": {
            Path(path).suffix: content_type(path)
            for path in [*paths, *joined, *composed, STAMP, "sitemap.xml", *_UNPACKED.values()]
        },
        "root": built_root(page),
        "mark": copy_stamp.MARK,
    }
    script = worker_script.joined(BROWSER / "service-worker")
    line = json.dumps(copy, ensure_ascii=True, separators=(",", ":"))
    (site / WORKER).write_text(f"self.COPY = {line};\n{script}", encoding="utf-8", newline="\n")
    copy_stamp.put_on(site, content)
    return OfflineReport(
        version=content, built=stamp_time, files=tuple(files), core=core, left_out=tuple(left_out)
    )


def paths_of_copy(site: Path) -> tuple[list[str], list[str]]:
    """Give the paths of the files in the offline copy and of those left out, each in order."""
    every = sorted(file.relative_to(site).as_posix() for file in site.rglob("*") if file.is_file())
    composed = {path for path in every if path + page_pieces.ENDING in every}
    left_out = [
        path
        for path in every
        if path in composed or any(fnmatch(path, pattern) for pattern in LEFT_OUT)
    ]
    return [path for path in every if path not in left_out], left_out


def _utc(built: str) -> str:
    try:
        time = datetime.fromisoformat(built)
    except ValueError as error:
        raise OfflineError(f"built is {built!r}; it must be a time in ISO 8601") from error
    if time.tzinfo is None:
        raise OfflineError(f"built is {built!r}; it must name its offset from UTC")
    return time.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _check(site: Path) -> None:
    for needed in ("index.html", "404.html", "browser/offline.js"):
        if not (site / needed).is_file():
            raise OfflineError(f"the built site has no {needed}, which its offline copy needs")


def _unpacked(site: Path) -> list[dict[str, object]]:
    """Say of which pieces the worker may make the unpacked files of Python; none without a runtime."""
    manifest_file = site / "runtime" / MANIFEST
    if not manifest_file.is_file():
        return []
    large = json.loads(manifest_file.read_text(encoding="utf-8"))["large"]
    return [
        {
            "name": _UNPACKED[name],
            "hash": packed["unpacked"],
            "size": packed["size"],
            "pieces": [f"runtime/{piece}" for piece in packed["pieces"]],
        }
        for name, packed in sorted(large.items())
    ]


def _listed(site: Path, path: str) -> ListedFile:
    content_type(path)
    content = (site / path).read_bytes()
    digest = content_name(content)
    return ListedFile(path=path, sha256=digest, size=len(content))


def _content_version(files: list[ListedFile]) -> str:
    text = "".join(f"{file.path}\0{file.sha256}\n" for file in files)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _write_json(path: Path, value: object) -> None:
    path.write_text(json.dumps(value, indent=2) + "\n", encoding="utf-8", newline="\n")
