"""A figure inside a page's text: asked by words, for the example or for a railroad's settings."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import parse_qsl

from calculators.answering.answer import answer
from calculators.answering.follow import with_results
from calculators.answering.shown import shown
from calculators.base.errors import UnknownNameError, near
from calculators.catalog import find_calculator
from calculators.kept.settings import settings_for


def embedded_text(
    name: str, result: str, entries: Mapping[str, str], *, record: Mapping[str, str] | None = None
) -> str:
    """A result or an input of an answer, shown as the answer would show it.

    Parameters
    ----------
    name
        The calculator.
    result
        One of its results or inputs.
    entries
        What the page's author set, as typed; it beats the settings.
    record
        A railroad's settings by key; without one the calculator's example fills what is needed.

    Returns
    -------
    str
        The figure with its unit, rounded as the calculator declares.

    Raises
    ------
    UnknownNameError
        If there is no such calculator, input or result.
    ValueError
        If an entry cannot be read, or an input that stands empty is asked for.
    """
    calculator = find_calculator(name)
    own = settings_for(calculator, record) if record else {}
    found = answer(calculator, entries, settings=own, example=True)
    if found.unknown:
        wrong = [f"{one}{near(one, calculator.inputs())}" for one in found.unknown]
        raise UnknownNameError(f"{calculator.name} has no input {', '.join(wrong)}")
    if found.errors:
        raise ValueError("; ".join(found.errors.values()))
    found = with_results(found, (result,))
    inputs = {item.name: item.value for item in found.inputs}
    if result in calculator.outputs():
        return shown(calculator.outputs()[result], found.results()[result], found.display)
    if result not in inputs:
        known = [*calculator.outputs(), *inputs]
        raise UnknownNameError(f"{name} has no result or input {result!r}{near(result, known)}")
    if inputs[result] is None:
        raise ValueError(f"{name}.{result} stands empty and has no figure to print")
    return shown(calculator.inputs()[result], inputs[result], found.display)


def embedded(words: str, record: Mapping[str, str]) -> str:
    """The same by the words that a page keeps: ``calculator.result?field=value&...``.

    Examples
    --------
    >>> embedded("locomotive-brake.brake_cylinder?reduction=12", {"brake_pipe_setting": "85"})
    '30 psi'
    """
    asked, _, query = words.partition("?")
    name, _, result = asked.partition(".")
    return embedded_text(name, result, dict(parse_qsl(query)), record=record)
