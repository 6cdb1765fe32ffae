"""Which brake test the facts of a train and its move call for, with the paragraph that says so.

Read in 49 CFR 232.205 to 232.219, edition of 17 June 2026. Where the text leaves a case to be read,
the reason says that the reading is ours.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from calculators.base.results import Phrase, Value, say
from calculators.law.limit_list import find_limit

Test = Literal[
    "class-1",
    "class-1a",
    "class-1-cars",
    "class-2",
    "class-3",
    "transfer",
    "helper",
    "continuity",
    "none",
]
Occasion = Literal[
    "made-up",
    "changed",
    "combination",
    "interchange",
    "interchange-short",
    "interchange-added",
    "interchange-unchanged",
    "added",
    "removed",
    "defective-removed",
    "locomotive",
    "helper",
    "parted",
    "crew",
    "unchanged",
]
TrainKind = Literal["road", "transfer", "extended-haul", "unit"]
AddedCars = Literal[
    "kept-together", "divided", "tested-here-class-1", "tested-here-class-2", "other"
]

STRICTEST_FIRST: tuple[Test, ...] = (
    "class-1",
    "class-1a",
    "class-1-cars",
    "class-2",
    "class-3",
    "transfer",
    "helper",
    "continuity",
    "none",
)

TEST_WORDS: dict[Test, str] = {
    "class-1": "Class I (initial terminal)",
    "class-1a": "Class IA (1,000-mile)",
    "class-1-cars": "Class I on the cars added, by a qualified mechanical inspector",
    "class-2": "Class II (intermediate), on the cars added",
    "class-3": "Class III (continuity)",
    "transfer": "transfer train test",
    "helper": "look at the helper's own brake",
    "continuity": "proof that the rear's pressure is being restored",
    "none": "no test named by the text read",
}

# A test that asks for all that these others ask for. Class IA covers none: it has no look at the
# release; and Class I on a whole train need not be made by a mechanical inspector.
_COVERED_BY: dict[Test, frozenset[Test]] = {
    "class-1": frozenset({"class-1a", "class-2", "class-3", "transfer", "continuity"}),
    "class-2": frozenset({"class-3", "continuity"}),
    "class-3": frozenset({"continuity"}),
}

ADDS_CARS = frozenset({"added", "combination", "interchange-added"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What is known of the train and its move; distances in miles, times in hours.

    ``hours_off_air`` is the train's, or for cars added theirs. ``miles_since_test`` counts from
    the last Class I or IA test of the most restrictive car, ``miles_since_class_1`` from the
    last Class I, ``miles_ahead`` to the next place where a test can be made. ``own_off_air_hours``
    is the railroad's own figure, or None.
    """

    event: Occasion
    train_kind: TrainKind
    added_cars: AddedCars
    hours_off_air: float
    miles_since_test: float
    miles_since_class_1: float
    miles_ahead: float
    own_off_air_hours: float | None

    @property
    def most_hours(self) -> float:
        """Hours off air after which a test is due: the rule's, or the railroad's if stricter."""
        most = find_limit("off-air-hours").figure
        return most if self.own_off_air_hours is None else min(most, self.own_off_air_hours)

    @property
    def off_air(self) -> bool:
        """Whether the hours off air call for a new test."""
        return self.hours_off_air > self.most_hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One test that is due: which, by which paragraph, and why."""

    test: Test
    section: str
    why: Phrase


def due_tests(move: Move) -> tuple[Due, ...]:
    """All tests that the facts call for, the strictest first; never empty.

    What a stricter test of the same train asks for anyway is left out.
    """
    found = [*_by_event(move), *_by_distance(move), *_by_time(move)]
    named = {due.test for due in found}
    covered = {test for name in named for test in _COVERED_BY.get(name, ())}
    left = [due for due in found if due.test not in covered]
    if any(due.test != "none" for due in left):
        left = [due for due in left if due.test != "none"]
    return tuple(sorted(left, key=lambda due: STRICTEST_FIRST.index(due.test)))


def _by_event(move: Move) -> Iterator[Due]:
    if move.train_kind == "transfer":
        yield from _transfer(move)
        if move.event in ("made-up", "changed", "added", "combination"):
            return
    if move.event == "interchange-added":
        yield from _interchange_added(move)
        return
    if move.event in ADDS_CARS:
        yield from _added(move)
    if move.event == "combination":
        yield replace(
            _PLAIN["removed"],
            section="49 CFR 232.205(a)(2)(iv); 232.211(a)(2)",
            why=say(
                "One car or solid block added, one removed and defective cars taken out, together, "
                "call for no Class I test; each of them for its own test."
            ),
        )
    if move.event == "made-up" and move.train_kind == "extended-haul":
        yield _EXTENDED_HAUL_START
    elif move.event not in ADDS_CARS:
        yield _PLAIN[move.event]
    if move.event == "helper":
        yield _HELPER


_HELPER = Due(
    test="helper",
    section="49 CFR 232.219(b)",
    why=say(
        "Every helper placed in a train: its brake is looked at and works as it should on {reduction} "
        "off, made from the controlling locomotive. A bad one is repaired before use or taken out.",
        reduction=Value(find_limit("helper-reduction").figure, "psi"),
    ),
)

_EXTENDED_HAUL_START = Due(
    test="class-1",
    section="49 CFR 232.213(a)(2) to (a)(4); 232.205(a)(1)",
    why=say(
        "At its start an extended haul train gets a Class I test by a qualified mechanical inspector "
        "and the freight car inspection of part 215; cars not in order are repaired or left."
    ),
)

_PLAIN: dict[str, Due] = {
    "made-up": Due(
        test="class-1",
        section="49 CFR 232.205(a)(1)",
        why=say("Where a train is first made up it gets a Class I test."),
    ),
    "changed": Due(
        test="class-1",
        section="49 CFR 232.205(a)(2)",
        why=say(
            "The train is changed otherwise than by one car or solid block added, one removed, "
            "defective cars taken out, or these together."
        ),
    ),
    "interchange": Due(
        test="class-1",
        section="49 CFR 232.205(a)(5)",
        why=say(
            "Received in interchange and changed otherwise than the paragraph excepts: a car or block "
            "removed, previously tested cars added, motive power or caboose changed, or these together."
        ),
    ),
    "interchange-short": Due(
        test="class-2",
        section="49 CFR 232.205(a)(5)(v)(A)",
        why=say(
            "Received in interchange and changed otherwise, but it moves {most} or less: the railroad "
            "may make a Class II test of the cars added in place of Class I.",
            most=Value(find_limit("interchange-short-move").figure, "miles"),
        ),
    ),
    "interchange-unchanged": Due(
        test="none",
        section="49 CFR 232.205(a)(5)",
        why=say(
            "Received in interchange with nothing changed: the paragraph asks for no test. For a car "
            "removed or power changed ask again with that."
        ),
    ),
    "removed": Due(
        test="class-3",
        section="49 CFR 232.211(a)(2)",
        why=say("Cars are removed and the rest stays as it was: continuity is proved again."),
    ),
    "defective-removed": Due(
        test="class-3",
        section="49 CFR 232.205(a)(2)(iii); 232.211(a)(2)",
        why=say(
            "Taking out defective cars calls for no Class I test; cars were removed, so continuity is "
            "proved again."
        ),
    ),
    "locomotive": Due(
        test="class-3",
        section="49 CFR 232.211(a)(1); 232.219(a)",
        why=say(
            "A locomotive or caboose is changed, or another locomotive takes control: continuity is "
            "proved again."
        ),
    ),
    "helper": Due(
        test="class-3",
        section="49 CFR 232.211(a)(1), our reading",
        why=say(
            "A helper put into the train is read here as a locomotive changed: continuity is proved "
            "again. Your railroad says what it asks for."
        ),
    ),
    "parted": Due(
        test="continuity",
        section="49 CFR 232.211(d)",
        why=say(
            "The brake pipe was opened with the train otherwise as it was: a gauge or end-of-train "
            "device shows that the rear is being restored. Without one, the rear car's brake is seen "
            "to apply and release. Many railroads ask for a full Class III test."
        ),
    ),
    "crew": Due(
        test="none",
        section="49 CFR 232.111(b); 232.205 to 232.217",
        why=say(
            "The text read names no test for a change of crew alone. The new crew is told weight and "
            "length, special weight distribution, cut-out cars and where they will be repaired, where "
            "the next Class I or IA test is due before the next change of crew, and brake problems "
            "met so far."
        ),
    ),
    "unchanged": Due(
        test="none",
        section="49 CFR 232.205 to 232.217",
        why=say("Nothing was changed: only distance and time off air can call for a test."),
    ),
}


def _transfer(move: Move) -> Iterator[Due]:
    most = find_limit("transfer-distance").figure
    if move.miles_ahead > most:
        yield Due(
            test="class-1",
            section="49 CFR 232.215(c)",
            why=say(
                "The move is over {most}: no transfer move, so a Class I test before departure.",
                most=Value(most, "miles"),
            ),
        )
    elif move.event in ADDS_CARS:
        yield Due(
            test="transfer",
            section="49 CFR 232.215(b)",
            why=say("Cars added to a transfer train are tested where they are added."),
        )
    elif move.event in ("made-up", "changed"):
        yield Due(
            test="transfer",
            section="49 CFR 232.215(a)",
            why=say("A transfer move of at most {most}.", most=Value(most, "miles")),
        )


def _added(move: Move) -> Iterator[Due]:
    if move.train_kind == "extended-haul":
        yield Due(
            test="class-1-cars",
            section="49 CFR 232.213(a)(5)",
            why=say(
                "Cars added to an extended haul train are inspected and tested where they are added as "
                "the train was at its start: Class I by a qualified mechanical inspector, and the "
                "freight car inspection of part 215."
            ),
        )
    if move.added_cars == "other":
        yield Due(
            test="class-2",
            section="49 CFR 232.209(a)(1) to (a)(4)",
            why=say(
                "The cars added had no Class I test, come from more than one train, did not stay "
                "coupled with the pipe connected, or go back in another order."
            ),
        )
    elif move.off_air:
        yield Due(
            test="class-2",
            section="49 CFR 232.209(a)(1)",
            why=say(
                "The cars added were off air for {hours}, over {most}.",
                hours=Value(move.hours_off_air, "h", 1),
                most=Value(move.most_hours, "h", 1),
            ),
        )
    else:
        yield _KEPT[move.added_cars]


_KEPT: dict[str, Due] = {
    "kept-together": Due(
        test="class-3",
        section="49 CFR 232.211(a)(3)",
        why=say(
            "The cars added come from one earlier train, had a Class I test, and were kept coupled "
            "with the brake pipe connected."
        ),
    ),
    "divided": Due(
        test="class-3",
        section="49 CFR 232.211(a)(4)",
        why=say(
            "The block had to be divided for lack of track and goes back in the same order, tested "
            "before."
        ),
    ),
    "tested-here-class-1": Due(
        test="class-3",
        section="49 CFR 232.211(a)(5)",
        why=say("The cars added had a Class I test here before they were added."),
    ),
    "tested-here-class-2": Due(
        test="class-3",
        section="49 CFR 232.211(a)(5)",
        why=say("The cars added had a Class II test here before they were added."),
    ),
}


def _interchange_added(move: Move) -> Iterator[Due]:
    """Only previously tested cars are excepted, and there the four hours still stand."""
    most = find_limit("previously-tested-hours").figure
    tested = move.added_cars not in ("other", "tested-here-class-2")
    if tested and move.hours_off_air <= most:
        yield from _added(move)
        return
    yield Due(
        test="class-1",
        section="49 CFR 232.205(a)(5)(ii); 232.5",
        why=say(
            "At interchange only previously tested cars may be added without a Class I test of the "
            "train: a Class I test and not over {most} off air. If the train then moves {short} or "
            "less, a Class II test of these cars may do.",
            most=Value(most, "h"),
            short=Value(find_limit("interchange-short-move").figure, "miles"),
        ),
    )


def _by_distance(move: Move) -> Iterator[Due]:
    if move.train_kind == "extended-haul":
        most = find_limit("extended-haul-distance").figure
        if move.miles_since_class_1 + move.miles_ahead > most:
            yield Due(
                test="class-1",
                section="49 CFR 232.213(a)(6)",
                why=_too_far("An extended haul train", move.miles_since_class_1, move, most),
            )
        return
    if move.train_kind == "transfer":
        return
    most = find_limit("class-1a-spacing").figure
    if move.miles_since_test + move.miles_ahead > most:
        yield Due(
            test="class-1a",
            section="49 CFR 232.207(a)",
            why=_too_far("The most restrictive car", move.miles_since_test, move, most),
        )
    if move.train_kind == "unit":
        most = find_limit("unit-train-distance").figure
        if move.miles_since_class_1 + move.miles_ahead > most:
            yield Due(
                test="class-1",
                section="49 CFR 232.205(a)(4)",
                why=_too_far("A unit or cycle train", move.miles_since_class_1, move, most),
            )


def _too_far(what: str, behind: float, move: Move, most: float) -> Phrase:
    return say(
        "{what} has run {behind} and has {ahead} before it: more than {most}.",
        what=what,
        behind=Value(behind, "miles"),
        ahead=Value(move.miles_ahead, "miles"),
        most=Value(most, "miles"),
    )


def _by_time(move: Move) -> Iterator[Due]:
    # Hours given for added cars were counted with the cars.
    if move.event in ADDS_CARS or not move.off_air:
        return
    hours = Value(move.hours_off_air, "h", 1)
    if move.train_kind == "transfer":
        yield Due(
            test="transfer",
            section="49 CFR 232.215(a) with 232.205(a)(3), our reading",
            why=say("The transfer train was off air for {hours}: tested again.", hours=hours),
        )
        return
    yield Due(
        test="class-1",
        section="49 CFR 232.205(a)(3)",
        why=say(
            "The train was off air for {hours}, over {most}.",
            hours=hours,
            most=Value(move.most_hours, "h", 1),
        ),
    )
