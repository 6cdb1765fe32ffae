"""The start-up: old Pythons are refused in words, nothing of ours hides a standard module."""

import ast
import errno
import os
import runpy
import subprocess
import sys
from collections import namedtuple
from pathlib import Path
from typing import Any

import pytest

from generator.setup import environment

ROOT = Path(__file__).parents[2]
BUILD = ROOT / "build"
VersionInfo = namedtuple("VersionInfo", "major minor micro releaselevel serial")


@pytest.fixture
def start_up() -> dict[str, Any]:
    """The names of the start-up module, as if it had been imported."""
    return runpy.run_path(str(BUILD / "__main__.py"), run_name="start_up")


def test_an_old_python_is_refused_in_words(
    start_up: dict[str, Any], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", VersionInfo(3, 10, 13, "final", 0))

    status = start_up["main"](["build"])

    assert status == 2
    said = capsys.readouterr().err
    assert "needs Python 3.11 or newer, and this is Python 3.10.13" in said


@pytest.mark.parametrize("reason", [errno.EACCES, errno.EROFS, errno.ENOSPC])
def test_a_folder_that_cannot_be_written_is_one_sentence(
    start_up: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    reason: int,
) -> None:
    def stop(*_: object) -> None:
        raise OSError(reason, os.strerror(reason), "/some/.work/log")

    monkeypatch.setattr(environment, "prepare", stop)

    assert start_up["main"](["build"]) == 1
    said = capsys.readouterr().err.strip()
    assert said.startswith(f"Stopped: /some/.work/log: {os.strerror(reason)}.")
    assert len(said.splitlines()) == 1


def test_another_error_of_the_system_is_not_hidden(
    start_up: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise OSError(errno.EINVAL, "ours", "file")

    monkeypatch.setattr(environment, "prepare", stop)

    with pytest.raises(OSError, match="ours"):
        start_up["main"](["build"])


def test_an_old_python_can_read_the_start_up() -> None:
    # Python 3.6 must get as far as the refusal.
    ast.parse((BUILD / "__main__.py").read_text(encoding="utf-8"), feature_version=(3, 6))


def test_before_the_environment_only_the_standard_library_is_used() -> None:
    # -S hides every installed package; -I ignores the user's own paths.
    program = (
        "import sys; sys.path += [sys.argv[1]];"
        "from generator import verbs; from generator.setup import environment, places, steps;"
        "print(verbs.read(['build']).verb.name)"
    )
    answer = subprocess.run(
        [sys.executable, "-I", "-S", "-c", program, str(BUILD)],
        capture_output=True,
        text=True,
        check=True,
    )

    assert answer.stdout.strip() == "build"


def test_no_file_of_the_build_folder_can_hide_a_standard_module(
    start_up: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "path", [str(BUILD), "/standard/library"])

    start_up["make_generator_importable"]()

    assert sys.path == ["/standard/library", str(BUILD), str(ROOT)]
    ours = {path.stem for path in BUILD.iterdir()}
    assert ours & (sys.stdlib_module_names - {"__main__"}) == set()
