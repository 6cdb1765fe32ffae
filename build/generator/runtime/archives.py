"""Archives that come out the same for the same content, and their pieces."""

import io
import lzma
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from generator.digests import content_name

PIECE_SIZE = 512 * 1000
"""No piece is longer, so that a cut costs at most this many bytes again."""

# Of the ways tried the smallest for the interpreter, and within 1 kB of it for the archives.
_FILTERS = [
    {
        "id": lzma.FILTER_LZMA1,
        "preset": 9 | lzma.PRESET_EXTREME,
        "dict_size": 1 << 24,
        "lc": 3,
        "lp": 0,
        "pb": 0,
    }
]

FIXED_DATE = (1980, 1, 1, 0, 0, 0)
READABLE_FILE = 0o100644


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """One large file as the site holds it: compressed, and cut."""

    size: int
    names: tuple[str, ...]
    packed_size: int
    unpacked: str
    """The name of the content of the whole file, unpacked."""

    def as_json(self) -> dict[str, object]:
        """Say it as the page's worker reads it."""
        return {
            "size": self.size,
            "packedSize": self.packed_size,
            "pieces": list(self.names),
            "unpacked": self.unpacked,
        }


def files_below(folder: Path) -> dict[str, bytes]:
    """Read all files below a folder, by their path inside it, in the order of the paths."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files below a folder, by their path inside it."""
    for name, body in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(body)


def zip_of(files: Mapping[str, bytes]) -> bytes:
    """Put files into one archive, not compressed: it is compressed as a whole afterwards."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, FIXED_DATE)
            entry.create_system = 3
            entry.external_attr = READABLE_FILE << 16
            archive.writestr(entry, files[name])
    return buffer.getvalue()


def compressed(data: bytes) -> bytes:
    """Compress as `browser/unpacking.js` undoes it: a quarter smaller than browsers themselves can."""
    return lzma.compress(data, format=lzma.FORMAT_ALONE, filters=_FILTERS)


def uncompressed(packed: bytes) -> bytes:
    """Undo `compressed`."""
    return lzma.decompress(packed, format=lzma.FORMAT_ALONE)


def write_pieces(data: bytes, packed: bytes, folder: Path, stem: str) -> Pieces:
    """Write `data`, compressed as `packed`, in pieces named by their content.

    The worker finds them by that name in the offline copy.

    The ending says nothing of compression, so that no host adds a Content-Encoding of its own
    and every host sends the same bytes.
    """
    names = []
    for number, start in enumerate(range(0, len(packed), PIECE_SIZE), start=1):
        piece = packed[start : start + PIECE_SIZE]
        name = f"{stem}-{number}.{content_name(piece)}.bin"
        (folder / name).write_bytes(piece)
        names.append(name)
    return Pieces(
        size=len(data),
        names=tuple(names),
        packed_size=len(packed),
        unpacked=content_name(data),
    )
