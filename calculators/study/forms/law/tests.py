"""Questions on tests and their limits: which test is due, and how a reading stands."""

from __future__ import annotations

from calculators.law.limit_list import find_limit
from calculators.study.draws import Draws
from calculators.study.model import DECIDING, Drawn, Form, Seen, Slip

TOPIC = "tests"
TESTS = {
    "class-1": "Class I",
    "class-1a": "Class IA",
    "class-2": "Class II, on the cars added",
    "class-3": "Class III",
    "transfer": "the transfer train's test",
    "none": "no test",
    "nothing": "nothing more",
    "class-1-cars": "Class I on the cars added",
    "continuity": "proof that the rear's pressure comes back",
}


def _hours(draws: Draws) -> Drawn:
    return {
        "event": "interchange-added",
        "added_cars": "kept-together",
        "hours_off_air": draws.whole(5, 22),
    }


def _hours_on_road(draws: Draws) -> Drawn:
    return {
        "event": "added",
        "added_cars": "kept-together",
        "hours_off_air": draws.whole(5, 22),
    }


def _miles(draws: Draws) -> Drawn:
    since = draws.whole(600, 950, 10)
    return {
        "event": "unchanged",
        "miles_since_test": since,
        "miles_ahead": draws.whole(int(1010 - since), 420, 10),
        "class_2_since": draws.whole(60, 300, 10),
    }


def _short_move(draws: Draws) -> Drawn:
    return {"event": "interchange-short", "miles": draws.whole(8, 19)}


def _block(draws: Draws) -> Drawn:
    return {"event": "added", "added_cars": draws.pick(("kept-together", "other"))}


def _operative(draws: Draws) -> Drawn:
    cars = draws.whole(60, 110, 2)
    valves = cars + draws.whole(8, 20)
    return {
        "event": "unchanged",
        "cars": cars,
        "control_valves": valves,
        "operative": valves - draws.whole(10, 18),
    }


def _travel(draws: Draws) -> Drawn:
    return {
        "event": "made-up",
        "piston_travels": draws.pick(("6 1/4", "6 1/2", "6 3/4", "9 1/4", "9 1/2", "10")),
    }


def _reduction(draws: Draws) -> Drawn:
    return {"event": "made-up", "reduction": draws.whole(23, 30)}


def _flow(draws: Draws) -> Drawn:
    return {"event": "made-up", "air_flow": draws.whole(62, 88, 2), "air_sources": "one"}


def _leak(draws: Draws) -> Drawn:
    return {"event": "made-up", "leakage": draws.whole(2, 9)}


def _rear_fall(draws: Draws) -> Drawn:
    return {"event": "removed", "rear_fall": draws.whole(1, 4), "rear": 80.0}


def _older_travel(seen: Seen) -> str:
    limit = find_limit("older-piston-travel")
    travels = seen.piston_travels
    inside = all(limit.figure <= one <= (limit.upper or limit.figure) for one in travels)
    return f"{'within' if inside else 'not within'}|older-piston-travel"


def turned(beside: str | None) -> str | None:
    """The other side of the same limit, for a reader who turns it round."""
    standing, _, limit = (beside or "").partition("|")
    if not limit:
        return None
    return f"{'within' if standing == 'not within' else 'not within'}|{limit}"


def _ahead(seen: Seen) -> str | None:
    """What the answer says of the cars that a Class II was made on."""
    notes = seen.answer.outcome.notes if seen.answer.outcome else ()
    told = any("232.209(d)" in note.text.template for note in notes)
    return "class-1-cars" if told else None


def _once_coupled(seen: Seen) -> str | None:
    """What the steps on yard air ask for when the locomotive is coupled."""
    steps = seen.answer.outcome.working if seen.answer.outcome else ()
    return next(
        ("class-3" for one in steps if "Class III test from the locomotive" in one.how.template),
        None,
    )


def _says(limit: str, standing: str) -> str:
    return f"{standing}|{limit}"


FORMS = (
    Form(
        id="due-interchange",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=lambda s: str(s.test),
        options=TESTS,
        until="Charge",
        words="A train is received in interchange; cars from one earlier train, tested there, {hours_off_air} off air, are added. Which test is due?",
        draw=_hours,
        slips=(
            Slip(
                mistake="interchange-hours",
                step=DECIDING,
                why="at interchange cars count as previously tested only up to 4 h off air; 24 h is the other paragraph.",
                gives=lambda s: "class-3",
            ),
            Slip(
                mistake="short-move-as-transfer",
                step=DECIDING,
                why="it is a train received in interchange, not a transfer train.",
                gives=lambda s: "transfer",
            ),
        ),
    ),
    Form(
        id="due-added",
        topic=TOPIC,
        own=2,
        calculator="brake-test",
        kind="decides",
        right=lambda s: str(s.test),
        options=TESTS,
        until="Charge",
        words="On the way cars from one earlier train, tested there and kept coupled, {hours_off_air} off air, are added. Which test is due?",
        draw=_hours_on_road,
        slips=(
            Slip(
                mistake="four-hours",
                step=DECIDING,
                why="four hours is the text of before December 2020, and today only the definition used at interchange.",
                gives=lambda s: "class-1",
            ),
            Slip(
                mistake="added-not-train",
                step=DECIDING,
                why="cars that come tested from one train need no test of their own here; that the air goes through the whole train is what is proved.",
                gives=lambda s: "none",
            ),
        ),
    ),
    Form(
        id="due-block",
        topic=TOPIC,
        own=1,
        calculator="brake-test",
        kind="decides",
        right=lambda s: str(s.test),
        options=TESTS,
        until="Charge",
        words="Cars are added on the way, a solid block: {added_cars}. Which test is due?",
        draw=_block,
        slips=(
            Slip(
                mistake="solid-for-tested",
                step=DECIDING,
                why="solid says only that the cars go in as one unit; tested, from one train, kept coupled and not too long off air are asked besides.",
                gives=lambda s: "class-3",
            ),
            Slip(
                mistake="tested-tested-again",
                step=DECIDING,
                why="a block that meets all that is asked needs no Class II.",
                gives=lambda s: "class-2",
            ),
            Slip(
                mistake="added-not-train",
                step=DECIDING,
                why="the train that goes on has to be proved, not only the cars that came.",
                gives=lambda s: "none",
            ),
        ),
    ),
    Form(
        id="due-after-class-2",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_ahead,
        options=TESTS,
        words="Cars that had no test are added on the way and get a Class II. What do these cars still get, at the next place ahead with facilities?",
        draw=lambda d: {"event": "added", "added_cars": "other", "turn": d.whole(1, 9)},
        slips=(
            Slip(
                mistake="class-2-is-enough",
                step=DECIDING,
                why="a Class II on cars added is followed by a Class I of those cars at the next forward location with facilities.",
                gives=lambda s: "nothing",
            ),
            Slip(
                mistake="class-3-for-class-1",
                step=DECIDING,
                why="Class III proves continuity only.",
                gives=lambda s: "class-3",
            ),
        ),
    ),
    Form(
        id="due-miles",
        topic=TOPIC,
        own=2,
        calculator="brake-test",
        kind="decides",
        right=lambda s: str(s.test),
        options=TESTS,
        until="Charge",
        words=(
            "A train goes on unchanged. Since the last Class I or IA its most restrictive car has run {miles_since_test}; a Class "
            "II was made {class_2_since:miles} ago. The next place for a test is {miles_ahead} ahead. Which test is due?"
        ),
        draw=_miles,
        slips=(
            Slip(
                mistake="miles-from-any-test",
                step=DECIDING,
                why="only a Class I or IA sets the count of miles back.",
                gives=lambda s: "none",
            ),
            Slip(
                mistake="class-1a-is-class-1",
                step=DECIDING,
                why="the 1,000-mile test is Class IA; it is laid out to find what the miles have done.",
                gives=lambda s: "class-1",
            ),
        ),
    ),
    Form(
        id="due-short-move",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=lambda s: str(s.test),
        options=TESTS,
        until="Charge",
        words="A train is received in interchange, changed otherwise than the paragraph excepts, and moves {miles:miles}. Which test may do?",
        draw=_short_move,
        slips=(
            Slip(
                mistake="short-move-as-transfer",
                step=DECIDING,
                why="it is a train received in interchange; the transfer train is defined otherwise.",
                gives=lambda s: "transfer",
            ),
            Slip(
                mistake="class-3-for-class-1",
                step=DECIDING,
                why="Class III proves continuity; cars were added here.",
                gives=lambda s: "class-3",
            ),
        ),
    ),
    Form(
        id="due-yard-air",
        topic=TOPIC,
        calculator="brake-test",
        kind="decides",
        right=_once_coupled,
        options=TESTS,
        words="A train was tested on yard air at {brake_pipe_setting}. Now the locomotive is coupled. Which test is still due?",
        draw=lambda d: {
            "event": "made-up",
            "air": "yard",
            "brake_pipe_setting": d.pick((85.0, 90.0, 95.0, 100.0)),
        },
        slips=(
            Slip(
                mistake="class-3-left-out",
                step="When the locomotive is coupled",
                why="the yard's test shows nothing of the locomotive: continuity is proved once it is coupled.",
                gives=lambda s: "nothing",
            ),
            Slip(
                mistake="class-1-twice",
                step="When the locomotive is coupled",
                why="the Class I was made on yard air; what is left is Class III.",
                gives=lambda s: "class-1",
            ),
        ),
    ),
    Form(
        id="share-operative",
        topic=TOPIC,
        calculator="brake-test",
        asks="operative_share",
        apart=0.04,
        words=(
            "A train of {cars} cars, some of them articulated, has {control_valves} control valves; {operative} of them are operative. "
            "What share of its brakes is operative?"
        ),
        draw=_operative,
        slips=(
            Slip(
                mistake="cars-for-valves",
                step=DECIDING,
                why="control valves are counted, not cars: an articulated car has several, a locomotive one.",
                gives=lambda s: 100 * (s.cars - (s.control_valves - s.operative)) / s.cars,
            ),
            Slip(
                mistake="share-over-cars",
                step=DECIDING,
                why="the operative valves are a share of all valves, not of the cars.",
                gives=lambda s: 100 * s.operative / s.cars,
            ),
        ),
    ),
    Form(
        id="stands-travel",
        topic=TOPIC,
        own=2,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("piston-travel"),
        words="In a Class I test a freight car's piston travels {piston_travels}. How does that stand?",
        draw=_travel,
        slips=(
            Slip(
                mistake="older-travel",
                step="Apply",
                why="7 to 9 in is the older freight rule and the passenger one.",
                gives=_older_travel,
            ),
            Slip(
                mistake="travel-limits-mixed",
                step="Apply",
                why="10 1/2 in is where a brake stops to count as effective, not what a test may find.",
                gives=lambda s: _says("piston-travel-effective", "within"),
            ),
        ),
    ),
    Form(
        id="stands-reduction",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("application-reduction"),
        words="For the application of a Class I test {reduction} was taken off. How does that stand?",
        draw=_reduction,
        slips=(
            Slip(
                mistake="deeper-is-better",
                step="Apply",
                why="a deeper set brings on brakes that the test's own would not, so it is not the test.",
                gives=lambda s: "within|application-reduction",
            ),
            Slip(
                mistake="limit-turned-round",
                step="Apply",
                why="it is more than the test names, not less.",
                gives=lambda s: "less than named|application-reduction",
            ),
        ),
    ),
    Form(
        id="stands-flow",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("air-flow"),
        words="A Class I test by air flow, air from the head end only: the steady flow reads {air_flow}. How does that stand?",
        draw=_flow,
        slips=(
            Slip(
                mistake="two-sources-for-one",
                step="or air flow",
                why="90 cfm is for air from two or more places.",
                gives=lambda s: "within|air-flow-two-sources",
            ),
            Slip(
                mistake="limit-turned-round",
                step="or air flow",
                why="it is a most, not a least.",
                gives=lambda s: turned(s.beside("air-flow")),
            ),
        ),
    ),
    Form(
        id="stands-leakage",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("brake-pipe-leakage"),
        words="A Class I test by leakage: over the minute the pipe fell by {leakage}. How does that stand?",
        draw=_leak,
        slips=(
            Slip(
                mistake="limits-are-one",
                step="or air flow",
                why="60 cfm is the limit of the other method; each has its own figure.",
                gives=lambda s: "within|air-flow",
            ),
            Slip(
                mistake="limit-turned-round",
                step="Leakage",
                why="it is a most, not a least.",
                gives=lambda s: turned(s.beside("brake-pipe-leakage")),
            ),
        ),
    ),
    Form(
        id="stands-flicker",
        topic=TOPIC,
        calculator="brake-test",
        kind="within",
        right=lambda s: s.beside("telemetry-fall"),
        words="A Class III by telemetry: on the set the rear display falls by {rear_fall}. How does that stand?",
        draw=_rear_fall,
        slips=(
            Slip(
                mistake="flicker-counts",
                step="or by telemetry, for the rear car",
                why="a fall of at least 5 psi proves it, and a rise of at least 5 psi the release.",
                gives=lambda s: "within|telemetry-fall",
            ),
            Slip(
                mistake="device-error-for-response",
                step="or by telemetry, for the rear car",
                why="that is how exact the rear unit must be, not what proves the response.",
                gives=lambda s: (
                    f"{'within' if s.rear_fall <= 3 else 'not within'}|end-of-train-error"
                ),
            ),
        ),
    ),
)
