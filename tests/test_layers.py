"""Imports point down the layers, and `calculators/` stands on the standard library alone."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "calculators"
MODULES = sorted(PACKAGE.rglob("*.py"))

# Lower layers first; a module may import its own layer and those below.
LAYERS = (
    ("base", "version"),
    ("law",),
    ("air",),
    ("declaring",),
    ("equipment",),
    ("circuits",),
    ("questions",),
    ("catalog", "answering"),
    ("railroad", "rendering"),
    ("study",),
    ("cli", "browser", "__main__"),
)


def layer_of(part: str) -> int:
    for number, names in enumerate(LAYERS):
        if part in names:
            return number
    raise AssertionError(
        f"calculators/{part} stands in no layer; add it to LAYERS where it belongs"
    )


def imports(module: Path) -> list[str]:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.append(node.module)
            if node.module == "calculators":
                found += [f"calculators.{alias.name}" for alias in node.names]
    return found


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(PACKAGE)))
def test_module(module: Path):
    inside = module.relative_to(PACKAGE)
    for name in imports(module):
        top, _, rest = name.partition(".")
        if top != "calculators":
            assert top in sys.stdlib_module_names or top == "__future__", f"{inside} imports {name}"
        elif rest and inside.name != "__init__.py":
            mine = layer_of(inside.parts[0].removesuffix(".py"))
            assert layer_of(rest.split(".")[0]) <= mine, (
                f"{inside} imports {name}, a layer above it"
            )


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(PACKAGE)))
def test_no_module_prints_or_reads(module: Path):
    tree = ast.parse(module.read_text(encoding="utf-8"))
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
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
