"""The sample of small wrong changes: what is changed, what is drawn, how it is scored.

The sample itself is run in the longer trials: `python3 build bench mutants` prints its survivors.
"""

from __future__ import annotations

import ast
from functools import partial
from pathlib import Path

import pytest

from generator.bench.cover import Cover, cover_of, parted, statement
from generator.bench.mutants import (
    DRAWN_FROM,
    Trial,
    Verdict,
    all_mutants,
    asked,
    equivalents,
    key,
    row,
    sample,
    verdicts_of,
)
from generator.bench.mutating import Mutant, mutants_of

ROOT = Path(__file__).parents[2]
LEAST_FOUND = 0.90
MOST_EQUIVALENT = 0.10


def changed(text: str) -> list[str]:
    """Every changed text of a module."""
    return [one.applied(text) for one in mutants_of("x.py", text)]


@pytest.mark.parametrize(
    ("text", "made"),
    [
        ("a < b\n", ["a <= b\n", "a > b\n"]),
        ("a == b\n", ["a != b\n"]),
        ("a is not None\n", ["a is None\n"]),
        ("a - b\n", ["a + b\n"]),
        ("a ** b\n", ["a * b\n"]),
        ("a and b\n", ["a or b\n"]),
        ("not a\n", ["a\n"]),
        ("min(a, b)\n", ["max(a, b)\n"]),
        ("x = 45.0\n", ["x = 40.5\n", "x = 49.5\n"]),
        ("x = 14\n", ["x = 13\n", "x = 15\n"]),
        ("x = True\n", ["x = False\n"]),
        ('"psi ≥ 45"\nx = 0.0  # ≤\n', ['"psi ≥ 45"\nx = 1.0  # ≤\n']),
        ("def f(x: T[1]) -> T[2]:\n    '1 < 2'\n", []),
        ("@d(frozen=True)\nclass C: ...\n", []),
    ],
)
def test_what_is_changed(text: str, made: list[str]):
    assert sorted(changed(text)) == made


def test_every_change_of_our_modules_is_still_a_program():
    for part in ("law", "figures", "equipment/force"):
        for module in sorted((ROOT / "calculators" / part).rglob("*.py")):
            text = module.read_text(encoding="utf-8")
            for mutant in mutants_of("x.py", text):
                other = mutant.applied(text)
                assert other != text
                ast.parse(other)


def test_the_date_draws_the_sample():
    drawn = sample(ROOT, 50, "2026-11-29")
    assert drawn == sample(ROOT, 50, "2026-11-29")
    assert drawn != sample(ROOT, 50, "2026-11-30")
    assert len(set(drawn)) == 50
    assert {one.module.split("/")[1] for one in drawn} <= set(DRAWN_FROM)
    assert asked("60:2026-11-29") == (60, "2026-11-29")
    assert asked("7")[0] == 7


MODULE = """LIMIT = 14


@tool
def late(days):
    if (
        days
        > LIMIT
    ):
        return True
    return False
"""


@pytest.mark.parametrize(
    ("line", "lines", "in_function"),
    [
        (1, range(1, 2), False),
        (5, range(5, 6), False),
        (8, range(6, 10), True),
        (10, range(10, 11), True),
    ],
)
def test_the_statement_of_a_line(line: int, lines: range, in_function: bool):
    assert statement(MODULE, line) == (lines, in_function)


def test_who_runs_a_line_is_asked_near_and_quick_ones_first():
    slow, quick, near, of_all = (
        "tests/a/test_slow.py::test_1",
        "tests/a/test_quick.py::test_1",
        "tests/law/test_days.py::test_1",
        "tests/test_every.py::test_1",
    )
    cover = Cover(
        lines={"calculators/law/days.py": {8: {slow, quick, near}, 10: {quick}}},
        seconds={slow: 9.0, quick: 1.0, near: 2.0, of_all: 4.0},
        imports={},
    )
    asked_for = partial(cover.tests, "calculators/law/days.py", MODULE)
    assert asked_for(8, most=60.0) == [near, quick, slow, of_all]
    assert asked_for(8, most=4.0) == [near, quick, of_all]
    assert asked_for(8, most=0.0) == [near, quick, of_all]
    assert asked_for(10, most=60.0) == [quick, near, of_all]
    # Read at the import, which is nobody's.
    assert asked_for(1, most=60.0) == [near, quick, slow, of_all]
    assert parted([near, quick, slow], cover.seconds, 4.0) == [[near, quick], [slow]]


def test_of_a_question_its_own_case_is_asked_and_of_a_model_all():
    every = "tests/test_every.py::test_1"
    of_car, of_brakes = f"{every}[car-brake]", f"{every}[hand-brakes]"
    ours, model = "calculators/questions/car_brake/words.py", "calculators/equipment/car.py"
    cover = Cover(
        lines={ours: {2: {every}}, model: {2: {every}}},
        seconds={of_car: 2.0, of_brakes: 1.0},
        imports={},
    )
    text = "def f():\n    return 1\n"
    assert cover.tests(ours, text, 2, most=9.0) == [of_car]
    assert cover.tests(model, text, 2, most=9.0) == [of_car, of_brakes]


def test_whoever_runs_what_imports_a_module_runs_it():
    """The modules that run thousands of times a second are not noted line by line."""
    hot, warm, noted, test = (
        "calculators/equipment/train/stepping/flows.py",
        "calculators/equipment/train/running.py",
        "calculators/questions/release/model.py",
        "tests/questions/test_release.py::test_1",
    )
    cover = Cover(
        lines={noted: {1: {test}}},
        seconds={test: 1.0},
        imports={warm: {hot}, noted: {warm}, hot: set()},
    )
    assert cover.tests(hot, "def f():\n    return 1\n", 2, most=9.0) == [test]


def test_a_slip_is_found_by_who_runs_it_or_survives(tmp_path: Path):
    """A small project, from the run that notes who runs what to the verdict on each change."""
    texts = {
        "calculators/__init__.py": "",
        "calculators/law/__init__.py": "",
        "calculators/law/days.py": MODULE.replace("@tool\n", "")
        + "\n\ndef unasked(x):\n    return x + 1\n",
        "calculators/questions/day_count/__init__.py": "",
        "tests/law/test_days.py": "import pytest\nfrom calculators.law.days import late, unasked\n\n\n"
        "@pytest.mark.parametrize('name', ['day-count', 'one case'])\n"
        "def test_late(name):\n    assert late(15)\n    assert not late(14)\n\n\n"
        "class TestUnasked:\n    def test_unasked(self):\n        unasked(1)\n",
        "tests/mutants/equivalent.toml": "equivalent = []\n",
        "pyproject.toml": "[tool.pytest.ini_options]\npythonpath = ['.']\nmarkers = ['browser', 'long']\n"
        "addopts = ['--import-mode=importlib']\n",
    }
    for name, text in texts.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    drawn = all_mutants(tmp_path)
    assert len(drawn) == 9
    found = {one.mutant.words(): one.found_by for one in verdicts_of(tmp_path, drawn)}
    assert "tests/law/test_days.py::TestUnasked::test_unasked" in cover_of(tmp_path).seconds
    survivors = {words for words, by in found.items() if not by}
    assert {words.split(":")[1] for words in survivors} == {"14"}
    assert len(survivors) == 3
    assert set(found.values()) - {""} == {"tests/law/test_days.py::test_late[day-count]"}


def test_tests_that_nobody_knows_are_no_proof(tmp_path: Path):
    """A name that pytest does not take would end every run and find every change."""
    (tmp_path / "calculators").mkdir()
    (tmp_path / "calculators" / "x.py").write_text("1\n", encoding="utf-8")
    unknown = "tests/test_x.py::test_gone"
    cover = Cover(lines={}, seconds={unknown: 1.0}, imports={})
    with pytest.raises(RuntimeError, match="does not know"):
        Trial(tmp_path, mutant("2"), cover, {}).found_by()


def mutant(after: str) -> Mutant:
    return Mutant(
        module="calculators/x.py", line=1, start=0, end=1, before="1", after=after, code="1"
    )


def test_the_score_counts_neither_the_equivalent_nor_hides_a_survivor():
    verdicts = [
        Verdict(mutant=mutant("2"), found_by="tests/x.py", seconds=1),
        Verdict(mutant=mutant("3"), found_by="", seconds=1),
        Verdict(mutant=mutant("4"), found_by="", seconds=1, equivalent="changes nothing"),
    ]
    printed = row(verdicts, "2026-11-29")
    assert printed.measured == "1 of 2 found (50 %), 1 of 3 equivalent"
    assert "calculators/x.py:1: 1 -> 3" in printed.how
    assert "1 -> 4" not in printed.how


def test_whoever_is_called_equivalent_is_still_a_change_and_says_why():
    there = {key(one) for one in all_mutants(ROOT)}
    known = equivalents(ROOT)
    assert set(known) - there == set()
    assert all(len(reason) > 20 for reason in known.values())


@pytest.mark.long
def test_at_least_nine_of_ten_are_found():
    number, drawn = asked("")
    verdicts = list(verdicts_of(ROOT, sample(ROOT, number, drawn)))
    score = row(verdicts, drawn).line()
    equivalent = [one for one in verdicts if one.equivalent]
    found = [one for one in verdicts if one.found_by]
    assert len(equivalent) <= MOST_EQUIVALENT * len(verdicts), score
    assert len(found) >= LEAST_FOUND * (len(verdicts) - len(equivalent)), score
