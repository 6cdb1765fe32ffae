"""Runs of the circuits are kept by what they follow from: a change of words makes none anew."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from calculators.circuits import asking
from calculators.questions.circuit.asked import asked_of
from calculators.questions.circuit.inputs import CircuitInputs
from generator.kept_runs import FOLLOWED_BY, keep_between_builds

LIGHT = asked_of(CircuitInputs(cars=0.0))
OTHER = asked_of(CircuitInputs(cars=0.0, reduction=12.0))


@pytest.fixture
def project(tmp_path: Path) -> Iterator[Path]:
    """A project whose code is a line a file."""
    for name in FOLLOWED_BY:
        place = tmp_path / "calculators" / name
        file = place if place.suffix else place / "law.py"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("one = 1\n", encoding="utf-8")
    words = tmp_path / "calculators" / "circuits" / "words.py"
    words.write_text("said = ''\n", encoding="utf-8")
    yield tmp_path
    asking.keep_runs(None)


@pytest.fixture
def followed(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Every question that is really followed."""
    found: list[object] = []
    real = asking.follow_now

    def counted(asked: asking.AskedCircuit) -> asking.Followed:
        found.append(asked)
        return real(asked)

    monkeypatch.setattr(asking, "follow_now", counted)
    return found


def test_a_second_build_follows_nothing_anew(project: Path, followed: list[object]) -> None:
    keep_between_builds(project)
    once = asking.story_of(LIGHT)
    (project / "calculators" / "circuits" / "words.py").write_text("said = 'x'\n", encoding="utf-8")
    keep_between_builds(project)

    assert asking.story_of(LIGHT) == once
    assert followed == [LIGHT]


def test_other_questions_and_other_code_are_followed(project: Path, followed: list[object]) -> None:
    keep_between_builds(project)
    asking.story_of(LIGHT)
    asking.story_of(OTHER)
    (project / "calculators" / "equipment" / "law.py").write_text("one = 2\n", encoding="utf-8")
    keep_between_builds(project)
    asking.story_of(LIGHT)

    assert followed == [LIGHT, OTHER, LIGHT]


def test_a_damaged_run_is_followed_again(project: Path, followed: list[object]) -> None:
    keep_between_builds(project)
    once = asking.story_of(LIGHT)
    for kept in (project / ".work" / "circuit-runs").iterdir():
        kept.write_bytes(kept.read_bytes()[:40])
    keep_between_builds(project)

    assert asking.story_of(LIGHT) == once
    assert followed == [LIGHT, LIGHT]
