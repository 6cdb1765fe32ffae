"""Unpacking in the browser, held against the reference implementation that Python's `lzma` binds."""

import base64
import itertools
import json
import lzma
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random

import pytest

from generator.runtime.archives import compressed
from generator.setup import node
from generator.setup.places import Places
from tests.runtime.conftest import ROOT

HERE = Path(__file__).parent
MODULE = ROOT / "build" / "browser" / "unpacking.js"
SEED = 26

Case = tuple[Sequence[bytes], int]


def unpacked(cases: Sequence[Case]) -> list[bytes | str]:
    """What the browser's script makes of each: the file, or the name of the error."""
    lines = [
        json.dumps({"size": size, "parts": [base64.b64encode(part).decode() for part in parts]})
        for parts, size in cases
    ]
    done = subprocess.run(
        [node.find(Places(root=ROOT)).program, HERE / "unpack.mjs", MODULE],
        input="\n".join(lines),
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    said = [json.loads(line) for line in done.stdout.splitlines()]
    return [one["error"] if isinstance(one, dict) else base64.b64decode(one) for one in said]


def cut(packed: bytes, rng: Random) -> list[bytes]:
    """Cut anywhere, into empty parts and single bytes too."""
    places = sorted(rng.randrange(len(packed) + 1) for _ in range(rng.randrange(6)))
    bounds = [0, *places, len(packed)]
    return [packed[start:end] for start, end in itertools.pairwise(bounds)]


def texts(rng: Random) -> Iterator[bytes]:
    """Files of every kind that a packer treats otherwise."""
    words = [rng.randbytes(rng.randrange(1, 12)) for _ in range(20)]
    yield b""
    yield b"a"
    yield bytes(100_000)
    yield rng.randbytes(40_000)
    yield b"".join(rng.choice(words) for _ in range(20_000))
    yield MODULE.read_bytes()
    yield b"".join(bytes([rng.randrange(4)]) for _ in range(30_000))
    # Far apart, so that the longest distances are told.
    far = rng.randbytes(600_000)
    yield far + far[:1000] + far[-2000:] + far[300_000:]


def test_what_the_build_packs_comes_back() -> None:
    rng = Random(SEED)
    files = list(texts(rng))

    found = unpacked([(cut(compressed(file), rng), len(file)) for file in files])

    assert found == files


@pytest.mark.parametrize("bits", [(0, 0, 0), (3, 0, 2), (0, 4, 4), (4, 0, 4), (1, 3, 0)])
def test_other_ways_of_packing_come_back_too(bits: tuple[int, int, int]) -> None:
    rng = Random(SEED)
    files = list(texts(rng))
    lc, lp, pb = bits
    way = [{"id": lzma.FILTER_LZMA1, "preset": 6, "lc": lc, "lp": lp, "pb": pb}]
    packed = [lzma.compress(file, format=lzma.FORMAT_ALONE, filters=way) for file in files]

    found = unpacked([(cut(one, rng), len(file)) for one, file in zip(packed, files, strict=True)])

    assert found == files


def test_what_is_cut_off_or_no_such_file_is_an_error() -> None:
    rng = Random(SEED)
    file = b"".join(texts(rng))[:50_000]
    packed = compressed(file)

    found = unpacked(
        [
            ([packed[:-400]], len(file)),
            ([packed[:15]], len(file)),
            ([], len(file)),
            ([packed], len(file) + 1000),
            ([b"\xff" * 200], 1000),
        ]
    )

    assert found == ["RangeError"] * 5


def test_a_wrong_byte_never_hangs_or_writes_past_the_end() -> None:
    """What comes then is checked by its digest; here only that something comes, and of that size."""
    rng = Random(SEED)
    file = MODULE.read_bytes()
    packed = compressed(file)
    cases: list[Case] = []
    for _ in range(60):
        place = rng.randrange(18, len(packed))
        spoiled = (
            packed[:place] + bytes([packed[place] ^ rng.randrange(1, 256)]) + packed[place + 1 :]
        )
        cases.append((cut(spoiled, rng), len(file)))

    for found in unpacked(cases):
        assert found == "RangeError" or len(found) == len(file)
