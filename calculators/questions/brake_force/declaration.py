"""The `brake-force` calculator: from the brake cylinder to the force of the shoes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Quantity, Typical
from calculators.base.results import Note, Outcome, Phrase, Step, Value, psi, say
from calculators.declaring.registry import calculator
from calculators.equipment.force.rigging import (
    braking_ratio,
    lightest_weight,
    piston_force,
    shoe_force,
    truck_lever_ratio,
)
from calculators.law.records import Citation
from calculators.questions.shared.force_inputs import ESTIMATE, listed, missing_note

NEEDS_MORE = "needs lever ratio and efficiency"
THE_LEVERS = "From the levers, if the ratio is not known"
THE_WEIGHT = "Against the weight"

# An old rule kept the shoes under this share of the light weight [S: LUDY p. 101].
HIGHEST_LIGHT_RATIO = 70.0


def _arm(term: str, help: str) -> Quantity:
    return Quantity(
        term=term,
        unit="in",
        low=0.5,
        high=100,
        digits=1,
        help=help,
        group=THE_LEVERS,
        blank="not given",
    )


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
    sources=(
        Citation("LUDY", "p. 101"),
        Citation("AB13", "p. 73 and p. 294"),
        Citation("AAR-S-400", "table 2.1"),
    ),
    validity=(
        "A piston that has not run out of travel, levers near square to their rods.",
        "Rigging efficiency read on standing cars: 58 to 85 % (four riggings of 1913).",
    ),
    leaves_out=(
        "The release spring, so a light set gives less than this.",
        "Friction of the shoes: this is how hard they press, not how hard they hold back.",
        "The state of the rigging. A bound lever or a cut-out cylinder gives no force at all.",
    ),
    example={"lever_ratio": "8", "efficiency": "65", "weight": "130"},
    estimate=ESTIMATE,
)
def brake_force(
    *,
    brake_cylinder: Annotated[
        float,
        Quantity(
            term="Brake cylinder",
            unit="psi",
            low=0,
            high=150,
            help="64 is a car's full service from 90 psi by its volumes.",
        ),
    ] = 64.0,
    cylinders: Annotated[
        float, Quantity(term="Cylinders", unit="", low=1, high=12, whole=True)
    ] = 1.0,
    cylinder_bore: Annotated[
        float,
        Quantity(
            term="Cylinder bore",
            unit="in",
            low=4,
            high=20,
            digits=1,
            help="10 in, or 8 1/2 in, on freight cars.",
            mark="S",
        ),
    ] = 10.0,
    lever_ratio: Annotated[
        float | None,
        Quantity(
            term="Lever ratio",
            unit="",
            low=0.5,
            high=40,
            digits=1,
            help="Force of all shoes over the push of one piston, without losses.",
            blank="needed, or the levers below",
            typical=(
                Typical(value=8, words="whole freight car, one cylinder", mark="M"),
                Typical(
                    value=16, words="a printed chain from the top rod to eight shoes", mark="S"
                ),
            ),
        ),
    ] = None,
    efficiency: Annotated[
        float | None,
        Quantity(
            term="Efficiency of the rigging",
            unit="%",
            low=5,
            high=100,
            help="What pins and slides let through. 58 to 85 on standing cars of 1913.",
            blank="needed for an answer",
            typical=(
                Typical(value=58, words="lowest rigging read", mark="S"),
                Typical(value=85, words="highest rigging read", mark="S"),
                Typical(value=65, words="body-mounted rigging", mark="M"),
            ),
        ),
    ] = None,
    shoes: Annotated[
        float, Quantity(term="Shoes", unit="", low=1, high=48, whole=True, mark="P")
    ] = 8.0,
    weight: Annotated[
        float | None,
        Quantity(
            term="Weight these shoes brake",
            unit="tons",
            low=5,
            high=500,
            digits=1,
            help="The car as it stands, loaded or empty. Tons of 2,000 lb.",
            group=THE_WEIGHT,
            blank="needed for the braking ratio",
            typical=(
                Typical(value=131.5, words="loaded car, 263,000 lb", mark="M"),
                Typical(value=143, words="loaded car, 286,000 lb", mark="M"),
                Typical(value=30, words="empty car", mark="M"),
            ),
        ),
    ] = None,
    highest_ratio: Annotated[
        float,
        Quantity(
            term="Highest braking ratio allowed",
            unit="%",
            low=1,
            high=300,
            help="An old rule kept freight cars under 70 % of the light weight.",
            mark="S",
            group=THE_WEIGHT,
        ),
    ] = HIGHEST_LIGHT_RATIO,
    cylinder_lever: Annotated[
        float | None,
        Quantity(
            term="Pull of one top rod over the push of the piston",
            unit="",
            low=0.05,
            high=10,
            digits=2,
            help="By the cylinder lever: its arms, one over the other.",
            group=THE_LEVERS,
            blank="not given",
        ),
    ] = None,
    upper_arm: Annotated[
        float | None, _arm("Truck lever, top pin to middle pin", "The arm the top rod pulls on.")
    ] = None,
    lower_arm: Annotated[
        float | None, _arm("Truck lever, middle pin to bottom pin", "The arm to the bottom rod.")
    ] = None,
    beams: Annotated[
        float,
        Quantity(
            term="Brake beams",
            unit="",
            low=1,
            high=24,
            whole=True,
            help="Each gets the middle pin's force.",
            mark="P",
            group=THE_LEVERS,
        ),
    ] = 4.0,
) -> BrakeForce:
    """Work out the force of the shoes.

    Parameters
    ----------
    brake_cylinder, cylinders, cylinder_bore
        Pressure [psi], number and bore [in] of the cylinders.
    lever_ratio, efficiency
        Shoe force over piston force by the levers, and the share [%] the rigging lets through.
    shoes
        How many shoes share the force.
    weight, highest_ratio
        Weight braked [tons] and the ratio [%] not to be passed.
    cylinder_lever, upper_arm, lower_arm, beams
        The levers, from which the ratio follows where it is not given; arms in inches.

    Returns
    -------
    BrakeForce
        Forces in pounds, ratio in percent; None where a figure is missing.
    """
    piston = piston_force(
        brake_cylinder=brake_cylinder, cylinder_bore=cylinder_bore, cylinders=cylinders
    )
    ratio, levers = lever_ratio, None
    if ratio is None:
        ratio, levers = _from_levers(cylinder_lever, upper_arm, lower_arm, beams)
    shoe: float | None = None
    if ratio is not None and efficiency is not None:
        shoe = shoe_force(piston=piston, lever_ratio=ratio, efficiency=efficiency)
    made = None if shoe is None or weight is None else braking_ratio(shoe_force=shoe, weight=weight)
    facts = _Facts(
        brake_cylinder=brake_cylinder,
        cylinders=cylinders,
        cylinder_bore=cylinder_bore,
        piston=piston,
        ratio=ratio,
        levers=levers,
        efficiency=efficiency,
        shoes=shoes,
        shoe=shoe,
        weight=weight,
        made=made,
        highest_ratio=highest_ratio,
    )
    return BrakeForce(
        piston_force=piston,
        lever_ratio_used=ratio,
        shoe_force=shoe,
        force_per_shoe=None if shoe is None else shoe / shoes,
        braking_ratio=made,
        lightest_weight=(
            None if shoe is None else lightest_weight(shoe_force=shoe, ratio=highest_ratio)
        ),
        headline=_headline(facts),
        working=tuple(_working(facts)),
        notes=tuple(_notes(facts)),
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
class _Facts:
    brake_cylinder: float
    cylinders: float
    cylinder_bore: float
    piston: float
    ratio: float | None
    levers: Phrase | None
    efficiency: float | None
    shoes: float
    shoe: float | None
    weight: float | None
    made: float | None
    highest_ratio: float


def _headline(facts: _Facts) -> Phrase:
    if facts.shoe is None:
        return say(
            "{air} pushes with {piston} at the pistons.",
            air=psi(facts.brake_cylinder),
            piston=Value(facts.piston, "lbf"),
        )
    if facts.made is None:
        return say(
            "{air} presses the shoes with {force} in all.",
            air=psi(facts.brake_cylinder),
            force=Value(facts.shoe, "lbf"),
        )
    return say(
        "{air} presses the shoes with {force} in all, {ratio} of the weight.",
        air=psi(facts.brake_cylinder),
        force=Value(facts.shoe, "lbf"),
        ratio=Value(facts.made, "%", 1),
    )


def _working(facts: _Facts) -> Iterator[Step]:
    yield Step(
        label="Force of the pistons",
        how=say(
            "{cylinders} × π/4 × {bore}² × {air}",
            cylinders=Value(facts.cylinders, ""),
            bore=Value(facts.cylinder_bore, "in", 1),
            air=psi(facts.brake_cylinder),
        ),
        value=Value(facts.piston, "lbf"),
    )
    if facts.ratio is None:
        return
    if facts.levers is not None:
        yield Step(label="Lever ratio", how=facts.levers, value=Value(facts.ratio, "", 1))
    if facts.shoe is None or facts.efficiency is None:
        return
    yield Step(
        label="Force of all shoes",
        how=say(
            "{piston} × {ratio} × {efficiency}",
            piston=Value(facts.piston, "lbf"),
            ratio=Value(facts.ratio, "", 1),
            efficiency=Value(facts.efficiency, "%"),
        ),
        value=Value(facts.shoe, "lbf"),
        decides=facts.weight is None,
    )
    yield Step(
        label="Force of one shoe",
        how=say("{force} / {shoes}", force=Value(facts.shoe, "lbf"), shoes=Value(facts.shoes, "")),
        value=Value(facts.shoe / facts.shoes, "lbf"),
    )
    if facts.made is not None and facts.weight is not None:
        yield Step(
            label="Braking ratio",
            how=say(
                "{force} / ({weight} × 2,000)",
                force=Value(facts.shoe, "lbf"),
                weight=Value(facts.weight, "tons", 1),
            ),
            value=Value(facts.made, "%", 1),
            decides=True,
        )


def _notes(facts: _Facts) -> Iterator[Note]:
    missing = []
    if facts.ratio is None:
        missing.append("the lever ratio (or the levers)")
    if facts.efficiency is None:
        missing.append("the efficiency of the rigging")
    if missing:
        yield missing_note(tuple(missing), "shoe force")
    elif facts.weight is None:
        yield Note(
            text=say("No braking ratio without {missing}.", missing=listed(("the weight braked",)))
        )
    if facts.made is not None and facts.made > facts.highest_ratio:
        yield Note(
            text=say(
                "{made} is over the highest ratio given, {highest}: the wheels are more likely to "
                "slide, and a sliding wheel holds back far less than a braked one that turns.",
                made=Value(facts.made, "%", 1),
                highest=Value(facts.highest_ratio, "%"),
            ),
            kind="warning",
        )
    yield Note(
        text=say(
            "The same shoe force is a smaller ratio on a loaded car. That is why a loaded train "
            "stops later than an empty one with the same air in its cylinders."
        )
    )
