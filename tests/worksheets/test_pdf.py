"""The worksheet's PDF, in a process of its own, as the command makes it."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MAKE = """
import sys
sys.path[:0] = [{root!r}, {root!r} + "/build"]
from pathlib import Path
from calculators.worksheets.asking import worksheet
from generator.worksheet_files import pdf
sheet = worksheet(dict(number="10", seed="7", paper=sys.argv[1]))
sys.stdout.buffer.write(pdf(Path({root!r}), sheet, site="https://example.invalid/"))
"""


# The command starts a browser of its own, so no fixture says it.
pytestmark = pytest.mark.browser


def made(paper: str) -> bytes:
    """A process of its own: a second driver of browsers in one is refused."""
    command = [sys.executable, "-c", MAKE.format(root=str(ROOT)), paper]
    return subprocess.run(command, check=True, capture_output=True).stdout


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


def test_two_runs_give_the_same_tagged_bytes():
    letter = made("letter")
    assert letter == made("letter")
    assert letter.startswith(b"%PDF-")
    assert b"/StructTreeRoot" in letter
    assert b"/MarkInfo" in letter
    assert b"/Lang" in letter
    assert b"/Outlines" in letter
    assert b"/MediaBox [0 0 612 792]" in letter
    # Ten questions on two sheets at most, their key on two.
    assert 2 <= pages(letter) <= 4
    assert re.search(rb"/MediaBox \[0 0 59[45]\.\d+ 84[12]\.\d+\]", made("a4"))
