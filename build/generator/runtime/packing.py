"""Packing: the runtime, the used part of its standard library and our modules, for the page.

The package as it comes holds its standard library as source, compiled afresh at every start.
Here only the modules that are really imported go along, compiled beforehand; everything large is
compressed and cut, so that a line that breaks costs little, on any host.
"""

import gzip
import hashlib
import json
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from generator.runtime import rehearsal
from generator.runtime.archives import (
    Pieces,
    compressed,
    files_below,
    write_files,
    write_pieces,
    zip_of,
)
from generator.runtime.bundled import bundled
from generator.runtime.inside_pyodide import SCRIPTS, run_script, runtime_folder
from generator.runtime.kept import NOTHING_KEPT, Kept
from generator.runtime.lean_interpreter import Interpreter, lean_interpreter
from generator.runtime.lean_library import lean_library
from generator.setup.places import Places

MANIFEST = "runtime.json"
PACKAGE = "calculators"
# Where our archive lies inside the runtime: error messages show this path.
PACKAGE_INSIDE = "/lib/calculators.zip"
# The module of the packed archive that the worker starts, and what it needs; of the folder `inside`.
ENTRY = "packed_entry"
ENTRY_NEEDS = "text_key"
LEFT_OUT = (".pyc", ".md")
# The command line is of no use in a page.
DESK_ONLY = ("__main__.py", "cli.py")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cargo:
    """A package to pack, and the requests that lead through all of it.

    The worker asks `self_test` of a Python that it took from a snapshot.
    """

    package: Path
    self_test: str
    requests: Sequence[str]
    streams: Sequence[str] = ()
    libraries: Mapping[str, bytes] = field(default_factory=dict)
    """Files of libraries that go along, by their path beside the package."""


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
    cargo = Cargo(
        package=root / PACKAGE,
        self_test=rehearsal.self_test(),
        requests=rehearsal.requests(),
        streams=rehearsal.streams(),
        libraries=bundled(),
    )
    project = Places(root=root)
    return pack_cargo(project, cargo, out_dir, kept=_kept(project))


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
    source = _source_archive(cargo.package, cargo.libraries)
    lean = lean_library(runtime / "python_stdlib.zip")
    used = json.loads(
        kept.get(
            "modules",
            (version, lean, source, *cargo.requests, *cargo.streams),
            lambda: _modules_used(project, cargo, source, lean),
        )
    )
    modules: list[str] = used["modules"]
    standard_library = kept.get(
        "library", (version, lean, *modules), lambda: _compiled_library(project, modules, lean)
    )
    calculators = kept.get("package", (version, source), lambda: _compiled_package(project, cargo))

    _empty(out_dir)
    index = f"pyodide-{version}"
    (out_dir / index).mkdir()
    # The ending .js, because not every host knows .mjs, and a browser refuses a wrong type.
    for name, text in (("pyodide", loader), ("pyodide.asm", interpreter.script)):
        (out_dir / index / f"{name}.js").write_text(text, encoding="utf-8", newline="\n")
    large = {
        name: write_pieces(data, kept.get(stem, [data], partial(compressed, data)), out_dir, stem)
        for name, stem, data in (
            ("interpreter", "interpreter", interpreter.module),
            ("standardLibrary", "standard-library", standard_library),
            ("calculators", PACKAGE, calculators),
        )
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
            "snapshot": {"name": _snapshot_name(version, large), "selfTest": cargo.self_test},
        },
    )
    return RuntimeReport(
        version=version,
        modules=tuple(modules),
        sizes=_sizes_on_the_wire(out_dir, large),
        raised=tuple(used["raised"]),
    )


def pack_unmodified(root: Path, out_dir: Path) -> RuntimeReport:
    """Write the runtime package as it comes, with our modules as source: the bench's other arm."""
    runtime = runtime_folder(Places(root=root))
    version = _version(runtime)
    _empty(out_dir)
    names = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
    for name in (*names, "pyodide-lock.json"):
        shutil.copyfile(runtime / name, out_dir / name)
    archive = _source_archive(root / PACKAGE, bundled())
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


def _kept(project: Places) -> Kept:
    return Kept(folder=project.work / "runtime" / "kept")


def _modules_used(project: Places, cargo: Cargo, source: bytes, library: bytes) -> bytes:
    with _scratch(project) as folder, _scratch(project) as library_folder:
        Path(folder, f"{PACKAGE}.zip").write_bytes(source)
        traced = run_script(
            project,
            "trace_modules",
            title="Finding the modules that the answers use",
            given={
                "modules": _module_names(cargo.package),
                "requests": list(cargo.requests),
                "streams": list(cargo.streams),
            },
            folders={"/package": Path(folder)},
            standard_library=_written(library, library_folder),
        )
        return json.dumps(traced.result).encode()


def _module_names(package: Path) -> list[str]:
    names = [name.removesuffix(".py") for name in _package_files(package) if name.endswith(".py")]
    return [f"{PACKAGE}.{name.replace('/', '.')}".removesuffix(".__init__") for name in names]


def _source_archive(package: Path, libraries: Mapping[str, bytes]) -> bytes:
    return zip_of({**_with_folder(_package_files(package)), **libraries})


def _compiled_library(project: Places, modules: Sequence[str], library: bytes) -> bytes:
    with _scratch(project) as folder, _scratch(project) as library_folder:
        run_script(
            project,
            "compile_modules",
            title="Compiling those modules",
            given={
                "files": list(modules),
                "from_archive": True,
                "prepare": [],
            },
            folders={"/compiled": Path(folder)},
            standard_library=_written(library, library_folder),
        )
        return zip_of(files_below(Path(folder)))


def _written(library: bytes, folder: str) -> Path:
    place = Path(folder, "python_stdlib.zip")
    place.write_bytes(library)
    return place


def _compiled_package(project: Places, cargo: Cargo) -> bytes:
    beside = [SCRIPTS / f"{name}.py" for name in (ENTRY, ENTRY_NEEDS)]
    files = {
        **_with_folder(_package_files(cargo.package)),
        **cargo.libraries,
        **{script.name: script.read_bytes() for script in beside},
    }
    with _scratch(project) as compiled_folder, _scratch(project) as source:
        write_files(Path(source), files)
        run_script(
            project,
            "compile_modules",
            title="Compiling the calculators",
            given={
                "files": [name for name in files if name.endswith(".py")],
                "from_archive": False,
                "prepare": _module_names(cargo.package),
                "shown_below": PACKAGE_INSIDE,
            },
            folders={"/compiled": Path(compiled_folder), "/source": Path(source)},
        )
        data = {name: body for name, body in files.items() if not name.endswith(".py")}
        return zip_of({**files_below(Path(compiled_folder)), **data})


def _package_files(package: Path) -> dict[str, bytes]:
    """Read the modules of the package and the data beside them, but no caches and no notes."""
    return {
        name: body
        for name, body in files_below(package).items()
        if "__pycache__" not in name and not name.endswith(LEFT_OUT) and name not in DESK_ONLY
    }


def _with_folder(files: Mapping[str, bytes]) -> dict[str, bytes]:
    return {f"{PACKAGE}/{name}": body for name, body in files.items()}


def _version(runtime: Path) -> str:
    version: str = json.loads((runtime / "package.json").read_text(encoding="utf-8"))["version"]
    return version


def _snapshot_name(version: str, large: Mapping[str, Pieces]) -> str:
    """Name the snapshots of a start from these very files."""
    names = [name for pieces in large.values() for name in pieces.names]
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


def _scratch(project: Places) -> "tempfile.TemporaryDirectory[str]":
    work = project.work / "runtime"
    work.mkdir(parents=True, exist_ok=True)
    return tempfile.TemporaryDirectory(dir=work)
