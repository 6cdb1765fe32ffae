"""The interpreter with only those exports that its scripts use."""

import functools
import re
import subprocess
from pathlib import Path

import pytest

from generator.runtime import wasm
from generator.runtime.inside_pyodide import runtime_folder
from generator.runtime.lean_interpreter import Interpreter, InterpreterError, lean_interpreter
from generator.setup import node
from generator.setup.places import Places
from tests.runtime.conftest import ROOT, Packed
from tests.runtime.test_packing import unpacked

PROJECT = Places(root=ROOT)

# By hand, from the specification's "Binary Format": two functions of no arguments and no result.
# `a` calls `b` where it is exported as "one"; "two" is `b` itself, "three" a third that does nothing.
TYPES = b"\x01\x04\x01\x60\x00\x00"
FUNCTIONS = b"\x03\x04\x03\x00\x00\x00"
EXPORTS = b"\x07\x15\x03" + b"\x03one\x00\x00" + b"\x03two\x00\x01" + b"\x05three\x00\x02"
CODE = b"\x0a\x0e\x03" + b"\x04\x00\x10\x01\x0b" + b"\x03\x00\x01\x0b" + b"\x03\x00\x01\x0b"
SMALL = b"\0asm\1\0\0\0" + TYPES + FUNCTIONS + EXPORTS + CODE


@functools.cache
def whole() -> Interpreter:
    folder = runtime_folder(PROJECT)
    return Interpreter(
        module=(folder / "pyodide.asm.wasm").read_bytes(),
        script=(folder / "pyodide.asm.mjs").read_text(encoding="utf-8"),
    )


@functools.cache
def lean() -> Interpreter:
    loader = (runtime_folder(PROJECT) / "pyodide.mjs").read_text(encoding="utf-8")
    return lean_interpreter(whole(), loader=loader)


def is_valid(module: bytes, folder: Path) -> bool:
    """Ask a browser's engine whether it takes a module."""
    file = folder / "module.wasm"
    file.write_bytes(module)
    script = (
        "const read = require('node:fs').readFileSync(process.argv[1]);"
        "process.exit(WebAssembly.validate(read) ? 0 : 1)"
    )
    program = node.find(PROJECT).program
    return subprocess.run([program, "-e", script, file], check=False, timeout=120).returncode == 0


def test_what_only_a_dropped_export_reached_loses_its_body(tmp_path: Path) -> None:
    assert is_valid(SMALL, tmp_path)

    one = wasm.lean(SMALL, {"one"})
    two = wasm.lean(SMALL, {"two"})

    empty = b"\x03\x00\x00\x0b"
    assert one.endswith(b"\x04\x00\x10\x01\x0b" + b"\x03\x00\x01\x0b" + empty)
    assert two.endswith(empty + b"\x03\x00\x01\x0b" + empty)
    assert [export.name for export in wasm.exports(two)] == ["two"]
    assert is_valid(one, tmp_path)
    assert is_valid(two, tmp_path)


def test_all_exports_give_the_module_itself() -> None:
    """So every number, name and list of the real one is read and written as it stands."""
    assert wasm.lean(SMALL, {"one", "two", "three"}) == SMALL
    every = {export.name for export in wasm.exports(whole().module)}
    assert len(every) > 8000
    assert wasm.lean(whole().module, every) == whole().module


def test_an_unknown_instruction_or_export_is_refused() -> None:
    with pytest.raises(wasm.WasmError, match="0xc7"):
        wasm.lean(SMALL.replace(b"\x04\x00\x10\x01\x0b", b"\x04\x00\xc7\x01\x0b"), {"one"})
    with pytest.raises(wasm.WasmError, match="no four"):
        wasm.lean(SMALL, {"four"})
    with pytest.raises(wasm.WasmError, match="known version"):
        wasm.lean(b"\0asm\2\0\0\0", set())


def test_the_scripts_find_all_that_they_name(tmp_path: Path) -> None:
    module, script = lean().module, lean().script
    kept = {export.name for export in wasm.exports(module)}

    assert 200 < len(kept) < 500
    assert is_valid(module, tmp_path)
    # In quotes a name may be that of another export, which has one stroke more.
    words = set(re.findall(r"[\w$]+", re.sub(r'"[^"]*"', "", script)))
    for name in {export.name for export in wasm.exports(whole().module)} - kept:
        assert f'wasmExports["{name}"]' not in script
        assert f"_{name}" not in words
    # What the runtime takes by name at its start, whatever a script says.
    for needed in ("memory", "__indirect_function_table", "__wasm_call_ctors", "malloc"):
        assert needed in kept
    assert {name for place, name in wasm.imports(module)} == {
        name for place, name in wasm.imports(whole().module)
    }


def test_what_travels_is_that_interpreter(packed: Packed) -> None:
    scripts = packed.folder / f"pyodide-{packed.report.version}"

    assert unpacked(packed.folder, "interpreter") == lean().module
    assert (scripts / "pyodide.asm.js").read_text(encoding="utf-8") == lean().script
    assert (scripts / "pyodide.js").read_bytes() == (
        runtime_folder(PROJECT) / "pyodide.mjs"
    ).read_bytes()


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ("function assignWasmExports(", "function giveNames("),
        ("var _set_method_docstring,", "var _another_name,"),
        ('=Module["_malloc"]=wasmExports["malloc"]', '=wasmExports["malloc"]' * 9 + ";x=1" * 9),
    ],
)
def test_a_script_that_has_changed_is_refused(was: str, becomes: str) -> None:
    assert was in whole().script
    changed = Interpreter(module=whole().module, script=whole().script.replace(was, becomes, 1))

    with pytest.raises(InterpreterError, match="the runtime's script"):
        lean_interpreter(changed, loader="")
