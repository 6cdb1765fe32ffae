"""Small wrong changes of a module's text, one at a time: what a slip of the keyboard could make."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

_COMPARED: dict[type[ast.cmpop], tuple[str, str]] = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
}
_REVERSED = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}
_RECKONED: dict[type[ast.operator], tuple[str, str]] = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Mod: ("%", "*"),
    ast.Pow: ("**", "*"),
}
_CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One change of one module: where, what stood there, what stands there instead."""

    module: str
    line: int
    start: int
    end: int
    before: str
    after: str
    code: str

    def applied(self, text: str) -> str:
        """The module's text with the change in it."""
        raw = text.encode("utf-8")
        return (raw[: self.start] + self.after.encode() + raw[self.end :]).decode("utf-8")

    def words(self) -> str:
        """The change as one line."""
        return f"{self.module}:{self.line}: {self.before} -> {self.after}   in   {self.code}"


def mutants_of(module: str, text: str) -> tuple[Mutant, ...]:
    """Every change of a module's text that still is a program, in the order of the text.

    Annotations, docstrings, decorators and imports are left alone.
    """
    return tuple(sorted(_Found(module, text).all(), key=lambda one: (one.start, one.after)))


class _Found:
    """The places of one text where something can be changed."""

    def __init__(self, module: str, text: str) -> None:
        self.module = module
        self.raw = text.encode("utf-8")
        self.lines = text.splitlines()
        self.starts = [0]
        for line in text.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line.encode("utf-8")))
        self.tree = ast.parse(text)

    def all(self) -> Iterator[Mutant]:
        for node in self._nodes(self.tree):
            yield from self._changes(node)

    def _nodes(self, node: ast.AST) -> Iterator[ast.AST]:
        """Every node that runs, without annotations and what only types read."""
        yield node
        for field, value in ast.iter_fields(node):
            if field in ("annotation", "returns", "type_params", "decorator_list"):
                continue
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from self._nodes(child)

    def _changes(self, node: ast.AST) -> Iterator[Mutant]:
        match node:
            case ast.Constant(value=bool() as value):
                yield self._mutant(node, str(not value))
            case ast.Constant(value=int() | float() as value):
                yield from (self._mutant(node, other) for other in _other_numbers(value))
            case ast.Compare(left=left, ops=[op], comparators=[right]):
                yield from self._between(left, right, *_COMPARED[type(op)])
                sign = _COMPARED[type(op)][0]
                if sign in _REVERSED:
                    yield from self._between(left, right, sign, _REVERSED[sign])
            case ast.BinOp(left=left, op=op, right=right) if type(op) in _RECKONED:
                yield from self._between(left, right, *_RECKONED[type(op)])
            case ast.BoolOp(op=op, values=values):
                was, other = ("and", "or") if isinstance(op, ast.And) else ("or", "and")
                for one, next_one in pairwise(values):
                    yield from self._between(one, next_one, was, other)
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                start, end = self._start(node), self._start(operand)
                yield self._at(start, end, "", node.lineno)
            case ast.Call(func=ast.Name(id=name) as called) if name in _CALLED:
                yield self._mutant(called, _CALLED[name])
            case _:
                return

    def _between(self, left: ast.expr, right: ast.expr, was: str, other: str) -> Iterator[Mutant]:
        """The sign between two operands changed; nothing if brackets or comments hide it."""
        end, start = self._end(left), self._start(right)
        gap = self.raw[end:start].decode("utf-8")
        place = gap.find(was)
        if place < 0 or "#" in gap or gap.count(was) > 1:
            return
        at = end + len(gap[:place].encode("utf-8"))
        yield self._at(at, at + len(was.encode()), other, left.end_lineno or left.lineno)

    def _mutant(self, node: ast.expr, after: str) -> Mutant:
        return self._at(self._start(node), self._end(node), after, node.lineno)

    def _at(self, start: int, end: int, after: str, line: int) -> Mutant:
        return Mutant(
            module=self.module,
            line=line,
            start=start,
            end=end,
            before=self.raw[start:end].decode("utf-8"),
            after=after,
            code=self.lines[line - 1].strip(),
        )

    def _start(self, node: ast.expr) -> int:
        return self.starts[node.lineno - 1] + node.col_offset

    def _end(self, node: ast.expr) -> int:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.starts[node.end_lineno - 1] + node.end_col_offset


def _other_numbers(value: float) -> tuple[str, ...]:
    """A number a little more and a little less: what a wrong digit makes."""
    if isinstance(value, int):
        return (str(value + 1), str(value - 1) if value > 0 else "-1")
    if value == 0.0:
        return ("1.0",)
    return (f"{value * 1.1:.9g}", f"{value * 0.9:.9g}")
