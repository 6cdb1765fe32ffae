"""From the inputs of a question to the story: which circuit, which move, from which state."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Literal

from calculators.base.errors import InputError
from calculators.base.results import Display, plain
from calculators.base.units import PSI, convert
from calculators.circuits.catalog import Circuit, find_circuit
from calculators.circuits.moves import EMERGENCIES, Move, Standing, first, then
from calculators.circuits.story import Story, nothing_feeds, tell
from calculators.equipment.locomotive import Equipment
from calculators.equipment.running import Brake, Setup, Source, start
from calculators.equipment.running.brake import Penalty
from calculators.equipment.running.following import LONGEST, FollowedMove, Following
from calculators.equipment.running.places import MAIN
from calculators.equipment.train.consist import SETTINGS
from calculators.equipment.train.running import Simulation

# Decimals of a handle's place in a unit of the user's: finer than any gauge.
_DECIMALS = {"kPa": 2, "bar": 4}

AS_SHOWN = "as-shown"
"""The word of a choice that leaves it to the circuit."""

LEAKAGE_READ_FOR = 60.0
"""A pipe that leaks away is followed for the minute that it is read. [s]"""
CUT_OUT_FIRST = 2.0
"""A unit is cut out before its handle goes anywhere; the cut-off valve has shut by then. [s]"""
DEEPER = 0.25
"""A brake pipe so far under the setting has had something taken off. [psi]"""

Wrong = Literal["nothing", "trailing-cut-in", "not-drained"]
"""What is set up wrongly: a second brake valve cut in at its own setting, or a dead unit whose main
reservoir was not let down."""


_OPERATED = ("handle", "reduction", "independent", "bail_off", "cut_off", "event", "dynamic")


@dataclass(frozen=True, slots=True, kw_only=True)
class Handles:
    """Places of the handles as given; None or ``AS_SHOWN`` leaves one to the circuit."""

    handle: str = AS_SHOWN
    reduction: float | None = None
    independent: float | None = None
    bail_off: str = AS_SHOWN
    cut_off: str = AS_SHOWN
    event: str = AS_SHOWN
    dynamic: str = AS_SHOWN

    def over(self, move: Move) -> Move:
        """The move with what was given in its place."""
        given: dict[str, object] = {
            name: value
            for name in _OPERATED
            if (value := getattr(self, name)) not in (AS_SHOWN, None)
        }
        return replace(move, **given)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedCircuit:
    """A question about a circuit.

    ``start`` is given where the question starts from a state of its own and not from the
    circuit's; ``earlier_reduction`` and ``reduction_at_bail_off`` belong to that state, and so does
    ``setup.starting_pressure``, which is what the brake had been charged to. ``leakage`` None is
    the circuit's own. ``covers`` says which sources of a penalty this unit's suppression holds off.
    ``read_for`` is how long a pipe that only leaks away is followed, ``follow_for`` how long
    anything that does not rest before [s]; None follows that for two hours.
    """

    circuit: str
    stage: int
    handles: Handles
    start: Handles
    earlier_reduction: float | None
    reduction_at_bail_off: float | None
    leakage: float | None
    setup: Setup
    penalty_source: Penalty = "pedal"
    covers: tuple[Penalty, ...] = ("pedal", "overspeed")
    wrong: Wrong = "nothing"
    read_for: float = LEAKAGE_READ_FOR
    follow_for: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """A move as it was made and followed: the state before (None is empty), the move, the run."""

    before: Standing | None
    now: Standing
    run: FollowedMove


Keeper = Callable[[AskedCircuit, Callable[[], Followed]], Followed]
_keepers: list[Keeper] = []


def keep_runs(keeper: Keeper | None) -> None:
    """Let somebody keep what was followed: given the question, and how to follow it.

    The build keeps it between builds. None keeps nothing.
    """
    _keepers[:] = [] if keeper is None else [keeper]
    _stories.clear()


_stories: OrderedDict[AskedCircuit, Story] = OrderedDict()
_MOST_STORIES = 16
_at_once: list[float] = []


def story_of(asked: AskedCircuit) -> Story:
    """Follow what was asked; the same question is followed once.

    Within `first_moments` only its begin is followed, and `carry_on` follows the rest.

    Raises
    ------
    InputError
        If the circuit has no such stage, or a reduction is more than the setting.
    """
    if asked in _stories:
        return _stories[asked]
    _refuse(asked)
    if _at_once:
        going = _Going(asked)
        while not going.watch.over and going.watch.seconds < _at_once[0]:
            going.watch.step()
        if not going.watch.over:
            _under_way[:] = [going]
            return replace(_told(asked, going.followed()), cut_short=True)
        return _kept(asked, going.followed())
    if _keepers:
        return _kept(asked, _keepers[0](asked, lambda: follow_now(asked)))
    return _kept(asked, follow_now(asked))


@contextmanager
def first_moments(seconds: float) -> Iterator[None]:
    """Within it a story ends after so many seconds of the brake's own time, at rest or not."""
    _at_once[:] = [seconds]
    try:
        yield
    finally:
        _at_once.clear()


def carry_on() -> Iterator[float]:
    """Follow what was cut short last to its end, saying how far it is [s]; to give up, stop asking.

    At the end `story_of` has the whole story at once.
    """
    if not _under_way:
        return
    going = _under_way.pop()
    looks = 0
    while not going.watch.over:
        going.watch.step()
        looks += 1
        if looks % _LOOKS_TOLD == 0:
            yield going.watch.seconds
    _kept(going.asked, going.followed())


_LOOKS_TOLD = 20


def _kept(asked: AskedCircuit, made: Followed) -> Story:
    story = _stories[asked] = _told(asked, made)
    while len(_stories) > _MOST_STORIES:
        _stories.popitem(last=False)
    return story


def follow_now(asked: AskedCircuit) -> Followed:
    """Make the moves and follow the last one, nothing kept."""
    going = _Going(asked)
    while not going.watch.over:
        going.watch.step()
    return going.followed()


def _told(asked: AskedCircuit, made: Followed) -> Story:
    setup = replace(_set_up(asked), equipment=made.now.equipment)
    return tell(setup, made.before, made.now, made.run)


class _Going:
    """A question being followed: the moves before it made, its own under way."""

    def __init__(self, asked: AskedCircuit) -> None:
        self.asked = asked
        circuit, setup = find_circuit(asked.circuit), _set_up(asked)
        self.before, brake = _start(circuit, asked, setup)
        shown = circuit.stages[asked.stage - 1].move
        if asked.start.handle != AS_SHOWN and self.before is not None:
            # From a state of the question's own, a handle that is not given stays where it was.
            shown = replace(self.before.move, event="none")
        move = asked.handles.over(shown)
        if self.before is None:
            self.now = first(brake, move)
        else:
            self.now = then(brake, self.before, move, source=asked.penalty_source)
        falls = setup.leakage > 0.0 and nothing_feeds(self.now)
        longest = asked.follow_for or (asked.read_for if falls else LONGEST)
        self.watch = Following(brake, longest=longest)

    def followed(self) -> Followed:
        """What has been followed so far."""
        return Followed(before=self.before, now=self.now, run=self.watch.run())


_under_way: list[_Going] = []


def _set_up(asked: AskedCircuit) -> Setup:
    """The locomotive and train of a question, with what is wrong with them."""
    circuit = find_circuit(asked.circuit)
    leakage = circuit.leakage if asked.leakage is None else asked.leakage
    equipment = replace(asked.setup.equipment, unit=circuit.unit)
    setup = replace(asked.setup, leakage=leakage, equipment=equipment)
    if circuit.overcharge and setup.starting_pressure is None:
        setting = min(equipment.brake_pipe_setting, equipment.main_reservoir)
        charged = min(setting + circuit.overcharge, equipment.main_reservoir, SETTINGS[1])
        setup = replace(setup, starting_pressure=charged)
    if asked.wrong == "trailing-cut-in" and setup.cars:
        second = Source(at_car=1, pressure=equipment.brake_pipe_setting)
        setup = replace(setup, change=replace(setup.change, sources=(second,)))
    return setup


def _start(circuit: Circuit, asked: AskedCircuit, setup: Setup) -> tuple[Standing | None, Brake]:
    """The state the move starts from, and the brake in it; None is an empty brake."""
    own = asked.start.handle != AS_SHOWN
    if circuit.from_empty and asked.stage == 1 and not own:
        return None, _started(asked, replace(setup, starting_pressure=0.0))
    if circuit.from_empty and not own:
        setup = replace(setup, starting_pressure=0.0)
    brake = _started(asked, setup)
    if own:
        return _from_own(asked, brake), brake
    standing = first(brake, circuit.start)
    _settle(brake, standing)
    for stage in circuit.stages[: asked.stage - 1]:
        standing = then(brake, standing, stage.move, source=asked.penalty_source)
        _settle(brake, standing)
    return standing, brake


def _started(asked: AskedCircuit, setup: Setup) -> Brake:
    brake = start(setup)
    brake.suppressed = asked.covers
    if asked.wrong == "not-drained" and setup.equipment.unit == "dead":
        lead = brake.locomotive
        lead.pressure[MAIN] = lead.atmosphere + setup.equipment.main_reservoir * PSI
        simulation = brake.simulation
        brake.simulation = Simulation(simulation.state, simulation.relays, [])
    return brake


def _settle(brake: Brake, standing: Standing) -> None:
    """Let a state come to rest; a pipe that only leaks away is left for the minute it is read."""
    falls = brake.setup.leakage > 0.0 and nothing_feeds(standing)
    brake.to_rest(longest=LEAKAGE_READ_FOR if falls else LONGEST)
    # A vent valve that has blown stays open for a while; the next move waits for it.
    closing = max(
        (v.seconds_left for v in brake.simulation.state.vents if 0.0 < v.seconds_left < LONGEST),
        default=0.0,
    )
    if closing:
        brake.advance(closing)


def _from_own(asked: AskedCircuit, brake: Brake) -> Standing:
    """The question's own state: what had gone before it is made first, then its handles."""
    move = asked.start.over(Move())
    setting = brake.setup.equipment.brake_pipe_setting
    standing = Standing(move=Move(cut_off="freight"), equipment=brake.setup.equipment)
    bailed, earlier = asked.reduction_at_bail_off, min(asked.earlier_reduction or 0.0, setting)
    if move.bail_off == "released" and bailed is not None:
        for pressed in ("none", "held", "none"):
            bail: Move = Move(handle="service", reduction=min(bailed, setting), bail_off=pressed)
            standing = then(brake, standing, bail)
            _settle(brake, standing)
    if earlier > (bailed or 0.0) and move.handle != "emergency" and move.event == "none":
        deepest = Move(handle="service", reduction=earlier)
        standing = then(brake, standing, deepest)
        _settle(brake, standing)
    if move.event in EMERGENCIES and move.handle == "emergency":
        standing = then(brake, standing, replace(standing.move, event=move.event))
        _settle(brake, standing)
    if move.cut_off == "out":
        standing = then(brake, standing, replace(standing.move, cut_off="out"))
        brake.advance(CUT_OUT_FIRST)
    replayed = bailed is not None and move.bail_off == "released"
    if replayed:
        move = replace(move, bail_off="none")
    standing = then(brake, standing, move, source=asked.penalty_source)
    _settle(brake, standing)
    if replayed and move.handle == "release":
        # Pressed with the handle in release, as in an overcharge: it is not to be pressed again.
        released = replace(standing.move, bail_off="released")
        standing = replace(standing, move=released, bailed_at=bailed)
    return standing


def _refuse(asked: AskedCircuit) -> None:
    """Refuse what no brake can do."""
    circuit = find_circuit(asked.circuit)
    if not 1 <= asked.stage <= len(circuit.stages):
        raise InputError(
            "stage",
            f"Move of the circuit is {asked.stage}; {circuit.title.lower()} has {len(circuit.stages)}.",
        )
    equipment = asked.setup.equipment
    if asked.start.handle != AS_SHOWN:
        _refuse_too_much("from_reduction", asked.start.over(Move()), equipment)
    move = asked.handles.over(circuit.stages[asked.stage - 1].move)
    _refuse_too_much("reduction", move, equipment)


def _refuse_too_much(field: str, move: Move, equipment: Equipment) -> None:
    setting = equipment.brake_pipe_setting
    if move.reduction > setting:
        raise InputError(
            field,
            f"Reduction is {move.reduction:g} psi; the brake pipe holds only {setting:g} psi, "
            "so no more than that can come off.",
        )


def handles_of(story: Story, display: Display) -> dict[str, str]:
    """Where the handles stand in a move, as texts by field in the user's unit."""
    move = story.now.move
    return {
        "handle": move.handle,
        "reduction": _typed(move.reduction, display),
        "independent": _typed(move.independent, display),
        "bail_off": move.bail_off,
        "cut_off": move.cut_off,
        "event": move.event,
        "dynamic_brake": move.dynamic,
    }


def carried_on(story: Story, display: Display) -> dict[str, str]:
    """Entries that start the next move where this one comes to rest, as texts by field."""
    stands = handles_of(story, display)
    at = story.now.bailed_at
    charged = story.setup.starting_pressure
    if charged is not None and _released(story):
        # Whatever it had been charged to, it is at the setting now.
        charged = story.run.samples[-1].pressure("brake_pipe")
    return {
        **({} if charged is None else {"charged_to": _typed(round(charged, 2), display)}),
        **{f"from_{name}": text for name, text in stands.items()},
        "earlier_reduction": _typed(_deepest(story), display),
        "reduction_at_bail_off": "" if at is None else _typed(round(at, 2), display),
        **stands,
        "event": "none",
    }


def _released(story: Story) -> bool:
    """Whether a release has let go everything, on the cars and on the locomotive."""
    end = story.run.samples[-1]
    over = end.pressure("control_reservoir") - end.pressure("brake_pipe")
    freed = over < DEEPER and not story.run.end.cars_applied
    return story.now.move.handle == "release" and freed


def _deepest(story: Story) -> float:
    """How far the brake pipe has been taken down since the last release. [psi]."""
    setting = story.now.equipment.brake_pipe_setting
    end, run = story.run.samples[-1], story.run
    off = setting - end.pressure("brake_pipe")
    if off < DEEPER:
        return 0.0
    if not run.end.applied and story.now.bailed_at is None and story.now.move.handle == "service":
        # The pipe has risen part of the way: what it stood at before that had applied the brake.
        off = setting - min(sample.pressure("brake_pipe") for sample in run.samples)
    return round(off, 2)


def _typed(pressure: float, display: Display) -> str:
    """A pressure as a person would type it, its unit with it unless that is psi."""
    unit = display.pressure
    if unit == "psi":
        return plain(pressure)
    return f"{plain(round(convert(pressure, 'psi', unit), _DECIMALS[unit]))} {unit}"
