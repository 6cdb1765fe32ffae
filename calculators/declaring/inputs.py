"""The inputs of a question as one frozen dataclass, read field by field.

A field is an input (its type carries a ``Description``), or a group: a dataclass of inputs that
several questions share, such as the train or the car. Links, forms and scripts know no groups: for
them the inputs of a group stand among the others under their own names.

``Takes`` names the inputs of a group that a question asks for, in their order; the others keep the
group's default. ``After`` puts a single input behind another one, for an order that was published
before the groups were.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from typing import Any, get_type_hints

from calculators.base.fields import Plain
from calculators.base.quantities import Description


class Takes:
    """The inputs of a group that a question asks for, in their order."""

    def __init__(self, *names: str) -> None:
        self.names = names


class After:
    """Put an input behind another one by its name."""

    def __init__(self, name: str) -> None:
        self.name = name


@dataclass(frozen=True, slots=True)
class Entry:
    """One input: the group's field that holds it (empty for none), what it is, its default."""

    group: str
    description: Description
    default: Plain


@cache
def entries(inputs: type) -> Mapping[str, Entry]:
    """Every input of a question by its published name, in the published order.

    Raises
    ------
    TypeError
        If a field is neither an input nor a group, or a name stands there twice.
    """
    defaults = inputs()
    found: dict[str, Entry] = {}
    behind: dict[str, str] = {}
    for name, hint in _hints(inputs).items():
        default = getattr(defaults, name)
        if not is_dataclass(default):
            found[name] = Entry("", description_of(name, hint), default)
            for mark in _marks(hint, After):
                behind[name] = mark.name
            continue
        hints = _hints(type(default))
        taken = [one for mark in _marks(hint, Takes) for one in mark.names] or list(hints)
        for one in taken:
            if one in found:
                raise TypeError(f"{inputs.__name__} has two inputs {one}")
            found[one] = Entry(name, description_of(one, hints[one]), getattr(default, one))
    return {name: found[name] for name in _ordered(list(found), behind)}


def given(inputs: type, values: Mapping[str, Plain]) -> Any:
    """The inputs of a question from values by their published names; the rest as by default.

    Raises
    ------
    TypeError
        If a name is none of its inputs.
    """
    known = entries(inputs)
    own: dict[str, Any] = {}
    grouped: dict[str, dict[str, Plain]] = {}
    for name, value in values.items():
        if name not in known:
            raise TypeError(f"{inputs.__name__} has no input {name}")
        group = known[name].group
        (grouped.setdefault(group, {}) if group else own)[name] = value
    start = inputs()
    for group, taken in grouped.items():
        own[group] = replace(getattr(start, group), **taken)
    return replace(start, **own)


def description_of(name: str, hint: Any) -> Description:
    """The description that a type carries.

    Raises
    ------
    TypeError
        If it carries none.
    """
    for mark in getattr(hint, "__metadata__", ()):
        if isinstance(mark, Description):
            return mark
    raise TypeError(f"{name} carries no description in its type")


def _hints(owner: type) -> Mapping[str, Any]:
    hints = get_type_hints(owner, include_extras=True)
    return {field.name: hints[field.name] for field in fields(owner)}


def _marks(hint: Any, kind: type) -> list[Any]:
    return [item for item in getattr(hint, "__metadata__", ()) if isinstance(item, kind)]


def _ordered(names: list[str], behind: Mapping[str, str]) -> list[str]:
    """The names with those that stand behind another one moved there, in the order they come."""
    ordered = [name for name in names if name not in behind]
    last: dict[str, str] = {}
    for name, other in behind.items():
        ordered.insert(ordered.index(last.get(other, other)) + 1, name)
        last[other] = name
    return ordered
