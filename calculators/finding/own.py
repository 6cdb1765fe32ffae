"""The table for a reader's own settings: at once by its slopes, then exactly for what still fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from calculators.base.errors import InputError
from calculators.equipment.faults import find_fault
from calculators.equipment.running import Setup
from calculators.finding.kept import TABLE
from calculators.finding.making import INDEPENDENT, SETUP
from calculators.finding.packing import unpacked
from calculators.finding.ranking import Finder
from calculators.finding.signatures import Asked, Shown, signature
from calculators.finding.table import UNKNOWNS, Row

RUNS = 24
"""Signatures that are worked out anew for own settings: what a phone does in some seconds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """The settings that the series is read for. [psi, ratio]."""

    brake_pipe_setting: float = SETUP.equipment.brake_pipe_setting
    multiplier: float = SETUP.equipment.multiplier
    service_limit: float = SETUP.equipment.service_limit
    minimum_reduction: float = SETUP.equipment.minimum_reduction
    main_reservoir: float = SETUP.equipment.main_reservoir
    independent: float = INDEPENDENT

    def setup(self) -> Setup:
        """The locomotive with these settings."""
        equipment = replace(
            SETUP.equipment,
            brake_pipe_setting=self.brake_pipe_setting,
            multiplier=self.multiplier,
            service_limit=self.service_limit,
            minimum_reduction=self.minimum_reduction,
            main_reservoir=self.main_reservoir,
        )
        return replace(SETUP, equipment=equipment)

    def off(self) -> dict[str, float]:
        """How far each unknown of the table is from the example's."""
        example = EXAMPLE
        return {
            "multiplier": self.multiplier - example.multiplier,
            "service-limit": self.service_limit - example.service_limit,
            "independent": self.independent - example.independent,
            "setting": self.brake_pipe_setting - example.brake_pipe_setting,
            "minimum": self.minimum_reduction - example.minimum_reduction,
        }


EXAMPLE = Own()


@cache
def example_rows() -> tuple[Row, ...]:
    """The kept table."""
    return tuple(unpacked(TABLE))


@lru_cache(maxsize=4)
def finder_for(own: Own) -> Finder:
    """A finder for settings, by the slopes of the kept table."""
    rows = example_rows()
    if own != EXAMPLE:
        rows = tuple(_shifted(row, own) for row in rows)
    return Finder(rows)


def _shifted(row: Row, own: Own) -> Row:
    off = own.off()
    shows: list[Shown | None] = []
    for stage, shown in enumerate(row.shows):
        if shown is None:
            shows.append(None)
            continue
        gauges = list(shown.gauges())
        for number, unknown in enumerate(UNKNOWNS):
            slope = row.slopes[number][stage]
            by = off.get(unknown.id, 0.0)
            if slope is not None and by:
                gauges = [g + s * by for g, s in zip(gauges, slope, strict=True)]
        gauges[3] += own.main_reservoir - EXAMPLE.main_reservoir
        reservoir, pipe, cylinder, main, flow = (max(0.0, g) for g in gauges)
        shows.append(
            replace(shown, reservoir=reservoir, pipe=pipe, cylinder=cylinder, main=main, flow=flow)
        )
    return replace(row, shows=tuple(shows))


def exactly(own: Own, wanted: Sequence[str]) -> Iterator[tuple[int, int] | Finder]:
    """Work out anew what faults show for own settings; gives how far it is, and last the finder.

    The locomotive in order comes first, then the faults wanted, as many as `RUNS` allow.
    """
    rows = list(finder_for(own).rows)
    order = ["", *(fault for fault in wanted if fault)]
    places = [n for fault in order for n, row in enumerate(rows) if row.fault == fault][:RUNS]
    setup, asked = own.setup(), Asked(independent=own.independent)
    for count, place in enumerate(places):
        row = rows[place]
        fault = find_fault(row.fault) if row.fault else None
        # A size that these settings leave no room for, such as a regulator set under 60, stays by slopes.
        with suppress(InputError):
            rows[place] = replace(row, shows=signature(setup, fault, row.size, asked=asked))
        yield count + 1, len(places)
    yield Finder(rows)
