"""What to know of the state that a move starts from: overcharge, dynamic brake, a wrong set-up."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Note, psi, say
from calculators.circuits.asking import AskedCircuit
from calculators.circuits.catalog import find_circuit
from calculators.circuits.story import Story
from calculators.equipment.train.consist import SETTINGS

OVER = 1.0
"""A control reservoir so far over the setting is overcharged. [psi]"""
HOLDS = 2.5
"""Less than this in pipe 16 moves no piston. [psi]"""


def set_up_notes(asked: AskedCircuit, story: Story) -> Iterator[Note]:
    """Notes on what the move started from, and what is left of it."""
    yield from _overcharge(story)
    yield from _no_room(asked, story)
    yield from _dynamic(story)
    if asked.wrong == "trailing-cut-in" and story.setup.cars:
        yield Note(
            kind="warning",
            text=say(
                "A second brake valve is cut in behind and holds the pipe at {setting}: it feeds what "
                "the lead takes off, so a set is less than asked for, or comes off. One brake valve "
                "only is cut in.",
                setting=psi(story.now.equipment.brake_pipe_setting),
            ),
        )
    if asked.wrong == "not-drained" and story.now.equipment.unit == "dead":
        yield Note(
            kind="warning",
            text=say(
                "The main reservoir of this dead unit was not let down: its cylinders can get more "
                "than the dead-engine device would give, until that air is used up."
            ),
        )


def _overcharge(story: Story) -> Iterator[Note]:
    first = story.run.samples[0]
    setting = story.now.equipment.brake_pipe_setting
    before = first.pressure("control_reservoir") - setting
    if before > OVER:
        yield from _on_the_locomotive(story, before)
    else:
        yield from _on_the_cars_only(story, setting)
    cars, most = story.run.end.cars_applied, psi(story.run.end.highest_cylinder)
    if cars and story.now.move.handle == "release" and not story.cut_short:
        yield Note(
            kind="warning",
            text=say("One car has not let go at the end: its cylinder holds {most}.", most=most)
            if cars == 1
            else say(
                "{cars} cars have not let go at the end: cylinders up to {most}.",
                cars=cars,
                most=most,
            ),
        )


def _no_room(asked: AskedCircuit, story: Story) -> Iterator[Note]:
    """Where the setting is as high as pressures are followed, nothing can stand above it."""
    charged = story.setup.starting_pressure
    if not find_circuit(asked.circuit).overcharge or charged is None:
        return
    if charged - story.now.equipment.brake_pipe_setting < OVER:
        yield Note(
            kind="warning",
            text=say(
                "Nothing is overcharged here: pressures are followed up to {most}, and the setting "
                "leaves no room below it.",
                most=psi(min(SETTINGS[1], story.now.equipment.main_reservoir)),
            ),
        )


def _on_the_cars_only(story: Story, setting: float) -> Iterator[Note]:
    """The locomotive has been freed; what the cars hold still counts from what is in them."""
    charged = story.setup.starting_pressure
    if charged is None or charged <= setting + OVER or not story.run.end.cars_applied:
        return
    yield Note(
        kind="warning",
        text=say(
            "The cars had been charged to {charged}, and a bail-off does not reach them: what is "
            "taken off counts from there on every car. Their cylinders come to {most}; the "
            "locomotive's gauge does not show it.",
            charged=psi(charged),
            most=psi(story.run.end.highest_cylinder),
        ),
    )


def _on_the_locomotive(story: Story, before: float) -> Iterator[Note]:
    last, setting = story.run.samples[-1], story.now.equipment.brake_pipe_setting
    yield Note(
        kind="warning",
        text=say(
            "Overcharged by {over} before the move: what is taken off counts from there, on this "
            "locomotive and on every car for itself. A bail-off frees the locomotive only. The "
            "regulating valve is never a way to brake or to let an overcharge down "
            "(49 CFR 232.105(e)); how a train gets rid of one is the railroad's rule, with the train "
            "held. The cars' cylinders come to {most}.",
            over=psi(before),
            most=psi(story.run.end.highest_cylinder),
        ),
    )
    left = last.pressure("control_reservoir") - setting
    if left > OVER and last.pressure("pipe_16") >= HOLDS:
        yield Note(
            kind="warning",
            text=say(
                "The overcharge still holds the brake on this locomotive: its control reservoir is "
                "{left} over what the pipe can come to. How a direct-release valve meets that is from "
                "memory.",
                left=psi(left),
            ),
        )


def _dynamic(story: Story) -> Iterator[Note]:
    if story.now.move.dynamic == "on":
        yield Note(
            text=say(
                "The dynamic brake holds the automatic application off this locomotive; the cars stay "
                "applied. When the dynamic ends, what the control valve asks for comes on here."
            )
        )
    elif story.before is not None and story.before.move.dynamic == "on":
        yield Note(
            text=say(
                "The dynamic has ended: the control valve asks for the application that stands, and "
                "the locomotive's brake comes on unless it is bailed off."
            )
        )
