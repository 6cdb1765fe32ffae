"""Compile modules for the runtime's own Python; runs inside the runtime.

Given: the modules' files, below /source or in the standard library's archive, the modules whose
data classes are to be prepared, and those whose data classes were prepared before. The compiled files go below /compiled, unchecked against any source,
so that the interpreter never looks for one; so do the methods of the data classes, by their text.
"""

import ast
import dataclasses
import importlib
import importlib.util
import json
import marshal
import sys
import zipimport
from pathlib import Path
from typing import Any

job = json.loads(Path("/given.json").read_text(encoding="utf-8"))

UNCHECKED = (0b01).to_bytes(4, "little")
ARCHIVE = next(entry for entry in sys.path if entry.endswith(".zip"))


def source_of(file: str) -> tuple[bytes, str]:
    """Read a module's source; also say the path that error messages shall show."""
    if job["from_archive"]:
        place = f"{ARCHIVE}/{file}"
        return zipimport.zipimporter(ARCHIVE).get_data(place), place
    return Path("/source", file).read_bytes(), f"{job['shown_below']}/{file}"


def compiled(source: bytes, shown_as: str) -> bytes:
    """Compile a module into the bytes of a .pyc file."""
    tree = ast.parse(source, shown_as)
    leave_documentation_out(tree)
    code = compile(tree, shown_as, "exec", dont_inherit=True, optimize=0)
    head = importlib.util.MAGIC_NUMBER + UNCHECKED + importlib.util.source_hash(source)
    return head + marshal.dumps(code)


def leave_documentation_out(tree: ast.Module) -> None:
    """Take the documentation strings away, which nothing reads on a phone.

    Of a class the first line stays: without any, a data class works one out at every start.
    """
    for node in ast.walk(tree):
        if not isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        documentation = ast.get_docstring(node)
        if documentation is None:
            continue
        first, *rest = node.body
        if isinstance(node, ast.ClassDef):
            line = ast.Expr(ast.Constant(documentation.partition("\n")[0]))
            node.body = [ast.fix_missing_locations(ast.copy_location(line, first)), *rest]
        else:
            node.body = rest or [ast.copy_location(ast.Pass(), first)]


def prepared_methods(before: list[str], modules: list[str]) -> dict[tuple[int, int, int], bytes]:
    """Compile the texts that data classes write for their methods while the modules load."""
    texts: set[str] = set()

    def run(text: str, scope: dict[str, Any], names: dict[str, Any]) -> None:
        texts.add(text)
        exec(text, scope, names)

    dataclasses.exec = run  # type: ignore[attr-defined]
    sys.path.append("/source")
    for name in before:
        importlib.import_module(name)
    known = set(texts)
    for name in modules:
        importlib.import_module(name)
    key_of = importlib.import_module("text_key").key_of
    if len({key_of(text) for text in texts}) != len(texts):
        raise ValueError("two texts of data classes have the same key: change text_key.py")
    return {
        key_of(text): marshal.dumps(compile(text, "<string>", "exec", dont_inherit=True))
        for text in sorted(texts - known)
    }


for file in job["files"]:
    target = Path("/compiled", file).with_suffix(".pyc")
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(compiled(*source_of(file)))

if job["prepare"]:
    Path("/compiled/prepared.bin").write_bytes(
        marshal.dumps(prepared_methods(job["prepared_before"], job["prepare"]))
    )
Path("/result.json").write_text(json.dumps(len(job["files"])), encoding="utf-8")
