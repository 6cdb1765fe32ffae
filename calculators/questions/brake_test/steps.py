"""How each brake test goes, in order, and what its readings are judged by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.base.results import Phrase, Reading, Step, Value, psi, say
from calculators.law.limit_list import find_limit
from calculators.law.rules import flow_limits, least_rear, rear_readings
from calculators.questions.brake_test.due import Test


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What was read at the test; None where nothing was.

    Pressures in psi, leakage in psi/min, air flow in cfm, travels in inches, wait in seconds.
    """

    rear: float | None
    leakage: float | None
    air_flow: float | None
    wait: float | None
    reduction: float | None
    rear_fall: float | None
    rear_rise: float | None
    piston_travels: tuple[float, ...] | None
    operative: float | None
    control_valves: float | None

    @property
    def share(self) -> float | None:
        """Operative brakes of all control valves, in %."""
        if self.operative is None or self.control_valves is None:
            return None
        return 100 * self.operative / self.control_valves


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What a test is made with: the operating pressure [psi], yard air or not, air sources."""

    operating: float
    yard_air: bool
    air_sources: str


def rear_test(test: Test, setup: Setup) -> str:
    """The name under which the rear pressure of a test is looked up."""
    return "yard-air" if setup.yard_air else test


def required_reduction(test: Test) -> str:
    """The id of the limit for the reduction of a test."""
    return {"class-3": "class-3-reduction", "transfer": "transfer-reduction"}.get(
        test, "application-reduction"
    )


def steps(test: Test, setup: Setup) -> Iterator[Step]:
    """The test in order, with its figures."""
    if test == "none":
        return
    if setup.yard_air:
        yield Step(
            label="Yard air",
            how=say(
                "Connect the test device at the end that will be next to the locomotive; it must raise "
                "and lower the pipe no faster than a brake valve."
            ),
        )
    least, _ = least_rear(test=rear_test(test, setup), operating=setup.operating)
    yield Step(
        label="Charge",
        how=say(
            "To {operating}; the rear, by gauge or device, at least at the figure here.",
            operating=psi(setup.operating),
        ),
        value=psi(least),
    )
    if test in ("class-1", "class-1a", "class-2"):
        yield from _leakage_steps(setup)
    yield from _application_steps(test)
    if test in ("class-1", "class-1a"):
        yield _inspection_step(test)
    yield _release_step(test)
    if setup.yard_air:
        yield Step(
            label="When the locomotive is coupled",
            how=say("A Class III test from the locomotive (49 CFR 232.217(c))."),
        )


def _leakage_steps(setup: Setup) -> Iterator[Step]:
    wait = find_limit("leakage-test-wait")
    yield Step(
        label="Leakage",
        how=say(
            "{reduction} off at service rate, brake valve cut out or lapped, wait {low} to {high}, "
            "then watch the pipe for one minute.",
            reduction=psi(find_limit("leakage-test-reduction").figure),
            low=Value(wait.figure, "s"),
            high=Value(wait.upper or wait.figure, "s"),
        ),
        value=Value(find_limit("brake-pipe-leakage").figure, "psi/min"),
    )
    figures = [find_limit(id).figure for id in flow_limits(setup.air_sources)]
    if len(figures) == 1:
        how = say("Or the air flow once it is steady, brake valve cut in.")
        yield Step(label="or air flow", how=how, value=Value(figures[0], "cfm"))
    else:
        yield Step(
            label="or air flow",
            how=say(
                "Steady, brake valve cut in: {low} or {high} by the edition your railroad works under.",
                low=Value(figures[0], "cfm"),
                high=Value(figures[1], "cfm"),
            ),
        )


_WHO_APPLIES: dict[Test, str] = {
    "class-1": "Every brake applies and stays applied until it is released.",
    "class-1a": "Every brake applies and stays applied until it is released.",
    "class-2": "The brakes of the cars added, and the rear car's (this part from memory), apply and stay "
    "applied.",
    "class-3": "The rear car's brake applies; the rear gauge or device may show it.",
    "transfer": "Every brake applies and stays applied until it is released.",
}


def _application_steps(test: Test) -> Iterator[Step]:
    yield Step(
        label="Apply",
        how=say(_WHO_APPLIES[test]),
        value=psi(find_limit(required_reduction(test)).figure),
    )


def _inspection_step(test: Test) -> Step:
    look = "Angle cocks and cut-out cocks, hoses, leaks, retaining valves"
    if test != "class-1":
        return Step(label="Look at both sides", how=say(look + "."))
    travel = find_limit("piston-travel")
    return Step(
        label="Look at both sides",
        how=say(
            look + ", rigging; piston travel {low} to {high}, adjusted to {nominal}.",
            low=Value(travel.figure, "in"),
            high=Value(travel.upper or travel.figure, "in"),
            nominal=Value(find_limit("piston-travel-nominal").figure, "in", 1),
        ),
    )


def _release_step(test: Test) -> Step:
    if test == "class-1":
        return Step(
            label="Release",
            how=say(
                "Every brake releases: walked, or by a roll-by at {speed} or less.",
                speed=Value(find_limit("roll-by-speed").figure, "mph"),
            ),
        )
    if test == "class-2":
        return Step(
            label="Release",
            how=say(
                "They release. By telemetry: a fall of {fall} and a rise of {rise} at the rear.",
                fall=psi(find_limit("telemetry-fall").figure),
                rise=psi(find_limit("telemetry-rise").figure),
            ),
        )
    return Step(label="Release", how=say("The same brakes release."))


def judged(test: Test, setup: Setup, readings: Readings) -> Iterator[Reading]:
    """The readings of a test, each beside its limit; what was not read says so."""
    if test == "none":
        return
    yield from rear_readings(
        test=rear_test(test, setup), operating=setup.operating, rear=readings.rear
    )
    if setup.yard_air:
        yield Reading(limit="yard-air-retest", value=psi(setup.operating))
    if test in ("class-1", "class-1a", "class-2"):
        yield from _leakage_readings(setup, readings)
    yield Reading(
        limit=required_reduction(test),
        value=None if readings.reduction is None else psi(readings.reduction),
    )
    if test == "class-2" and readings.rear_fall is not None:
        yield Reading(limit="telemetry-fall", value=psi(readings.rear_fall))
    if test == "class-2" and readings.rear_rise is not None:
        yield Reading(limit="telemetry-rise", value=psi(readings.rear_rise))
    if test == "class-1":
        yield from _travel_readings(readings)
    share = readings.share
    yield Reading(
        limit="operative-brakes-class-1" if test == "class-1" else "operative-brakes-moving",
        value=None if share is None else Value(share, "%", 1),
    )


def _leakage_readings(setup: Setup, readings: Readings) -> Iterator[Reading]:
    nothing = readings.leakage is None and readings.air_flow is None
    if readings.leakage is not None or nothing:
        value = None if readings.leakage is None else Value(readings.leakage, "psi/min", 1)
        yield Reading(limit="brake-pipe-leakage", value=value)
    if readings.leakage is not None and readings.wait is not None:
        yield Reading(limit="leakage-test-wait", value=Value(readings.wait, "s"))
    if readings.air_flow is not None or nothing:
        value = None if readings.air_flow is None else Value(readings.air_flow, "cfm", 1)
        for limit in flow_limits(setup.air_sources):
            yield Reading(limit=limit, value=value)


def _travel_readings(readings: Readings) -> Iterator[Reading]:
    if not readings.piston_travels:
        yield Reading(limit="piston-travel", value=None)
        return
    # The shortest and the longest stand for all: the limit is a range.
    for travel in sorted({min(readings.piston_travels), max(readings.piston_travels)}):
        yield Reading(limit="piston-travel", value=Value(travel, "in", 2))
    longest = max(readings.piston_travels)
    yield Reading(limit="piston-travel-effective", value=Value(longest, "in", 2))


def deeper_than_named(test: Test, readings: Readings) -> Phrase | None:
    """Words for a reduction deeper than the test's own, which makes the test easier."""
    if test == "none" or readings.reduction is None:
        return None
    named = find_limit(required_reduction(test)).figure
    if readings.reduction <= named + 1:
        return None
    return say(
        "{made} was taken off where the text names {named}. A deeper set applies brakes that the "
        "test's own might not, and reads less leakage.",
        made=psi(readings.reduction),
        named=psi(named),
    )
