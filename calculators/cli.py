"""The command line: ``python3 -m calculators`` lists, ``... NAME field=value`` answers."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.refusals import repeated
from calculators.base.errors import UnknownNameError
from calculators.base.fields import range_words
from calculators.base.quantities import Choice, Quantity, Text
from calculators.catalog import every_calculator, find_calculator
from calculators.declaring.registry import Calculator
from calculators.rendering.answers.json_form import answer_json
from calculators.rendering.answers.text import answer_text, error_text

BAD_INPUT = 2
_COMMAND = "air-brake-field-reference"


def main(arguments: Sequence[str] | None = None) -> int:
    """Answer one question, or list what can be asked; returns the exit status."""
    parser = argparse.ArgumentParser(
        prog=_program(),
        description="Answers about the 26-L type locomotive air brake and its train.",
        epilog="Figures take units: brake_pipe_setting='5.9 bar'. Without one they are in the trade's unit.",
    )
    parser.add_argument("name", nargs="?", help="a calculator; without it all are listed")
    parser.add_argument("inputs", nargs="*", metavar="field=value", help="inputs as typed")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--fields", action="store_true", help="list the calculator's inputs")
    given = parser.parse_intermixed_args(arguments)
    if given.name is None:
        sys.stdout.write(_listing())
        return 0
    try:
        calculator = find_calculator(given.name)
        if given.fields:
            sys.stdout.write(_fields(calculator))
            return 0
        raw: dict[str, str] = {}
        for name, value in (_pair(calculator, text) for text in given.inputs):
            if name in raw:
                raise UnknownNameError(next(iter(repeated([name]).values())))
            raw[name] = value
    except UnknownNameError as error:
        sys.stderr.write(f"{error}\n")
        return BAD_INPUT
    result = finished(answer(calculator, raw))
    problem = next((name for name in result.unknown), None)
    if problem is not None:
        sys.stderr.write(_unknown(calculator, problem))
        return BAD_INPUT
    if result.outcome is None:
        sys.stderr.write(error_text(result))
        if given.json:
            sys.stdout.write(answer_json(result))
        return BAD_INPUT
    sys.stdout.write(answer_json(result) if given.json else answer_text(result))
    return 0


def _program() -> str:
    """The words this program was called by: as a module, or as the installed command."""
    called = Path(sys.argv[0])
    return _COMMAND if called.name == _COMMAND else "python3 -m calculators"


def _pair(calculator: Calculator, text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        first = next(iter(calculator.inputs()))
        raise UnknownNameError(
            f'"{text[:60]}" is no input; write field=value, for example {first}=85'
        )
    return name.strip(), value


def _unknown(calculator: Calculator, name: str) -> str:
    near = get_close_matches(name, calculator.inputs(), n=3)
    advice = f"did you mean {' or '.join(near)}?" if near else "see --fields for its inputs"
    return f'{calculator.name} has no input "{name[:60]}"; {advice}\n'


def _listing() -> str:
    known = every_calculator()
    width = max(len(name) for name in known)
    lines = [f"{name:<{width}}  {c.question}" for name, c in sorted(known.items())]
    return "\n".join([*lines, "", f"{_program()} NAME field=value ... [--json] [--fields]", ""])


def _fields(calculator: Calculator) -> str:
    lines = [calculator.question]
    for name, description in calculator.inputs().items():
        default = calculator.defaults()[name]
        if isinstance(description, Choice):
            what = ", ".join(option.value for option in description.options)
        elif isinstance(description, Quantity):
            what = range_words(description)
        else:
            assert isinstance(description, Text)
            what = " or ".join(piece.text for piece in description.pieces) or description.help
        stands = (
            ""
            if default is None
            else f" [{default:g}]"
            if isinstance(default, float)
            else f" [{default}]"
        )
        lines.append(f"  {name}{stands}: {description.term}; {what}")
    return "\n".join([*lines, ""])
