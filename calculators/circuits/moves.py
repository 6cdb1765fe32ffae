"""Moves of the handles, made on a running brake one after the other.

What a move leaves behind is in the brake itself; a `Standing` only says where the handles are and
what is known to have happened, for words and pictures.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from calculators.base.units import PSI
from calculators.equipment.locomotive import BailOff, CutOff, Equipment, Handle
from calculators.equipment.running import Brake
from calculators.equipment.running.brake import Penalty
from calculators.equipment.train.schedule import FOREVER, Due
from calculators.equipment.train.stepping.border import hole
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State, Vent
from calculators.equipment.train.tables import PIPE_LINE

Interruption = Literal["none", "penalty", "emergency-from-train", "emergency-from-rear"]

EMERGENCIES = ("emergency-from-train", "emergency-from-rear")

# Places of the handle that take up a penalty: from there the brake can be released [S: MUS-26].
TAKES_UP_PENALTY = ("suppression", "handle-off")

PRESSED_FOR = 10.0
"""How long a handle is pressed that is said to have been pressed and let go. [s] Our own: the
locomotive's brake is off by then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What a crew does, or what happens to it: handles in their places, and an event.

    Pressures in psi. A penalty keeps on until the handle has been where it is taken up; a pipe
    emptied from the train stays empty until the handle has been in emergency.
    """

    handle: Handle = "release"
    reduction: float = 0.0
    independent: float = 0.0
    bail_off: BailOff = "none"
    cut_off: CutOff = "freight"
    event: Interruption = "none"
    dynamic: Literal["off", "on"] = "off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A move that has been made, on the locomotive as it is set up for it.

    ``bailed_at`` is the reduction at which a bail-off was let go that still counts. [psi]
    """

    move: Move
    equipment: Equipment
    bailed_at: float | None = None

    @property
    def vented(self) -> bool:
        """Whether the pipe was opened from the train."""
        return self.move.event in EMERGENCIES

    @property
    def penalty(self) -> bool:
        """Whether a penalty is at work."""
        return self.move.event == "penalty" and self.move.handle != "emergency"


def asked_off(equipment: Equipment, move: Move) -> float:
    """What the handle, or a penalty, asks to be taken off the setting. [psi]."""
    if move.event == "penalty" and move.handle != "emergency":
        return equipment.brake_pipe_setting
    return {
        "release": 0.0,
        "minimum-reduction": equipment.minimum_reduction,
        "service": move.reduction,
        "suppression": equipment.suppression_reduction,
        "handle-off": equipment.brake_pipe_setting,
        "emergency": equipment.brake_pipe_setting,
    }[move.handle]


def first(brake: Brake, move: Move) -> Standing:
    """Make a move on a brake that nothing is known to have happened to."""
    start = Standing(move=Move(), equipment=brake.setup.equipment)
    return then(brake, start, move)


def then(brake: Brake, before: Standing, move: Move, *, source: Penalty = "pedal") -> Standing:
    """Make a move on a brake as another move left it; the brake is not moved on yet.

    Returns
    -------
    Standing
        The move as it came out: a penalty that suppression holds off has not come, one that has
        begun runs on, and so does an emergency that has not been reset.
    """
    equipment = replace(brake.setup.equipment, cut_off=move.cut_off)
    event = _event(brake, before, move, source)
    mended = before.vented and event not in EMERGENCIES
    if mended:
        _close_pipe(brake)
    brake.cut_off(move.cut_off)
    brake.handle(move.handle, reduction=move.reduction)
    brake.independent(move.independent)
    brake.dynamic(move.dynamic == "on")
    if event in EMERGENCIES and not before.vented:
        _open_pipe(brake, event)
    bail_off, bailed_at = _bail_off(brake, before, move)
    move = replace(move, event=event, bail_off=bail_off)
    return Standing(move=move, equipment=equipment, bailed_at=bailed_at)


def _event(brake: Brake, before: Standing, move: Move, source: Penalty) -> Interruption:
    """What happens with a move: what is asked for, or what still goes on."""
    if move.event == "penalty" and before.move.event != "penalty":
        if before.move.handle != "suppression" or move.handle != "suppression":
            # It comes while the handle still stands where it was; then the handle moves.
            brake.locomotive.penalty = True
            return "penalty"
        return "penalty" if brake.penalty(source) else "none"
    if move.event != "none":
        return move.event
    if before.move.event == "penalty" and brake.locomotive.penalty:
        handled = (*TAKES_UP_PENALTY, "emergency")
        return "none" if move.handle in handled else "penalty"
    if before.vented and before.move.handle != "emergency":
        return before.move.event
    return "none"


def _open_pipe(brake: Brake, event: Interruption) -> None:
    cars = brake.setup.cars
    if cars and event == "emergency-from-rear":
        brake.emergency("rear")
    elif cars:
        brake.emergency((cars + 1) // 2)
    else:
        state = brake.simulation.state
        size = hole(PIPE_LINE.bore, temperature=state.grid.temperature)
        state.vents.append(Vent(state.grid.cells - 1, size, FOREVER))
        brake.simulation.acted()


def _close_pipe(brake: Brake) -> None:
    """A hose that parted has been coupled again, or the train behind it left."""
    state = brake.simulation.state
    state.vents = [one for one in state.vents if one.seconds_left < FOREVER / 2.0]
    brake.simulation.acted()


def _bail_off(brake: Brake, before: Standing, move: Move) -> tuple[BailOff, float | None]:
    """Press the handle or let it go; what of a bail-off still counts then."""
    if move.bail_off == "held":
        brake.bail_off(True)
        return "held", None
    setting = brake.setup.equipment.brake_pipe_setting
    stands = min(setting, max(0.0, setting - brake.gauge("brake_pipe")))
    if before.move.bail_off == "held":
        brake.bail_off(False)
        # A release recharges the control reservoir: nothing of the bail-off counts after it.
        return ("none", None) if move.handle == "release" else ("released", stands)
    if move.bail_off == "released" and before.move.bail_off == "none":
        brake.bail_off(True)
        brake.simulation.due.append(Due(brake.seconds + PRESSED_FOR, partial(_let_go)))
        brake.simulation.due.sort(key=lambda one: one.seconds)
        return "released", stands
    if before.move.bail_off == "released" and move.handle != "release":
        return "released", before.bailed_at
    return "none", None


def _let_go(_state: State, relays: list[Relay]) -> None:
    lead = relays[0]
    lead.bail_off = "none"  # type: ignore[attr-defined]


def overcharged(brake: Brake) -> float:
    """How far the control reservoir stands over what the pipe can be charged to. [psi]."""
    lead = brake.locomotive
    return max(0.0, brake.gauge("control_reservoir") - (lead.regulated - lead.atmosphere) / PSI)
