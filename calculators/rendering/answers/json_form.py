"""An answer as JSON with stable keys: numbers in trade units, not rounded."""

from __future__ import annotations

import json
from typing import Any

from calculators.answering.answer import Answer
from calculators.rendering.answers.comparison import comparison_object
from calculators.rendering.common import verdict_words


def answer_json(answer: Answer) -> str:
    """The answer as one JSON object, or its errors under ``errors``."""
    return json.dumps(answer_object(answer), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def answer_object(answer: Answer) -> dict[str, Any]:
    """The answer as plain data: inputs, results, working, limits, notes, series, grids, comparisons."""
    display = answer.display
    if answer.outcome is None:
        return {"calculator": answer.calculator.name, "errors": dict(answer.errors)}
    return {
        "calculator": answer.calculator.name,
        "inputs": {item.name: item.value for item in answer.inputs},
        "results": answer.results(),
        "bands": dict(answer.outcome.bands),
        "working": [
            {
                "label": step.label,
                "how": step.how.text(display),
                "value": step.value.amount if step.value is not None else None,
                "unit": step.value.unit if step.value is not None else "",
                "decides": step.decides,
            }
            for step in answer.outcome.working
        ],
        "limits": [
            {
                "limit": verdict.limit.id,
                "title": verdict.limit.title,
                "requirement": verdict.words.text(display),
                "reading": verdict.reading.amount if verdict.reading is not None else None,
                "unit": verdict.limit.unit,
                "standing": verdict.standing,
                "source": verdict_words(verdict),
            }
            for verdict in answer.verdicts
        ],
        "notes": [
            {"kind": note.kind, "text": note.text.text(display)} for note in answer.outcome.notes
        ],
        "series": [
            {
                "title": series.title,
                "x": {"term": series.x.term, "unit": series.x.unit},
                "y": {"term": series.y.term, "unit": series.y.unit},
                "lines": {
                    line.name: [list(point) for point in line.points] for line in series.lines
                },
            }
            for series in answer.outcome.series
        ],
        "grids": [
            {
                "title": grid.title,
                "columns": {"term": grid.columns.term, "unit": grid.columns.unit, "at": grid.at},
                "rows": {"term": grid.row, "names": grid.names},
                "layers": {
                    layer.name: {"unit": layer.unit, "values": layer.values}
                    for layer in grid.layers
                },
                "gauges": {
                    gauge.name: {"unit": gauge.unit, "values": gauge.values}
                    for gauge in grid.gauges
                },
            }
            for grid in answer.outcome.grids
        ],
        "compared": [comparison_object(one) for one in answer.outcome.compared],
    }
