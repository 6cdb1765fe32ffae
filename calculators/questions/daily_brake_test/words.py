"""The words of the standing test: its steps, and what a reading off the prediction may mean."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.base.results import Note, Phrase, Step, Value, psi, say
from calculators.equipment.locomotive import AtRest, Equipment
from calculators.equipment.standing_test import Moves, StandingTest
from calculators.figures.nominal import PRESSED_SECONDS
from calculators.figures.thresholds import EMERGENCY_SECONDS, REDUCTION_READ
from calculators.law.gauge_error import gauge_error
from calculators.law.limit_list import find_limit


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeReadings:
    """What was read at the test; None where nothing was.

    Pressures in psi, the emptying time in seconds.
    """

    first_cylinder: float | None = None
    equalizing_fall: float | None = None
    bailed_off_cylinder: float | None = None
    second_cylinder: float | None = None
    equalizing_rise: float | None = None
    full_service_cylinder: float | None = None
    independent_cylinder: float | None = None
    emergency_cylinder: float | None = None
    emergency_seconds: float | None = None
    emergency_held_cylinder: float | None = None


def steps(found: StandingTest, equipment: Equipment, moves: Moves) -> Iterator[Step]:
    """The test in order; the figure beside each step is the cylinder's."""
    most = find_limit("locomotive-brake-pipe-leakage").figure
    charged = found.charged
    yield _step(
        "Charged",
        "Release, independent released. Main reservoir {main}. " + _GAUGES,
        charged,
        main=psi(equipment.main_reservoir),
    )
    yield _step(
        "First set",
        "Take {off} off; when the exhaust has stopped, cut OUT. " + _GAUGES,
        found.first_set,
        shows="first_cylinder",
        off=psi(moves.first_reduction),
    )
    yield Step(
        label="One minute",
        shows="least_brake_pipe",
        how=say(
            "The equalizing reservoir does not fall. The brake pipe falls by {most} at the most: not "
            "under the figure here.",
            most=psi(most),
        ),
        value=psi(max(0.0, found.first_set.brake_pipe - most)),
    )
    yield _step(
        "Bail off",
        "Press the independent handle for {seconds}. Reservoir and pipe stay. " + _GAUGES,
        found.bailed_off,
        seconds=Value(PRESSED_SECONDS.value, "s"),
    )
    yield _step(
        "Second set",
        "First bring the equalizing reservoir a little under the pipe, then cut IN, then go to {off} "
        "off in all. Only what came off since the bail-off counts here. " + _GAUGES,
        found.second_set,
        shows="second_cylinder",
        off=psi(moves.second_reduction),
    )
    yield _step(
        "Half-way back",
        "Handle half-way to release: the equalizing reservoir does not rise. " + _GAUGES,
        found.moved_back,
    )
    yield _step(
        "Full service",
        "Release, recharge, then {off} off. " + _GAUGES,
        found.full_service,
        shows="full_service_cylinder",
        off=psi(moves.full_reduction),
    )
    yield _step(
        "Independent",
        "Release, then full independent, {asked} asked for. " + _GAUGES,
        found.independent,
        shows="independent_cylinder",
        asked=psi(moves.independent),
    )
    yield _step(
        "Emergency, last and optional",
        "Brake pipe to zero at once, equalizing reservoir in {low} to {high}; power cut, sanders run. "
        + _GAUGES,
        found.emergency,
        shows="emergency_cylinder",
        low=Value(EMERGENCY_SECONDS.value, "s"),
        high=Value(EMERGENCY_SECONDS.span()[1], "s"),
    )
    yield Step(
        label="Bail off in emergency",
        shows="emergency_cylinder",
        how=say(
            "Pressed: cylinder {held}. Let go: it comes back to {back}.",
            held=psi(found.emergency_held.brake_cylinder),
            back=psi(found.emergency_let_go.brake_cylinder),
        ),
        value=psi(found.emergency_let_go.brake_cylinder),
    )


_GAUGES = "Equalizing reservoir {reservoir}, brake pipe {pipe}, cylinder {cylinder}."


def _step(label: str, template: str, state: AtRest, *, shows: str = "", **parts: Value) -> Step:
    gauges = {
        "reservoir": psi(state.equalizing_reservoir),
        "pipe": psi(state.brake_pipe),
        "cylinder": psi(state.brake_cylinder),
    }
    return Step(
        label=label,
        shows=shows,
        how=Phrase(template, {**parts, **gauges}),
        value=psi(state.brake_cylinder),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Compared:
    """One cylinder reading beside its prediction, and what to look at on either side."""

    what: str
    read: float | None
    predicted: float
    reductions: float
    high: str
    low: str


def compared(found: StandingTest, equipment: Equipment, readings: GaugeReadings) -> Iterator[Note]:
    """Notes for readings off the prediction by more than the gauges account for."""
    for item in _cylinders(found, equipment, readings):
        if item.read is None:
            continue
        band = gauge_error(item.predicted) + item.reductions
        if abs(item.read - item.predicted) <= band:
            continue
        over = item.read > item.predicted
        yield Note(
            kind="warning",
            text=say(
                "{what} reads {read}; {predicted} is predicted, and the gauges account for {band}. "
                "Look at: {hint}.",
                what=item.what,
                read=psi(item.read),
                predicted=psi(item.predicted),
                band=psi(band, 1),
                hint=item.high if over else item.low,
            ),
        )
    yield from _reservoir_notes(readings)


def _cylinders(
    found: StandingTest, equipment: Equipment, readings: GaugeReadings
) -> Iterator[_Compared]:
    per_psi = equipment.multiplier * equipment.relay_ratio_automatic * REDUCTION_READ.value
    lost = (
        "a leak in pipe 16 or the actuating pipe (listen there), the bail-off stuck, the dynamic "
        "interlock stuck, a cylinder cut out or leaking"
    )
    much = (
        "the independent not fully released, a charged pressure above the setting, a multiplier or "
        "ratio other than the one entered"
    )
    yield _Compared(
        what="The cylinder after the first set",
        read=readings.first_cylinder,
        predicted=found.first_set.brake_cylinder,
        reductions=per_psi,
        high=much,
        low=lost,
    )
    yield _Compared(
        what="The cylinder after the bail-off",
        read=readings.bailed_off_cylinder,
        predicted=found.bailed_off.brake_cylinder,
        reductions=REDUCTION_READ.value,
        high="the bail-off path or its valve, the independent not fully released",
        low="the gauge",
    )
    yield _Compared(
        what="The cylinder after the second set",
        read=readings.second_cylinder,
        predicted=found.second_set.brake_cylinder,
        reductions=2 * per_psi,
        high="whether the whole set counted: the bail-off may not have taken, or the pipe leaked",
        low=lost,
    )
    yield _Compared(
        what="The cylinder in full service",
        read=readings.full_service_cylinder,
        predicted=found.full_service.brake_cylinder,
        reductions=per_psi if found.full_service.decisive == "demand" else REDUCTION_READ.value,
        high="the service limiting valve set high or stuck",
        low="the service limiting valve set low, a low main reservoir, " + lost,
    )
    yield _Compared(
        what="The cylinder with the independent full on",
        read=readings.independent_cylinder,
        predicted=found.independent.brake_cylinder,
        reductions=REDUCTION_READ.value,
        high="the independent's regulating valve, the relay ratio entered",
        low="pipe 20, the double check valve, the independent's regulating valve",
    )
    yield _Compared(
        what="The cylinder in emergency",
        read=readings.emergency_cylinder,
        predicted=found.emergency.brake_cylinder,
        reductions=REDUCTION_READ.value,
        high="the emergency limit",
        low="the emergency limit, a low main reservoir",
    )
    yield _Compared(
        what="The cylinder in emergency with the handle pressed",
        read=readings.emergency_held_cylinder,
        predicted=found.emergency_held.brake_cylinder,
        reductions=REDUCTION_READ.value,
        high="the bail-off path",
        low="the gauge",
    )


def _reservoir_notes(readings: GaugeReadings) -> Iterator[Note]:
    if readings.equalizing_fall is not None and readings.equalizing_fall > 0:
        yield Note(
            kind="warning",
            text=say(
                "The equalizing reservoir fell {fall} in lap and takes the pipe with it: a leak at the "
                "reservoir or its connections. The test in print allows none.",
                fall=psi(readings.equalizing_fall, 1),
            ),
        )
    if readings.equalizing_rise is not None and readings.equalizing_rise > 0:
        yield Note(
            kind="warning",
            text=say(
                "The equalizing reservoir rose {rise} half-way back: its cut-off in the brake valve, or "
                "piping. The train would release unasked; the test in print has it repaired before use.",
                rise=psi(readings.equalizing_rise, 1),
            ),
        )
    low, high = EMERGENCY_SECONDS.span()
    seconds = readings.emergency_seconds
    if seconds is not None and not low <= seconds <= high:
        yield Note(
            kind="warning",
            text=say(
                "The equalizing reservoir took {seconds} to empty; {low} to {high} was read for related "
                "equipment.",
                seconds=Value(seconds, "s", 1),
                low=Value(low, "s"),
                high=Value(high, "s"),
            ),
        )
