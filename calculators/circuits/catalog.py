"""The circuits: which moves make each, on which unit, and how it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from calculators.base.errors import UnknownNameError
from calculators.circuits.moves import Move
from calculators.equipment.locomotive import UnitStanding

# The moves of the examples, in psi; every one can be changed.
SET = 10.0
TEST_SET = 20.0
BAILED_SET = 12.0
FURTHER_SET = 15.0
INDEPENDENT = 30.0
LEAKAGE = 3.0
OVERCHARGE = 10.0
HEAVY_SET = 20.0

RELEASED = Move()
"""Handles in release, cut in, nothing else going on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One move of a circuit, with its name for buttons and links."""

    name: str
    move: Move


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """A circuit: a start at rest, then one move after another, each followed to rest.

    ``from_empty`` starts with no air outside the main reservoir. ``leakage`` is the brake pipe
    leakage that the circuit is shown with, in psi/min; ``overcharge`` how far above the setting all
    had been charged before, in psi.
    """

    id: str
    title: str
    question: str
    stages: tuple[Stage, ...]
    start: Move = RELEASED
    from_empty: bool = False
    unit: UnitStanding = "lead"
    leakage: float = 0.0
    overcharge: float = 0.0


_SERVICE = Move(handle="service", reduction=SET)
_BAILED = Move(handle="service", reduction=BAILED_SET)
_OFF = Move(cut_off="out")

_CIRCUITS = (
    Circuit(
        id="charging",
        title="Charging from empty",
        question="How does the air get into an empty brake, and in which order?",
        stages=(Stage(name="Handle to release", move=RELEASED),),
        from_empty=True,
    ),
    Circuit(
        id="service-application",
        title="Service application",
        question="The handle takes some off: what moves first, and what does each gauge do?",
        stages=(Stage(name="Handle into the service zone", move=_SERVICE),),
    ),
    Circuit(
        id="service-lap",
        title="Service lap",
        question="The handle rests after a set: what is shut, and what holds the brake pipe?",
        stages=(Stage(name="Handle rests", move=_SERVICE),),
        start=_SERVICE,
        leakage=LEAKAGE,
    ),
    Circuit(
        id="release-and-recharge",
        title="Release and recharge",
        question="The handle goes back to release: what lets go first, and how long does the train take?",
        stages=(Stage(name="Handle to release", move=RELEASED),),
        start=_SERVICE,
    ),
    Circuit(
        id="emergency-from-handle",
        title="Emergency from the handle",
        question="The handle goes to emergency: where does the air go, and how is it recovered?",
        stages=(
            Stage(name="Handle to emergency", move=Move(handle="emergency")),
            Stage(name="Handle to release", move=RELEASED),
        ),
    ),
    Circuit(
        id="emergency-from-train",
        title="Emergency from the train",
        question="A hose parts: what does the brake valve do, and how is it recovered?",
        stages=(
            Stage(name="A hose parts in the train", move=Move(event="emergency-from-train")),
            Stage(name="Handle to emergency", move=Move(handle="emergency")),
            Stage(name="Handle to release", move=RELEASED),
        ),
    ),
    Circuit(
        id="emergency-from-rear",
        title="Emergency from the rear",
        question="The end-of-train device opens the pipe: what reaches the head, and when?",
        stages=(
            Stage(name="The end-of-train device vents", move=Move(event="emergency-from-rear")),
            Stage(name="Handle to emergency", move=Move(handle="emergency")),
            Stage(name="Handle to release", move=RELEASED),
        ),
    ),
    Circuit(
        id="independent-brake",
        title="Independent application and release",
        question="The independent handle moves: what brakes, and what does the train feel?",
        stages=(
            Stage(name="Independent applied", move=Move(independent=INDEPENDENT)),
            Stage(name="Independent released", move=RELEASED),
        ),
    ),
    Circuit(
        id="bail-off",
        title="Bail-off",
        question="The independent handle is pressed during a set: what lets go, and what does not?",
        stages=(
            Stage(
                name="Handle pressed and held",
                move=Move(handle="service", reduction=BAILED_SET, bail_off="held"),
            ),
            Stage(name="Handle let go", move=_BAILED),
            Stage(
                name="More taken off",
                move=Move(handle="service", reduction=FURTHER_SET, bail_off="released"),
            ),
        ),
        start=_BAILED,
    ),
    Circuit(
        id="overcharge",
        title="Overcharge",
        question="Locomotive and cars were charged above the setting: what holds each on, and what lets it go?",
        stages=(
            Stage(name="Bail-off pressed, then let go", move=Move(bail_off="released")),
            Stage(
                name="A heavy set, the train held",
                move=Move(handle="service", reduction=HEAVY_SET, bail_off="released"),
            ),
            Stage(name="Handle to release", move=RELEASED),
        ),
        overcharge=OVERCHARGE,
    ),
    Circuit(
        id="penalty-and-recovery",
        title="Penalty and recovery",
        question="A safety device takes the brake: what happens, and in which order is the train recovered?",
        stages=(
            Stage(name="The penalty comes", move=Move(event="penalty")),
            Stage(name="Handle to suppression", move=Move(handle="suppression")),
            Stage(name="Handle to release", move=RELEASED),
        ),
    ),
    Circuit(
        id="suppression",
        title="Suppression",
        question="The handle goes to suppression: how much comes off, and what does it hold?",
        stages=(
            Stage(name="Handle to suppression", move=Move(handle="suppression")),
            Stage(name="Handle to release", move=RELEASED),
        ),
    ),
    Circuit(
        id="handle-off",
        title="Handle off",
        question="A unit is set up not to control: why cut out first, and what does handle off do then?",
        stages=(
            Stage(name="Cut-off turned OUT", move=_OFF),
            Stage(name="Handle off", move=Move(handle="handle-off", cut_off="out")),
        ),
    ),
    Circuit(
        id="cut-out",
        title="Cut out: reading leakage",
        question="After a set the brake valve is cut OUT: what falls, what holds, and what does that tell?",
        stages=(
            Stage(
                name="Cut-off turned OUT",
                move=Move(handle="service", reduction=TEST_SET, cut_off="out"),
            ),
        ),
        start=Move(handle="service", reduction=TEST_SET),
        leakage=LEAKAGE,
    ),
    Circuit(
        id="trailing-unit",
        title="Trailing unit",
        question="The lead unit brakes: how does the unit behind it follow?",
        stages=(
            Stage(name="The lead takes some off", move=_SERVICE),
            Stage(name="The lead releases", move=RELEASED),
            Stage(name="The lead applies its independent", move=Move(independent=INDEPENDENT)),
        ),
        unit="trailing",
    ),
    Circuit(
        id="hauled-dead",
        title="Hauled dead",
        question="A dead unit is hauled in the train: what air brakes it, and how much is there?",
        stages=(
            Stage(name="The lead takes some off", move=_SERVICE),
            Stage(name="The lead goes to emergency", move=Move(handle="emergency")),
        ),
        unit="dead",
    ),
)

CIRCUITS: dict[str, Circuit] = {circuit.id: circuit for circuit in _CIRCUITS}


def find_circuit(id: str) -> Circuit:
    """The circuit of that id; UnknownNameError says which come near."""
    if id in CIRCUITS:
        return CIRCUITS[id]
    near = get_close_matches(id, CIRCUITS, n=3)
    advice = f"; did you mean {' or '.join(near)}?" if near else ""
    raise UnknownNameError(f'no circuit is called "{id[:60]}"{advice}')
