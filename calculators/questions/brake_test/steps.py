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


# Tests of the whole train or of cars with charge, leakage or flow, and every brake looked at.
WITH_LEAKAGE: frozenset[Test] = frozenset({"class-1", "class-1a", "class-1-cars", "class-2"})
ALL_MUST_WORK: frozenset[Test] = frozenset({"class-1", "class-1-cars"})
# What has no charge, reduction or readings of its own: what was given is judged as on the road.
NO_READINGS: frozenset[Test] = frozenset({"none", "continuity", "helper"})


def rear_test(test: Test, setup: Setup) -> str:
    """The name under which the rear pressure of a test is looked up."""
    if test in NO_READINGS:
        return "road"
    if test == "class-1-cars":
        test = "class-1"
    return "yard-air" if setup.yard_air else test


def required_reduction(test: Test) -> str:
    """The id of the limit for the reduction of a test."""
    return {
        "class-3": "class-3-reduction",
        "transfer": "transfer-reduction",
        "helper": "helper-reduction",
    }.get(test, "application-reduction")


def steps(test: Test, setup: Setup) -> Iterator[Step]:
    """The test in order, with its figures."""
    if test == "none":
        return
    if test in NO_READINGS:
        yield from _short_steps(test)
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
    if test in WITH_LEAKAGE:
        yield from _leakage_steps(test, setup)
    yield Step(
        label="Apply",
        how=say(_WHO_APPLIES[test]),
        value=psi(find_limit(required_reduction(test)).figure),
    )
    if test in ("class-1", "class-1a", "class-1-cars"):
        yield _inspection_step(test)
    yield from _release_steps(test)
    if setup.yard_air:
        yield Step(
            label="When the locomotive is coupled",
            how=say("A Class III test from the locomotive (49 CFR 232.217(c))."),
        )


def _short_steps(test: Test) -> Iterator[Step]:
    if test == "helper":
        yield Step(
            label="Set from the controlling locomotive",
            how=say("Each helper's brake is looked at and works as it should."),
            value=psi(find_limit("helper-reduction").figure),
        )
        return
    yield Step(
        label="Before the train goes on",
        how=say(
            "A gauge or device at the rear shows the pressure being restored; by telemetry a rise of "
            "at least the figure here. Without one: the rear car's brake is seen to apply and to release."
        ),
        value=psi(find_limit("telemetry-rise").figure),
    )


def _leakage_steps(test: Test, setup: Setup) -> Iterator[Step]:
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
    figures = [find_limit(id).figure for id in flow_limits(setup.air_sources, flow_test(test))]
    if len(figures) == 1:
        how = say("Or the air flow once it is steady, brake valve cut in.")
        yield Step(label="or air flow", how=how, value=Value(figures[0], "cfm"))
    else:
        yield Step(
            label="or air flow",
            how=say(
                "Steady, brake valve cut in, all flows added up: {low} by this test's own words, {high} "
                "by the section that they point to. Your railroad says which.",
                low=Value(figures[0], "cfm"),
                high=Value(figures[1], "cfm"),
            ),
        )


def flow_test(test: Test) -> str:
    """The name under which the air flow of a test is looked up."""
    return "class-1a-or-2" if test in ("class-1a", "class-2") else "class-1"


_EVERY_BRAKE = "Every brake applies and stays applied until it is released."
_WHO_APPLIES: dict[Test, str] = {
    "class-1": _EVERY_BRAKE,
    "class-1a": _EVERY_BRAKE,
    "class-1-cars": "Every brake of the cars added applies and stays applied until it is released.",
    "class-2": "The brakes of the cars added, and the rear car's, apply and stay applied.",
    "class-3": "The rear car's brake applies and stays applied; a gauge or device there may stand in.",
    "transfer": _EVERY_BRAKE,
}


def _inspection_step(test: Test) -> Step:
    rigging = "rigging secured, not binding or fouling; all parts secured"
    if test == "class-1a":
        return Step(
            label="Look from both sides",
            how=say(f"Every car's moving parts at work; {rigging}."),
        )
    travel = find_limit("piston-travel")
    return Step(
        label="Look from both sides",
        how=say(
            "Angle cocks and cut-out cocks, hoses, leaks, retaining valves; "
            + rigging
            + "; piston "
            "travel, brakes applied, {low} to {high}, else adjusted to {nominal}.",
            low=Value(travel.figure, "in"),
            high=Value(travel.upper or travel.figure, "in"),
            nominal=Value(find_limit("piston-travel-nominal").figure, "in", 1),
        ),
    )


def _release_steps(test: Test) -> Iterator[Step]:
    if test == "class-1a":
        # The section asks for no look at the release.
        return
    if test in ("class-1", "class-1-cars"):
        yield Step(
            label="Release",
            how=say(
                "Every brake releases: walked, or by a roll-by at {speed} or less, whose result is told "
                "to the operator, who notes it on the record.",
                speed=Value(find_limit("roll-by-speed").figure, "mph"),
            ),
        )
    elif test == "transfer":
        yield Step(label="Release", how=say("From the controlling locomotive."))
    else:
        yield Step(label="Release", how=_same_release(test))
        yield Step(
            label="or by telemetry, for the rear car",
            how=say(
                "A fall of at least {fall} on the set and a rise of at least {rise} on the release.",
                fall=psi(find_limit("telemetry-fall").figure),
                rise=psi(find_limit("telemetry-rise").figure),
            ),
        )
        yield Step(
            label="Before the train goes on",
            how=say("The operator knows that the rear's pressure is being restored."),
        )


def _same_release(test: Test) -> Phrase:
    """The release of the brakes that were seen to apply; Class II may watch them roll by."""
    if test != "class-2":
        return say("The same brakes release.")
    return say(
        "The same brakes release: walked, or by a roll-by at {speed} or less, whose result is told to "
        "the operator.",
        speed=Value(find_limit("roll-by-speed").figure, "mph"),
    )


def judged(test: Test, setup: Setup, readings: Readings) -> Iterator[Reading]:
    """The readings of a test, each beside its limit, and whatever else was given beside its own.

    What a test asks for and nobody read says so; what the test does not ask for stands only where
    it was given.
    """
    asked = test not in NO_READINGS
    if asked or readings.rear is not None:
        yield from rear_readings(
            test=rear_test(test, setup), operating=setup.operating, rear=readings.rear
        )
    if setup.yard_air and asked:
        yield Reading(limit="yard-air-retest", value=psi(setup.operating))
    yield from _leakage_readings(test, setup, readings)
    if asked or readings.reduction is not None:
        yield Reading(limit=required_reduction(test), value=_psi(readings.reduction))
    yield from _telemetry_readings(test, readings)
    yield from _travel_readings(test, readings)
    share = readings.share
    if asked or share is not None:
        yield Reading(
            limit="operative-brakes-class-1"
            if test in ALL_MUST_WORK
            else "operative-brakes-moving",
            value=None if share is None else Value(share, "%", 1),
        )


def _psi(amount: float | None) -> Value | None:
    return None if amount is None else psi(amount)


# What the rear must do in a test where its device may stand in for a look at the rear car.
_BY_TELEMETRY: dict[Test, tuple[str, ...]] = {
    "class-2": ("telemetry-fall", "telemetry-rise"),
    "class-3": ("telemetry-fall", "telemetry-rise"),
    "continuity": ("telemetry-rise",),
}


def _telemetry_readings(test: Test, readings: Readings) -> Iterator[Reading]:
    for limit, value in (
        ("telemetry-fall", readings.rear_fall),
        ("telemetry-rise", readings.rear_rise),
    ):
        if value is not None:
            yield Reading(limit=limit, value=psi(value))
        elif limit in _BY_TELEMETRY.get(test, ()):
            yield Reading(limit=limit, value=None, not_applicable=say("if a device there shows it"))


def _leakage_readings(test: Test, setup: Setup, readings: Readings) -> Iterator[Reading]:
    nothing = readings.leakage is None and readings.air_flow is None and test in WITH_LEAKAGE
    if readings.leakage is not None or nothing:
        value = None if readings.leakage is None else Value(readings.leakage, "psi/min", 1)
        yield Reading(limit="brake-pipe-leakage", value=value)
    if readings.wait is not None:
        yield Reading(limit="leakage-test-wait", value=Value(readings.wait, "s"))
    elif test in WITH_LEAKAGE:
        unread = None if readings.leakage is not None else say("with the leakage reading")
        yield Reading(limit="leakage-test-wait", value=None, not_applicable=unread)
    if readings.air_flow is not None or nothing:
        value = None if readings.air_flow is None else Value(readings.air_flow, "cfm", 1)
        for limit in flow_limits(setup.air_sources, flow_test(test)):
            yield Reading(limit=limit, value=value)


def _travel_readings(test: Test, readings: Readings) -> Iterator[Reading]:
    if not readings.piston_travels:
        if test in ALL_MUST_WORK:
            yield Reading(limit="piston-travel", value=None)
        return
    # The shortest and the longest stand for all: the limit is a range.
    for travel in sorted({min(readings.piston_travels), max(readings.piston_travels)}):
        yield Reading(limit="piston-travel", value=Value(travel, "in", 2))
    longest = max(readings.piston_travels)
    yield Reading(limit="piston-travel-effective", value=Value(longest, "in", 2))


def deeper_than_named(test: Test, readings: Readings) -> Phrase | None:
    """Words for a reduction deeper than the test's own, which makes the test easier."""
    named = find_limit(required_reduction(test))
    made = readings.reduction
    if test in NO_READINGS or made is None or made <= named.figure or named.holds(made):
        return None
    return say(
        "{made} was taken off where the text names {named}. A deeper set applies brakes that the "
        "test's own might not, and reads less leakage.",
        made=psi(made),
        named=psi(named.figure),
    )
