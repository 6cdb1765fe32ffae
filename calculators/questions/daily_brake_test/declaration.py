"""The `daily-brake-test` calculator: the locomotive's standing test with every gauge predicted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Reading, Step, Value, plain, psi, say
from calculators.declaring.first_screen import FirstScreen, Key, Sought
from calculators.declaring.registry import calculator
from calculators.equipment.locomotive import Equipment
from calculators.equipment.running import standing_times
from calculators.equipment.standing_test import Moves, standing_test
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import alerter_times
from calculators.questions.daily_brake_test.inputs import DailyBrakeTestInputs
from calculators.questions.daily_brake_test.words import GaugeReadings, compared, steps


def _cylinder(when: str) -> Quantity:
    return Quantity(term=f"Cylinder {when}", unit="psi")


def _seconds(term: str, help: str) -> Quantity:
    return Quantity(
        term=term, unit="s", digits=1, help=help, blank="not by the running brake, or over a minute"
    )


SECURE_FIRST = Note(
    kind="warning",
    text=say(
        "Secure first: hand brake on, nobody at or under the running gear. The brakes are released "
        "in the course of this test."
    ),
)
BESIDES = (
    Note(
        text=say(
            "The times are those of the reference's running brake: choke and vent of the equalizing "
            "reservoir as read of related equipment, all other holes nominal, from memory. A "
            "slower gauge is a reason to look, no more."
        )
    ),
    Note(
        text=say(
            "Before cutting in again bring the equalizing reservoir a little below the pipe. Above "
            "it, the valve would feed the pipe and let the brakes go."
        )
    ),
    Note(
        text=say(
            "A reading off its prediction is a reason to look, not a verdict: the predictions are for "
            "the figures you entered."
        )
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyBrakeTest(Outcome):
    """What the gauges should show at the steps that tell most."""

    first_cylinder: Annotated[float, _cylinder("after the first set")]
    least_brake_pipe: Annotated[
        float, Quantity(term="Brake pipe after the minute, at least", unit="psi")
    ]
    second_equalizing_reservoir: Annotated[
        float, Quantity(term="Equalizing reservoir after the second set", unit="psi")
    ]
    second_cylinder: Annotated[float, _cylinder("after the second set")]
    full_service_cylinder: Annotated[float, _cylinder("in full service")]
    independent_cylinder: Annotated[float, _cylinder("with the independent full on")]
    emergency_cylinder: Annotated[float, _cylinder("in emergency")]
    first_set_seconds: Annotated[
        float | None, _seconds("The cylinder is there after the first set in", "to within 1 psi")
    ]
    bail_off_seconds: Annotated[
        float | None, _seconds("Bailed off, the cylinder is empty in", "the handle kept pressed")
    ]
    emergency_seconds: Annotated[
        float | None, _seconds("In emergency the equalizing reservoir is at zero in", "")
    ]
    alerter_least: Annotated[
        float, Quantity(term="Alerter warns after, at the soonest", unit="s", digits=0)
    ]
    alerter_most: Annotated[
        float, Quantity(term="Alerter warns after, at the latest", unit="s", digits=0)
    ]


@calculator(
    "daily-brake-test",
    title="Daily brake test of the locomotive",
    question="What should the gauges show at each step of the locomotive's standing brake test?",
    first=FirstScreen(
        figures={
            "first_cylinder": "first set",
            "full_service_cylinder": "full service",
            "independent_cylinder": "independent",
        },
        asked={
            "": "{first_reduction:bare} off {brake_pipe_setting}, then {second_reduction:bare} in all"
        },
        keys=(
            Key(field="first_reduction"),
            Key(field="second_reduction"),
            Key(field="independent"),
        ),
        line={"brake_pipe_setting": "", "service_limit": "limit"},
        read={
            "first_cylinder": "first_cylinder_read",
            "full_service_cylinder": "full_service_cylinder_read",
            "independent_cylinder": "independent_cylinder_read",
        },
        means={"": "tests/daily-brake-test/"},
        sought={
            "first_cylinder": (Sought(entry="ten-off cylinder", only={"first_reduction": 10.0}),),
            "full_service_cylinder": (
                Sought(entry="thirty-off cylinder", only={"full_reduction": 30.0}),
            ),
            "independent_cylinder": (Sought(entry="independent cylinder"),),
        },
    ),
    sources=(
        Citation("ARMY-223", "p. 2-7"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("CFR-229-59"),
        Citation("CFR-229-55", "(c)"),
        Citation("CFR-229-53"),
        Citation("CFR-229-46"),
        Citation("CFR-229-140", "(d), (f)"),
        Citation("CFR-232-105", "(d)"),
        Citation("CFR-232-103", "(o)"),
        Citation("TEA", "questions 95, 142, 185, 192"),
    ),
    validity=(
        "The locomotive alone, secured, stopped, in control and cut in, nothing still moving.",
        "The figures of the test in print are for related equipment with another control valve.",
    ),
    leaves_out=(
        "Your railroad's own order and figures, and everything that is not air: rigging, shoes, hand brake.",
        "Safety control, dynamic brake, sanders and horn, which a daily inspection takes in.",
    ),
    judges=(
        "alerter-error",
        "alerter-slow",
        "equalizing-reservoir-leakage",
        "locomotive-brake-pipe-leakage",
        "locomotive-cylinder-can-reach",
        "locomotive-cylinder-hold",
        "main-reservoir-leakage",
        "main-reservoir-over-brake-pipe",
    ),
)
def daily_brake_test(given: DailyBrakeTestInputs) -> DailyBrakeTest:
    """Predict the gauges of the standing test and compare readings with them.

    Returns
    -------
    DailyBrakeTest
        Predictions in psi, the alerter's times in s.

    Raises
    ------
    InputError
        If the second set is less than the first, or a set is more than the setting.
    """
    for name, off in (
        ("first_reduction", given.first_reduction),
        ("second_reduction", given.second_reduction),
        ("full_reduction", given.full_reduction),
    ):
        if off > given.brake_pipe_setting:
            raise InputError(
                name,
                f"{plain(off)} psi cannot come off {plain(given.brake_pipe_setting)} psi; take less.",
            )
    if given.second_reduction < given.first_reduction:
        raise InputError(
            "second_reduction",
            f"Second set, in all is {plain(given.second_reduction)} psi; it must be "
            f"{plain(given.first_reduction)} psi or more, where the first set ended.",
        )
    equipment = Equipment(
        brake_pipe_setting=given.brake_pipe_setting,
        multiplier=given.locomotive.multiplier,
        service_limit=given.locomotive.service_limit,
        emergency_limit=given.locomotive.emergency_limit,
        relay_ratio_automatic=given.locomotive.relay_ratio_automatic,
        relay_ratio_independent=given.locomotive.relay_ratio_independent,
        main_reservoir=given.locomotive.main_reservoir,
        cut_off="freight",
        release_type="direct",
        unit="lead",
        # The test touches none of these: no first notch, suppression, dead unit or dynamic brake.
        minimum_reduction=0.0,
        suppression_reduction=0.0,
        emergency_threshold=0.0,
        dead_engine_setting=0.0,
        auxiliary_volume=None,
        pipe_16_volume=given.locomotive.pipe_16_volume,
        emergency_drops_dynamic=True,
    )
    moves = Moves(
        first_reduction=given.first_reduction,
        second_reduction=given.second_reduction,
        full_reduction=given.full_reduction,
        independent=given.independent,
    )
    readings = GaugeReadings(
        first_cylinder=given.first_cylinder_read,
        equalizing_fall=given.equalizing_fall_read,
        bailed_off_cylinder=given.bailed_off_cylinder_read,
        second_cylinder=given.second_cylinder_read,
        equalizing_rise=given.equalizing_rise_read,
        full_service_cylinder=given.full_service_cylinder_read,
        independent_cylinder=given.independent_cylinder_read,
        emergency_cylinder=given.emergency_cylinder_read,
        emergency_seconds=given.emergency_seconds_read,
        emergency_held_cylinder=given.emergency_held_cylinder_read,
    )
    found = standing_test(equipment, moves)
    times = standing_times(equipment, found, first_reduction=given.first_reduction)
    alerter_least, alerter_most = alerter_times(given.track_speed)
    leakage = find_limit("locomotive-brake-pipe-leakage").figure
    first = found.first_set
    return DailyBrakeTest(
        first_cylinder=first.brake_cylinder,
        least_brake_pipe=max(0.0, first.brake_pipe - leakage),
        second_equalizing_reservoir=found.second_set.equalizing_reservoir,
        second_cylinder=found.second_set.brake_cylinder,
        full_service_cylinder=found.full_service.brake_cylinder,
        independent_cylinder=found.independent.brake_cylinder,
        emergency_cylinder=found.emergency.brake_cylinder,
        first_set_seconds=times.first_set,
        bail_off_seconds=times.bailed_off,
        emergency_seconds=times.emergency_reservoir,
        alerter_least=alerter_least,
        alerter_most=alerter_most,
        headline=say(
            "{off} off: cylinder {cylinder}. Full service {full}, independent {independent}, emergency "
            "{emergency}.",
            off=psi(given.first_reduction),
            cylinder=psi(first.brake_cylinder),
            full=psi(found.full_service.brake_cylinder),
            independent=psi(found.independent.brake_cylinder),
            emergency=psi(found.emergency.brake_cylinder),
        ),
        working=(*steps(found, equipment, moves), _alerter_step(given.track_speed)),
        notes=(SECURE_FIRST, *compared(found, equipment, readings), *BESIDES),
        readings=tuple(
            _readings(
                given.brake_pipe_fall_read,
                given.main_reservoir_leakage_read,
                given.full_service_cylinder_read,
                given.hold_read,
                given.locomotive.main_reservoir - given.brake_pipe_setting,
            )
        )
        + tuple(_more_readings(given.equalizing_fall_read, given.track_speed, given.alerter_read)),
    )


def _alerter_step(speed: float) -> Step:
    least, most = alerter_times(speed)
    return Step(
        label="Alerter, secured and everybody told",
        how=say(
            "Its time is let run out, and the penalty application comes. At {speed} it warns after "
            "{least} to {most}.",
            speed=Value(speed, "mph"),
            least=Value(least, "s"),
            most=Value(most, "s"),
        ),
    )


def _more_readings(
    equalizing_fall: float | None, speed: float, alerter: float | None
) -> Iterator[Reading]:
    """Readings that stand in the list only where they were given."""
    if equalizing_fall is not None:
        # Read in one minute, so the fall is the leakage.
        yield Reading(
            limit="equalizing-reservoir-leakage", value=Value(equalizing_fall, "psi/min", 1)
        )
    if alerter is None:
        return
    if speed < find_limit("alerter-slow-speed").figure:
        yield Reading(limit="alerter-slow", value=Value(alerter, "s"))
        return
    named = find_limit("alerter-constant").figure / speed
    yield Reading(limit="alerter-error", value=Value(abs(alerter - named), "s", 1))


def _readings(
    fall: float | None,
    leakage: float | None,
    full_service: float | None,
    hold: float | None,
    margin: float,
) -> Iterator[Reading]:
    yield Reading(limit="main-reservoir-over-brake-pipe", value=psi(margin))
    yield Reading(
        limit="locomotive-brake-pipe-leakage",
        value=None if fall is None else Value(fall, "psi/min", 1),
    )
    yield Reading(
        limit="main-reservoir-leakage",
        value=None if leakage is None else Value(leakage, "psi/min", 1),
    )
    yield Reading(
        limit="locomotive-cylinder-can-reach",
        value=None if full_service is None else psi(full_service),
    )
    if hold is not None:
        yield Reading(limit="locomotive-cylinder-hold", value=Value(hold, "min", 1))
