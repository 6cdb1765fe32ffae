"""The `circuit` calculator: a move of the handles followed until everything rests."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Words
from calculators.base.results import Display
from calculators.circuits.asking import story_of
from calculators.circuits.story import Told, moving_words
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.law.records import Citation
from calculators.questions.circuit.asked import asked_of
from calculators.questions.circuit.inputs import CircuitInputs
from calculators.questions.circuit.pictures import curves
from calculators.questions.circuit.set_up import set_up_notes
from calculators.questions.circuit.words import headline, notes, step_of, suppression_notes


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitState(Told):
    """Every pressure of the locomotive at a moment of a move, and what still moves."""

    equalizing_reservoir: Annotated[float, Quantity(term="Equalizing reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe, at the head", unit="psi")]
    rear_brake_pipe: Annotated[
        float | None, Quantity(term="Brake pipe, at the rear", unit="psi", help="of a train")
    ]
    control_reservoir: Annotated[float, Quantity(term="Control reservoir", unit="psi")]
    pipe_16: Annotated[float, Quantity(term="Pipe 16 (control valve to relay valve)", unit="psi")]
    pipe_20: Annotated[float, Quantity(term="Pipe 20 (independent brake)", unit="psi")]
    brake_cylinder: Annotated[float, Quantity(term="Locomotive brake cylinder", unit="psi")]
    supply: Annotated[float, Quantity(term="Main reservoir", unit="psi")]
    first_to_move: Annotated[str, Words(term="First to move")]
    still_moving: Annotated[str, Words(term="At this moment")]
    rest_after: Annotated[
        float | None, Quantity(term="All at rest after", unit="s", help="an estimate")
    ]
    rest_after_minutes: Annotated[
        float | None, Quantity(term="The same in minutes", unit="min", digits=1)
    ]


@calculator(
    "circuit",
    title="Circuit",
    question="A handle moves: what moves first and why, what do the gauges show, and when is it still?",
    first=FirstScreen(
        figures={
            "brake_pipe": "brake pipe",
            "brake_cylinder": "locomotive cylinder",
            "rest_after": "still after",
        },
        asked={"": "{circuit}"},
        keys=(Key(field="circuit"), Key(field="handle"), Key(field="reduction")),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("ARMY-223", "pp. 2-7, 4-78"),
        Citation("ARMY-224", "p. 2-8"),
        Citation("ARRC-96", "glossary; pages 63-6, 64"),
        Citation("MUS-26", "handle positions"),
        Citation("RLE", "equalizing reservoir through a service choke"),
    ),
    validity=(
        "One move at a time, from rest to rest: the next move starts when the one before has come to rest.",
        "The locomotive and the train's brake pipe are followed together, car by car; the state alone "
        "decides. The pressures at rest come within a psi of those of the locomotive brake calculator.",
        "At rest means: head and rear within half a psi of where they end, leakage included; every "
        "released car's reservoirs within a psi of their pipe; the exhaust shut.",
        "Times are estimates: no hole of these valves was found in a drawing. The equalizing reservoir "
        "follows published times, the rest is nominal.",
    ),
    leaves_out=(
        "The volume a piston leaves behind: cylinders are taken with the piston out.",
        "What a part-way rise of the pipe does to a direct-release valve near its overshoot: whether it "
        "lets all go or takes hold again is not known.",
    ),
    estimate="The pressures at rest are worked out; the times on the way there are estimates for learning.",
)
def circuit(given: CircuitInputs) -> CircuitState:
    """Follow a move of the handles from rest to rest.

    Returns
    -------
    CircuitState
        Pressures at the moment in psi, the steps as working, curves.

    Raises
    ------
    InputError
        If a reduction is more than the setting, or the circuit has no such move.
    """
    asked = asked_of(given)
    story = story_of(asked)
    if given.moment is not None:
        story = story.showing(given.moment)
    frame = story.frame_at(given.moment) if given.moment is not None else story.frames[-1]
    pressures, rest = frame.moment.pressures, story.run.rest_after
    return CircuitState(
        equalizing_reservoir=pressures["equalizing_reservoir"],
        brake_pipe=pressures["brake_pipe"],
        rear_brake_pipe=pressures.get("rear"),
        control_reservoir=pressures["control_reservoir"],
        pipe_16=pressures["pipe_16"],
        pipe_20=pressures["pipe_20"],
        brake_cylinder=pressures["brake_cylinder"],
        supply=pressures["main_reservoir"],
        first_to_move=story.events[0].what if story.events else "nothing",
        still_moving=moving_words(story, frame).text(Display()),
        rest_after=rest,
        rest_after_minutes=None if rest is None else rest / 60.0,
        story=story,
        headline=headline(story, frame),
        working=tuple(step_of(event) for event in story.events),
        notes=(
            *suppression_notes(asked, story),
            *set_up_notes(asked, story),
            *notes(story, needs=given.emergency_needs),
        ),
        series=tuple(curves(story)),
    )
