"""Running a script inside the Python runtime for browsers, on the desk, under Node."""

import json
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.setup import node
from generator.setup.places import Places
from generator.setup.steps import run

HERE = Path(__file__).parent
RUNNER = HERE / "run_inside.mjs"
SCRIPTS = HERE / "inside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a script left as its result, and the memory that Python then took, in bytes."""

    result: Any
    memory: int


def runtime_folder(project: Places) -> Path:
    """Find the installed runtime package."""
    return node.package_folder(project, node.RUNTIME, "pyodide")


def run_script(
    project: Places,
    script: str,
    *,
    title: str,
    given: object,
    folders: Mapping[str, Path],
    standard_library: Path | None = None,
) -> Ran:
    """Run a script of the folder `inside`.

    Parameters
    ----------
    project
        The copy of the project whose runtime is used.
    script
        The script's name, without its ending.
    title
        What the step is called while it runs.
    given
        What the script is given; anything that JSON can carry.
    folders
        Folders of this machine, by the path under which the script sees them.
    standard_library
        The archive to start from; the runtime's own if none.
    """
    with tempfile.TemporaryDirectory(dir=_made(project.work / "runtime")) as folder:
        job, answer = Path(folder, "job.json"), Path(folder, "answer.json")
        job.write_text(
            json.dumps(
                {
                    "runtime": str(runtime_folder(project)),
                    "standardLibrary": str(standard_library or ""),
                    "folders": {inside: str(path) for inside, path in folders.items()},
                    "script": str(SCRIPTS / f"{script}.py"),
                    "given": given,
                    "answer": str(answer),
                }
            ),
            encoding="utf-8",
        )
        run(
            title,
            [node.find(project).program, RUNNER, job],
            log=project.work / "log" / f"runtime-{script}.log",
            advice="The last lines say what the runtime objected to.",
        )
        return Ran(**json.loads(answer.read_text(encoding="utf-8")))


def _made(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    return folder
