"""What a person can say of a stage, as texts: the same in a link, on the command line, on a page.

An entry is a stage and what was seen there: ``ten-off cylinder 30``, ``charged blows relay-exhaust``,
``charged quiet relay-exhaust``, ``ten-off piston other-truck in``, ``thirty-off usual``. ``rest usual``
says it of all stages not spoken of. ``found bail-off-stuck`` and ``not bail-off-stuck`` say what the
check that proves a fault came to. Entries are parted by semicolons.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from calculators.base.errors import InputError, UnknownNameError
from calculators.equipment.faults import find_fault
from calculators.finding.series import GAUGES, NUMBER, PISTONS, SOUNDS, STAGES

REST = "rest"
USUAL = "usual"
MOST = 300
"""Psi or cfm above which nothing is believed."""
FIELD = "observations"


@dataclass(frozen=True, slots=True, order=True)
class Read:
    """A gauge read at a stage; ``gauge`` is its place in `series.GAUGES`.

    ``loose`` marks one that was only called as usual: it may be off by what a gauge may.
    """

    stage: int
    gauge: int
    figure: float
    loose: bool = False


@dataclass(frozen=True, slots=True, order=True)
class Heard:
    """A place that blows at a stage, or is quiet."""

    stage: int
    place: str
    blows: bool


@dataclass(frozen=True, slots=True, order=True)
class Piston:
    """A truck's pistons at a stage: out or in."""

    stage: int
    truck: int
    out: bool


@dataclass(frozen=True, slots=True, order=True)
class Usual:
    """All gauges of a stage read as they should, and nothing blows."""

    stage: int


@dataclass(frozen=True, slots=True, order=True)
class Checked:
    """What the check that proves a fault came to."""

    fault: str
    found: bool


@dataclass(frozen=True, slots=True, order=True)
class TrainRead:
    """A figure of a train's series; ``which`` is its place in `TRAIN_READ`."""

    stage: int
    which: int
    figure: float


TRAIN_STAGES = ("train-charged", "train-ten", "train-twenty", "train-out", "train-released")
"""Of the train's own short series."""
TRAIN_READ = ("head", "rear", "flow", "exhaust", "applied")
"""Gauges in psi, flow in cfm, seconds of exhaust, cars applied."""

Observation = Read | Heard | Piston | Usual | Checked | TrainRead


def read(text: str) -> tuple[Observation, ...]:
    """The observations of a text, each once, in one order whatever order they were typed in.

    Raises
    ------
    InputError
        Naming the entry that says nothing known, or two that contradict each other outright.
    """
    entries = [" ".join(part.split()).lower() for part in text.split(";")]
    found: list[Observation] = []
    rest = False
    for entry in filter(None, entries):
        if entry == f"{REST} {USUAL}":
            rest = True
        else:
            found.append(_one(entry))
    if rest:
        spoken = {o.stage for o in found if not isinstance(o, Checked | TrainRead)}
        found += [Usual(stage) for stage in range(len(STAGES)) if stage not in spoken]
    return ordered(found)


def ordered(found: Iterable[Observation]) -> tuple[Observation, ...]:
    """Each observation once, in one order."""
    kinds = (Read, Heard, Piston, Usual, Checked, TrainRead)
    made = sorted(set(found), key=lambda one: (kinds.index(type(one)), one))
    seen: dict[tuple[object, ...], Observation] = {}
    for one in made:
        key = _about(one)
        if key in seen:
            raise InputError(
                FIELD,
                f'"{as_text(seen[key])}" and "{as_text(one)}" cannot both stand; take one out.',
            )
        seen[key] = one
    return tuple(made)


def _about(one: Observation) -> tuple[object, ...]:
    match one:
        case Read():
            return ("read", one.stage, one.gauge)
        case Heard():
            return ("heard", one.stage, one.place)
        case Piston():
            return ("piston", one.stage, one.truck)
        case Usual():
            return ("usual", one.stage)
        case Checked():
            return ("checked", one.fault)
        case TrainRead():
            return ("train", one.stage, one.which)


def _one(entry: str) -> Observation:
    words = entry.split()
    if words[0] in ("found", "not") and len(words) == 2:
        try:
            return Checked(find_fault(words[1]).id, words[0] == "found")
        except UnknownNameError as error:
            raise InputError(FIELD, f'"{entry[:60]}": {error}.') from error
    match words:
        case [stage, which, figure] if stage in TRAIN_STAGES and which in TRAIN_READ:
            return TrainRead(
                TRAIN_STAGES.index(stage), TRAIN_READ.index(which), _figure(entry, figure)
            )
    if words[0] not in NUMBER:
        raise InputError(
            FIELD,
            f'"{entry[:60]}" names no stage; stages are {", ".join((*NUMBER, *TRAIN_STAGES))}.',
        )
    at, said = NUMBER[words[0]], words[1:]
    match said:
        case ["usual"]:
            return Usual(at)
        case ["blows" | "quiet" as how, place] if place in SOUNDS:
            return Heard(at, place, how == "blows")
        case ["piston", truck, "out" | "in" as where] if truck in PISTONS:
            return Piston(at, PISTONS.index(truck), where == "out")
        case [gauge, figure, *unit] if gauge in GAUGES and unit in ([], ["psi"], ["cfm"]):
            return Read(at, GAUGES.index(gauge), _figure(entry, figure))
    raise InputError(
        FIELD,
        f'"{entry[:60]}" says nothing known; write a stage and a gauge with its figure '
        f'({", ".join(GAUGES)}), "blows" or "quiet" with a place, "piston" with a truck and "out" or '
        '"in", or "usual".',
    )


def _figure(entry: str, text: str) -> float:
    try:
        figure = float(text)
    except ValueError:
        raise InputError(FIELD, f'"{entry[:60]}": "{text[:20]}" is no figure.') from None
    if not 0 <= figure <= MOST:
        raise InputError(FIELD, f'"{entry[:60]}": take 0 to {MOST}.')
    return figure


def as_text(one: Observation) -> str:
    """An observation as it is typed."""
    match one:
        case Read():
            return f"{STAGES[one.stage].id} {GAUGES[one.gauge]} {one.figure:g}"
        case Heard():
            return f"{STAGES[one.stage].id} {'blows' if one.blows else 'quiet'} {one.place}"
        case Piston():
            where = "out" if one.out else "in"
            return f"{STAGES[one.stage].id} piston {PISTONS[one.truck]} {where}"
        case Usual():
            return f"{STAGES[one.stage].id} {USUAL}"
        case Checked():
            return f"{'found' if one.found else 'not'} {one.fault}"
        case TrainRead():
            return f"{TRAIN_STAGES[one.stage]} {TRAIN_READ[one.which]} {one.figure:g}"


def stages_spoken_of(found: Iterable[Observation]) -> Iterator[int]:
    """Stages of which something was said, each once."""
    yield from sorted({one.stage for one in found if not isinstance(one, Checked | TrainRead)})
