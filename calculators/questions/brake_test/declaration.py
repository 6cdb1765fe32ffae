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
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import below_road_setting, combined_flow, least_operative
from calculators.questions.brake_test.due import (
    STRICTEST_FIRST,
    TEST_WORDS,
    AddedCars,
    Due,
    Event,
    Facts,
    TrainKind,
    due_tests,
)
from calculators.questions.brake_test.steps import (
    WITH_LEAKAGE,
    Readings,
    Setup,
    deeper_than_named,
    judged,
    steps,
)

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
                value="combination", words="one added and one removed, or defectives out besides"
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


TEST_DUE = Choice(
    term="Test due",
    options=tuple(Option(value=test, words=TEST_WORDS[test]) for test in STRICTEST_FIRST),
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
        Citation("CFR-232-219", "(a), (b)"),
        Citation("CFR-232-103", "(d), (e), (f), (m), (o)(1)"),
        Citation("CFR-232-111", "(b)"),
        Citation("CFR-232-15", "(a)(8), (a)(9), (d), (e)"),
        Citation("CFR-232-5"),
    ),
    validity=(
        "Freight trains in the United States, by the editions named beside each limit.",
        "One happening at a time: if several happened here, the strictest test governs.",
    ),
    leaves_out=(
        "Your railroad's own rules, which may be stricter; trains with electronic brakes; passenger trains.",
        "Exceptions and waivers a railroad may hold; the rules on moving defective equipment.",
    ),
    example_readings={
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
    ] = None,
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
    ] = None,
    miles_since_test: Annotated[
        float | None,
        _miles(
            "Run since the last Class I or IA test",
            "Of the car that has run farthest since its test.",
            "none",
        ),
    ] = None,
    miles_since_class_1: Annotated[
        float | None,
        _miles(
            "Run since the last Class I test",
            "Counts for extended haul, unit and cycle trains.",
            "the same",
        ),
    ] = None,
    miles_ahead: Annotated[
        float | None,
        _miles("To the next place for a test", "On a transfer move: its whole length.", "none"),
    ] = None,
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
        _read("Fall at the rear", "psi", 130, "By gauge or telemetry, on the set."),
    ] = None,
    rear_rise: Annotated[
        float | None,
        _read("Rise at the rear", "psi", 130, "By gauge or telemetry, on release."),
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
        _read(
            "Control valves cut in and working",
            "",
            600,
            "Locomotives included. A bad hand brake or an overdue test does not count one out.",
            whole=True,
        ),
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
    hours_off_air, own_off_air_hours
        Hours off air, and the railroad's own stricter figure, or None. [h]
    miles_since_test, miles_since_class_1, miles_ahead
        Distances behind and ahead, or None. [miles]
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
        hours_off_air=hours_off_air or 0.0,
        miles_since_test=miles_since_test or 0.0,
        miles_since_class_1=next(
            (miles for miles in (miles_since_class_1, miles_since_test) if miles is not None), 0.0
        ),
        miles_ahead=miles_ahead or 0.0,
        own_off_air_hours=own_off_air_hours,
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
    miles = (miles_since_test, miles_since_class_1, miles_ahead)
    due = due_tests(facts)
    first, rest = due[0], _further(due)
    return BrakeTest(
        test=first.test,
        section=first.section,
        also="; ".join(_named(other) for other in rest) or "nothing",
        least_operative=None if control_valves is None else least_operative(control_valves),
        operative_share=readings.share,
        headline=_headline(first, rest),
        working=(*_why_steps(due), *steps(first.test, setup)),
        notes=tuple(_notes(due, facts, setup, readings)),
        readings=(
            *judged(first.test, setup, readings),
            *(_hours_readings(facts) if hours_off_air is not None else ()),
            *(_miles_readings(facts) if any(m is not None for m in miles) else ()),
        ),
    )


def _further(due: tuple[Due, ...]) -> tuple[Due, ...]:
    """What is due besides the first, each test once."""
    by_test = {reason.test: reason for reason in reversed(due)}
    by_test.pop(due[0].test)
    return tuple(reversed(by_test.values()))


def _named(due: Due) -> str:
    """A test with its section."""
    return f"{TEST_WORDS[due.test]} ({due.section})"


def _headline(first: Due, rest: tuple[Due, ...]) -> Phrase:
    test = TEST_WORDS[first.test]
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
        words = TEST_WORDS[reason.test]
        yield Step(
            label=f"{words[0].upper()}{words[1:]}",
            how=Phrase(
                reason.why.template + " {section}",
                {**reason.why.parts, "section": f"({reason.section})"},
            ),
            decides=number == 0 and reason.test != "none",
        )


def _hours_readings(facts: Facts) -> Iterator[Reading]:
    hours = Value(facts.hours_off_air, "h", 1)
    yield Reading(limit="off-air-hours", value=hours)
    if facts.event == "interchange-added":
        yield Reading(limit="previously-tested-hours", value=hours)


def _miles_readings(facts: Facts) -> Iterator[Reading]:
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


def _notes(due: tuple[Due, ...], facts: Facts, setup: Setup, readings: Readings) -> Iterator[Note]:
    first = due[0]
    named = {reason.test for reason in due}
    yield from (
        Note(kind="warning", text=text) for text in _warnings(first, facts, setup, readings)
    )
    if "class-2" in named or facts.added_cars == "tested-here-class-2":
        yield Note(kind="warning", text=_class_1_later(facts))
    if facts.train_kind == "extended-haul":
        yield Note(text=_extended_haul())
    if readings.leakage is not None and readings.air_flow is not None:
        yield Note(
            text=say(
                "Leakage and air flow are alternatives with limits of their own; one of them is the "
                "test's. Say in the record which."
            )
        )
    if setup.air_sources != "one" and first.test in WITH_LEAKAGE:
        yield Note(text=combined_flow())
    if first.test == "class-1":
        yield Note(
            text=say(
                "A car that fails a Class I test and its retest does not go in this train: every brake "
                "must work, and a move for repair may not be in a train that needs a Class I test here "
                "(49 CFR 232.103(d), 232.15(a)(8))."
            )
        )
    yield Note(
        text=say(
            "Off air means: not connected to a source that keeps giving at least {pressure} (49 CFR "
            "232.5).",
            pressure=Value(find_limit("off-air-pressure").figure),
        )
    )
    if first.test != "none":
        yield Note(text=_record(first))


def _warnings(first: Due, facts: Facts, setup: Setup, readings: Readings) -> Iterator[Phrase]:
    deeper = deeper_than_named(first.test, readings)
    if deeper is not None:
        yield deeper
    if setup.yard_air and setup.operating < find_limit("yard-air-retest").figure:
        yield say(
            "Yard air under {least}: the leakage or air flow test is made again from the locomotive.",
            least=Value(find_limit("yard-air-retest").figure),
        )
    if not setup.yard_air and setup.operating < find_limit("brake-pipe-setting-road").figure:
        yield below_road_setting()
    if readings.operative is not None and readings.control_valves is None:
        yield say("The working valves are judged once the control valves in the train are given.")


def _class_1_later(facts: Facts) -> Phrase:
    if facts.added_cars == "tested-here-class-2":
        return say(
            "Cars tested by Class II before they were added: 232.209(d) asks for a Class I test at the "
            "next forward location with facilities for cars so tested when added. Ask your railroad "
            "whether it holds here too."
        )
    return say(
        "The cars that get this Class II test get a Class I test at the next forward location with "
        "facilities for one (49 CFR 232.209(d))."
    )


def _extended_haul() -> Phrase:
    return say(
        "Beyond {most}: a Class I test if the next leg is {leg} or less; over that, all that was asked "
        "at the start again (49 CFR 232.213(a)(6)). One pick-up and one set-out on the way; defective "
        "cars set out do not count ((a)(5)).",
        most=Value(find_limit("extended-haul-distance").figure, "miles"),
        leg=Value(find_limit("extended-haul-next-leg").figure, "miles"),
    )


def _record(first: Due) -> Phrase:
    if first.test in ("class-1", "class-1-cars"):
        return say(
            "The record holds date, time, number of freight cars, who made the test, and the place; it "
            "stays in the cab to the destination. The engineer is told that the test was satisfactory "
            "and whether the equipment was off air over {hours} (49 CFR 232.205(e)). A roll-by's result "
            "is noted on it ((c)(8)). Many railroads also write down the readings.",
            hours=Value(find_limit("off-air-hours").figure, "h"),
        )
    return say(
        "For this test the text read names no form of record. Many railroads write down place, date "
        "and time, who made it, cars, and the readings."
    )
