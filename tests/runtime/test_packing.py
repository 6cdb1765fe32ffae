"""The packed runtime: whole, small, the same every time."""

import hashlib
import io
import json
import shutil
import zipfile
from pathlib import Path
from typing import Any

import pytest

from generator.digests import content_name
from generator.runtime.archives import uncompressed
from generator.runtime.cargo import DESK_ONLY
from generator.runtime.kept import Kept
from generator.runtime.packing import PartsError, kept_of, pack_cargo
from generator.runtime.starting import LARGEST_SNAPSHOT, started
from generator.setup.places import Places
from tests.runtime.conftest import ROOT, Packed, standin_cargo

# The target: what is ready first at most 5.2 MB, a cut download at most 0.6 MB again. The pages need
# some of the former.
RUNTIME_BUDGET = 3.9e6
PIECE_BUDGET = 512_000


def manifest(folder: Path) -> dict[str, Any]:
    """Read what the page's worker reads."""
    found: dict[str, Any] = json.loads((folder / "runtime.json").read_text(encoding="utf-8"))
    return found


def unpacked(folder: Path, name: str) -> bytes:
    """Join and unpack one large file."""
    pieces = manifest(folder)["large"][name]["pieces"]
    return uncompressed(b"".join((folder / piece).read_bytes() for piece in pieces))


def content(folder: Path) -> dict[str, str]:
    """Hash every file below a folder."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_same_modules_give_the_same_bytes(
    packed_standin: Packed, standin: Path, tmp_path: Path
) -> None:
    # All is made anew but the interpreter, whose packing takes most of the time: it is packed the
    # same if its bytes are the same, by which it is kept.
    kept = tmp_path / "kept"
    kept.mkdir()
    folder = kept_of(Places(root=ROOT)).folder
    assert folder
    for file in folder.glob("packed-interpreter-*"):
        shutil.copy(file, kept)
    again = pack_cargo(
        Places(root=ROOT), standin_cargo(standin), tmp_path / "again", kept=Kept(folder=kept)
    )

    assert content(tmp_path / "again") == content(packed_standin.folder)
    assert again == packed_standin.report


def test_the_library_does_not_change_with_our_modules(
    packed: Packed, packed_standin: Packed
) -> None:
    ours, standins = (
        zipfile.ZipFile(io.BytesIO(unpacked(one.folder, "standardLibrary")))
        for one in (packed, packed_standin)
    )
    shared = set(ours.namelist()) & set(standins.namelist())

    assert len(shared) > 50
    assert [name for name in shared if ours.read(name) != standins.read(name)] == []


def test_the_manifest_names_every_file_and_no_other(packed: Packed) -> None:
    large = manifest(packed.folder)["large"].values()
    named = {piece for file in large for piece in file["pieces"]}

    assert {path.name for path in packed.folder.glob("*.bin")} == named


def test_pieces_are_small_and_named_by_their_content(packed: Packed) -> None:
    for piece in packed.folder.glob("*.bin"):
        assert piece.stat().st_size <= PIECE_BUDGET
        assert content_name(piece.read_bytes()) == piece.name.split(".")[1]


def test_archives_hold_compiled_modules_of_one_date(packed: Packed) -> None:
    for name in ("standardLibrary", "calculators"):
        entries = zipfile.ZipFile(io.BytesIO(unpacked(packed.folder, name))).infolist()
        assert [e.filename for e in entries if e.filename.endswith((".py", ".md"))] == []
        assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
        assert entries == sorted(entries, key=lambda entry: entry.filename)


def test_every_module_of_ours_is_in_the_archive(packed: Packed) -> None:
    held = set(zipfile.ZipFile(io.BytesIO(unpacked(packed.folder, "calculators"))).namelist())
    package = ROOT / "calculators"

    if "later" in manifest(packed.folder)["large"]:
        later = zipfile.ZipFile(io.BytesIO(unpacked(packed.folder, "later"))).namelist()
        assert not {name for name in later if name.startswith("calculators/")} & held
        held |= set(later)

    missing = [
        path
        for path in package.rglob("*.py")
        if path.relative_to(ROOT).with_suffix(".pyc").as_posix() not in held
        and path.relative_to(package).as_posix() not in DESK_ONLY
    ]

    assert missing == []


def test_the_second_part_travels_apart_with_what_only_it_needs(packed_standin: Packed) -> None:
    first, library, later = (
        set(zipfile.ZipFile(io.BytesIO(unpacked(packed_standin.folder, name))).namelist())
        for name in ("calculators", "standardLibrary", "later")
    )

    assert {"calculators/browser.pyc", "prepared.bin", "packed_entry.pyc"} <= first
    assert {
        "calculators/later/__init__.pyc",
        "calculators/later/word.txt",
        "beside.pyc",
        "prepared.bin",
        "packages.txt",
        "colorsys.pyc",
    } <= later
    assert not {name for name in first if "later" in name}
    assert "colorsys.pyc" not in library
    assert manifest(packed_standin.folder)["later"] == ["calculators.later"]
    assert packed_standin.report.raised == ()


def test_a_snapshot_is_not_renamed_by_the_second_part(
    packed_standin: Packed, standin: Path, tmp_path: Path
) -> None:
    """It holds nothing of it, so an update of the second part need not throw it away."""
    package = tmp_path / "calculators"
    shutil.copytree(standin, package)
    (package / "later" / "word.txt").write_text("other\n", encoding="utf-8")
    project = Places(root=ROOT)

    pack_cargo(project, standin_cargo(package), tmp_path / "runtime", kept=kept_of(project))

    changed = manifest(tmp_path / "runtime")
    before = manifest(packed_standin.folder)
    assert changed["snapshot"] == before["snapshot"]
    assert changed["large"]["later"] != before["large"]["later"]
    assert changed["large"]["calculators"] == before["large"]["calculators"]


def test_a_first_part_that_needs_the_second_is_refused(standin: Path, tmp_path: Path) -> None:
    package = tmp_path / "calculators"
    shutil.copytree(standin, package)
    (package / "tied.py").write_text("import calculators.later\n", encoding="utf-8")

    with pytest.raises(PartsError, match=r"calculators\.tied imports calculators\.later"):
        pack_cargo(Places(root=ROOT), standin_cargo(package), tmp_path / "runtime")


def test_the_packed_runtime_starts_and_still_fits_a_snapshot(packed: Packed) -> None:
    start = started(Places(root=ROOT), packed.folder)

    assert 0 < start.memory <= LARGEST_SNAPSHOT
    assert start.compiled_texts == 0


def test_no_request_of_the_rehearsal_raises(packed: Packed) -> None:
    assert packed.report.raised == ()


def test_the_runtime_keeps_to_its_budget(packed: Packed) -> None:
    assert sum(packed.report.sizes.values()) <= RUNTIME_BUDGET
