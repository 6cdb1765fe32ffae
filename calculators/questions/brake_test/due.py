"""Which brake test the facts of a train and its move call for, with the section that says so.

Read in 49 CFR 232.205 to 232.219 (editions of 2003 to 2015). A fact that no text read decides
is said to be so, and where editions differ on the hours off air both outcomes are kept until the
edition is chosen.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from calculators.base.results import Phrase, Value, say
from calculators.law.limit_list import find_limit

Test = Literal["class-1", "class-1a", "class-2", "class-3", "transfer", "none"]
Event = Literal[
    "made-up",
    "changed",
    "interchange",
    "added",
    "removed",
    "locomotive",
    "parted",
    "crew",
    "unchanged",
]
TrainKind = Literal["road", "transfer", "extended-haul", "unit"]
AddedCars = Literal["kept-together", "divided", "other"]
Edition = Literal["not-chosen", "4", "24"]

STRICTEST_FIRST: tuple[Test, ...] = (
    "class-1",
    "class-1a",
    "class-2",
    "class-3",
    "transfer",
    "none",
)

TEST_WORDS: dict[Test, str] = {
    "class-1": "Class I (initial terminal)",
    "class-1a": "Class IA (1,000-mile)",
    "class-2": "Class II (intermediate), on the cars added",
    "class-3": "Class III (continuity)",
    "transfer": "transfer train test",
    "none": "no test named by the text read",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What is known of the train and its move; distances in miles, times in hours.

    ``hours_off_air`` is the train's, or for cars added theirs. ``miles_since_test`` counts from
    the last Class I or IA test of the most restrictive car, ``miles_since_class_1`` from the
    last Class I, ``miles_ahead`` to the next place where a test can be made.
    """

    event: Event
    train_kind: TrainKind
    added_cars: AddedCars
    hours_off_air: float
    miles_since_test: float
    miles_since_class_1: float
    miles_ahead: float
    edition: Edition


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One test that is due: which, by which section, and why.

    ``if_hours`` is "4" where it is due only under the four-hour text and no edition is chosen.
    """

    test: Test
    section: str
    why: Phrase
    if_hours: Literal["", "4"] = ""


def due_tests(facts: Facts) -> tuple[Due, ...]:
    """All tests that the facts call for, the strictest first; never empty."""
    found = [*_by_event(facts), *_by_distance(facts), *_by_time(facts)]
    return tuple(sorted(found, key=lambda due: (STRICTEST_FIRST.index(due.test), due.if_hours)))


def _by_event(facts: Facts) -> Iterator[Due]:
    if facts.train_kind == "transfer":
        yield from _transfer(facts)
        if facts.event in ("made-up", "changed", "added"):
            return
    if facts.event == "added":
        yield from _added(facts)
    else:
        yield _PLAIN[facts.event]


_PLAIN: dict[str, Due] = {
    "made-up": Due(
        test="class-1",
        section="49 CFR 232.205(a)(1)",
        why=say("Where a train is first made up it gets a Class I test."),
    ),
    "changed": Due(
        test="class-1",
        section="49 CFR 232.205(a)(2)",
        why=say("The train is changed by more than one car or one solid block added or removed."),
    ),
    "interchange": Due(
        test="class-1",
        section="49 CFR 232.205(a)(5), read in part",
        why=say(
            "Received in interchange and changed by more than one car or one solid block added or "
            "removed."
        ),
    ),
    "removed": Due(
        test="class-3",
        section="49 CFR 232.211(a)(2)",
        why=say("Cars are removed and the rest stays as it was: continuity is proved again."),
    ),
    "locomotive": Due(
        test="class-3",
        section="49 CFR 232.211(a)(1); 232.219(a)",
        why=say(
            "A locomotive or caboose is changed, or another locomotive takes control: continuity is "
            "proved again."
        ),
    ),
    "parted": Due(
        test="class-3",
        section="49 CFR 232.211(a), this part from memory",
        why=say(
            "The brake pipe was opened with the train otherwise as it was: continuity is proved again."
        ),
    ),
    "crew": Due(
        test="none",
        section="49 CFR 232.205 to 232.217",
        why=say(
            "The text read names no test for a change of crew alone. Your railroad may ask for one, "
            "and the new crew must know the last test's results."
        ),
    ),
    "unchanged": Due(
        test="none",
        section="49 CFR 232.205 to 232.217",
        why=say("Nothing was changed: only distance and time off air can call for a test."),
    ),
}


def _transfer(facts: Facts) -> Iterator[Due]:
    most = find_limit("transfer-distance").figure
    if facts.miles_ahead > most:
        yield Due(
            test="class-1",
            section="49 CFR 232.215(c)",
            why=say(
                "The move is over {most}: no transfer move, so a Class I test before departure.",
                most=Value(most, "miles"),
            ),
        )
    elif facts.event in ("made-up", "changed", "added"):
        yield Due(
            test="transfer",
            section="49 CFR 232.215(a), (b)",
            why=say("A transfer move of at most {most}.", most=Value(most, "miles")),
        )


def _added(facts: Facts) -> Iterator[Due]:
    together = Due(
        test="class-3",
        section="49 CFR 232.211(a)(3)",
        why=say(
            "The cars added come from one earlier train, tested there, and were kept coupled with the "
            "brake pipe connected."
        ),
    )
    if facts.added_cars == "divided":
        together = Due(
            test="class-3",
            section="49 CFR 232.211(a)(4); 232.209(a)(4)",
            why=say(
                "The block had to be divided for lack of track and goes back in the same order, "
                "tested before."
            ),
        )
    separate = Due(
        test="class-2",
        section="49 CFR 232.209(a)",
        why=say(
            "The cars added were not tested, come from more than one train or did not stay coupled."
        ),
    )
    if facts.added_cars == "other":
        yield separate
        return
    yield together
    late = Due(
        test="class-2",
        section="49 CFR 232.209(a)(1)",
        why=say(
            "The cars added were off air for {hours}.", hours=Value(facts.hours_off_air, "h", 1)
        ),
    )
    yield from _off_air(facts, late)


def _by_distance(facts: Facts) -> Iterator[Due]:
    if facts.train_kind == "extended-haul":
        most = find_limit("extended-haul-distance").figure
        if facts.miles_since_class_1 + facts.miles_ahead > most:
            yield Due(
                test="class-1",
                section="49 CFR 232.213",
                why=_too_far("An extended haul train", facts.miles_since_class_1, facts, most),
            )
        return
    if facts.train_kind == "transfer":
        return
    most = find_limit("class-1a-spacing").figure
    if facts.miles_since_test + facts.miles_ahead > most:
        yield Due(
            test="class-1a",
            section="49 CFR 232.207(a)",
            why=_too_far("The most restrictive car", facts.miles_since_test, facts, most),
        )
    if facts.train_kind == "unit":
        most = find_limit("unit-train-distance").figure
        if facts.miles_since_class_1 + facts.miles_ahead > most:
            yield Due(
                test="class-1",
                section="49 CFR 232.205(a)(4)",
                why=_too_far("A unit or cycle train", facts.miles_since_class_1, facts, most),
            )


def _too_far(what: str, behind: float, facts: Facts, most: float) -> Phrase:
    return say(
        "{what} has run {behind} and has {ahead} before it: more than {most}.",
        what=what,
        behind=Value(behind, "miles"),
        ahead=Value(facts.miles_ahead, "miles"),
        most=Value(most, "miles"),
    )


def _by_time(facts: Facts) -> Iterator[Due]:
    # Hours given for added cars were counted with the cars; a transfer move is tested anyway.
    if facts.event == "added" or facts.train_kind == "transfer":
        return
    late = Due(
        test="class-1",
        section="49 CFR 232.205(a)(3)",
        why=say("The train was off air for {hours}.", hours=Value(facts.hours_off_air, "h", 1)),
    )
    yield from _off_air(facts, late)


def _off_air(facts: Facts, late: Due) -> Iterator[Due]:
    """The test that too long off air calls for, under the chosen edition or under both."""
    short, long = (find_limit(id).figure for id in ("off-air-hours-4", "off-air-hours-24"))
    if facts.hours_off_air > long or (facts.edition == "4" and facts.hours_off_air > short):
        yield late
    elif facts.edition == "not-chosen" and facts.hours_off_air > short:
        yield Due(test=late.test, section=late.section, why=late.why, if_hours="4")
