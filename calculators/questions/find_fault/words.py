"""How an answer of fault finding is said: what fits and why, what contradicts, what to look at next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calculators.base.results import Note, Phrase, Step, Value, psi, say
from calculators.base.wording import at_begin, inside
from calculators.equipment.faults import (
    FAULTS,
    TRAIN_FAULTS,
    WHERE_WORDS,
    family_of,
    find_fault,
)
from calculators.finding.cautions import MODEL, SECURE
from calculators.finding.checking import SETTLED, ProofCheck, StageCheck
from calculators.finding.observing import (
    Checked,
    Heard,
    Observation,
    Piston,
    Read,
    Usual,
    as_text,
)
from calculators.finding.ranking import IN_ORDER as IN_ORDER_AS
from calculators.finding.ranking import Finder, Ranked
from calculators.finding.series import GAUGE_WORDS, GAUGES, NUMBER, STAGES
from calculators.finding.signatures import MOST_UNDER_PIPE, UNDER_PIPE
from calculators.finding.table import errors_at

SHOWN = 5
"""Groups that are named."""
WORTH_NAMING = 0.005
"""Weight from which a fault is named beside a locomotive in order, where a reading stands out."""
NEAR = 0.15
"""Weight from which a group is named in the headline beside the first."""
IN_ORDER = "nothing that these gauges show"
ONE_AT_A_TIME = Note(
    text=say(
        "Looks for one fault at a time among {number} listed, each taken as equally likely, a locomotive in "
        "order as {times} of them: nobody has published how often they occur. Two at once can mislead it.",
        number=len(FAULTS),
        times=round(IN_ORDER_AS),
    )
)
ONE_IN_A_TRAIN = Note(
    text=say(
        "Looks for one fault at a time among {number} of a train, each at three places along it, and for a "
        "train in order, all taken as equally likely. Two at once can mislead it.",
        number=len(TRAIN_FAULTS),
    )
)
ON_THE_GROUND = Note(
    text=say(
        "What proves this is looked at on the ground. Such checks are named only once you say that the "
        "locomotive is secured, and on a device that your railroad supplied; otherwise print the list of faults."
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was worked out: the finder, what was seen, the ranking, checks, whether all was read.

    ``ground`` says that checks on the ground may be named.
    """

    finder: Finder
    seen: tuple[Observation, ...]
    ranked: tuple[Ranked, ...]
    stages: tuple[StageCheck, ...]
    proofs: tuple[ProofCheck, ...]
    complete: bool
    ground: bool


def names_of(found: Found, one: Ranked) -> str:
    """The faults of a group, in words."""
    if "" in found.finder.groups[one.group]:
        return IN_ORDER
    titles = [inside(find_fault(f).title) for f in found.finder.groups[one.group]]
    return ", ".join(titles[:-1]) + f" or {titles[-1]}" if titles[1:] else titles[0]


def headline(found: Found) -> Phrase:
    """The answer in one sentence; never that all is well before the series is complete."""
    if not found.seen:
        return say(
            "Nothing read yet. The series has {stages} stages; begin: {first}",
            stages=len(STAGES),
            first=STAGES[0].does,
        )
    best = found.ranked[0]
    if best.against:
        return say(
            "None of the {number} faults listed explains all that was seen. Read again: {entry}.",
            number=len(FAULTS),
            entry=_seen_words(best.against[0]),
        )
    if "" in found.finder.groups[best.group]:
        return _in_order(found)
    near = [one for one in found.ranked[:SHOWN] if one.weight > NEAR and not one.against]
    return say(
        "Of the {number} faults listed, {this}: {names}.",
        number=len(FAULTS),
        this="this fits best" if len(near) < 2 else "these fit",
        names="; or ".join(names_of(found, one) for one in near or [best]),
    )


def with_next(found: Found, said: Phrase) -> Phrase:
    """The answer with the name of the next check behind it, where one is left."""
    if not found.seen:
        return said
    if _proves(found):
        named = f"the check for: {inside(found.proofs[0].fault.title)}"
    elif found.stages:
        named = inside(found.stages[0].stage.title)
    else:
        return said
    return Phrase(
        f"{said.template} Look at next: {{next_check}}.", {**said.parts, "next_check": named}
    )


def _proves(found: Found) -> bool:
    """Whether the first group weighs enough for its own proofs to come before stages."""
    return bool(found.proofs and found.ranked and found.ranked[0].weight > SETTLED)


def _in_order(found: Found) -> Phrase:
    """Nothing outweighs a locomotive in order: what stands out all the same, and what is left to do."""
    odd = [(said, usual) for said, usual in _beside(found) if usual]
    for said, usual in odd:
        others = [
            one
            for one in found.ranked[1 : SHOWN + 1]
            if one.weight > WORTH_NAMING and _explains(found, one, said, usual)
        ]
        if not others:
            continue
        return say(
            "{entry}, in order {usual}: more than its gauge may be off. A handle a little off its place can "
            "give that, so read it again. If it stays, of the {number} faults listed these fit: {names}.",
            entry=at_begin(_seen_words(said)),
            usual=usual,
            number=len(FAULTS),
            names="; or ".join(names_of(found, one) for one in others[:2]),
        )
    if found.complete:
        return say(
            "Nothing wrong within gauge error in what was read. What was not looked at is named below."
        )
    return say(
        "So far all reads as in order, and the series is not complete: a fault may yet show. Go on."
    )


def _beside(found: Found) -> Iterator[tuple[Read, Value | None]]:
    """Every gauge that was read, with what it reads in order if it reads beyond its error."""
    for said in found.seen:
        shown = found.finder.in_order[said.stage] if isinstance(said, Read) else None
        if shown is None or not isinstance(said, Read):
            continue
        usual = shown.gauges()[said.gauge]
        beyond = abs(said.figure - usual) > errors_at(shown)[said.gauge]
        yield said, Value(usual, _unit_of(said)) if beyond else None


def _explains(found: Found, one: Ranked, said: Read, usual: Value) -> bool:
    """Whether a group's likeliest fault is nearer to a reading than a locomotive in order."""
    expects = found.finder.hypotheses[one.hypothesis].expects[said.stage]
    if expects is None:
        return False
    foreseen = max(0.0, expects[said.gauge].figure)
    return abs(said.figure - foreseen) < abs(said.figure - usual.amount) / 2


def _unit_of(said: Read) -> str:
    return "cfm" if GAUGES[said.gauge] == "flow" else "psi"


def fitting(found: Found) -> Iterator[Step]:
    """Each group that is named, with what speaks for it and what against it."""
    if not found.seen:
        return
    ranked = [one for one in found.ranked[:SHOWN] if one.weight > 0.001 or one is found.ranked[0]]
    for place, one in enumerate(ranked):
        names = names_of(found, one)
        yield Step(
            label=at_begin(names),
            how=_why(found, one),
            decides=place == 0 and "" not in found.finder.groups[one.group],
            see=tuple(_families(found.finder.groups[one.group])),
        )


def _families(faults: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The pages of the families whose members a group has, each once."""
    families = dict.fromkeys(family_of(find_fault(fault)) for fault in faults if fault)
    for family in families:
        yield family.title, family.page


def _why(found: Found, one: Ranked) -> Phrase:
    reasons = list(_reasons(found, one))
    template: list[str] = []
    parts: dict[str, Value] = {}
    for number, (words, own) in enumerate(reasons[:4]):
        template.append(words.replace("{", f"{{r{number}_"))
        parts |= {f"r{number}_{name}": value for name, value in own.items()}
    if one.against:
        template.append(
            "Against it: " + "; ".join(_seen_words(said) for said in one.against[:3]) + "."
        )
    members = found.finder.groups[one.group]
    if len(members) > 1 and "" not in members:
        template.append("All of these give the same gauges: a look or a sound tells them.")
    if not template:
        template.append("Nothing seen speaks against it.")
    return Phrase(" ".join(template), parts)


def _reasons(found: Found, one: Ranked) -> Iterator[tuple[str, dict[str, Value]]]:
    """What was seen that is not as in order and that the group's likeliest fault explains."""
    hypothesis = found.finder.hypotheses[one.hypothesis]
    against = set(one.against)
    beside = dict(_beside(found))
    for said in found.seen:
        if said in against or isinstance(said, Usual):
            continue
        if isinstance(said, Read):
            usual, expects = beside.get(said), hypothesis.expects[said.stage]
            if usual is None or expects is None or not _explains(found, one, said, usual):
                continue
            unit = _unit_of(said)
            yield (
                f"{STAGES[said.stage].title}: {GAUGE_WORDS[GAUGES[said.gauge]]} {{read}}; in order {{usual}}, "
                "with this about {with}.",
                {
                    "read": Value(said.figure, unit),
                    "usual": usual,
                    "with": Value(max(0.0, expects[said.gauge].figure), unit),
                },
            )
        elif isinstance(said, Heard) and said.blows:
            there = hypothesis.blows[said.stage].get(said.place, 0.0)
            if there > 0.4:
                yield f"{STAGES[said.stage].title}: it blows there too.", {}
        elif isinstance(said, Piston):
            yield f"{STAGES[said.stage].title}: pistons as seen.", {}
        elif isinstance(said, Checked) and said.found and said.fault == hypothesis.fault:
            yield "Its own check found it.", {}


def _seen_words(said: Observation) -> str:
    if isinstance(said, Read):
        loose = "called as usual" if said.loose else f"{said.figure:g}"
        return f"{STAGES[said.stage].title.lower()}, {GAUGE_WORDS[GAUGES[said.gauge]]} {loose}"
    return as_text(said)


def next_check(found: Found) -> Phrase:
    """The check that tells most for its time."""
    if _proves(found):
        proof = found.proofs[0]
        return say(
            "{fault}: {words} ({where})",
            fault=proof.fault.title,
            words=proof.fault.proof.words,
            where=WHERE_WORDS[proof.fault.proof.where],
        )
    if found.stages:
        check = found.stages[0]
        way = " ".join(stage.does for stage in check.way)
        return say("{title}: {way}", title=check.stage.title, way=way)
    if found.proofs:
        proof = found.proofs[0]
        return say("{fault}: {words}", fault=proof.fault.title, words=proof.fault.proof.words)
    return say(
        "No stage of the series tells what still fits apart; what is left is a look by eye and ear."
    )


def not_looked_at(seen: Sequence[Observation]) -> str:
    """What nothing was said of, in words."""
    read = {one.stage for one in seen if isinstance(one, Read | Usual)}
    left = [stage.title.lower() for stage in STAGES if NUMBER[stage.id] not in read]
    words = []
    if len(left) == len(STAGES):
        words.append("every stage of the series")
    elif left:
        words.append(f"stages: {', '.join(left)}")
    if not any(isinstance(one, Heard) for one in seen):
        words.append("what blows, and where")
    if not any(isinstance(one, Piston) for one in seen):
        words.append("pistons of both trucks: the gauge shows one truck only")
    words.append(
        "shoes, rigging, hand brake, the train behind, and emergency, which is never asked for here"
    )
    return "; ".join(words)


def _has_ground_checks(found: Found) -> bool:
    members = found.finder.groups[found.ranked[0].group]
    return any(find_fault(fault).proof.where == "ground" for fault in members if fault)


def notes(found: Found) -> Iterator[Note]:
    """Cautions first."""
    yield SECURE
    for one in found.ranked[:1] if found.seen else ():
        for id in found.finder.groups[one.group]:
            if id and not one.against:
                fault = find_fault(id)
                yield Note(text=say("{title}: {remedy}", title=fault.title, remedy=fault.remedy))
    if any(stage.id in ("cut-out-60", "cut-in") for c in found.stages[:1] for stage in c.way):
        yield Note(
            kind="warning",
            text=say(
                "OUT, then IN: only with the equalizing reservoir {low} to {high} under the pipe as it reads "
                "now. Above it the brakes let go.",
                low=psi(UNDER_PIPE),
                high=psi(MOST_UNDER_PIPE),
            ),
        )
    if not found.ground and found.seen and _has_ground_checks(found):
        yield ON_THE_GROUND
    yield ONE_AT_A_TIME
    yield MODEL
