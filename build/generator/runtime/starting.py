"""What a start of the packed runtime takes: memory, and texts that had to be compiled."""

import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.runtime.archives import uncompressed
from generator.runtime.inside_pyodide import run_script
from generator.setup.places import Places

LARGEST_SNAPSHOT = 31_457_280
"""Bytes; the runtime puts a snapshot back only into the memory it starts with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A start of the packed runtime with our modules.

    `memory` is what Python then takes, in bytes; `compiled_texts` how many methods of data classes
    were not found among the prepared ones.
    """

    memory: int
    compiled_texts: int


def started(project: Places, packed: Path) -> Start:
    """Start a packed runtime with our modules under Node and measure it.

    In a browser the page's client says its memory in its state once Python is ready.

    Parameters
    ----------
    project
        The copy of the project whose Node and runtime package are used.
    packed
        The folder that `pack` wrote.
    """
    manifest = json.loads((packed / "runtime.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        library = Path(folder, "python_stdlib.zip")
        library.write_bytes(_unpacked(packed, manifest["large"]["standardLibrary"]))
        modules = Path(folder, "calculators.zip")
        modules.write_bytes(_unpacked(packed, manifest["large"]["calculators"]))
        ran = run_script(
            project,
            "start_only",
            title="Starting the packed runtime",
            given=None,
            folders={"/package": Path(folder)},
            standard_library=library,
        )
    return Start(memory=ran.memory, compiled_texts=ran.result)


def _unpacked(packed: Path, large: dict[str, Any]) -> bytes:
    return uncompressed(b"".join((packed / name).read_bytes() for name in large["pieces"]))
