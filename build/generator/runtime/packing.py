"""Packing: the runtime, the used part of its standard library and our modules, for the page.

The package as it comes holds its standard library as source, compiled afresh at every start.
Here only the modules that are really imported go along, compiled beforehand; everything large is
compressed and cut, so that a line that breaks costs little, on any host.
"""

import gzip
import hashlib
import json
import shutil
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path

from generator.runtime import rehearsal
from generator.runtime.archives import (
    Pieces,
    compressed,
    joined_archives,
    write_pieces,
    zip_of,
)
from generator.runtime.bundled import bundled
from generator.runtime.cargo import LATER, PACKAGE, Cargo
from generator.runtime.compiling import (
    ENTRY,
    Used,
    compiled_first,
    compiled_later,
    compiled_library,
    rehearsed,
)
from generator.runtime.inside_pyodide import runtime_folder
from generator.runtime.kept import NOTHING_KEPT, Kept
from generator.runtime.lean_interpreter import Interpreter, lean_interpreter
from generator.setup.places import Places

MANIFEST = "runtime.json"
# What the pieces of each large file are called.
STEMS = {
    "interpreter": "interpreter",
    "standardLibrary": "standard-library",
    "calculators": "calculators",
    "later": "later",
}


class PartsError(ValueError):
    """A module of the first part does not load without the second; says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuntimeReport:
    """What was packed, and how many bytes each part takes."""

    version: str
    modules: tuple[str, ...]
    sizes: Mapping[str, int]
    raised: tuple[str, ...] = ()
    """Requests of the rehearsal that ended in an exception, which no request may."""

    def lines(self) -> list[str]:
        """Say it for a person, the largest first."""
        parts = sorted(self.sizes.items(), key=lambda part: -part[1])
        return [
            f"Python runtime {self.version}: {sum(self.sizes.values()) / 1e6:.2f} MB on the wire, "
            f"{len(self.modules)} modules of the standard library",
            *(f"  {name}: {size / 1e3:.0f} kB" for name, size in parts),
            *(f"  WRONG: an answer raised {words}" for words in self.raised),
        ]


def pack(root: Path, out_dir: Path) -> RuntimeReport:
    """Write the runtime of the project in `root` into the folder `out_dir`.

    Same modules in, same bytes out.
    """
    project = Places(root=root)
    return pack_cargo(project, _cargo(root), out_dir, kept=kept_of(project))


def _cargo(root: Path) -> Cargo:
    return Cargo(
        package=root / PACKAGE,
        self_test=rehearsal.self_test(),
        requests=rehearsal.requests(),
        streams=rehearsal.streams(),
        later=LATER,
        libraries=bundled(),
    )


def pack_cargo(
    project: Places, cargo: Cargo, out_dir: Path, *, kept: Kept = NOTHING_KEPT
) -> RuntimeReport:
    """Write the runtime for any package with the entry `browser.reply`."""
    runtime = runtime_folder(project)
    version = _version(runtime)
    loader = (runtime / "pyodide.mjs").read_text(encoding="utf-8")
    interpreter = lean_interpreter(
        Interpreter(
            module=(runtime / "pyodide.asm.wasm").read_bytes(),
            script=(runtime / "pyodide.asm.mjs").read_text(encoding="utf-8"),
        ),
        loader=loader,
    )
    sources = (zip_of(cargo.first_files), zip_of(cargo.later_files))
    standard = (runtime / "python_stdlib.zip").read_bytes()
    used = Used(
        **json.loads(
            kept.get(
                "modules",
                (version, standard, *sources, *cargo.requests, *cargo.streams),
                lambda: json.dumps(asdict(rehearsed(project, cargo, standard))).encode(),
            )
        )
    )
    if used.tied:
        raise PartsError(f"the first part does not load by itself: {'; '.join(used.tied)}")
    archives = {
        "interpreter": interpreter.module,
        "standardLibrary": kept.get(
            "library",
            (version, standard, *used.modules),
            lambda: compiled_library(project, used.modules, standard),
        ),
        "calculators": kept.get(
            "package", (version, sources[0]), lambda: compiled_first(project, cargo)
        ),
    }
    if cargo.later_modules:
        modules = kept.get("later", (version, *sources), lambda: compiled_later(project, cargo))
        library = kept.get(
            "later-library",
            (version, standard, *used.later_modules),
            lambda: compiled_library(project, used.later_modules, standard),
        )
        archives["later"] = joined_archives(modules, library)

    _empty(out_dir)
    index = f"pyodide-{version}"
    (out_dir / index).mkdir()
    # The ending .js, because not every host knows .mjs, and a browser refuses a wrong type.
    for name, text in (("pyodide", loader), ("pyodide.asm", interpreter.script)):
        (out_dir / index / f"{name}.js").write_text(text, encoding="utf-8", newline="\n")
    large = {
        name: write_pieces(
            data,
            kept.get(f"packed-{STEMS[name]}", [data], partial(compressed, data)),
            out_dir,
            STEMS[name],
        )
        for name, data in archives.items()
    }
    _write_manifest(
        out_dir,
        {
            "version": version,
            "folder": f"{index}/",
            "loader": "pyodide.js",
            "module": "pyodide.asm.js",
            "entry": ENTRY,
            "lockFileContents": _lock_without_packages(runtime),
            "large": {name: pieces.as_json() for name, pieces in large.items()},
            "later": cargo.later_modules,
            "snapshot": {"name": _snapshot_name(version, large), "selfTest": cargo.self_test},
        },
    )
    return RuntimeReport(
        version=version,
        modules=tuple(used.modules),
        sizes=_sizes_on_the_wire(out_dir, large),
        raised=tuple(used.raised),
    )


def pack_unmodified(root: Path, out_dir: Path) -> RuntimeReport:
    """Write the runtime package as it comes, with our modules as source: the bench's other arm."""
    cargo = _cargo(root)
    runtime = runtime_folder(Places(root=root))
    version = _version(runtime)
    _empty(out_dir)
    names = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
    for name in (*names, "pyodide-lock.json"):
        shutil.copyfile(runtime / name, out_dir / name)
    archive = zip_of({**cargo.first_files, **cargo.later_files})
    source = write_pieces(archive, compressed(archive), out_dir, PACKAGE)
    _write_manifest(
        out_dir,
        {
            "version": version,
            "folder": "",
            "loader": "pyodide.mjs",
            "module": "pyodide.asm.mjs",
            "entry": f"{PACKAGE}.browser",
            "large": {"calculators": source.as_json()},
        },
    )
    large = {path.name: path.stat().st_size for path in sorted(out_dir.iterdir())}
    return RuntimeReport(version=version, modules=(), sizes=large)


def kept_of(project: Places) -> Kept:
    """Where the results of packing are kept, for builds and tests."""
    return Kept(folder=project.work / "cache" / "runtime")


def _version(runtime: Path) -> str:
    version: str = json.loads((runtime / "package.json").read_text(encoding="utf-8"))["version"]
    return version


def _snapshot_name(version: str, large: Mapping[str, Pieces]) -> str:
    """Name the snapshots of a start from these very files."""
    names = [name for part, pieces in large.items() if part != "later" for name in pieces.names]
    return hashlib.sha256("\n".join([version, *names]).encode()).hexdigest()[:32]


def _lock_without_packages(runtime: Path) -> dict[str, object]:
    """Take what the runtime checks at its start from its list of packages, of which we use none."""
    lock = json.loads((runtime / "pyodide-lock.json").read_text(encoding="utf-8"))
    return {"info": lock["info"], "packages": {}}


def _write_manifest(folder: Path, manifest: Mapping[str, object]) -> None:
    text = json.dumps(manifest, indent=1, sort_keys=True)
    (folder / MANIFEST).write_text(f"{text}\n", encoding="utf-8")


def _sizes_on_the_wire(folder: Path, large: Mapping[str, Pieces]) -> dict[str, int]:
    """Give the bytes of each part as a compressing host sends them."""
    scripts = {
        path.name: len(gzip.compress(path.read_bytes(), mtime=0))
        for path in sorted(folder.rglob("*.js"))
    }
    return {**{name: pieces.packed_size for name, pieces in large.items()}, **scripts}


def _empty(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
