"""The runtime's standard library without what only its start asks for.

The runtime loads some large modules whenever it starts, and uses next to nothing of them in a page:
an event loop's sockets and processes, the colors of a terminal, the installing of packages. Short
stand-ins (the folder `lean`) say what is used of them; what may be missing is left out.
"""

import io
import zipfile
from pathlib import Path

from generator.runtime.archives import files_below, zip_of

STAND_INS = Path(__file__).parent / "lean"

# Asked for as "if there is any", by the event loop.
LEFT_OUT = ("ssl.py",)


class LeanError(LookupError):
    """The runtime's library has no module that a stand-in was written for: it has changed."""


def lean_library(whole: Path) -> bytes:
    """Give the archive of the runtime's library, with the stand-ins in place.

    Raises
    ------
    LeanError
        If there is nothing that a stand-in replaces, or that is left out.
    """
    with zipfile.ZipFile(io.BytesIO(whole.read_bytes())) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    stand_ins = {
        name: body for name, body in files_below(STAND_INS).items() if name.endswith(".py")
    }
    if missing := sorted({*stand_ins, *LEFT_OUT} - files.keys()):
        raise LeanError(f"the runtime's library has no {', '.join(missing)}")
    kept = {name: body for name, body in files.items() if name not in LEFT_OUT}
    return zip_of({**kept, **stand_ins})
