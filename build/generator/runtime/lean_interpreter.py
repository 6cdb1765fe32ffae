"""The interpreter without what it gives out only for extensions, which no page ever loads.

The runtime's WebAssembly module exports nearly every function and value of Python's C interface,
and its script gives each a name again: that is how compiled extensions find them. Here only the
exports stay that the runtime's own scripts name anywhere, or that the module asks back by name;
functions that only the others reached lose their bodies.
"""

import re
from dataclasses import dataclass

from generator.runtime import wasm

_ASSIGNING = "function assignWasmExports(wasmExports){"
_ASSIGNMENT = re.compile(r'([\w$]+)=Module\["([\w$]+)"\]=wasmExports\["([\w$]+)"\](?:\.value>>>0)?')
_WORD = re.compile(r"[A-Za-z_$][\w$]*")
# Where a module's own functions are asked back by name, to have an address.
_ASKED_BACK = "GOT.func"


class InterpreterError(LookupError):
    """The runtime's script does not give names to exports as was read here: it has changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interpreter:
    """The interpreter's WebAssembly module and the script that starts it."""

    module: bytes
    script: str


def lean_interpreter(whole: Interpreter, *, loader: str) -> Interpreter:
    """Give the interpreter with those exports alone that its scripts use.

    Parameters
    ----------
    whole
        The interpreter as it comes.
    loader
        The script that loads the interpreter's own script.

    Raises
    ------
    InterpreterError
        If the part of the script that names the exports is not as it was.
    wasm.WasmError
        If the module holds something that is not known.
    """
    before, names, assignments, after = _parted(whole.script)
    used = {*_WORD.findall(before), *_WORD.findall(after), *_WORD.findall(loader)}
    back = {name for place, name in wasm.imports(whole.module) if place == _ASKED_BACK}
    wanted = {
        export.name
        for export in wasm.exports(whole.module)
        if {export.name, f"_{export.name}"} & used or export.name in back
    }
    kept, dropped = [], set()
    for assignment in assignments:
        found = _ASSIGNMENT.fullmatch(assignment)
        if found is None or found[3] in wanted:
            kept.append(assignment)
        else:
            dropped.add(found[1])
    declared = [name for name in names if name not in dropped]
    script = f"{before}var {','.join(declared)};{_ASSIGNING}{';'.join(kept)}{after}"
    return Interpreter(module=wasm.lean(whole.module, wanted), script=script)


def _parted(script: str) -> tuple[str, list[str], list[str], str]:
    """Give the script before the names of the exports, the names, their values, and the rest."""
    head, mark, tail = script.partition(_ASSIGNING)
    assigned, end, after = tail.partition("}")
    before, var, declared = head.rpartition("var ")
    names = declared.removesuffix(";").split(",")
    assignments = assigned.split(";")
    named = {found[1] for one in assignments if (found := _ASSIGNMENT.fullmatch(one))}
    if not (mark and end and var and declared.endswith(";")) or not named <= {*names}:
        raise InterpreterError("the runtime's script does not name its exports as it did")
    if not all(_WORD.fullmatch(name) for name in names) or len(named) < len(assignments) - 9:
        raise InterpreterError("the runtime's script names its exports in an unknown way")
    return before, names, assignments, end + after
