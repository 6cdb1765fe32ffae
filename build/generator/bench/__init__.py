"""``python3 build bench``: what was measured on this machine, beside what the project is held to.

Nothing here is a gate: machines are noisy, so what matters is ratios, taken side by side in one
run. Every row says how it was measured and how often.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path

from generator.bench.rows import BenchRow, table
from generator.setup.steps import SetupError

Measure = Callable[[Path], Iterator[BenchRow]]
# Takes long, or is asked before a patch is kept or dropped: measured only when it is named.
ONLY_NAMED = ("mutants", "switches", "line")


def print_table(root: Path, words: tuple[str, ...] = ()) -> int:
    """Measure everything, or the named parts, and print the table."""
    from generator.bench import (
        answers,
        audits,
        built,
        drills,
        faults,
        finding,
        gate,
        line,
        mutants,
        one_answer,
        starts,
        switches,
        trains,
    )

    parts: dict[str, Measure] = {
        "built": built.measure,
        "starts": starts.measure,
        "answers": answers.measure,
        "drills": drills.measure,
        "trains": trains.measure,
        "one-answer": one_answer.measure,
        "audits": audits.measure,
        "faults": faults.measure,
        "finding": finding.measure,
        "gate": gate.measure,
        "mutants": mutants.measure,
        "switches": switches.measure,
        "line": line.measure,
    }
    unknown = [word for word in words if word not in parts]
    if unknown:
        print(f"bench knows no part {', '.join(unknown)}; there are {', '.join(parts)}")
        return 2
    rows: list[BenchRow] = []
    for name, measure in parts.items():
        if name not in words if words else name in ONLY_NAMED:
            continue
        print(f"\n== measuring: {name} ==", flush=True)
        try:
            for row in measure(root):
                print(row.line(), flush=True)
                rows.append(row)
        except SetupError as error:
            rows.append(BenchRow(what=name, held_to="", measured=f"not measured: {error}", how=""))
        except Exception:
            traceback.print_exc(file=sys.stderr)
            rows.append(
                BenchRow(
                    what=name, held_to="", measured="not measured: it failed, see above", how=""
                )
            )
    print("\n" + table(rows))
    return 0
