"""What was worked out before from the same input, so that it need not be again."""

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Results by name, the newest of each; with no folder nothing is kept."""

    folder: Path | None

    def get(self, name: str, given: Iterable[str | bytes], make: Callable[[], bytes]) -> bytes:
        """Give what was made of the same input by the same code, or make it."""
        if self.folder is None:
            return make()
        file = self.folder / f"{name}-{_key(given)}"
        if file.is_file():
            return file.read_bytes()
        data = make()
        self.folder.mkdir(parents=True, exist_ok=True)
        for older in self.folder.glob(f"{name}-*"):
            older.unlink(missing_ok=True)
        unfinished = file.with_name(f"unfinished-{file.name}")
        unfinished.write_bytes(data)
        unfinished.replace(file)
        return data


NOTHING_KEPT = Kept(folder=None)


def _key(given: Iterable[str | bytes]) -> str:
    """Name the input and the code that works on it."""
    digest = hashlib.sha256()
    code = (path.read_bytes() for path in sorted(HERE.rglob("*")) if path.suffix in {".py", ".mjs"})
    for part in (*code, *given):
        data = part.encode() if isinstance(part, str) else part
        digest.update(len(data).to_bytes(8, "big") + data)
    return digest.hexdigest()[:32]
