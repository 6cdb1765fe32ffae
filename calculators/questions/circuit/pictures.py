"""Pressures over time, as far as the gauges move."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Axis, Line, Series
from calculators.circuits.story import NO_STEP, Story, stops

CURVE_POINTS = 60
SHORTEST_CURVE = 8.0

_OF_THE_TRAIN = ("leakage", "pipe-feed", "pipe-exhaust", "train-pipe", "auxiliary-charge")

_PLACE_LINES = {
    "equalizing_reservoir": "Equalizing reservoir",
    "brake_pipe": "Brake pipe, at the head",
    "pipe_16": "Pipe 16",
    "pipe_20": "Pipe 20",
    "brake_cylinder": "Brake cylinder",
}


def curves(story: Story) -> Iterator[Series]:
    """Pressures over time, as far as the locomotive's own gauges move."""
    own = [
        stops(used, story.run)
        for used in story.run.used
        if used.passage not in NO_STEP and used.passage not in _OF_THE_TRAIN
    ]
    if not own:
        return
    end = max(SHORTEST_CURVE, 1.5 * max(own))
    samples = [sample for sample in story.run.samples if sample.seconds <= end]
    step = max(1, -(-len(samples) // CURVE_POINTS))
    kept = [*samples[::step], *(samples[-1:] if (len(samples) - 1) % step else [])]
    places = ("equalizing_reservoir", "brake_pipe", "pipe_16", "pipe_20", "brake_cylinder")
    lines = [
        Line(
            name=_PLACE_LINES[place],
            color=place,
            points=tuple((sample.seconds, sample.pressure(place)) for sample in kept),
        )
        for place in places
        if any(sample.pressure(place) > 0.5 for sample in kept)
    ]
    rest = story.run.rest_after
    later = rest is not None and rest > kept[-1].seconds + 0.5
    yield Series(
        title="Pressures after the move",
        x=Axis(term="Time", unit="s", digits=1),
        y=Axis(term="Pressure", unit="psi"),
        lines=tuple(lines),
        note="Times are estimates." + (" The train goes on moving after this." if later else ""),
    )
