"""What the `brake-test` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.declaring.vocabulary import AirSources, BrakePipeSetting
from calculators.questions.shared.train import JF_3

MOVE = "Distance and time"

READ = "Readings, as far as you have them"

EventChoice = Annotated[
    str,
    Choice(
        term="Why now",
        options=(
            Option(value="made-up", words="the train is made up here"),
            Option(value="added", words="one car or one block added"),
            Option(value="removed", words="one car or one block removed"),
            Option(value="defective-removed", words="defective cars taken out"),
            Option(
                value="combination", words="one added and one removed, and any defective cars out"
            ),
            Option(
                value="changed",
                words="changed otherwise: more than one car or block added, or more than one removed",
            ),
            Option(
                value="locomotive", words="locomotive or caboose changed, or another in control"
            ),
            Option(value="helper", words="helper locomotive placed in the train"),
            Option(value="parted", words="brake pipe opened, train otherwise as it was"),
            Option(value="interchange-unchanged", words="received in interchange, nothing changed"),
            Option(value="interchange-added", words="received in interchange, tested cars added"),
            Option(value="interchange", words="received in interchange, changed in other ways"),
            Option(
                value="interchange-short",
                words="received in interchange, changed in other ways, to move 20 miles or less",
            ),
            Option(value="crew", words="crew changed, nothing else"),
            Option(value="unchanged", words="nothing changed"),
        ),
        help="What happened here. If several did, ask for each: the strictest test governs.",
    ),
]

KindChoice = Annotated[
    str,
    Choice(
        term="Train",
        options=(
            Option(value="road", words="road train"),
            Option(value="transfer", words="transfer train"),
            Option(value="extended-haul", words="extended haul train, as designated"),
            Option(value="unit", words="unit or cycle train"),
        ),
    ),
]

AddedChoice = Annotated[
    str,
    Choice(
        term="The cars added",
        options=(
            Option(value="kept-together", words="Class I before, from one train, kept coupled"),
            Option(value="divided", words="the same, but divided for lack of track, in order"),
            Option(value="tested-here-class-1", words="tested here, Class I, before being added"),
            Option(value="tested-here-class-2", words="tested here, Class II, before being added"),
            Option(
                value="other", words="untested, from several trains, parted, or in another order"
            ),
        ),
        help="Counts only when cars are added.",
    ),
]

AirChoice = Annotated[
    str,
    Choice(
        term="Tested with air from",
        options=(
            Option(value="locomotive", words="the locomotive"),
            Option(value="yard", words="a yard air source"),
        ),
    ),
]


def _miles(term: str, help: str, blank: str = "") -> Quantity:
    return Quantity(term=term, unit="miles", low=0, high=10000, help=help, group=MOVE, blank=blank)


def _read(
    term: str, unit: str, high: float, help: str, *, digits: int = 0, whole: bool = False
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
        whole=whole,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeTestInputs:
    """The inputs of `brake-test`, in their published order."""

    event: EventChoice = "made-up"
    train_kind: KindChoice = "road"
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    air: AirChoice = "locomotive"
    air_sources: AirSources = "one"
    added_cars: AddedChoice = "kept-together"
    hours_off_air: Annotated[
        float | None,
        Quantity(
            term="Hours off air",
            unit="h",
            low=0,
            high=10000,
            digits=1,
            help="Of the train; when cars are added, of those cars.",
            group=MOVE,
            blank="none",
        ),
    ] = None
    own_off_air_hours: Annotated[
        float | None,
        Quantity(
            term="Hours off air your railroad allows",
            unit="h",
            low=0,
            high=10000,
            digits=1,
            help="Where it is stricter than the rule. From your railroad's settings.",
            blank="the rule's",
            group=MOVE,
        ),
    ] = None
    miles_since_test: Annotated[
        float | None,
        _miles(
            "Run since the last Class I or IA test",
            "Of the car that has run farthest since its test.",
            "none",
        ),
    ] = None
    miles_since_class_1: Annotated[
        float | None,
        _miles(
            "Run since the last Class I test",
            "Counts for extended haul, unit and cycle trains.",
            "the same",
        ),
    ] = None
    miles_ahead: Annotated[
        float | None,
        _miles("To the next place for a test", "On a transfer move: its whole length.", "none"),
    ] = None
    rear: Annotated[
        float | None,
        _read("Rear pressure", "psi", 130, "Charged, before the test; on yard air the far end."),
    ] = None
    leakage: Annotated[
        float | None,
        _read("Leakage", "psi/min", 60, "In one minute, after the wait.", digits=1),
    ] = None
    wait: Annotated[
        float | None,
        _read("Wait before the minute", "s", 600, "After the brake valve was cut out."),
    ] = None
    air_flow: Annotated[
        float | None,
        _read("Air flow", "cfm", 250, "In place of leakage, once steady.", digits=1),
    ] = None
    reduction: Annotated[
        float | None,
        _read("Reduction made", "psi", 130, "On which the brakes had to apply."),
    ] = None
    rear_fall: Annotated[
        float | None,
        _read("Fall at the rear", "psi", 130, "By gauge or telemetry, on the set."),
    ] = None
    rear_rise: Annotated[
        float | None,
        _read("Rise at the rear", "psi", 130, "By gauge or telemetry, on release."),
    ] = None
    piston_travels: Annotated[
        tuple[float, ...] | None,
        Quantity(
            term="Piston travels found",
            unit="in",
            low=0,
            high=24,
            digits=1,
            help="As many as you like: the shortest and the longest are judged.",
            group=READ,
            blank="not read",
            many=True,
        ),
    ] = None
    operative: Annotated[
        float | None,
        _read(
            "Control valves cut in and working",
            "",
            600,
            "Locomotives included. A bad hand brake or an overdue test does not count one out.",
            whole=True,
        ),
    ] = None
    control_valves: Annotated[
        float | None,
        _read(
            "Control valves in the train",
            "",
            600,
            "Valves, not cars: articulated cars have more.",
            whole=True,
        ),
    ] = None
