"""What was worked out before from the same input, so that it need not be again.

Builds and tests of all kinds share it. Whoever wants what another process is working out waits for
that one instead of doing it too.
"""

import fcntl
import hashlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
_MOST = 6
"""Results of one name that are kept, the last used."""
_KEY = "[0-9a-f]" * 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Results by name, the last used of each; with no folder nothing is kept."""

    folder: Path | None

    def get(self, name: str, given: Iterable[str | bytes], make: Callable[[], bytes]) -> bytes:
        """Give what was made of the same input by the same code, or make it."""
        if self.folder is None:
            return make()
        self.folder.mkdir(parents=True, exist_ok=True)
        file = self.folder / f"{name}-{_key(given)}"
        with _alone(self.folder / f"{name}.lock"):
            if file.is_file():
                file.touch()
                return file.read_bytes()
            data = make()
            unfinished = file.with_name(f"unfinished-{file.name}")
            unfinished.write_bytes(data)
            unfinished.replace(file)
            self._drop_older(name)
        return data

    def _drop_older(self, name: str) -> None:
        assert self.folder is not None
        files = sorted(self.folder.glob(f"{name}-{_KEY}"), key=lambda file: file.stat().st_mtime_ns)
        for older in files[:-_MOST]:
            older.unlink(missing_ok=True)


NOTHING_KEPT = Kept(folder=None)


@contextmanager
def _alone(place: Path) -> Iterator[None]:
    """Hold a lock while one process works; it goes with the process, however that ends."""
    with place.open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _key(given: Iterable[str | bytes]) -> str:
    """Name the input and the code that works on it."""
    digest = hashlib.sha256()
    code = (path.read_bytes() for path in sorted(HERE.rglob("*")) if path.suffix in {".py", ".mjs"})
    for part in (*code, *given):
        data = part.encode() if isinstance(part, str) else part
        digest.update(len(data).to_bytes(8, "big") + data)
    return digest.hexdigest()[:32]
