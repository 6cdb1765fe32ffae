"""The package: what `pip install .` gives, and nothing more.

The wheel is made by the declared backend and asked; it needs no network, because the backend is
among the locked packages of the tests.
"""

import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest

from calculators.version import RELEASED, VERSION

ROOT = Path(__file__).parents[2]
NAME = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["name"]


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of what the package is made from, with a `build` folder that must stay as it is."""
    copy = tmp_path_factory.mktemp("a copy, with é") / "project"
    copy.mkdir()
    for name in ("pyproject.toml", "README.md", "LICENSE", "CHANGELOG.md"):
        shutil.copyfile(ROOT / name, copy / name)
    shutil.copytree(ROOT / "calculators", copy / "calculators")
    (copy / "build").mkdir()
    (copy / "build" / "__main__.py").write_text("# ours\n", encoding="utf-8")
    return copy


@pytest.fixture(scope="module")
def wheel(source: Path) -> Path:
    """The wheel of the copy."""
    program = "import hatchling.build as b; b.build_wheel('dist')"
    subprocess.run([sys.executable, "-c", program], cwd=source, check=True, capture_output=True)
    (made,) = (source / "dist").glob("*.whl")
    return made


def text_of(wheel: Path, ending: str) -> str:
    """Read the one file of the wheel whose name ends so."""
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (one for one in archive.namelist() if one.endswith(ending))
        return archive.read(name).decode()


def test_the_wheel_says_version_license_and_no_dependency(wheel: Path) -> None:
    metadata = Parser().parsestr(text_of(wheel, ".dist-info/METADATA"))

    assert metadata["Name"] == NAME
    assert metadata["Version"] == VERSION
    assert metadata["License-Expression"] == "MIT"
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata.get_all("Requires-Dist") is None


def test_the_wheel_holds_the_module_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    ours = {path.relative_to(ROOT).as_posix() for path in (ROOT / "calculators").rglob("*.py")}

    assert held == ours


def test_packing_writes_nothing_into_the_build_folder(source: Path, wheel: Path) -> None:
    assert [path.name for path in (source / "build").iterdir()] == ["__main__.py"]
    assert wheel.parent == source / "dist"


def test_the_command_answers_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    """Run what an installer writes for the declared command, with the wheel as the only package."""
    declared = text_of(wheel, ".dist-info/entry_points.txt")
    found = re.search(rf"^{NAME} = ([\w.]+):(\w+)$", declared, re.MULTILINE)
    assert found is not None
    command = tmp_path / NAME
    command.write_text(
        f"import sys\nfrom {found[1]} import {found[2]}\nsys.exit({found[2]}())\n",
        encoding="utf-8",
    )

    def say(*words: str) -> str:
        return subprocess.run(
            [sys.executable, "-S", command, *words],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(wheel)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout

    assert "psi" in say("over-reduction", "brake_pipe_setting=90")
    # It calls itself by its own name, because the other one works only beside the sources.
    assert f"{NAME} NAME field=value" in say()


def test_one_place_says_the_version() -> None:
    """Nowhere else in what we write by hand; the history names the newest version first.

    What links are packed against names the version it was begun in and never changes: a link that
    was printed must open.
    """
    said = [
        path.relative_to(ROOT).as_posix()
        for folder in ("calculators", "build/generator", "build/theme", "build/browser")
        for path in sorted((ROOT / folder).rglob("*"))
        if path.suffix in (".py", ".js", ".html")
        and VERSION in path.read_text(encoding="utf-8")
        and path != ROOT / "calculators/short_links/dictionaries.py"
    ]
    assert said == ["calculators/version.py"]
    assert "version" not in tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    headings = re.findall(r"^## (.+)$", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert headings[0] == f"{VERSION}, {RELEASED[:10]}"
