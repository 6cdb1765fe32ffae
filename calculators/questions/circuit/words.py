"""A move in words: the headline, its steps, what to know beside them."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Note, Phrase, Step, psi, say
from calculators.circuits.asking import AskedCircuit
from calculators.circuits.moves import asked_off
from calculators.circuits.story import Frame, Story, StoryStep
from calculators.circuits.words import seconds
from calculators.equipment import car
from calculators.questions.shared.low_emergency import how_known, is_low

RISEN = 1.0
"""A rise of the brake pipe that a release makes. [psi]"""


def headline(story: Story, frame: Frame) -> Phrase:
    """The picture in one sentence: when, what the gauges show, what still moves."""
    pressures = frame.moment.pressures
    gauges = {"pipe": psi(pressures["brake_pipe"]), "cylinder": psi(pressures["brake_cylinder"])}
    if frame.first and not frame.last:
        return say("Before the move: brake pipe {pipe}, locomotive cylinder {cylinder}.", **gauges)
    if not story.events:
        return say("Nothing moves: brake pipe {pipe}, locomotive cylinder {cylinder}.", **gauges)
    rest = story.run.rest_after
    if frame.last and rest is not None:
        return say(
            "At rest after {after}: brake pipe {pipe}, locomotive cylinder {cylinder}.",
            after=seconds(rest),
            **gauges,
        )
    return say(
        "After {after}: brake pipe {pipe}, locomotive cylinder {cylinder}.",
        after=seconds(frame.moment.seconds),
        **gauges,
    )


def step_of(event: StoryStep) -> Step:
    """One thing that moves, when and why."""
    why = Phrase("{at}. " + event.why.template, {"at": seconds(event.seconds), **event.why.parts})
    return Step(label=event.what, how=why, value=event.value)


def notes(story: Story, *, needs: float) -> Iterator[Note]:
    """What to know and what to beware of beside the figures of a move.

    ``needs`` is the brake pipe below which an emergency is not counted on. [psi]
    """
    yield from _train_notes(story, needs)
    move, equipment = story.now.move, story.now.equipment
    if move.bail_off == "held" and equipment.unit != "dead":
        yield Note(text=say("Bail-off acts on the locomotive only: the cars stay as they are."))
    lead_out = equipment.cut_off == "out" and equipment.unit == "lead"
    if lead_out and move.handle not in ("emergency", "handle-off"):
        yield Note(
            kind="warning",
            text=say(
                "Cut OUT on the unit in control: the equalizing reservoir follows the handle, the "
                "train does not. Before cutting in again take the equalizing reservoir a little "
                "under the brake pipe: above it the valve feeds the pipe and brakes may let go."
            ),
        )
    if equipment.cut_off == "passenger" and equipment.unit == "lead":
        yield Note(
            kind="warning",
            text=say(
                "With the cut-off in passenger the brake pipe rises with the handle: cars with direct "
                "release can let the whole train go on the first move back."
            ),
        )
    if not story.events:
        yield Note(text=say("This move opens no valve that passes air: every gauge stays."))
    yield from why_nothing_moves(story)


def why_nothing_moves(story: Story) -> Iterator[Note]:
    """What keeps the brake from doing what the handle asks, and the way out."""
    move, end = story.now.move, story.run.end
    if end.charging_cut_off and not end.acknowledged:
        yield Note(
            kind="warning",
            text=say(
                "The emergency from the train has not been reset: pipe 53 keeps the brake valve from "
                "feeding the pipe. The handle goes to emergency, and once the pipe is closed and the "
                "vent valves have shut, back to release."
            ),
        )
    elif end.penalty and move.handle not in ("suppression", "handle-off", "emergency"):
        yield Note(
            kind="warning",
            text=say(
                "The penalty has not been recovered: it keeps the equalizing reservoir down wherever "
                "the handle is. Put the handle in suppression and leave it there until it has run out; "
                "then release."
            ),
        )
    elif not story.events and move.handle != "release" and _asks_for_more(story):
        yield Note(
            text=say(
                "With the cut-off in freight the equalizing reservoir rises only in release: a handle "
                "moved part of the way back changes nothing."
            )
        )


LESS = 1.0
"""A difference that a handle is moved for. [psi]"""


def asked_for(story: Story) -> float:
    """Where the handle's place would have the equalizing reservoir. [psi]."""
    equipment = story.now.equipment
    return equipment.brake_pipe_setting - asked_off(equipment, story.now.move)


def _asks_for_more(story: Story) -> bool:
    stands = story.run.samples[-1].pressure("equalizing_reservoir")
    return story.now.equipment.unit == "lead" and asked_for(story) > stands + LESS


def suppression_notes(asked: AskedCircuit, story: Story) -> Iterator[Note]:
    """What becomes of a penalty that comes while the handle stands in suppression."""
    before, now = story.before, story.now.move
    if before is None or before.move.handle != "suppression" or now.handle != "suppression":
        return
    if asked.handles.event == "penalty" and now.event == "none":
        yield Note(
            text=say(
                "Suppression stood before the penalty came and covers what asks for it: it holds "
                "the penalty off. What a unit's suppression covers is its own setting; pedal and "
                "overspeed are from memory."
            )
        )
    elif now.event == "penalty" and before.move.event != "penalty":
        yield Note(
            kind="warning",
            text=say(
                "This suppression does not cover what asks for the penalty: the brake pipe goes "
                "down to zero all the same."
            ),
        )


def _train_notes(story: Story, needs: float) -> Iterator[Note]:
    move, end = story.now.move, story.run.samples[-1].pressure("brake_pipe")
    low = is_low(end, needs)
    by_service = move.handle != "emergency" and not story.now.vented
    if low and by_service:
        yield Note(
            kind="warning",
            text=say(
                "With the brake pipe under about {least} an emergency is not assured on the cars "
                "({known}): secure first.",
                least=psi(needs),
                known=how_known(needs),
            ),
        )
    before = story.run.samples[0].pressure("brake_pipe")
    if end > before + RISEN and story.setup.cars:
        yield Note(
            kind="warning",
            text=say(
                "The head is up long before the rear: until the cars have recharged, a new set is "
                "worth less than it reads, and full service and emergency hold less."
            ),
        )
    charged = min(story.now.equipment.brake_pipe_setting, story.now.equipment.main_reservoir)
    off = charged - end
    sets = move.handle in ("service", "minimum-reduction", "suppression")
    if sets and story.run.end.cars_applied and story.setup.starting_pressure is None:
        yield Note(
            text=say(
                "For the same {off} a nominal car's cylinder comes to about {car}; for your own see the car brake.",
                off=psi(off),
                car=psi(car.service_pressure(charged=charged, reduction=off)),
            )
        )
