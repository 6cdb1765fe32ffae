"""The `daily-brake-test` calculator: the locomotive's standing test with every gauge predicted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Reading, Value, plain, psi, say
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.equipment.locomotive import Equipment
from calculators.equipment.standing_test import Moves, standing_test
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.questions.daily_brake_test.words import GaugeReadings, compared, steps
from calculators.questions.shared.locomotive import (
    EXAMPLE,
    EmergencyLimit,
    MainReservoir,
    Multiplier,
    RelayRatioAutomatic,
    RelayRatioIndependent,
    ServiceLimit,
)

READ = "What you read"


def _off(term: str, help: str) -> Quantity:
    return Quantity(term=term, unit="psi", low=0, high=130, help=help, mark="S*")


def _read(
    term: str, help: str, *, unit: str = "psi", high: float = 250, digits: int = 0
) -> Quantity:
    return Quantity(
        term=term,
        unit=unit,
        low=0,
        high=high,
        digits=digits,
        help=help,
        group=READ,
        blank="not read",
    )


def _cylinder(when: str) -> Quantity:
    return Quantity(term=f"Cylinder {when}", unit="psi")


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
            "Before cutting in again the equalizing reservoir stands a little below the pipe. Above "
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
        float, Quantity(term="Brake pipe after the minute, at the least", unit="psi")
    ]
    second_equalizing_reservoir: Annotated[
        float, Quantity(term="Equalizing reservoir after the second set", unit="psi")
    ]
    second_cylinder: Annotated[float, _cylinder("after the second set")]
    full_service_cylinder: Annotated[float, _cylinder("in full service")]
    independent_cylinder: Annotated[float, _cylinder("with the independent full on")]
    emergency_cylinder: Annotated[float, _cylinder("in emergency")]


@calculator(
    "daily-brake-test",
    title="Daily brake test of the locomotive",
    question="What should the gauges show at each step of the locomotive's standing brake test?",
    sources=(
        Citation("ARMY-223", "p. 2-7"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("CFR-229-59"),
        Citation("CFR-229-55", "(c)"),
        Citation("CFR-229-53"),
        Citation("CFR-229-46"),
        Citation("TEA", "questions 95, 142, 185, 192"),
    ),
    validity=(
        "The locomotive alone, secured, standing, in control and cut in, nothing still moving.",
        "The figures of the test in print are for related equipment with another control valve.",
    ),
    leaves_out=(
        "Your railroad's own order and figures, and everything that is not air: rigging, shoes, hand brake.",
        "Safety control, alerter, dynamic brake, sanders and horn, which a daily inspection takes in.",
    ),
)
def daily_brake_test(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    first_reduction: Annotated[
        float, _off("First set takes off", "10 in the test in print.")
    ] = 10.0,
    second_reduction: Annotated[
        float, _off("Second set, in all", "15 in the test in print.")
    ] = 15.0,
    full_reduction: Annotated[float, _off("Full service takes off", "About 26 from 90.")] = 26.0,
    independent: Annotated[
        float,
        Quantity(
            term="Full independent",
            unit="psi",
            low=0,
            high=130,
            help="Pipe 20 pressure with the independent handle full on; 30 to 50.",
            mark="M",
        ),
    ] = 45.0,
    service_limit: ServiceLimit = EXAMPLE.service_limit,
    emergency_limit: EmergencyLimit = EXAMPLE.emergency_limit,
    multiplier: Multiplier = EXAMPLE.multiplier,
    relay_ratio_automatic: RelayRatioAutomatic = EXAMPLE.relay_ratio_automatic,
    relay_ratio_independent: RelayRatioIndependent = EXAMPLE.relay_ratio_independent,
    main_reservoir: MainReservoir = EXAMPLE.main_reservoir,
    first_cylinder_read: Annotated[
        float | None, _read("Cylinder after the first set", "Step 2.")
    ] = None,
    equalizing_fall_read: Annotated[
        float | None,
        _read("Equalizing reservoir fell", "Step 3, in the minute.", digits=1),
    ] = None,
    brake_pipe_fall_read: Annotated[
        float | None,
        _read("Brake pipe fell", "Step 3, in the minute.", unit="psi/min", high=60, digits=1),
    ] = None,
    bailed_off_cylinder_read: Annotated[
        float | None, _read("Cylinder after the bail-off", "Step 4.")
    ] = None,
    second_cylinder_read: Annotated[
        float | None, _read("Cylinder after the second set", "Step 5.")
    ] = None,
    equalizing_rise_read: Annotated[
        float | None,
        _read("Equalizing reservoir rose", "Step 6, handle half-way back.", digits=1),
    ] = None,
    full_service_cylinder_read: Annotated[
        float | None, _read("Cylinder in full service", "Step 7.")
    ] = None,
    hold_read: Annotated[
        float | None,
        _read(
            "Brakes stayed on for", "Full service, supply cut off.", unit="min", high=600, digits=1
        ),
    ] = None,
    independent_cylinder_read: Annotated[
        float | None, _read("Cylinder with the independent full on", "Step 8.")
    ] = None,
    emergency_cylinder_read: Annotated[
        float | None, _read("Cylinder in emergency", "Step 9.")
    ] = None,
    emergency_seconds_read: Annotated[
        float | None,
        _read("Equalizing reservoir empty after", "Step 9.", unit="s", high=600, digits=1),
    ] = None,
    emergency_held_cylinder_read: Annotated[
        float | None, _read("Cylinder in emergency, handle pressed", "Step 10.")
    ] = None,
    main_reservoir_leakage_read: Annotated[
        float | None,
        _read(
            "Main reservoir leakage",
            "Average over 3 minutes; see the main reservoir calculator.",
            unit="psi/min",
            high=60,
            digits=1,
        ),
    ] = None,
) -> DailyBrakeTest:
    """Predict the gauges of the standing test and compare readings with them.

    Parameters
    ----------
    brake_pipe_setting, first_reduction, second_reduction, full_reduction, independent
        Setting and moves of the test. [psi]
    service_limit, emergency_limit, multiplier, relay_ratio_automatic, relay_ratio_independent
        The locomotive's limits [psi], multiplier and relay ratios.
    main_reservoir
        Main reservoir pressure. [psi]
    first_cylinder_read, bailed_off_cylinder_read, second_cylinder_read
        Cylinder readings of the service steps, None where not read. [psi]
    full_service_cylinder_read, independent_cylinder_read
        Cylinder readings in full service and with the independent, or None. [psi]
    emergency_cylinder_read, emergency_held_cylinder_read
        Cylinder readings in emergency, or None. [psi]
    equalizing_fall_read, equalizing_rise_read, emergency_seconds_read
        The equalizing reservoir's fall and rise [psi] and emptying time [s], or None.
    brake_pipe_fall_read, main_reservoir_leakage_read, hold_read
        Leakage readings [psi/min] and how long the brakes stayed on [min], or None.

    Returns
    -------
    DailyBrakeTest
        Predictions in psi.

    Raises
    ------
    InputError
        If the second set is less than the first, or a set is more than the setting.
    """
    for name, off in (
        ("first_reduction", first_reduction),
        ("second_reduction", second_reduction),
        ("full_reduction", full_reduction),
    ):
        if off > brake_pipe_setting:
            raise InputError(
                name,
                f"{plain(off)} psi cannot come off {plain(brake_pipe_setting)} psi; take less.",
            )
    if second_reduction < first_reduction:
        raise InputError(
            "second_reduction",
            f"Second set, in all is {plain(second_reduction)} psi; it must be "
            f"{plain(first_reduction)} psi or more, where the first set ended.",
        )
    equipment = Equipment(
        brake_pipe_setting=brake_pipe_setting,
        multiplier=multiplier,
        service_limit=service_limit,
        emergency_limit=emergency_limit,
        relay_ratio_automatic=relay_ratio_automatic,
        relay_ratio_independent=relay_ratio_independent,
        main_reservoir=main_reservoir,
        cut_off="freight",
        release_type="direct",
        unit="lead",
        # The test touches none of these: no first notch, suppression, dead unit or dynamic brake.
        minimum_reduction=0.0,
        suppression_reduction=0.0,
        emergency_threshold=0.0,
        dead_engine_setting=0.0,
        auxiliary_volume=None,
        pipe_16_volume=1.0,
        emergency_drops_dynamic=True,
    )
    moves = Moves(
        first_reduction=first_reduction,
        second_reduction=second_reduction,
        full_reduction=full_reduction,
        independent=independent,
    )
    readings = GaugeReadings(
        first_cylinder=first_cylinder_read,
        equalizing_fall=equalizing_fall_read,
        bailed_off_cylinder=bailed_off_cylinder_read,
        second_cylinder=second_cylinder_read,
        equalizing_rise=equalizing_rise_read,
        full_service_cylinder=full_service_cylinder_read,
        independent_cylinder=independent_cylinder_read,
        emergency_cylinder=emergency_cylinder_read,
        emergency_seconds=emergency_seconds_read,
        emergency_held_cylinder=emergency_held_cylinder_read,
    )
    found = standing_test(equipment, moves)
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
        headline=say(
            "{off} off: cylinder {cylinder}. Full service {full}, independent {independent}, emergency "
            "{emergency}.",
            off=psi(first_reduction),
            cylinder=psi(first.brake_cylinder),
            full=psi(found.full_service.brake_cylinder),
            independent=psi(found.independent.brake_cylinder),
            emergency=psi(found.emergency.brake_cylinder),
        ),
        working=tuple(steps(found, equipment, moves)),
        notes=(SECURE_FIRST, *compared(found, equipment, readings), *BESIDES),
        readings=tuple(
            _readings(
                brake_pipe_fall_read,
                main_reservoir_leakage_read,
                full_service_cylinder_read,
                hold_read,
                main_reservoir - brake_pipe_setting,
            )
        ),
    )


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
