"""A figure of the trade is typed once, under a name."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "calculators"

# Beside the figure, the one module that may type it.
ONCE = {
    14.7: "base/units.py",
    1728.0: "base/units.py",
}


def typed(figure: float, text: str) -> bool:
    """Whether a module's code, its documentation apart, holds the bare number."""
    return any(
        isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and node.value == figure
        for node in ast.walk(ast.parse(text))
    )


@pytest.mark.parametrize(("figure", "home"), ONCE.items())
def test_typed_once(figure: float, home: str):
    found = [
        module.relative_to(PACKAGE).as_posix()
        for module in sorted(PACKAGE.rglob("*.py"))
        if typed(figure, module.read_text(encoding="utf-8"))
    ]
    assert found == [home]


def test_a_bare_number_would_be_found():
    assert typed(14.7, "a = 2 * 14.7")
    assert not typed(14.7, '"""At 14.7 psi."""\na = 14.2')
