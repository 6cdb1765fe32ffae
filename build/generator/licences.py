"""The licences of everything in the built site that others made, with their notices.

`build/licences/shipped.toml` lists the parts. Texts come from the installed packages where those
carry them, else from the files beside the list. A text that is missing, a library in the theme
that is not on the list, or a runtime of another version than the list was read for stops the build.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.rendering.elements import element, html
from generator.embeds import Block
from generator.setup import node
from generator.setup.places import Places

# Where the texts stand in the site, and the page that lists them.
TEXTS = Path("about") / "licences"
_OURS = "LICENSE"
_THEME = "mkdocs-material"
# Node packages that pages load and that do not come with the runtime.
_PACKAGES = {"uqr": node.PAGE_SCRIPTS}
_LIBRARY = re.compile(r"node_modules/((?:@[^/]+/)?[^/]+)/")


class LicenceError(ValueError):
    """A licence is missing or the list no longer fits what is shipped; says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of the site that others made."""

    name: str
    serves: str
    licence: str
    text: str
    version: str = ""
    notice: str = ""
    library: str = ""

    @property
    def file(self) -> str:
        """The name of its text in the site."""
        return f"{re.sub(r'[^a-z0-9]+', '-', self.name.lower()).strip('-')}.txt"


def collect(root: Path) -> tuple[Part, ...]:
    """Read the list and every text on it.

    Raises
    ------
    LicenceError
        If a text is missing, or the list does not fit the installed packages.
    """
    folder = root / "build" / "licences"
    listed = tomllib.loads((folder / "shipped.toml").read_text(encoding="utf-8"))["part"]
    parts = tuple(_part(entry, folder, root) for entry in listed)
    bundled, known = set(_libraries_of_theme()), {part.library for part in parts if part.library}
    if bundled != known:
        raise LicenceError(
            f"the theme bundles {', '.join(sorted(bundled))}, but build/licences/shipped.toml "
            f"lists {', '.join(sorted(known))}: mend the list and its texts"
        )
    return parts


def write_texts(parts: tuple[Part, ...], root: Path, staged: Path) -> None:
    """Write every text beside the pages, our own licence too."""
    folder = staged / TEXTS
    folder.mkdir(parents=True, exist_ok=True)
    for part in parts:
        said = f"{part.name} {part.version}".strip()
        notice = f"{part.notice}\n\n" if part.notice else ""
        _write(folder / part.file, f"{said}\n{part.licence}\n\n{notice}{part.text}")
    _write(folder / "this-reference.txt", (root / _OURS).read_text(encoding="utf-8"))


def fragment(parts: tuple[Part, ...], block: Block) -> str:
    """The list of the parts for a page, each with a link to its text."""
    if block.subject != "shipped":
        raise LookupError(f'the list of licences is called "shipped", not "{block.subject}"')
    to_texts = "../" * len(block.page.with_suffix("").parts) + f"{TEXTS.as_posix()}/"
    rows = [_row(part, to_texts) for part in parts]
    head = element("tr", *(element("th", t, scope="col") for t in ("Part", "Licence")))
    table = element("table", element("thead", head), element("tbody", *rows))
    return html(
        element(
            "div",
            table,
            class_="wide",
            tabindex="0",
            role="region",
            aria_label="Parts and licences",
        )
    )


def _row(part: Part, to_texts: str) -> Element:
    return element(
        "tr",
        element(
            "th",
            f"{part.name} {part.version}".strip(),
            element("small", f"{part.serves}. {part.notice}".strip()),
            scope="row",
        ),
        element("td", element("a", part.licence, href=f"{to_texts}{part.file}")),
    )


def _part(entry: dict[str, str], folder: Path, root: Path) -> Part:
    name = entry["name"]
    kind, _, package = entry.get("version_of", "").partition(":")
    version = _version(kind, package, root) if package else ""
    if entry.get("read_for", version) != version:
        raise LicenceError(
            f"{name} is version {version} and its parts were read for {entry['read_for']}: "
            "read what it is made of again and mend build/licences/shipped.toml"
        )
    if "installed" in entry:
        text = _installed_text(entry["installed_in"], entry["installed"])
    else:
        text = _text(folder / entry["text"], name)
    if not text.strip():
        raise LicenceError(f"the licence of {name} is empty")
    return Part(
        name=name,
        serves=entry["serves"],
        licence=entry["licence"],
        text=text,
        version=version,
        notice=entry.get("notice", ""),
        library=entry.get("library", ""),
    )


def _version(kind: str, package: str, root: Path) -> str:
    if kind == "python":
        return _distribution(package).version
    packages = _PACKAGES.get(package, node.RUNTIME)
    folder = node.package_folder(Places(root=root), packages, package)
    version: str = json.loads((folder / "package.json").read_text(encoding="utf-8"))["version"]
    return version


def _text(file: Path, name: str) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except OSError as error:
        raise LicenceError(f"the licence of {name} is missing: {file.name}") from error


def _installed_text(package: str, wanted: str) -> str:
    """A file of an installed package, by its path or by its name among the package's notices."""
    for file in _distribution(package).files or ():
        notice = ".dist-info/" in file.as_posix() and file.name == wanted
        if notice or file.as_posix() == wanted:
            return _text(Path(str(file.locate())), package)
    raise LicenceError(f"the installed package {package} has no {wanted}")


def _distribution(package: str) -> Distribution:
    try:
        return distribution(package)
    except PackageNotFoundError as error:
        raise LicenceError(f"the package {package} is not installed") from error


def _libraries_of_theme() -> Iterator[str]:
    """The libraries that the theme's scripts and styles were made from, by their source maps."""
    for file in _distribution(_THEME).files or ():
        if file.suffix != ".map" or "assets" not in file.parts:
            continue
        sources = json.loads(Path(str(file.locate())).read_text(encoding="utf-8"))["sources"]
        for source in sources:
            found = _LIBRARY.findall(source)
            if found:
                yield found[-1]


def _write(file: Path, text: str) -> None:
    file.write_text(text.rstrip() + "\n", encoding="utf-8", newline="\n")
