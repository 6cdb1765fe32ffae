"""What is run inside the runtime before packing: the rehearsal, and the compiling of modules."""

import tempfile
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.runtime.archives import files_below, write_files, zip_of
from generator.runtime.cargo import PACKAGE, Cargo, module_names
from generator.runtime.inside_pyodide import SCRIPTS, run_script
from generator.setup.places import Places

# The module of the packed archive that the worker starts, and what it needs; of the folder `inside`.
ENTRY = "packed_entry"
ENTRY_NEEDS = "text_key"
# Where our archives lie inside the runtime: error messages show these paths.
FIRST_INSIDE = "/lib/calculators.zip"
LATER_INSIDE = "/lib/later.zip"
PACKAGES = "packages.txt"
"""In the second archive: the packages of the first in which some of its modules belong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """What a rehearsal of all requests found.

    The modules of the standard library that the first part uses, and those that only the second does; the
    requests that raised an exception; the modules of the first part that cannot be imported without
    the second.
    """

    modules: Sequence[str]
    later_modules: Sequence[str]
    raised: Sequence[str]
    tied: Sequence[str]


def rehearsed(project: Places, cargo: Cargo, library: bytes) -> Used:
    """Answer every request inside the runtime and see what that takes.

    What wants the second part is answered once more with it, as in the page.
    """
    first, later = cargo.first_files, cargo.later_files
    with _scratch(project) as package, _scratch(project) as library_folder:
        (package / "calculators.zip").write_bytes(zip_of(first))
        (package / "later.zip").write_bytes(zip_of(later))
        ran = run_script(
            project,
            "trace_modules",
            title="Finding the modules that the answers use",
            given={
                "modules": module_names(first),
                "later": cargo.later_modules,
                "later_modules": module_names(later),
                "packages": parents(cargo.later_modules),
                "requests": list(cargo.requests),
                "streams": list(cargo.streams),
            },
            folders={"/package": package},
            standard_library=_written(library, library_folder),
        )
    found: dict[str, Any] = ran.result
    return Used(**found)


def compiled_library(project: Places, modules: Sequence[str], library: bytes) -> bytes:
    """Compile modules of the standard library and put them into an archive."""
    with _scratch(project) as folder, _scratch(project) as library_folder:
        run_script(
            project,
            "compile_modules",
            title="Compiling those modules",
            given={"files": list(modules), "from_archive": True, "prepare": []},
            folders={"/compiled": folder},
            standard_library=_written(library, library_folder),
        )
        return zip_of(files_below(folder))


def compiled_first(project: Places, cargo: Cargo) -> bytes:
    """Compile the first part of our modules, with the page's entry to them, into an archive."""
    beside = {f"{name}.py": (SCRIPTS / f"{name}.py").read_bytes() for name in (ENTRY, ENTRY_NEEDS)}
    first = cargo.first_files
    prepare = module_names(first)
    return _compiled(project, {**first, **beside}, {}, prepare, FIRST_INSIDE)


def compiled_later(project: Places, cargo: Cargo) -> bytes:
    """Compile the second part of our modules, with the libraries that it takes, into an archive."""
    later = cargo.later_files
    before = {
        **cargo.first_files,
        f"{ENTRY_NEEDS}.py": (SCRIPTS / f"{ENTRY_NEEDS}.py").read_bytes(),
    }
    packages = {PACKAGES: "\n".join(parents(cargo.later_modules)).encode()}
    prepare = [name for name in module_names(later) if name.startswith(f"{PACKAGE}.")]
    return _compiled(project, {**later, **packages}, before, prepare, LATER_INSIDE)


def parents(modules: Collection[str]) -> list[str]:
    """Give the packages that modules lie in, each once.

    >>> parents(["calculators.finding", "calculators.study", "calculators.browser.study"])
    ['calculators', 'calculators.browser']
    """
    return sorted({name.rpartition(".")[0] for name in modules})


def _compiled(
    project: Places,
    files: Mapping[str, bytes],
    before: Mapping[str, bytes],
    prepare: Sequence[str],
    shown_below: str,
) -> bytes:
    """Compile files of which those of `before`, already compiled, are a part."""
    with _scratch(project) as compiled, _scratch(project) as source:
        write_files(source, {**before, **files})
        run_script(
            project,
            "compile_modules",
            title="Compiling the calculators",
            given={
                "files": [name for name in files if name.endswith(".py")],
                "from_archive": False,
                "prepare": list(prepare),
                "prepared_before": [name for name in module_names(before) if name != ENTRY_NEEDS],
                "shown_below": shown_below,
            },
            folders={"/compiled": compiled, "/source": source},
        )
        data = {name: body for name, body in files.items() if not name.endswith(".py")}
        return zip_of({**files_below(compiled), **data})


def _written(library: bytes, folder: Path) -> Path:
    place = folder / "python_stdlib.zip"
    place.write_bytes(library)
    return place


@contextmanager
def _scratch(project: Places) -> Iterator[Path]:
    work = project.work / "runtime"
    work.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=work) as folder:
        yield Path(folder)
