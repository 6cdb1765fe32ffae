"""Rounding, display units, phrases."""

from __future__ import annotations

import ast
from pathlib import Path
from string import Formatter

import pytest

from calculators.base.quantities import Choice, Option, Quantity
from calculators.base.results import Display, Value, plain, psi, rounded, say
from calculators.declaring.inputs import description_of

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("amount", "digits", "text"),
    [
        (12.5, 0, "13"),
        (0.5, 0, "1"),
        (2.675, 2, "2.68"),
        (-0.4, 0, "0"),
        (-1.5, 0, "-2"),
        (12345.6, 0, "12,346"),
    ],
)
def test_halves_go_up_and_zero_has_no_sign(amount: float, digits: int, text: str):
    assert rounded(amount, digits) == text


def test_pressures_are_shown_in_the_chosen_unit():
    # 30 psi = 206.84 kPa = 2.0684 bar (NIST SP 811: 1 psi = 6.894757 kPa).
    assert Display().value(psi(30)) == "30 psi"
    assert Display(pressure="kPa").value(psi(30)) == "207 kPa"
    assert Display(pressure="bar").value(psi(30)) == "2.07 bar"
    assert Display(pressure="kPa").value(Value(5, "psi/min")) == "34 kPa/min"
    assert Display(pressure="bar").value(Value(8, "in")) == "8 in"
    assert Display().value(Value(85, "%")) == "85%"
    assert (
        Display().value(psi(30, band=2)) == "30 psi ± 2 psi"
        or Display().value(psi(30, band=2)) == "30 ± 2 psi"
    )


def test_plain_is_short():
    assert plain(7.50) == "7.5"
    assert plain(1e12) == "1000000000000.0"


def test_phrase_needs_its_parts():
    with pytest.raises(ValueError, match="asks for"):
        say("{a} off")
    with pytest.raises(ValueError, match="asks for"):
        say("nothing", a="1")
    assert say("{a} cars, {b} off", a=3, b=psi(10)).text(Display()) == "3 cars, 10 psi off"
    assert say("{b}", b=psi(1)).pieces(Display()) == [("1 psi", True)]


def test_a_quantity_needs_a_unit_of_the_table():
    with pytest.raises(ValueError, match="no unit is called"):
        Quantity(term="x", unit="furlong")


def test_choice_words():
    choice = Choice(term="x", options=(Option(value="a", words="the first"),))
    assert choice.words_of("a") == "the first"


def test_a_parameter_without_description_is_refused():
    with pytest.raises(TypeError, match="carries no description"):
        description_of("x", float)


def templates(node: ast.expr) -> list[str] | None:
    """The texts that a template may be, as it stands in the source; None where it is put together."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        both = templates(node.body), templates(node.orelse)
        return None if None in both else [text for texts in both for text in texts or []]
    return None


def test_every_phrase_has_a_part_for_each_place_whichever_way_it_is_said():
    """Drawn at random in a longer trial: one car is said otherwise than two, and was not said at all."""
    wrong, seen = [], 0
    for file in sorted((ROOT / "calculators").rglob("*.py")):
        for call in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not (isinstance(call, ast.Call) and getattr(call.func, "id", "") == "say"):
                continue
            texts = templates(call.args[0])
            if texts is None or any(part.arg is None for part in call.keywords):
                continue
            seen += 1
            parts = {part.arg for part in call.keywords}
            for text in texts:
                places = {place for _, place, _, _ in Formatter().parse(text) if place is not None}
                if places != parts:
                    wrong.append(f"{file.name}:{call.lineno} {text}")
    assert wrong == []
    assert seen > 500
