"""A module of WebAssembly as far as the packing changes it: what it exports, and who calls whom.

Functions keep their numbers, so nothing in a body has to be written anew: one that nobody can
reach any more gets an empty body. Any instruction that is not known here is an error, never a guess.
"""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

_HEAD = b"\0asm\1\0\0\0"
_IMPORTS, _EXPORTS, _START, _ELEMENTS, _CODE = 2, 7, 8, 9, 10
_FUNCTION = 0
# No locals, `unreachable`, `end`.
_EMPTY_BODY = b"\x00\x00\x0b"
_CALLS = (0x10, 0x12, 0xD2)
"""`call`, `return_call` and `ref.func` name a function."""


class WasmError(ValueError):
    """The module holds something that is not known here; says what and where."""


@dataclass(frozen=True, slots=True)
class Export:
    """What a module gives out under a name: a function (kind 0), a table, memory, value or tag."""

    name: str
    kind: int
    number: int


def exports(module: bytes) -> tuple[Export, ...]:
    """List what a module exports."""
    return tuple(_exports(dict(_sections(module))[_EXPORTS]))


def imports(module: bytes) -> frozenset[tuple[str, str]]:
    """List what a module imports: the names of the module and of the thing."""
    return frozenset((place, name) for place, name, _ in _imports(dict(_sections(module))))


def lean(module: bytes, wanted: Collection[str]) -> bytes:
    """Give the module with only some of its exports, and without what only the others reached.

    Parameters
    ----------
    module
        The module.
    wanted
        The names of the exports to keep.

    Raises
    ------
    WasmError
        If a wanted export is not there, or something in the module is not known.
    """
    sections = _sections(module)
    by_kind = dict(sections)
    found = tuple(_exports(by_kind[_EXPORTS]))
    if missing := sorted(set(wanted) - {export.name for export in found}):
        raise WasmError(f"the module exports no {', '.join(missing)}")
    kept = [export for export in found if export.name in wanted]
    before = sum(kind == _FUNCTION for *_, kind in _imports(by_kind))
    bodies = _bodies(by_kind[_CODE])
    roots = {export.number for export in kept if export.kind == _FUNCTION}
    roots |= set(_elements(by_kind.get(_ELEMENTS, b"\0")))
    if _START in by_kind:
        roots.add(_number(by_kind[_START], 0)[0])
    needed = _reached(roots, bodies, before)
    changed = {
        _EXPORTS: _vector(_export_bytes(export) for export in kept),
        _CODE: _vector(
            _sized(body if number in needed else _EMPTY_BODY)
            for number, body in enumerate(bodies, start=before)
        ),
    }
    return _HEAD + b"".join(
        bytes([kind]) + _sized(changed.get(kind, content)) for kind, content in sections
    )


def _reached(roots: Collection[int], bodies: list[bytes], before: int) -> set[int]:
    """Give the functions that can be reached from some; those below `before` are imported."""
    reached: set[int] = set()
    waiting = list(roots)
    while waiting:
        number = waiting.pop()
        if number in reached or number < before:
            continue
        reached.add(number)
        waiting += _called(bodies[number - before])
    return reached


# ---- sections -------------------------------------------------------------------------------------


def _sections(module: bytes) -> list[tuple[int, bytes]]:
    if not module.startswith(_HEAD):
        raise WasmError("not a module of the known version")
    found, at = [], len(_HEAD)
    while at < len(module):
        size, start = _number(module, at + 1)
        if start + size > len(module):
            raise WasmError("a section that is longer than the module")
        found.append((module[at], module[start : start + size]))
        at = start + size
    return found


def _imports(sections: dict[int, bytes]) -> Iterator[tuple[str, str, int]]:
    content = sections.get(_IMPORTS, b"\0")
    count, at = _number(content, 0)
    for _ in range(count):
        place, at = _name(content, at)
        name, at = _name(content, at)
        kind, at = content[at], at + 1
        if kind == _FUNCTION:
            at = _number(content, at)[1]
        elif kind in (1, 2):
            at = _limits(content, at + (kind == 1))
        elif kind == 3:
            at += 2
        elif kind == 4:
            at = _number(content, at + 1)[1]
        else:
            raise WasmError(f"an import of the kind {kind}")
        yield place, name, kind


def _limits(content: bytes, at: int) -> int:
    flags = content[at]
    at = _number(content, at + 1)[1]
    return _number(content, at)[1] if flags & 1 else at


def _exports(content: bytes) -> Iterator[Export]:
    count, at = _number(content, 0)
    for _ in range(count):
        name, at = _name(content, at)
        number, after = _number(content, at + 1)
        yield Export(name, content[at], number)
        at = after


def _export_bytes(export: Export) -> bytes:
    return _sized(export.name.encode()) + bytes([export.kind]) + _coded(export.number)


def _elements(content: bytes) -> Iterator[int]:
    """Give the functions whose address is taken; only the plain form of the list is known."""
    count, at = _number(content, 0)
    for _ in range(count):
        flags, at = _number(content, at)
        if flags != 0 or content[at] != 0x41:
            raise WasmError(f"a list of addresses of the form {flags}")
        at = _number(content, at + 1)[1]
        if content[at] != 0x0B:
            raise WasmError("a list of addresses whose place is worked out")
        functions, at = _number(content, at + 1)
        for _ in range(functions):
            number, at = _number(content, at)
            yield number


def _bodies(content: bytes) -> list[bytes]:
    count, at = _number(content, 0)
    found = []
    for _ in range(count):
        size, start = _number(content, at)
        found.append(content[start : start + size])
        at = start + size
    return found


# ---- instructions -----------------------------------------------------------------------------------


def _called(body: bytes) -> Iterator[int]:
    """Give the functions that a body names."""
    groups, at = _number(body, 0)
    for _ in range(groups):
        at = _number(body, at)[1] + 1
    end = len(body)
    while at < end:
        code = body[at]
        at += 1
        if code in _CALLS:
            number, at = _number(body, at)
            yield number
            continue
        skip = _SKIPS[code]
        if skip is None:
            raise WasmError(f"the instruction {code:#x}")
        if skip is not _nothing:
            at = skip(body, at)


Skip = Callable[[bytes, int], int]


def _nothing(body: bytes, at: int) -> int:
    return at


def _one(body: bytes, at: int) -> int:
    while body[at] > 0x7F:
        at += 1
    return at + 1


def _two(body: bytes, at: int) -> int:
    return _one(body, _one(body, at))


def _address(body: bytes, at: int) -> int:
    if body[at] & 0x40:
        raise WasmError("more than one memory")
    return _two(body, at)


def _bytes(count: int) -> Skip:
    return lambda body, at: at + count


def _list(extra: int) -> Skip:
    def skip(body: bytes, at: int) -> int:
        count, at = _number(body, at)
        for _ in range(count + extra):
            at = _one(body, at)
        return at

    return skip


def _catches(body: bytes, at: int) -> int:
    count, at = _number(body, _one(body, at))
    for _ in range(count):
        kind = body[at]
        at = _two(body, at + 1) if kind < 2 else _one(body, at + 1)
    return at


def _more(body: bytes, at: int) -> int:
    """Instructions of two numbers, the first of them 0xFC: conversions, and whole memories."""
    code, at = _number(body, at)
    if code < 8:
        return at
    if code in (8, 10, 12, 14):
        return _two(body, at)
    if code in (9, 11, 13, 15, 16, 17):
        return _one(body, at)
    raise WasmError(f"the instruction 0xfc {code:#x}")


def _vectors(body: bytes, at: int) -> int:
    """Instructions on vectors: 0xFD and a number."""
    code, at = _number(body, at)
    if code < 12 or code in (92, 93):
        return _address(body, at)
    if code in (12, 13):
        return at + 16
    if 21 <= code <= 34:
        return at + 1
    if 84 <= code <= 91:
        return _address(body, at) + 1
    if code < 256:
        return at
    raise WasmError(f"the instruction 0xfd {code:#x}")


def _table() -> list[Skip | None]:
    skips: list[Skip | None] = [None] * 256
    for codes, skip in (
        (
            (0x00, 0x01, 0x05, 0x0A, 0x0B, 0x0F, 0x19, 0x1A, 0x1B, 0xD1, *range(0x45, 0xC5)),
            _nothing,
        ),
        ((0x02, 0x03, 0x04, 0x06, 0x07, 0x08, 0x09, 0x0C, 0x0D, 0x14, 0x18), _one),
        ((*range(0x20, 0x27), 0x3F, 0x40, 0x41, 0x42, 0xD0), _one),
        ((0x11, 0x13), _two),
        (range(0x28, 0x3F), _address),
        ((0x0E,), _list(1)),
        ((0x1C,), _list(0)),
        ((0x1F,), _catches),
        ((0x43,), _bytes(4)),
        ((0x44,), _bytes(8)),
        ((0xFC,), _more),
        ((0xFD,), _vectors),
    ):
        for code in codes:
            skips[code] = skip
    return skips


_SKIPS = _table()


# ---- numbers --------------------------------------------------------------------------------------


def _number(content: bytes, at: int) -> tuple[int, int]:
    found = shift = 0
    while True:
        byte = content[at]
        at += 1
        found |= (byte & 0x7F) << shift
        if byte < 0x80:
            return found, at
        shift += 7


def _coded(number: int) -> bytes:
    coded = bytearray()
    while number > 0x7F:
        coded.append(number & 0x7F | 0x80)
        number >>= 7
    coded.append(number)
    return bytes(coded)


def _name(content: bytes, at: int) -> tuple[str, int]:
    size, start = _number(content, at)
    return content[start : start + size].decode(), start + size


def _sized(content: bytes) -> bytes:
    return _coded(len(content)) + content


def _vector(items: Iterator[bytes]) -> bytes:
    parts = list(items)
    return _coded(len(parts)) + b"".join(parts)
