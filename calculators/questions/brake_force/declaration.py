"""The `brake-force` calculator: from the brake cylinder to the force of the shoes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Phrase, Step, Value, psi, say
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.force.rigging import (
    braking_ratio,
    lightest_weight,
    piston_force,
    shoe_force,
    truck_lever_ratio,
)
from calculators.law.records import Citation
from calculators.questions.brake_force.inputs import BrakeForceInputs
from calculators.questions.shared.force_inputs import ESTIMATE, listed, missing_note

NEEDS_MORE = "needs lever ratio and efficiency"


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeForce(Outcome):
    """Forces from the pistons to the shoes, and what they are of the weight."""

    piston_force: Annotated[float, Quantity(term="Force of the pistons", unit="lbf")]
    lever_ratio_used: Annotated[
        float | None, Quantity(term="Lever ratio", unit="", digits=1, blank="not given")
    ]
    shoe_force: Annotated[
        float | None, Quantity(term="Force of all shoes", unit="lbf", blank=NEEDS_MORE)
    ]
    force_per_shoe: Annotated[
        float | None, Quantity(term="Force of one shoe", unit="lbf", blank=NEEDS_MORE)
    ]
    braking_ratio: Annotated[
        float | None,
        Quantity(term="Braking ratio", unit="%", digits=1, blank="needs shoe force and weight"),
    ]
    lightest_weight: Annotated[
        float | None,
        Quantity(
            term="Lightest weight under the highest ratio",
            unit="tons",
            digits=1,
            help="a lighter car is over it",
            blank=NEEDS_MORE,
        ),
    ]


@calculator(
    "brake-force",
    title="Brake force",
    question="How hard do the shoes press, and what is that of the weight?",
    first=FirstScreen(
        figures={
            "shoe_force": "all shoes",
            "force_per_shoe": "one shoe",
            "braking_ratio": "of the weight",
        },
        asked={"": "{brake_cylinder} in {cylinders} of {cylinder_bore}"},
        keys=(
            Key(field="brake_cylinder", step=5, presets=(25, 50, 64, 77)),
            Key(field="lever_ratio", step=0.5),
            Key(field="efficiency", step=5),
            Key(field="weight", step=5),
        ),
        line={"cylinders": "cylinders", "cylinder_bore": "bore", "shoes": "shoes"},
    ),
    sources=(
        Citation("LUDY", "p. 101"),
        Citation("AB13", "p. 73 and p. 294"),
        Citation("AAR-S-400", "table 2.1"),
    ),
    validity=(
        "A piston that has not run out of travel, levers near square to their rods.",
        "Rigging efficiency read on cars at rest: 58 to 85 % (four riggings of 1913).",
    ),
    leaves_out=(
        "The release spring, so a light set gives less than this.",
        "Friction of the shoes: this is how hard they press, not how hard they hold back.",
        "The state of the rigging. A bound lever or a cut-out cylinder gives no force at all.",
    ),
    example={"lever_ratio": "8", "efficiency": "65", "weight": "130"},
    estimate=ESTIMATE,
)
def brake_force(given: BrakeForceInputs) -> BrakeForce:
    """Work out the force of the shoes.

    Returns
    -------
    BrakeForce
        Forces in pounds, ratio in percent; None where a figure is missing.
    """
    piston = piston_force(
        brake_cylinder=given.brake_cylinder,
        cylinder_bore=given.cylinder_bore,
        cylinders=given.cylinders,
    )
    ratio, levers = given.lever_ratio, None
    if ratio is None:
        ratio, levers = _from_levers(
            given.cylinder_lever, given.upper_arm, given.lower_arm, given.beams
        )
    shoe: float | None = None
    if ratio is not None and given.efficiency is not None:
        shoe = shoe_force(piston=piston, lever_ratio=ratio, efficiency=given.efficiency)
    made = (
        None
        if shoe is None or given.weight is None
        else braking_ratio(shoe_force=shoe, weight=given.weight)
    )
    found = _Found(
        piston=piston,
        ratio=ratio,
        levers=levers,
        shoe=shoe,
        made=made,
    )
    return BrakeForce(
        piston_force=piston,
        lever_ratio_used=ratio,
        shoe_force=shoe,
        force_per_shoe=None if shoe is None else shoe / given.shoes,
        braking_ratio=made,
        lightest_weight=(
            None if shoe is None else lightest_weight(shoe_force=shoe, ratio=given.highest_ratio)
        ),
        headline=_headline(given, found),
        working=tuple(_working(given, found)),
        notes=tuple(_notes(given, found)),
    )


def _from_levers(
    cylinder_lever: float | None, upper_arm: float | None, lower_arm: float | None, beams: float
) -> tuple[float | None, Phrase | None]:
    """The lever ratio with its working; nothing while a lever is missing."""
    if cylinder_lever is None or upper_arm is None or lower_arm is None:
        return None, None
    ratio = truck_lever_ratio(
        cylinder_lever=cylinder_lever, upper_arm=upper_arm, lower_arm=lower_arm, beams=beams
    )
    how = say(
        "{beams} beams × {pull} × (1 + {upper} / {lower})",
        beams=Value(beams, ""),
        pull=Value(cylinder_lever, "", 2),
        upper=Value(upper_arm, "in", 1),
        lower=Value(lower_arm, "in", 1),
    )
    return ratio, how


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    piston: float
    ratio: float | None
    levers: Phrase | None
    shoe: float | None
    made: float | None


def _headline(given: BrakeForceInputs, found: _Found) -> Phrase:
    if found.shoe is None:
        return say(
            "{air} pushes with {piston} at the pistons.",
            air=psi(given.brake_cylinder),
            piston=Value(found.piston, "lbf"),
        )
    if found.made is None:
        return say(
            "{air} presses the shoes with {force} in all.",
            air=psi(given.brake_cylinder),
            force=Value(found.shoe, "lbf"),
        )
    return say(
        "{air} presses the shoes with {force} in all, {ratio} of the weight.",
        air=psi(given.brake_cylinder),
        force=Value(found.shoe, "lbf"),
        ratio=Value(found.made, "%", 1),
    )


def _working(given: BrakeForceInputs, found: _Found) -> Iterator[Step]:
    yield Step(
        label="Force of the pistons",
        shows="piston_force",
        how=say(
            "{cylinders} × π/4 × {bore}² × {air}",
            cylinders=Value(given.cylinders, ""),
            bore=Value(given.cylinder_bore, "in", 1),
            air=psi(given.brake_cylinder),
        ),
        value=Value(found.piston, "lbf"),
    )
    if found.ratio is None:
        return
    if found.levers is not None:
        yield Step(label="Lever ratio", how=found.levers, value=Value(found.ratio, "", 1))
    if found.shoe is None or given.efficiency is None:
        return
    yield Step(
        label="Force of all shoes",
        shows="shoe_force",
        how=say(
            "{piston} × {ratio} × {efficiency}",
            piston=Value(found.piston, "lbf"),
            ratio=Value(found.ratio, "", 1),
            efficiency=Value(given.efficiency, "%"),
        ),
        value=Value(found.shoe, "lbf"),
        decides=given.weight is None,
    )
    yield Step(
        label="Force of one shoe",
        shows="force_per_shoe",
        how=say("{force} / {shoes}", force=Value(found.shoe, "lbf"), shoes=Value(given.shoes, "")),
        value=Value(found.shoe / given.shoes, "lbf"),
    )
    if found.made is not None and given.weight is not None:
        yield Step(
            label="Braking ratio",
            shows="braking_ratio",
            how=say(
                "{force} / ({weight} × 2,000)",
                force=Value(found.shoe, "lbf"),
                weight=Value(given.weight, "tons", 1),
            ),
            value=Value(found.made, "%", 1),
            decides=True,
        )


def _notes(given: BrakeForceInputs, found: _Found) -> Iterator[Note]:
    missing = []
    if found.ratio is None:
        missing.append("the lever ratio (or the levers)")
    if given.efficiency is None:
        missing.append("the efficiency of the rigging")
    if missing:
        yield missing_note(tuple(missing), "shoe force")
    elif given.weight is None:
        yield Note(
            text=say("No braking ratio without {missing}.", missing=listed(("the weight braked",)))
        )
    if found.made is not None and found.made > given.highest_ratio:
        yield Note(
            text=say(
                "{made} is over the highest ratio given, {highest}: the wheels are more likely to "
                "slide, and a sliding wheel holds back far less than a braked one that turns.",
                made=Value(found.made, "%", 1),
                highest=Value(given.highest_ratio, "%"),
            ),
            kind="warning",
        )
    yield Note(
        text=say(
            "The same shoe force is a smaller ratio on a loaded car. That is why a loaded train "
            "stops later than an empty one with the same air in its cylinders."
        )
    )
