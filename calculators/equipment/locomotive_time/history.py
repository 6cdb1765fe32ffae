"""What one move leaves behind for the next: the set so far, a bail-off, a vented pipe."""

from __future__ import annotations

from dataclasses import replace

from calculators.equipment.locomotive import (
    AtRest,
    Command,
    Equipment,
    Vented,
    asked_reduction,
)


def carried_on(
    equipment: Equipment, before: Command, rest: AtRest, wanted: Command, now: Equipment
) -> Command:
    """The next command with what is known of the moves before it.

    Parameters
    ----------
    equipment, before, rest
        The locomotive as it was set up, the command that has come to rest, and that rest.
    wanted
        What the handles ask for now; its history is filled in here.
    now
        The locomotive as it is set up for this move: the cut-off may have been turned.

    Returns
    -------
    Command
        With ``earlier_reduction`` (the deepest set since the last release), the bail-off and its
        ``reduction_at_bail_off``, and ``vented`` (a pipe that an emergency from the train has
        emptied takes no air again before the handle has been to emergency).
    """
    wanted = replace(
        wanted,
        vented=_vented(before, wanted),
        earlier_reduction=_earlier(equipment, before, rest, wanted, now),
    )
    return _bailed(now, before, rest, _not_raised(now, rest, wanted))


def _vented(before: Command, wanted: Command) -> Vented:
    if before.vented != "nowhere" and before.handle != "emergency":
        return before.vented
    return wanted.vented


def _earlier(
    equipment: Equipment, before: Command, rest: AtRest, wanted: Command, now: Equipment
) -> float:
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    off = max(0.0, charged - rest.brake_pipe)
    if rest.train_released and equipment.release_type == "direct":
        # A rise has released the brake: it stays released until more is taken off than stands.
        return before.earlier_reduction if asked_reduction(now, wanted) <= off else 0.0
    return off


def _not_raised(now: Equipment, rest: AtRest, wanted: Command) -> Command:
    """Cut out, the equalizing reservoir went its own way; only release brings it up again."""
    if now.unit != "lead" or now.cut_off == "passenger" or wanted.handle == "release":
        return wanted
    stands = now.brake_pipe_setting - rest.equalizing_reservoir
    if max(asked_reduction(now, wanted), wanted.earlier_reduction) >= stands:
        return wanted
    return replace(wanted, handle="service", reduction=stands)


def _bailed(now: Equipment, before: Command, rest: AtRest, wanted: Command) -> Command:
    at = max(0.0, now.brake_pipe_setting - rest.brake_pipe)
    if wanted.bail_off == "held":
        return replace(wanted, reduction_at_bail_off=None)
    if before.bail_off == "held" or (wanted.bail_off == "released" and before.bail_off == "none"):
        return replace(wanted, bail_off="released", reduction_at_bail_off=at)
    if before.bail_off == "released" and wanted.handle != "release":
        kept = before.reduction_at_bail_off
        return replace(wanted, bail_off="released", reduction_at_bail_off=kept)
    return replace(wanted, bail_off="none", reduction_at_bail_off=None)
