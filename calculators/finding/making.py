"""The table of the example settings as a module: made by the build's verb, kept by what it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256

from calculators.equipment.faults import FAULTS
from calculators.equipment.running import EXAMPLE, Setup
from calculators.finding.packing import packed
from calculators.finding.series import STAGES
from calculators.finding.table import UNKNOWNS, Row

INDEPENDENT = 45.0
"""Full independent of the example locomotive. [psi]"""
SETUP = Setup(equipment=EXAMPLE)
_WIDE = 95


def made_of() -> str:
    """A digest of the faults, stages, unknowns and settings that the table stands for."""
    faults = [
        (f.id, f.smallest, f.largest, f.heard, repr(f.wrong(f.smallest)), repr(f.wrong(f.largest)))
        for f in FAULTS
    ]
    stages = [(s.id, s.move, s.seconds, s.after, s.recharge) for s in STAGES]
    told = repr((faults, stages, UNKNOWNS, EXAMPLE, INDEPENDENT))
    return sha256(told.encode()).hexdigest()[:16]


def module(rows: Sequence[Row]) -> str:
    """The text of the module `finding.kept`."""
    text = packed(rows)
    lines = [text[start : start + _WIDE] for start in range(0, len(text), _WIDE)]
    body = "\n".join(f'    r"{line}"' if "\\" in line else f'    "{line}"' for line in lines)
    return (
        '"""The table for the example settings, made by `python3 build faults`; not to be written by hand."""\n\n'
        f'MADE_OF = "{made_of()}"\n\n'
        f"TABLE = (\n{body}\n)\n"
    )
