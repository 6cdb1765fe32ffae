"""The `hand-brakes` calculator: how many hand brakes the pull of a grade asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Reading,
    Series,
    Step,
    Value,
    say,
)
from calculators.base.units import POUNDS_PER_TON
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.force.holding import grade_force, hand_brakes_needed
from calculators.figures.thresholds import RAIL_LOWEST
from calculators.law.records import Citation
from calculators.questions.hand_brakes.inputs import HandBrakesInputs
from calculators.questions.shared.force_inputs import check_weight

CURVE_STEPS = 15
CURVE_STEP = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBrakes(Outcome):
    """The pull and the hand brakes that would cover it with the margin."""

    number: Annotated[
        float | None,
        Quantity(
            term="Hand brakes that cover it",
            unit="",
            help="never rounded down",
            blank="needs what one holds",
        ),
    ]
    grade_force: Annotated[float, Quantity(term="Pull of the grade", unit="lbf")]
    force_with_margin: Annotated[float, Quantity(term="With the margin", unit="lbf")]


@calculator(
    "hand-brakes",
    title="Hand brakes",
    question="How many hand brakes does the pull of this grade ask for?",
    first=FirstScreen(
        figures={
            "number": "hand brakes",
            "grade_force": "the grade pulls",
            "force_with_margin": "with the margin",
        },
        asked={"": "{weight} on {grade}, each holds {holding_force}"},
        keys=(
            Key(field="weight", step=100),
            Key(field="grade", step=0.1, presets=(0.5, 0.8, 1, 1.5, 2)),
            Key(field="holding_force", step=100),
        ),
        line={"cars": "cars", "margin": "margin"},
    ),
    sources=(
        Citation("CFR-232-103", "(n)"),
        Citation("LECTURE", "train resistance, grade and curve"),
        Citation("FRA-2022-02"),
        Citation("AB13", "p. 154"),
    ),
    validity=(
        "Equipment at rest on one even grade; every hand brake set to the force given.",
        "Train resistance is not counted: it cannot be relied on to hold anything.",
    ),
    leaves_out=(
        "What your hand brakes really hold: worn chains, wet or icy shoes, a tired arm.",
        "Wind, a push from other equipment, and slack that runs in or out.",
        "The air brake. It leaks off in minutes or hours and is never securement.",
    ),
    example={"holding_force": "4600"},
    estimate=(
        "An estimate for learning. Your railroad's chart and rules decide how many hand brakes are "
        "set. Nothing is secured until it has been proved with the air brakes released."
    ),
    judges=("hand-brakes-unattended",),
)
def hand_brakes(given: HandBrakesInputs) -> HandBrakes:
    """Work out how many hand brakes cover the pull of a grade.

    Returns
    -------
    HandBrakes
        A whole number, never rounded down and never under one; None without a holding force.

    Raises
    ------
    InputError
        If weight and cars do not fit.
    """
    check_weight(weight=given.weight, cars=given.cars)
    pull = grade_force(weight=given.weight, grade=given.grade)
    wanted = pull * (1.0 + given.margin / 100.0)
    number = (
        None
        if given.holding_force is None
        else hand_brakes_needed(pull=pull, holding_force=given.holding_force, margin=given.margin)
    )
    return HandBrakes(
        number=None if number is None else float(number),
        grade_force=pull,
        force_with_margin=wanted,
        headline=_headline(pull, number),
        working=tuple(
            _working(
                given.weight, given.grade, pull, given.margin, wanted, given.holding_force, number
            )
        ),
        notes=tuple(_notes(given.weight, given.cars, given.holding_force, number)),
        readings=(Reading(limit="hand-brakes-unattended", value=None),),
        series=()
        if given.holding_force is None
        else (_curve(given.weight, given.holding_force, given.margin),),
    )


def _headline(pull: float, number: int | None) -> Phrase:
    if number is None:
        return say(
            "The grade pulls with {pull}; how many hand brakes that takes hangs on what one holds.",
            pull=Value(pull, "lbf"),
        )
    if number == 1:
        return say(
            "{number} hand brake by this sum, and never fewer than one; your railroad's chart decides.",
            number=Value(1, ""),
        )
    return say(
        "{number} hand brakes by this sum; your railroad's chart decides.", number=Value(number, "")
    )


def _working(
    weight: float,
    grade: float,
    pull: float,
    margin: float,
    wanted: float,
    holding_force: float | None,
    number: int | None,
) -> Iterator[Step]:
    yield Step(
        label="Pull of the grade",
        shows="grade_force",
        how=say(
            "20 × {weight} × {grade}", weight=Value(weight, "tons"), grade=Value(grade, "%", 2)
        ),
        value=Value(pull, "lbf"),
    )
    yield Step(
        label="With the margin",
        shows="force_with_margin",
        how=say("{pull} and {margin} more", pull=Value(pull, "lbf"), margin=Value(margin, "%")),
        value=Value(wanted, "lbf"),
    )
    if holding_force is not None and number is not None:
        yield Step(
            label="Hand brakes",
            shows="number",
            how=say(
                "{wanted} / {each} = {quotient}, a part counts as a whole one, and at least one",
                wanted=Value(wanted, "lbf"),
                each=Value(holding_force, "lbf"),
                quotient=Value(wanted / holding_force, "", 2),
            ),
            value=Value(number, ""),
            decides=True,
        )


def _notes(
    weight: float, cars: float, holding_force: float | None, number: int | None
) -> Iterator[Note]:
    yield Note(
        text=say(
            "This sum secures nothing. Set what your railroad's chart and rules ask, at least one, "
            "then prove it: release the air brakes and see that the equipment stays where it is. If "
            "it moves, stop it, set more, prove it again (49 CFR 232.103(n))."
        ),
        kind="warning",
    )
    yield Note(
        text=say(
            "The air brake is not securement. In one case a train of 7,392 tons held by about "
            "{reduction} off rolled away after about three hours (FRA Safety Advisory 2022-02).",
            reduction=Value(12, "psi"),
        ),
        kind="warning",
    )
    if holding_force is None or number is None:
        yield Note(
            text=say(
                "No number without what one hand brake holds: no text gives it for your cars, so none "
                "is assumed here."
            ),
            kind="warning",
        )
        return
    if number > cars:
        yield Note(
            text=say(
                "That is more than the {cars} cars have. By these figures their hand brakes alone do "
                "not hold this weight on this grade: it must not be left there on them.",
                cars=Value(cars, ""),
            ),
            kind="warning",
        )
    lightest = RAIL_LOWEST.value * weight * POUNDS_PER_TON / cars
    if holding_force > lightest:
        yield Note(
            text=say(
                "{force} is more than a wheel that slides may find on a bad rail under an average car "
                "here ({share} of its weight, {rail}): the wheels may lock and slide instead.",
                force=Value(holding_force, "lbf"),
                share=Value(100 * RAIL_LOWEST.value, "%"),
                rail=Value(lightest, "lbf"),
            ),
            kind="warning",
        )


def _curve(weight: float, holding_force: float, margin: float) -> Series:
    def needed(grade: float) -> float:
        pull = grade_force(weight=weight, grade=grade)
        return float(hand_brakes_needed(pull=pull, holding_force=holding_force, margin=margin))

    grades = [round(CURVE_STEP * step, 1) for step in range(CURVE_STEPS + 1)]
    return Series(
        title="Hand brakes against grade, by this sum",
        x=Axis(term="Grade", unit="%", digits=1),
        y=Axis(term="Hand brakes", unit=""),
        lines=(
            Line(
                name="cover the pull with the margin",
                points=tuple((grade, needed(grade)) for grade in grades),
                color="brake_cylinder",
            ),
        ),
    )
