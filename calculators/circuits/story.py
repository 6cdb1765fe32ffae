"""A circuit's move told in steps: what moves first and why, what comes to rest, what still moves.

Steps and frames are read from the run: a passage that opened makes a step at the moment it
opened, passages that closed make a step when they closed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from calculators.base.results import CARRIED, Outcome, Phrase, Value, psi, say
from calculators.base.wording import at_begin
from calculators.circuits.description import Sheet
from calculators.circuits.moves import Standing
from calculators.circuits.sheet.parts import SHEETS
from calculators.circuits.states import Moment, moment
from calculators.circuits.words import MOVES_PLACE, PLACE_NAMES, opening
from calculators.equipment.running import PLACES, Setup
from calculators.equipment.running.following import FollowedMove, Sample, Used

# The compressor runs whenever air was drawn; pipe 12 follows the handle and has no gauge.
NO_STEP = frozenset({"compressor", "pipe-12-feed", "pipe-12-exhaust"})
_OF_THE_LEAD = frozenset({"handle-charge", "handle-exhaust", "handle-vent"})
_WITH_LEAKAGE_ENDLESS = frozenset({"leakage", "pipe-feed", "train-pipe"})

# Passages whose closing is heard or felt; of the others the gauge is what counts.
_TO_THE_LAST = frozenset({"pipe-feed", "pipe-exhaust", "pipe-vent", "train-pipe", "train-vent"})

# A gauge this near its end shows it. [psi]
SHOWN = 0.5

# What closes within so short a time, or share of the time so far, has come to rest together.
TOGETHER_SECONDS = 0.4
TOGETHER_SHARE = 0.06

# A gauge that moves less than this in so long a time stands. [psi, s]
STANDS_WITHIN = 0.02
STANDS_FOR = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryStep:
    """One step: at ``seconds`` passages open or close.

    ``places`` are the gauges that it moves or stops; ``value`` is where the first one ends.
    """

    kind: Literal["opens", "rests"]
    seconds: float
    passages: tuple[str, ...]
    places: tuple[str, ...]
    what: str
    why: Phrase
    value: Value | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One picture of the sequence: a moment, and how many steps have begun by then."""

    moment: Moment
    begun: int
    moving: tuple[str, ...]
    first: bool
    last: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A move followed to where it rests; ``cut_short`` while the rest of it is yet to come."""

    sheet: Sheet
    setup: Setup
    before: Standing | None
    now: Standing
    run: FollowedMove
    events: tuple[StoryStep, ...]
    frames: tuple[Frame, ...]
    cut_short: bool = False

    def showing(self, seconds: float) -> Story:
        """The story with a picture of that moment among the others."""
        sample = self.run.at(seconds)
        if any(frame.moment.seconds == sample.seconds for frame in self.frames):
            return self
        frames = (*self.frames, _frame(self, sample))
        return replace(self, frames=tuple(sorted(frames, key=lambda one: one.moment.seconds)))

    def frame_at(self, seconds: float) -> Frame:
        """The picture at a moment of the run."""
        return _frame(self, self.run.at(seconds))


@dataclass(frozen=True, slots=True, kw_only=True)
class Told(Outcome):
    """An outcome that carries the story it was read from, for the picture and its moments."""

    story: Story = field(metadata=CARRIED, compare=False, repr=False)


def tell(setup: Setup, before: Standing | None, now: Standing, made: FollowedMove) -> Story:
    """Tell a move that has been followed.

    Parameters
    ----------
    setup
        Locomotive, volumes and train; its equipment is the one of ``now``.
    before
        The state before; None starts from empty.
    now
        The move as it was made.
    made
        What was seen.
    """
    sheet = SHEETS[now.equipment.unit]
    events = tuple(_events(setup, before, now, made))
    story = Story(
        sheet=sheet, setup=setup, before=before, now=now, run=made, events=events, frames=()
    )
    frames = tuple(_frames(story))
    return Story(
        sheet=sheet, setup=setup, before=before, now=now, run=made, events=events, frames=frames
    )


def nothing_feeds(now: Standing) -> bool:
    """Whether the brake pipe is left to its leakage."""
    out = now.equipment.cut_off == "out" and now.equipment.unit == "lead"
    return out or now.vented or now.move.handle == "emergency"


def _unseen(setup: Setup, now: Standing) -> frozenset[str]:
    """Passages that move no gauge of this unit: the compressor, a leak that is fed, the lead's."""
    unseen = NO_STEP
    if setup.leakage > 0.0 and not nothing_feeds(now):
        unseen |= _WITH_LEAKAGE_ENDLESS
    if now.equipment.unit != "lead":
        unseen |= _OF_THE_LEAD
    return unseen


def _events(
    setup: Setup, before: Standing | None, now: Standing, made: FollowedMove
) -> Iterator[StoryStep]:
    used = [one for one in made.used if one.passage not in NO_STEP]
    found = [_opens(one, setup, before, now, made) for one in used]
    unseen = _unseen(setup, now) | {"leakage"}
    closed = [one for one in used if one.passage not in unseen and not _goes_on(one, made)]
    found += _rests(closed, made, heard=now.equipment.unit == "lead")
    # Sorting is stable: what opened in the same instant keeps the order of the run.
    yield from sorted(found, key=lambda event: event.seconds)


def _opens(
    one: Used, setup: Setup, before: Standing | None, now: Standing, made: FollowedMove
) -> StoryStep:
    told = opening(one.passage, setup, before, now, made)
    place = MOVES_PLACE[one.passage]
    return StoryStep(
        kind="opens",
        seconds=one.started,
        passages=(one.passage,),
        places=(place,),
        what=told.what,
        why=told.why,
        value=None if one.passage in _unseen(setup, now) else _value(one, place, made),
    )


def _value(one: Used, place: str, made: FollowedMove) -> Value | None:
    """Where a passage takes its gauge: to its end, unless another passage moves it after that."""
    after = [u.stopped for u in made.used if MOVES_PLACE.get(u.passage) == place]
    if place in PLACES and one.stopped < max(after):
        return psi(made.at(one.stopped).pressure(place))
    return _end_value(place, made)


def stops(one: Used, made: FollowedMove) -> float:
    """When a passage has done its work: it closes, or its gauge shows the end [s]."""
    if one.passage in _TO_THE_LAST:
        return one.stopped if made.rest_after is None else min(one.stopped, made.rest_after)
    place = MOVES_PLACE[one.passage]
    end = made.samples[-1].pressure(place)
    off = (sample.seconds for sample in made.samples if abs(sample.pressure(place) - end) > SHOWN)
    return min(one.stopped, max(off, default=one.started))


def _goes_on(one: Used, made: FollowedMove) -> bool:
    """Whether the place of a passage still moved where the run is followed no further."""
    if made.rest_after is not None:
        return False
    end = made.samples[-1]
    if one.passage in _TO_THE_LAST:
        return one.stopped >= end.seconds - STANDS_FOR
    place = MOVES_PLACE[one.passage]
    earlier = made.at(end.seconds - STANDS_FOR)
    return abs(end.pressure(place) - earlier.pressure(place)) > STANDS_WITHIN


def _rests(used: list[Used], made: FollowedMove, *, heard: bool) -> list[StoryStep]:
    """Steps of coming to rest: passages that closed at about the same time are one.

    A place rests once, when the last of its passages has closed; ``heard`` says whether the brake
    valve's exhaust is on this unit.
    """
    closing = sorted(((stops(one, made), one) for one in used), key=lambda pair: pair[0])
    last = {MOVES_PLACE[one.passage]: one for _, one in closing}
    groups: list[list[tuple[float, Used]]] = []
    for stop, one in closing:
        if last[MOVES_PLACE[one.passage]] is not one:
            continue
        near = groups and stop - groups[-1][0][0] <= max(TOGETHER_SECONDS, TOGETHER_SHARE * stop)
        if near:
            groups[-1].append((stop, one))
        else:
            groups.append([(stop, one)])
    return [_rest(group, made, heard=heard) for group in groups]


def _rest(group: list[tuple[float, Used]], made: FollowedMove, *, heard: bool) -> StoryStep:
    passages = tuple(one.passage for _, one in group)
    places = tuple(dict.fromkeys(MOVES_PLACE[passage] for passage in passages))
    parts: dict[str, Value] = {}
    words: list[str] = []
    for place in places:
        value = _end_value(place, made)
        # Only a train's passages move the train's gauge, so there is one.
        assert value is not None
        parts[place] = value
        words.append(f"{PLACE_NAMES[place]} at {{{place}}}")
    what = "Comes to rest" if len(places) == 1 else "Come to rest"
    if heard and "pipe-exhaust" in passages:
        what = "The exhaust at the brake valve stops"
    return StoryStep(
        kind="rests",
        seconds=max(stop for stop, _ in group),
        passages=passages,
        places=places,
        what=what,
        why=Phrase(_joined(words) + ".", parts),
        value=None,
    )


def _joined(words: list[str]) -> str:
    text = words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
    return at_begin(text)


def _end_value(place: str, made: FollowedMove) -> Value | None:
    if place in PLACES:
        return psi(made.samples[-1].pressure(place))
    rear = made.samples[-1].rear
    return psi(rear) if rear is not None else None


def _frames(story: Story) -> Iterator[Frame]:
    """One picture before the move, one for each stretch between steps, one at the end."""
    yield _frame(story, story.run.samples[0], begun=0)
    times = sorted({event.seconds for event in story.events})
    for number, start in enumerate(times[:-1]):
        yield _frame(
            story, _within(story.run, start, times[number + 1]), begun=_begun(story, start)
        )
    yield _frame(story, story.run.samples[-1], begun=len(story.events))


def _within(made: FollowedMove, start: float, end: float) -> Sample:
    """The sample about the middle of a stretch: at its begin things have hardly begun."""
    middle = made.at((start + end) / 2)
    if middle.seconds > start:
        return middle
    return next(sample for sample in made.samples if sample.seconds > start)


def _begun(story: Story, seconds: float) -> int:
    return sum(event.seconds <= seconds + 1e-9 for event in story.events)


def _frame(story: Story, sample: Sample, *, begun: int | None = None) -> Frame:
    first, last = sample is story.run.samples[0], sample is story.run.samples[-1]
    if begun is None:
        begun = len(story.events) if last else _begun(story, sample.seconds)
    # Before the move the handles still stand where they were.
    stands = story.before if first and story.before is not None else story.now
    return Frame(
        moment=moment(
            story.sheet,
            story.setup,
            stands,
            sample,
            at_rest=last and story.run.rest_after is not None,
        ),
        begun=begun,
        moving=() if first or last else _moving(story, sample),
        first=first,
        last=last,
    )


def _moving(story: Story, sample: Sample) -> tuple[str, ...]:
    """The places that still move at a moment, in flow order."""
    unseen = _unseen(story.setup, story.now)
    going = {
        MOVES_PLACE[one.passage]
        for one in story.run.used
        if one.passage not in unseen
        and one.started <= sample.seconds < stops(one, story.run)
        and not _stands(one, story.run, sample)
    }
    return tuple(place for place in PLACE_NAMES if place in going)


def _stands(one: Used, made: FollowedMove, sample: Sample) -> bool:
    """Whether a gauge stands for a while though its passage opens again later."""
    if one.passage in _TO_THE_LAST:
        return False
    place = MOVES_PLACE[one.passage]
    soon = made.at(sample.seconds + STANDS_FOR)
    return abs(soon.pressure(place) - sample.pressure(place)) < STANDS_WITHIN


def moving_words(story: Story, frame: Frame) -> Phrase:
    """What still moves in a picture, in one sentence."""
    if frame.first and not frame.last:
        return say("At rest before the move.")
    falls = story.setup.leakage > 0.0 and nothing_feeds(story.now)
    if frame.last and falls and story.run.rest_after is None and not story.cut_short:
        return say("Still falling: the brake pipe leaks, and nothing feeds it.")
    if frame.last and story.cut_short:
        return say("Followed so far: the move is not over.")
    if frame.moving:
        places = ", ".join(PLACE_NAMES[place] for place in frame.moving)
        return say("Still moving: {places}.", places=places)
    if frame.last and story.run.rest_after is None:
        return say("Not at rest: followed no further.")
    if story.setup.leakage > 0.0 and not falls:
        return say("At rest, but for leakage and what feeds it.")
    return say("At rest.") if frame.last else say("The gauges hold still.")
