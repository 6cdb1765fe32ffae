"""From the inputs of a question to the story: which circuit, which move, from which state."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from calculators.base.errors import InputError
from calculators.base.results import Display, plain
from calculators.base.units import convert
from calculators.circuits.catalog import Circuit, find_circuit
from calculators.circuits.moves import Move, Standing, command_of, first, then
from calculators.circuits.story import Story, tell
from calculators.equipment.locomotive import Equipment
from calculators.equipment.locomotive_time import Setup

# Decimals of a handle's place in a unit of the user's: finer than any gauge.
_DECIMALS = {"kPa": 2, "bar": 4}

AS_SHOWN = "as-shown"
"""The word of a choice that leaves it to the circuit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handles:
    """Places of the handles as given; None or ``AS_SHOWN`` leaves one to the circuit."""

    handle: str = AS_SHOWN
    reduction: float | None = None
    independent: float | None = None
    bail_off: str = AS_SHOWN
    cut_off: str = AS_SHOWN
    event: str = AS_SHOWN

    def over(self, move: Move) -> Move:
        """The move with what was given in its place."""
        given: dict[str, object] = {
            name: value
            for name in ("handle", "reduction", "independent", "bail_off", "cut_off", "event")
            if (value := getattr(self, name)) not in (AS_SHOWN, None)
        }
        return replace(move, **given)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question about a circuit.

    ``start`` is given where the question starts from a state of its own and not from the
    circuit's; ``earlier_reduction`` and ``reduction_at_bail_off`` belong to that state.
    ``leakage`` None is the circuit's own. ``suppression_holds`` says whether this unit's suppression
    covers what asks for the penalty.
    """

    circuit: str
    stage: int
    handles: Handles
    start: Handles
    earlier_reduction: float | None
    reduction_at_bail_off: float | None
    leakage: float | None
    setup: Setup
    suppression_holds: bool = True


@lru_cache(maxsize=16)
def story_of(asked: Asked) -> Story:
    """Follow what was asked; the same question is followed once.

    Raises
    ------
    InputError
        If the circuit has no such stage, or a reduction is more than the setting.
    """
    circuit = find_circuit(asked.circuit)
    if not 1 <= asked.stage <= len(circuit.stages):
        raise InputError(
            "stage",
            f"Move of the circuit is {asked.stage}; {circuit.title.lower()} has {len(circuit.stages)}.",
        )
    leakage = circuit.leakage if asked.leakage is None else asked.leakage
    setup = replace(asked.setup, leakage=leakage)
    equipment = replace(setup.equipment, unit=circuit.unit)
    before = _before(circuit, asked, equipment)
    shown = circuit.stages[asked.stage - 1].move
    if asked.start.handle != AS_SHOWN:
        # From a state of the question's own, a handle that is not given stays where it was.
        shown = replace(before.move, event="none") if before is not None else shown
    move = asked.handles.over(shown)
    _refuse_too_much("reduction", move, equipment)
    now = (
        _from_empty(equipment, move)
        if before is None
        else then(before, move, suppression_holds=asked.suppression_holds)
    )
    return tell(replace(setup, equipment=now.equipment), before, now)


def _before(circuit: Circuit, asked: Asked, equipment: Equipment) -> Standing | None:
    """The state the move starts from; None is an empty brake."""
    if asked.start.handle != AS_SHOWN:
        move = asked.start.over(Move())
        _refuse_too_much("from_reduction", move, equipment)
        command = replace(
            command_of(move),
            earlier_reduction=min(asked.earlier_reduction or 0.0, equipment.brake_pipe_setting),
            reduction_at_bail_off=asked.reduction_at_bail_off,
        )
        return first(equipment, move, command)
    if circuit.from_empty and asked.stage == 1:
        return None
    standing = first(equipment, circuit.start)
    for stage in circuit.stages[: asked.stage - 1]:
        standing = then(standing, stage.move)
    return standing


def _from_empty(equipment: Equipment, move: Move) -> Standing:
    """A move made on a brake that holds no air: it stands as if all had been taken off."""
    command = replace(command_of(move), earlier_reduction=equipment.brake_pipe_setting)
    return first(equipment, move, command)


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
    }


def carried_on(story: Story, display: Display) -> dict[str, str]:
    """Entries that start the next move where this one comes to rest, as texts by field."""
    command = story.now.command
    stands = handles_of(story, display)
    at = command.reduction_at_bail_off
    return {
        **{f"from_{name}": text for name, text in stands.items()},
        "earlier_reduction": _typed(command.earlier_reduction, display),
        "reduction_at_bail_off": "" if at is None else _typed(at, display),
        **stands,
        "event": "none",
    }


def _typed(pressure: float, display: Display) -> str:
    """A pressure as a person would type it, its unit with it unless that is psi."""
    unit = display.pressure
    if unit == "psi":
        return plain(pressure)
    return f"{plain(round(convert(pressure, 'psi', unit), _DECIMALS[unit]))} {unit}"
