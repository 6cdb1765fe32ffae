"""Stand-ins for modules of the standard library that only the runtime's start asks for."""

import io
import zipfile
from pathlib import Path

import pytest

from generator.runtime.inside_pyodide import runtime_folder
from generator.runtime.lean_library import LEFT_OUT, STAND_INS, LeanError, lean_library
from generator.setup.places import Places
from tests.runtime.conftest import ROOT, Packed
from tests.runtime.test_packing import unpacked


def names(archive: bytes) -> set[str]:
    return set(zipfile.ZipFile(io.BytesIO(archive)).namelist())


def test_stand_ins_take_the_place_of_the_library_s_own() -> None:
    whole = runtime_folder(Places(root=ROOT)) / "python_stdlib.zip"

    lean = lean_library(whole)

    assert names(lean) == names(whole.read_bytes()) - set(LEFT_OUT)
    archive = zipfile.ZipFile(io.BytesIO(lean))
    stand_ins = sorted(path for path in STAND_INS.rglob("*.py") if "__pycache__" not in path.parts)
    assert len(stand_ins) >= 4
    for path in stand_ins:
        assert archive.read(path.relative_to(STAND_INS).as_posix()) == path.read_bytes()


def test_a_library_that_has_changed_is_refused(tmp_path: Path) -> None:
    library = tmp_path / "library.zip"
    with zipfile.ZipFile(library, "w") as archive:
        archive.writestr("ssl.py", "")

    with pytest.raises(LeanError, match=r"_colorize\.py, asyncio/__init__\.py"):
        lean_library(library)


def test_what_the_stand_ins_spare_does_not_travel(packed: Packed) -> None:
    held = names(unpacked(packed.folder, "standardLibrary"))

    for spared in ("ssl", "selectors", "zipfile/__init__", "asyncio/base_events", "tempfile"):
        assert f"{spared}.pyc" not in held
