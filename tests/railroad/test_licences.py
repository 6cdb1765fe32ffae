"""Everything shipped has its licence, and the build stops where one is missing."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from generator import licences
from generator.embeds import Block
from generator.licences import LicenceError, collect, fragment, write_texts

ROOT = Path(__file__).parents[2]


def block(subject: str = "shipped", page: str = "about/this-copy.md") -> Block:
    return Block(subject=subject, settings={}, number=1, page=Path(page))


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """A root with a list of licences of its own and the project's installed packages."""
    shutil.copytree(ROOT / "build" / "licences", tmp_path / "build" / "licences")
    shutil.copyfile(ROOT / "LICENSE", tmp_path / "LICENSE")
    (tmp_path / ".work").mkdir()
    for packages in ("node", "node-page"):
        (tmp_path / ".work" / packages).symlink_to(ROOT / ".work" / packages)
    return tmp_path


def change(root: Path, old: str, new: str) -> None:
    listed = root / "build" / "licences" / "shipped.toml"
    text = listed.read_text(encoding="utf-8")
    assert old in text
    listed.write_text(text.replace(old, new), encoding="utf-8")


def test_every_part_has_its_text():
    parts = collect(ROOT)
    names = {part.name for part in parts}
    assert {"Pyodide", "CPython and its standard library", "Material for MkDocs"} <= names
    assert len({part.file for part in parts}) == len(parts)
    for part in parts:
        said = part.text.lower()
        assert "copyright" in said or "public domain" in said or "licen" in said, part.name


def test_the_runtime_s_source_can_be_found():
    """Mozilla Public License 2.0, section 3.2: say where the source form is."""
    pyodide = next(part for part in collect(ROOT) if part.name == "Pyodide")
    assert "Mozilla Public License" in pyodide.text
    assert "https://github.com/pyodide/pyodide" in pyodide.notice
    assert pyodide.version


def test_every_text_beside_the_list_is_listed():
    folder = ROOT / "build" / "licences"
    listed = tomllib.loads((folder / "shipped.toml").read_text(encoding="utf-8"))["part"]
    named = {entry["text"] for entry in listed if "text" in entry}
    assert named == {file.name for file in folder.glob("*.txt")}


def test_a_missing_text_stops_the_build(copied: Path):
    (copied / "build" / "licences" / "zlib.txt").unlink()
    with pytest.raises(LicenceError, match=r"zlib is missing: zlib\.txt"):
        collect(copied)


def test_an_empty_text_stops_the_build(copied: Path):
    (copied / "build" / "licences" / "musl.txt").write_text("\n", encoding="utf-8")
    with pytest.raises(LicenceError, match="licence of musl is empty"):
        collect(copied)


def test_another_runtime_stops_the_build(copied: Path):
    version = next(part for part in collect(ROOT) if part.name == "Pyodide").version
    change(copied, f'read_for = "{version}"', 'read_for = "0.1.0"')
    with pytest.raises(LicenceError, match=r"were read for 0\.1\.0"):
        collect(copied)


def test_a_library_of_the_theme_that_is_not_listed_stops_the_build(copied: Path):
    change(copied, 'library = "rxjs"\n', "")
    with pytest.raises(LicenceError, match="the theme bundles"):
        collect(copied)


def test_a_package_without_its_licence_stops_the_build(copied: Path):
    change(copied, 'installed = "LICENSE"', 'installed = "NO-SUCH-FILE"')
    with pytest.raises(LicenceError, match="mkdocs-material has no NO-SUCH-FILE"):
        collect(copied)
    change(copied, 'installed_in = "mkdocs-material"', 'installed_in = "no-such-package"')
    with pytest.raises(LicenceError, match="no-such-package is not installed"):
        collect(copied)


def test_texts_and_links_agree(tmp_path: Path):
    parts = collect(ROOT)
    write_texts(parts, ROOT, tmp_path)
    listed = fragment(parts, block())
    for part in parts:
        written = tmp_path / licences.TEXTS / part.file
        assert part.text.strip() in written.read_text(encoding="utf-8")
        assert f'href="../../about/licences/{part.file}"' in listed
    ours = (tmp_path / licences.TEXTS / "this-reference.txt").read_text(encoding="utf-8")
    assert "the authors of the Air Brake Field Reference" in ours


def test_an_unknown_list_is_refused():
    with pytest.raises(LookupError, match="shipped"):
        fragment((), block("all"))
