"""The `brake-test` calculator: which brake test is due, and its readings one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import Note, Outcome, Phrase, Reading, Step, Value, plain, say
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import AirSources, BrakePipeSetting
from calculators.law.judging import NOT_CHOSEN
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import least_operative
from calculators.questions.brake_test.due import (
    STRICTEST_FIRST,
    TEST_WORDS,
    AddedCars,
    Due,
    Edition,
    Event,
    Facts,
    Test,
    TrainKind,
    due_tests,
)
from calculators.questions.brake_test.steps import Readings, Setup, deeper_than_named, judged, steps

MOVE = "Distance and time"
READ = "Readings, as far as you have them"
UNDECIDED = "depends-on-edition"

EventChoice = Annotated[
    str,
    Choice(
        term="Why now",
        options=(
            Option(value="made-up", words="the train is made up here"),
            Option(value="changed", words="changed by more than one car or one solid block"),
            Option(value="interchange", words="received in interchange and changed so"),
            Option(value="added", words="one car or one solid block added"),
            Option(value="removed", words="one car or one solid block removed"),
            Option(
                value="locomotive", words="locomotive or caboose changed, or another in control"
            ),
            Option(value="parted", words="brake pipe opened, train otherwise as it was"),
            Option(value="crew", words="crew changed, nothing else"),
            Option(value="unchanged", words="nothing changed"),
        ),
        help="What happened here. If several did, ask for each.",
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
            Option(value="kept-together", words="tested before, from one train, kept coupled"),
            Option(value="divided", words="the same, but divided for lack of track, in order"),
            Option(value="other", words="untested, from several trains, or not kept coupled"),
        ),
        help="Counts only when cars are added.",
    ),
]
EditionChoice = Annotated[
    str,
    Choice(
        term="Hours off air your railroad works under",
        options=(
            Option(value=NOT_CHOSEN, words="not chosen: editions differ"),
            Option(value="4", words="4 hours, as in every text that was read"),
            Option(value="24", words="24 hours, believed in force since 11 December 2020"),
        ),
        help="Your railroad's rule book decides. Until you choose there is no verdict.",
        group=MOVE,
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


TEST_DUE = Choice(
    term="Test due",
    options=(
        *(Option(value=test, words=TEST_WORDS[test]) for test in STRICTEST_FIRST),
        Option(value=UNDECIDED, words="depends on the edition: choose the hours off air"),
    ),
)
TestDue = Annotated[str, TEST_DUE]


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeTest(Outcome):
    """The test due, its section, what else is due, and the brakes that must work."""

    test: TestDue
    section: Annotated[str, Words(term="By")]
    also: Annotated[str, Words(term="Also due")]
    least_operative: Annotated[
        float | None,
        Quantity(
            term="Control valves that must be operative to keep moving",
            unit="",
            blank="give the control valves in the train",
        ),
    ]
    operative_share: Annotated[
        float | None,
        Quantity(term="Operative brakes", unit="%", digits=1, blank="give both numbers of valves"),
    ]


@calculator(
    "brake-test",
    title="Brake test",
    question="Which brake test is due here, how does it go, and are its readings within the limits?",
    sources=(
        Citation("CFR-232-205"),
        Citation("CFR-232-207"),
        Citation("CFR-232-209"),
        Citation("CFR-232-211"),
        Citation("CFR-232-213"),
        Citation("CFR-232-215"),
        Citation("CFR-232-217"),
        Citation("CFR-232-219", "(a)"),
        Citation("CFR-232-103", "(d), (e), (f)"),
        Citation("CFR-232-15", "(a)(9), (d), (e)"),
        Citation("FR-85-80544"),
        Citation("FRA-2012-0091"),
    ),
    validity=(
        "Freight trains in the United States, by the editions named beside each limit.",
        "One happening at a time: if several happened here, the strictest test governs.",
    ),
    leaves_out=(
        "Your railroad's own rules, which may be stricter; trains with electronic brakes; passenger trains.",
        "Exceptions and waivers a railroad may hold; the rules on moving defective equipment.",
        "Who may make the test: the text names qualified persons and mechanical inspectors.",
    ),
    example={
        "rear": "82",
        "air_flow": "48",
        "reduction": "20",
        "piston_travels": "6 1/2, 8 1/4",
        "operative": "120",
        "control_valves": "120",
    },
)
def brake_test(
    *,
    event: EventChoice = "made-up",
    train_kind: KindChoice = "road",
    brake_pipe_setting: BrakePipeSetting = 90.0,
    air: AirChoice = "locomotive",
    air_sources: AirSources = "one",
    added_cars: AddedChoice = "kept-together",
    hours_off_air: Annotated[
        float,
        Quantity(
            term="Hours off air",
            unit="h",
            low=0,
            high=10000,
            digits=1,
            help="Of the train; when cars are added, of those cars.",
            group=MOVE,
        ),
    ] = 0.0,
    edition_off_air_hours: EditionChoice = NOT_CHOSEN,
    miles_since_test: Annotated[
        float,
        _miles(
            "Run since the last Class I or IA test",
            "Of the car that has run farthest since its test.",
        ),
    ] = 0.0,
    miles_since_class_1: Annotated[
        float | None,
        _miles(
            "Run since the last Class I test",
            "Counts for extended haul, unit and cycle trains.",
            "the same",
        ),
    ] = None,
    miles_ahead: Annotated[
        float,
        _miles("To the next place for a test", "On a transfer move: its whole length."),
    ] = 0.0,
    rear: Annotated[
        float | None,
        _read("Rear pressure", "psi", 130, "Charged, before the test; on yard air the far end."),
    ] = None,
    leakage: Annotated[
        float | None,
        _read("Leakage", "psi/min", 60, "In one minute, after the wait.", digits=1),
    ] = None,
    wait: Annotated[
        float | None,
        _read("Wait before the minute", "s", 600, "After the brake valve was cut out."),
    ] = None,
    air_flow: Annotated[
        float | None,
        _read("Air flow", "cfm", 250, "In place of leakage, once steady.", digits=1),
    ] = None,
    reduction: Annotated[
        float | None,
        _read("Reduction made", "psi", 130, "On which the brakes had to apply."),
    ] = None,
    rear_fall: Annotated[
        float | None,
        _read("Fall at the rear", "psi", 130, "Class II by telemetry."),
    ] = None,
    rear_rise: Annotated[
        float | None,
        _read("Rise at the rear", "psi", 130, "Class II by telemetry, on release."),
    ] = None,
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
    ] = None,
    operative: Annotated[
        float | None,
        _read("Control valves cut in and working", "", 600, "Locomotives included.", whole=True),
    ] = None,
    control_valves: Annotated[
        float | None,
        _read(
            "Control valves in the train",
            "",
            600,
            "Valves, not cars: articulated cars have more.",
            whole=True,
        ),
    ] = None,
) -> BrakeTest:
    """Decide which test is due and lay its readings beside the limits.

    Parameters
    ----------
    event, train_kind, added_cars
        What happened here, the kind of train, and what is known of cars added.
    brake_pipe_setting, air, air_sources
        Operating pressure, on yard air the regulator setting [psi]; where the air comes from.
    hours_off_air, edition_off_air_hours
        Hours off air, and the figure the railroad works under. [h]
    miles_since_test, miles_since_class_1, miles_ahead
        Distances behind and ahead. [miles]
    rear, leakage, wait, air_flow, reduction, rear_fall, rear_rise, piston_travels
        Readings or None. [psi, psi/min, s, cfm, psi, psi, psi, in]
    operative, control_valves
        Control valves cut in, and all of them, or None.

    Returns
    -------
    BrakeTest
        The test due; readings are judged by the limits.

    Raises
    ------
    InputError
        If more control valves work than there are, or there are none.
    """
    if control_valves is not None and control_valves < 1:
        raise InputError("control_valves", "Control valves in the train is 0; a train has some.")
    if operative is not None and control_valves is not None and operative > control_valves:
        raise InputError(
            "operative",
            f"Control valves cut in and working is {plain(operative)}; the train has only "
            f"{plain(control_valves)}.",
        )
    facts = Facts(
        event=cast(Event, event),
        train_kind=cast(TrainKind, train_kind),
        added_cars=cast(AddedCars, added_cars),
        hours_off_air=hours_off_air,
        miles_since_test=miles_since_test,
        miles_since_class_1=miles_since_test
        if miles_since_class_1 is None
        else miles_since_class_1,
        miles_ahead=miles_ahead,
        edition=cast(Edition, edition_off_air_hours),
    )
    setup = Setup(operating=brake_pipe_setting, yard_air=air == "yard", air_sources=air_sources)
    readings = Readings(
        rear=rear,
        leakage=leakage,
        air_flow=air_flow,
        wait=wait,
        reduction=reduction,
        rear_fall=rear_fall,
        rear_rise=rear_rise,
        piston_travels=piston_travels,
        operative=operative,
        control_valves=control_valves,
    )
    due = due_tests(facts)
    first, rest = due[0], _further(due)
    undecided = first.if_hours != ""
    return BrakeTest(
        test=UNDECIDED if undecided else first.test,
        section=first.section,
        also="; ".join(_named(other) for other in rest if other.test != "none") or "nothing",
        least_operative=None if control_valves is None else least_operative(control_valves),
        operative_share=readings.share,
        headline=_headline(first, rest),
        working=(*_why_steps(due), *steps(first.test, setup)),
        notes=tuple(_notes(first, facts, setup, readings)),
        readings=(*judged(first.test, setup, readings), *_move_readings(facts)),
    )


def _further(due: tuple[Due, ...]) -> tuple[Due, ...]:
    """What is due besides the strictest: Class I covers all, and no test covers nothing."""
    first = due[0]
    if first.if_hours:
        return due[1:]
    if first.test == "class-1":
        return ()
    return tuple(other for other in due[1:] if other.test not in ("none", first.test))


def _named(due: Due) -> str:
    """A test with its section, and under which hours off air it is due."""
    hours = ", only under the shorter hours" if due.if_hours else ""
    return f"{TEST_WORDS[due.test]} ({due.section}){hours}"


def _headline(first: Due, rest: tuple[Due, ...]) -> Phrase:
    test = TEST_WORDS[first.test]
    if first.if_hours:
        short, long = (find_limit(id).figure for id in ("off-air-hours-4", "off-air-hours-24"))
        other = TEST_WORDS[rest[0].test]
        return say(
            "By the {short} text: {test}. By the {long} text: {other}. Choose the one your railroad "
            "works under.",
            short=Value(short, "h"),
            long=Value(long, "h"),
            test=test,
            other=other,
        )
    if first.test == "none":
        return say("The text read names no test for this. Your railroad's rules may.")
    if rest:
        return say(
            "Due: {test}; besides: {other}.",
            test=test,
            other="; ".join(_named(other) for other in rest),
        )
    return say("Due: {test}.", test=test)


def _why_steps(due: tuple[Due, ...]) -> Iterator[Step]:
    for number, reason in enumerate(due):
        test: Test = reason.test
        edition = ", only under the shorter hours" if reason.if_hours else ""
        yield Step(
            label=f"{TEST_WORDS[test][0].upper()}{TEST_WORDS[test][1:]}{edition}",
            how=Phrase(
                reason.why.template + " {section}",
                {**reason.why.parts, "section": f"({reason.section})"},
            ),
            decides=number == 0 and not reason.if_hours,
        )


def _move_readings(facts: Facts) -> Iterator[Reading]:
    if facts.hours_off_air > 0:
        for limit in ("off-air-hours-4", "off-air-hours-24"):
            yield Reading(limit=limit, value=Value(facts.hours_off_air, "h", 1))
    if facts.train_kind == "transfer":
        yield Reading(limit="transfer-distance", value=Value(facts.miles_ahead, "miles"))
        return
    if facts.train_kind != "extended-haul":
        yield Reading(
            limit="class-1a-spacing",
            value=Value(facts.miles_since_test + facts.miles_ahead, "miles"),
        )
    longest = {"extended-haul": "extended-haul-distance", "unit": "unit-train-distance"}
    if facts.train_kind in longest:
        run = facts.miles_since_class_1 + facts.miles_ahead
        yield Reading(limit=longest[facts.train_kind], value=Value(run, "miles"))


def _notes(first: Due, facts: Facts, setup: Setup, readings: Readings) -> Iterator[Note]:
    if first.if_hours:
        yield Note(
            kind="warning",
            text=say(
                "Editions differ on the hours off air. The readings below are laid beside the stricter "
                "test until you choose."
            ),
        )
    deeper = deeper_than_named(first.test, readings)
    if deeper is not None:
        yield Note(kind="warning", text=deeper)
    if setup.yard_air and setup.operating < find_limit("yard-air-retest").figure:
        yield Note(
            kind="warning",
            text=say(
                "Yard air under {least}: the leakage or air flow test is made again from the locomotive.",
                least=Value(find_limit("yard-air-retest").figure),
            ),
        )
    if facts.event == "added" and facts.train_kind == "extended-haul":
        yield Note(
            kind="warning",
            text=say(
                "Cars added to an extended haul train are inspected and tested like the train itself "
                "was at its start (49 CFR 232.213(a)(5)(i)): more than is named here."
            ),
        )
    if readings.leakage is not None and readings.air_flow is not None:
        yield Note(
            text=say(
                "Leakage and air flow are alternatives with limits of their own; one of them is the "
                "test's. Say in the record which."
            )
        )
    yield Note(
        text=say(
            "Off air means: without a source that keeps feeding at least {pressure}. That definition "
            "is from memory; check 49 CFR 232.5.",
            pressure=Value(60),
        )
    )
    if first.test != "none":
        yield Note(
            text=say(
                "Write down: place, date and time; test and who made it; cars and control valves, and "
                "which are cut out; setting, rear, leakage or air flow. What a record must hold, and who "
                "must get it, your railroad and the current text say."
            )
        )
