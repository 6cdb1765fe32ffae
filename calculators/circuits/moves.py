"""Moves of the handles, and the commands they become one after the other."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from calculators.equipment.locomotive import (
    AtRest,
    BailOff,
    Command,
    CutOff,
    Equipment,
    Handle,
    Vented,
    at_rest,
)
from calculators.equipment.locomotive_time import carried_on

Event = Literal["none", "penalty", "emergency-from-train", "emergency-from-rear"]

_VENTED_BY: dict[Event, Vented] = {"emergency-from-train": "train", "emergency-from-rear": "rear"}
_EVENT_OF: dict[Vented, Event] = {vented: event for event, vented in _VENTED_BY.items()}

# Places of the handle that take up a penalty: from there the brake can be released [S: MUS-26].
TAKES_UP_PENALTY = ("suppression", "handle-off")


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
    event: Event = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A move that has been made: the locomotive set up for it, its command, its rest."""

    move: Move
    equipment: Equipment
    command: Command
    rest: AtRest


def first(equipment: Equipment, move: Move, command: Command | None = None) -> Standing:
    """A state that nothing is known to have come before; ``command`` gives what is known."""
    equipment = replace(equipment, cut_off=move.cut_off)
    made = command or command_of(move)
    return Standing(move=move, equipment=equipment, command=made, rest=at_rest(equipment, made))


def then(before: Standing, move: Move, *, suppression_holds: bool = True) -> Standing:
    """The state that a move leads to from one that has come to rest.

    ``suppression_holds`` says whether the unit's suppression covers what asks for the penalty: set
    before it comes, it then holds it off. One that has begun runs on.
    """
    if suppression_holds and is_held_off(before.move, move):
        move = replace(move, event="none")
    if move.event == "none" and _goes_on(before.move, move):
        move = replace(move, event="penalty")
    equipment = replace(before.equipment, cut_off=move.cut_off)
    command = carried_on(before.equipment, before.command, before.rest, command_of(move), equipment)
    move = replace(move, bail_off=command.bail_off)
    if command.vented != "nowhere":
        move = replace(move, event=_EVENT_OF[command.vented])
    return Standing(
        move=move, equipment=equipment, command=command, rest=at_rest(equipment, command)
    )


def command_of(move: Move) -> Command:
    """The command of a move without its history; a penalty acts as handle off does."""
    takes_over = move.event == "penalty" and move.handle != "emergency"
    return Command(
        handle="handle-off" if takes_over else move.handle,
        reduction=move.reduction,
        earlier_reduction=0.0,
        independent=move.independent,
        bail_off=move.bail_off,
        reduction_at_bail_off=None,
        dynamic_brake=False,
        control_reservoir=None,
        vented=_VENTED_BY.get(move.event, "nowhere"),
    )


def is_held_off(before: Move, move: Move) -> bool:
    """Whether the handle stood in suppression before a penalty came, and still does."""
    suppressed = before.handle == move.handle == "suppression"
    return move.event == "penalty" and before.event != "penalty" and suppressed


def _goes_on(before: Move, move: Move) -> bool:
    """Whether a penalty that has not been taken up keeps on."""
    handled = (*TAKES_UP_PENALTY, "emergency")
    return before.event == "penalty" and before.handle not in handled and move.handle not in handled
