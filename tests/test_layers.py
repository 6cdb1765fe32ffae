"""Imports point down the layers without a circle, and `calculators/` stands on the standard library alone."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from textwrap import dedent

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "calculators"
MODULES = sorted(PACKAGE.rglob("*.py"))

# The lowest first; a module may import its own layer and those below, and no other.
LAYERS = (
    "base",
    "law",
    "figures",
    "air",
    "short_links",
    "declaring",
    "equipment",
    "answering",
    "circuits",
    "finding",
    "questions",
    "catalog",
    "study",
    "worksheets",
    "kept",
    "cards",
    "rendering",
    "browser",
    "cli",
)
# Beside the layers: a number that all may name, and the door of `python3 -m calculators`.
BESIDE = ("version", "__main__", "__init__")

# What is fetched on demand may bring a library along: bundled with it, and imported nowhere else.
BUNDLED = {"study.schedule": "fsrs"}

# The two ways in import some of what they need only when it is asked for.
WHEN_ASKED = ("browser", "cli")

MOST_FILES = 15
MOST_LINES = 2_500


def name_of(module: Path) -> str:
    """The module's dotted name below the package; a folder's own file is named as the folder."""
    parts = module.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" and len(parts) > 1 else parts)


def imported(text: str, known: Mapping[str, str] | frozenset[str]) -> Iterator[tuple[str, bool]]:
    """Every module that a text imports, and whether it does so inside a function or a class.

    ``known`` are the package's modules by name, so that a module taken from a folder is told from
    a name taken from a module.
    """
    tree = ast.parse(text)
    outside = {id(node) for node in tree.body}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports name the whole way"
            inside = [f"{node.module}.{alias.name}" for alias in node.names]
            names = [
                one if one.removeprefix("calculators.") in known else str(node.module)
                for one in inside
            ]
        else:
            continue
        for name in names:
            yield name, id(node) not in outside


ALL = {name_of(module): module.read_text(encoding="utf-8") for module in MODULES}


def own_imports(name: str) -> list[str]:
    """The package's own modules that one of them imports, by name."""
    found = [one for one, _ in imported(ALL[name], ALL)]
    return [
        one.removeprefix("calculators.")
        for one in found
        if one.startswith("calculators.") and one != f"calculators.{name}"
    ]


def refusal(importer: str, imports: str) -> str:
    """Why one module may not import another; empty if it may."""
    mine, theirs = importer.split("."), imports.split(".")
    if theirs[0] in BESIDE or mine[0] in BESIDE:
        return "" if theirs[0] != "__main__" else "nothing imports the door"
    for part in (mine[0], theirs[0]):
        if part not in LAYERS:
            return f"calculators/{part} stands in no layer; add it to LAYERS where it belongs"
    if LAYERS.index(theirs[0]) > LAYERS.index(mine[0]):
        return f"{theirs[0]} stands above {mine[0]}"
    if mine[0] == "rendering" and theirs[0] in ("questions", "catalog"):
        return "rendering turns what it is given and asks nobody"
    if mine[0] == theirs[0] == "questions" and "shared" not in theirs[1:2]:
        if mine[1:2] == ["shared"]:
            return "what several questions use knows none of them"
        if mine[1:2] != theirs[1:2]:
            return "no question's folder is imported by another's; put it into questions/shared"
    return ""


@pytest.mark.parametrize("name", ALL)
def test_module(name: str):
    for one, _ in imported(ALL[name], ALL):
        top = one.split(".")[0]
        own = top in ("calculators", "__future__", BUNDLED.get(name))
        assert own or top in sys.stdlib_module_names, f"{name} imports {one}"
    for one in own_imports(name):
        assert not refusal(name, one), f"{name} imports {one}: {refusal(name, one)}"


@pytest.mark.parametrize(
    ("importer", "imports"),
    [
        ("base.results", "law.records"),
        ("air.orifice", "equipment.car"),
        ("law.judging", "declaring.registry"),
        ("equipment.car", "questions.car_brake.declaration"),
        ("circuits.story", "questions.circuit.words"),
        ("answering.answer", "rendering.common"),
        ("kept.settings", "cards.pocket"),
        ("study.items", "kept.settings"),
        ("cards.pocket", "rendering.common"),
        ("rendering.circuit.page", "questions.circuit.asked"),
        ("rendering.answers.html", "catalog"),
        ("questions.circuit.declaration", "questions.locomotive_brake.declaration"),
        ("questions.shared.spacing", "questions.train_run.asked"),
        ("questions.units.declaration", "somewhere.new"),
        ("rendering.answers.text", "browser.replying"),
        ("cli", "__main__"),
    ],
)
def test_the_drawing_refuses(importer: str, imports: str):
    assert refusal(importer, imports)


@pytest.mark.parametrize(
    ("importer", "imports"),
    [
        ("rendering.circuit.page", "circuits.story"),
        ("questions.circuit.declaration", "questions.shared.locomotive"),
        ("questions.circuit.declaration", "questions.circuit.words"),
        ("rendering.answers.card", "version"),
        ("study.items", "catalog"),
        ("__main__", "cli"),
    ],
)
def test_the_drawing_allows(importer: str, imports: str):
    assert not refusal(importer, imports)


def circle(picture: Mapping[str, list[str]]) -> list[str]:
    """The modules that stand in a circle of imports or lead to one; nothing where there is none."""
    left = dict(picture)
    while True:
        free = [name for name, needs in left.items() if not any(one in left for one in needs)]
        if not free:
            return sorted(left)
        for name in free:
            del left[name]


def test_no_circle_of_imports():
    assert not circle({name: own_imports(name) for name in ALL})


def test_a_circle_would_be_found():
    assert circle({"a": ["b"], "b": ["c"], "c": ["a"], "d": ["a"]}) == ["a", "b", "c", "d"]
    assert not circle({"a": ["b"], "b": ["c"], "c": []})


@pytest.mark.parametrize("name", ALL)
def test_imports_stand_at_the_top(name: str):
    if name.split(".")[0] not in WHEN_ASKED:
        assert not [one for one, hidden in imported(ALL[name], ALL) if hidden]


def test_a_hidden_import_would_be_found():
    text = """
        from calculators.law import judging
        import json

        def asked():
            from calculators.base.units import convert
        """
    assert list(imported(dedent(text), frozenset({"law.judging"}))) == [
        ("calculators.law.judging", False),
        ("json", False),
        ("calculators.base.units", True),
    ]


def size(folder: Path) -> tuple[int, int]:
    """How many modules and how many lines a folder holds, its subfolders apart."""
    own = list(folder.glob("*.py"))
    return len(own), sum(len(one.read_text(encoding="utf-8").splitlines()) for one in own)


FOLDERS = sorted({module.parent for module in MODULES})


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: str(f.relative_to(PACKAGE)))
def test_folder_can_be_held_in_mind(folder: Path):
    files, lines = size(folder)
    assert files <= MOST_FILES
    assert lines <= MOST_LINES


def test_a_folder_is_measured_without_its_subfolders(tmp_path: Path):
    (tmp_path / "below").mkdir()
    (tmp_path / "one.py").write_text("a = 1\nb = 2\n", encoding="utf-8")
    (tmp_path / "below" / "two.py").write_text("c = 3\n", encoding="utf-8")
    assert size(tmp_path) == (1, 2)


def test_what_is_shared_is_the_smaller_part():
    lines = {folder: size(folder)[1] for folder in FOLDERS}
    below = {f: n for f, n in lines.items() if (PACKAGE / "questions") in (f, *f.parents)}
    shared = {f: n for f, n in below.items() if (PACKAGE / "questions/shared") in (f, *f.parents)}
    assert 0 < 5 * sum(shared.values()) < sum(below.values())


@pytest.mark.parametrize("name", ALL)
def test_no_module_prints_or_reads(name: str):
    names = {node.id for node in ast.walk(ast.parse(ALL[name])) if isinstance(node, ast.Name)}
    assert not names & {"print", "open", "eval", "exec"}


def test_command_line_runs_without_site_packages():
    done = subprocess.run(
        [sys.executable, "-S", "-m", "calculators", "locomotive-brake"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "locomotive cylinder 25 psi" in done.stdout
