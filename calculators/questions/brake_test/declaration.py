"""The `brake-test` calculator: which brake test is due, and its readings one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity, Words
from calculators.base.results import Note, Outcome, Phrase, Reading, Step, Value, plain, say
from calculators.base.wording import at_begin
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import below_road_setting, combined_flow, least_operative
from calculators.questions.brake_test.due import (
    STRICTEST_FIRST,
    TEST_WORDS,
    AddedCars,
    Due,
    Move,
    Occasion,
    TrainKind,
    due_tests,
)
from calculators.questions.brake_test.inputs import BrakeTestInputs
from calculators.questions.brake_test.steps import (
    WITH_LEAKAGE,
    Readings,
    Setup,
    deeper_than_named,
    judged,
    steps,
)
from calculators.questions.shared.juniper_fork import readings

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
    first=FirstScreen(
        figures={},
        asked={"": "{event}"},
        keys=(
            Key(
                field="event",
                often=("made-up", "added", "removed", "locomotive", "parted", "crew"),
            ),
            Key(field="added_cars", only=("event", ("added", "interchange-added", "combination"))),
        ),
        readings={
            "rear": (
                "rear-gradient",
                "rear-floor-class-1",
                "rear-floor-class-3",
                "rear-floor-transfer",
                "rear-floor-yard-air",
                "yard-air-gradient",
                "en-route-gradient",
            ),
            "air_flow": (
                "air-flow",
                "air-flow-two-sources",
                "air-flow-two-sources-by-reference",
                "air-flow-two-sources-own-words",
            ),
            "leakage": ("brake-pipe-leakage",),
            "wait": ("leakage-test-wait",),
            "reduction": ("application-reduction", "class-3-reduction", "transfer-reduction"),
            "rear_fall": ("telemetry-fall",),
            "rear_rise": ("telemetry-rise",),
            "piston_travels": ("piston-travel", "piston-travel-effective"),
            "operative": ("operative-brakes-class-1", "operative-brakes-moving"),
            "control_valves": (),
        },
        never=(
            "No reading shows it: the brakes of every car that the test asks for, seen applied and "
            "released on both sides by a qualified person."
        ),
        line={"train_kind": "", "brake_pipe_setting": "", "hours_off_air": "off air"},
    ),
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
    example_readings=readings(
        "rear", "air_flow", "reduction", "piston_travels", "operative", "control_valves"
    ),
    judges=(
        "air-flow",
        "air-flow-two-sources",
        "air-flow-two-sources-by-reference",
        "air-flow-two-sources-own-words",
        "application-reduction",
        "brake-pipe-leakage",
        "class-1a-spacing",
        "class-3-reduction",
        "en-route-gradient",
        "extended-haul-distance",
        "leakage-test-wait",
        "off-air-hours",
        "operative-brakes-class-1",
        "operative-brakes-moving",
        "piston-travel",
        "piston-travel-effective",
        "previously-tested-hours",
        "rear-floor-class-1",
        "rear-floor-class-3",
        "rear-floor-transfer",
        "rear-floor-yard-air",
        "rear-gradient",
        "telemetry-fall",
        "telemetry-rise",
        "transfer-distance",
        "transfer-reduction",
        "unit-train-distance",
        "yard-air-gradient",
        "yard-air-retest",
    ),
)
def brake_test(given: BrakeTestInputs) -> BrakeTest:
    """Decide which test is due and lay its readings beside the limits.

    Returns
    -------
    BrakeTest
        The test due; readings are judged by the limits.

    Raises
    ------
    InputError
        If more control valves work than there are, or there are none.
    """
    if given.control_valves is not None and given.control_valves < 1:
        raise InputError("control_valves", "Control valves in the train is 0; a train has some.")
    if (
        given.operative is not None
        and given.control_valves is not None
        and given.operative > given.control_valves
    ):
        raise InputError(
            "operative",
            f"Control valves cut in and working is {plain(given.operative)}; the train has only "
            f"{plain(given.control_valves)}.",
        )
    move = Move(
        event=cast(Occasion, given.event),
        train_kind=cast(TrainKind, given.train_kind),
        added_cars=cast(AddedCars, given.added_cars),
        hours_off_air=given.hours_off_air or 0.0,
        miles_since_test=given.miles_since_test or 0.0,
        miles_since_class_1=next(
            (
                miles
                for miles in (given.miles_since_class_1, given.miles_since_test)
                if miles is not None
            ),
            0.0,
        ),
        miles_ahead=given.miles_ahead or 0.0,
        own_off_air_hours=given.own_off_air_hours,
    )
    setup = Setup(
        operating=given.brake_pipe_setting,
        yard_air=given.air == "yard",
        air_sources=given.air_sources,
    )
    readings = Readings(
        rear=given.rear,
        leakage=given.leakage,
        air_flow=given.air_flow,
        wait=given.wait,
        reduction=given.reduction,
        rear_fall=given.rear_fall,
        rear_rise=given.rear_rise,
        piston_travels=given.piston_travels,
        operative=given.operative,
        control_valves=given.control_valves,
    )
    miles = (given.miles_since_test, given.miles_since_class_1, given.miles_ahead)
    due = due_tests(move)
    first, rest = due[0], _further(due)
    return BrakeTest(
        test=first.test,
        section=first.section,
        also="; ".join(_named(other) for other in rest) or "nothing",
        least_operative=None
        if given.control_valves is None
        else least_operative(given.control_valves),
        operative_share=readings.share,
        headline=_headline(first, rest),
        working=(*_why_steps(due), *steps(first.test, setup)),
        notes=tuple(_notes(due, move, setup, readings)),
        readings=(
            *judged(first.test, setup, readings),
            *(_hours_readings(move) if given.hours_off_air is not None else ()),
            *(_miles_readings(move) if any(m is not None for m in miles) else ()),
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
            "Due: {test}; also: {other}.",
            test=test,
            other="; ".join(_named(other) for other in rest),
        )
    return say("Due: {test}.", test=test)


def _why_steps(due: tuple[Due, ...]) -> Iterator[Step]:
    for number, reason in enumerate(due):
        words = TEST_WORDS[reason.test]
        yield Step(
            label=at_begin(words),
            how=Phrase(
                reason.why.template + " {section}",
                {**reason.why.parts, "section": f"({reason.section})"},
            ),
            decides=number == 0 and reason.test != "none",
        )


def _hours_readings(move: Move) -> Iterator[Reading]:
    hours = Value(move.hours_off_air, "h", 1)
    yield Reading(limit="off-air-hours", value=hours)
    if move.event == "interchange-added":
        yield Reading(limit="previously-tested-hours", value=hours)


def _miles_readings(move: Move) -> Iterator[Reading]:
    if move.train_kind == "transfer":
        yield Reading(limit="transfer-distance", value=Value(move.miles_ahead, "miles"))
        return
    if move.train_kind != "extended-haul":
        yield Reading(
            limit="class-1a-spacing",
            value=Value(move.miles_since_test + move.miles_ahead, "miles"),
        )
    longest = {"extended-haul": "extended-haul-distance", "unit": "unit-train-distance"}
    if move.train_kind in longest:
        run = move.miles_since_class_1 + move.miles_ahead
        yield Reading(limit=longest[move.train_kind], value=Value(run, "miles"))


def _notes(due: tuple[Due, ...], move: Move, setup: Setup, readings: Readings) -> Iterator[Note]:
    first = due[0]
    named = {reason.test for reason in due}
    yield from (Note(kind="warning", text=text) for text in _warnings(first, move, setup, readings))
    if "class-2" in named or move.added_cars == "tested-here-class-2":
        yield Note(kind="warning", text=_class_1_later(move))
    if move.train_kind == "extended-haul":
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


def _warnings(first: Due, move: Move, setup: Setup, readings: Readings) -> Iterator[Phrase]:
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


def _class_1_later(move: Move) -> Phrase:
    if move.added_cars == "tested-here-class-2":
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
