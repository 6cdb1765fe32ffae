"""Inputs, sentences and small sums that the calculators of force and motion share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import inf
from typing import Annotated, Literal, cast

from calculators.base.errors import InputError
from calculators.base.quantities import Choice, Option, Quantity, Typical
from calculators.base.results import Note, Phrase, Value, say
from calculators.equipment.force.friction import (
    Friction,
)
from calculators.equipment.force.resistance import davis_modified, davis_original
from calculators.figures.nominal import AXLES_PER_CAR
from calculators.figures.thresholds import RAIL_HIGHEST, RAIL_LOWEST, RAIL_USUAL

THE_BRAKES = "The train's brakes"
THE_RESISTANCE = "Train resistance"

ESTIMATE = (
    "An estimate for learning. Shoes alone have changed measured stops by a fifth and more, and "
    "weather, wear and heat change them further. Never handle or secure a train by this figure."
)


# Outside these a weight and a number of cars do not belong to one train. [tons per car]
LIGHTEST_CAR, HEAVIEST_CAR = 15.0, 250.0

Direction = Literal["down", "up"]
ResistanceFormula = Literal["left-out", "davis", "modified"]

Speed = Annotated[float, Quantity(term="Speed", unit="mph", low=1, high=90)]

Grade = Annotated[
    float,
    Quantity(
        term="Grade",
        unit="%",
        low=0,
        high=10,
        digits=2,
        help="Feet of rise or fall in each hundred feet; take the steepest part under the train.",
    ),
]

DIRECTION = Choice(
    term="The train runs",
    options=(
        Option(value="down", words="down the grade", spellings=("downhill", "downgrade")),
        Option(value="up", words="up the grade", spellings=("uphill", "upgrade")),
    ),
    help="Of no account on level track.",
)

Curve = Annotated[
    float,
    Quantity(
        term="Curve",
        unit="deg",
        low=0,
        high=30,
        digits=1,
        help="Degrees of curve under the whole train; 0 counts none of it.",
    ),
]

TrainWeight = Annotated[
    float,
    Quantity(
        term="Weight of the train",
        setting="weight",
        unit="tons",
        low=10,
        high=40_000,
        help="Locomotives included. Tons of 2,000 lb.",
    ),
]

_BRAKING_RATIO = Quantity(
    term="Braking ratio",
    setting="braking_ratio",
    unit="%",
    low=1,
    high=250,
    digits=1,
    help=(
        "Force of all shoes as they press in service, over the weight of the whole train. "
        "Ask whoever keeps your railroad's figures: no text gives it for your train."
    ),
    group=THE_BRAKES,
    blank="needed for an answer",
    typical=(
        Typical(value=10, words="loaded cars", mark="M"),
        Typical(value=30, words="empty cars", mark="M"),
        Typical(value=70, words="light cars of about 1913, at the most", mark="S"),
    ),
)
BrakingRatio = Annotated[float | None, _BRAKING_RATIO]

RatioPressure = Annotated[
    float,
    Quantity(
        term="That ratio holds with this in the brake cylinders",
        setting="ratio_pressure",
        unit="psi",
        low=10,
        high=120,
        help="64 is a car's full service from 90 psi by its volumes.",
        group=THE_BRAKES,
    ),
]

FrictionLaw = Annotated[
    str,
    Choice(
        term="Friction of the shoes",
        setting="friction_law",
        options=(
            Option(value="falling", words="falls as speed rises"),
            Option(value="constant", words="one mean figure for all speeds"),
        ),
        help="Trials since 1878 found that it falls, iron shoes most of all.",
        group=THE_BRAKES,
    ),
]

ShoeFriction = Annotated[
    float | None,
    Quantity(
        term="Friction of shoe on wheel",
        setting="friction",
        unit="",
        low=0.02,
        high=0.6,
        digits=3,
        help=(
            "As the wheel comes to rest if friction falls with speed; otherwise the mean over the "
            "stop, which is lower. Wet, worn or hot shoes have less."
        ),
        group=THE_BRAKES,
        blank="needed for an answer",
        typical=(
            Typical(value=0.3, words="composition shoe", mark="M"),
            Typical(value=0.33, words="iron shoe near rest", mark="M"),
            Typical(value=0.12, words="iron shoe, mean of a stop from 50 mph", mark="M"),
        ),
    ),
]

HalfSpeed = Annotated[
    float | None,
    Quantity(
        term="Speed at which half of that friction is left",
        setting="half_friction_speed",
        unit="mph",
        low=5,
        high=1000,
        help="Only for a friction that falls: friction / (1 + speed / this).",
        group=THE_BRAKES,
        blank="needed if friction falls",
        typical=(
            Typical(value=28, words="iron shoe", mark="M"),
            Typical(value=150, words="composition shoe", mark="M"),
        ),
    ),
]

RESISTANCE_FORMULA = Choice(
    term="Resistance of the rolling train",
    setting="resistance_formula",
    options=(
        Option(value="left-out", words="left out: the careful figure"),
        Option(value="davis", words="counted by the formula of 1926"),
        Option(value="modified", words="counted by its later form"),
    ),
    help="Roller bearings roll more lightly than the formula of 1926 says.",
    group=THE_RESISTANCE,
)

FrontalArea = Annotated[
    float,
    Quantity(
        term="Frontal area of a car",
        setting="frontal_area",
        unit="sq ft",
        low=20,
        high=200,
        help="Goes into the formula of 1926.",
        mark="M",
        group=THE_RESISTANCE,
    ),
]

Drag = Annotated[
    float,
    Quantity(
        term="Air factor K of the later form",
        setting="drag",
        unit="",
        low=0,
        high=0.5,
        digits=3,
        mark="M",
        group=THE_RESISTANCE,
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolling:
    """The chosen resistance formula with its figures."""

    formula: ResistanceFormula
    weight_per_axle: float
    axles: float
    frontal_area: float
    drag: float

    def at(self, speed: float) -> float:
        """Resistance in lb/ton at a speed in mph; zero where it is left out."""
        if self.formula == "davis":
            return davis_original(
                weight_per_axle=self.weight_per_axle,
                axles=self.axles,
                speed=speed,
                frontal_area=self.frontal_area,
            )
        if self.formula == "modified":
            return davis_modified(
                weight_per_axle=self.weight_per_axle,
                axles=self.axles,
                speed=speed,
                drag=self.drag,
            )
        return 0.0

    def how(self, speed: float) -> Phrase:
        """The formula with its figures, as on a whiteboard."""
        shared = {
            "w": Value(self.weight_per_axle, "", 1),
            "n": Value(self.axles, ""),
            "speed": Value(speed, "", 1),
        }
        if self.formula == "davis":
            return say(
                "1.3 + 29/{w} + 0.045 × {speed} + 0.0005 × {area} × {speed_again}² / ({w_again} × {n})",
                area=Value(self.frontal_area, ""),
                speed_again=shared["speed"],
                w_again=shared["w"],
                **shared,
            )
        if self.formula == "modified":
            return say(
                "0.6 + 20/{w} + 0.01 × {speed} + {drag} × {speed_again}² / ({w_again} × {n})",
                drag=Value(self.drag, "", 3),
                speed_again=shared["speed"],
                w_again=shared["w"],
                **shared,
            )
        return say("Left out, which takes the figure against you.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RollingInputs:
    """The resistance formula of a train, and the figures of a car that go into it."""

    resistance_formula: Annotated[str, RESISTANCE_FORMULA] = "left-out"
    frontal_area: FrontalArea = 90.0
    drag: Drag = 0.07

    def of_train(self, *, weight: float, cars: float) -> Rolling:
        """The resistance of a train of like cars; raises InputError if weight and cars do not fit."""
        check_weight(weight=weight, cars=cars)
        return Rolling(
            formula=cast(ResistanceFormula, self.resistance_formula),
            weight_per_axle=weight / cars / AXLES_PER_CAR.value,
            axles=AXLES_PER_CAR.value,
            frontal_area=self.frontal_area,
            drag=self.drag,
        )


ROLLING = RollingInputs()
"""What the examples start with: nothing counted that would help."""


def check_weight(*, weight: float, cars: float) -> None:
    """Refuse a weight that cannot belong to the number of cars, since one is then mistyped."""
    per_car = weight / cars
    if not LIGHTEST_CAR <= per_car <= HEAVIEST_CAR:
        raise InputError(
            "weight",
            f"Weight of the train is {weight:g} tons for {cars:g} cars, {per_car:.4g} tons each; "
            f"it must come to between {LIGHTEST_CAR:g} and {HEAVIEST_CAR:g} tons for each car.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoesInputs:
    """How hard a train's shoes press, and what friction they have."""

    braking_ratio: BrakingRatio = None
    ratio_pressure: RatioPressure = 64.0
    friction: ShoeFriction = None
    friction_law: FrictionLaw = "falling"
    half_friction_speed: HalfSpeed = None

    def law(self) -> Friction | None:
        """The friction law; None while a figure that it needs is missing."""
        if self.friction is None:
            return None
        if self.friction_law == "constant":
            return Friction(standstill=self.friction, half_speed=inf)
        if self.half_friction_speed is None:
            return None
        return Friction(standstill=self.friction, half_speed=self.half_friction_speed)

    def missing(self) -> tuple[str, ...]:
        """The figures without which no force can be worked out, in words."""
        missing = []
        if self.braking_ratio is None:
            missing.append("the train's braking ratio")
        if self.friction is None:
            missing.append("the friction of its shoes")
        if self.friction_law == "falling" and self.half_friction_speed is None:
            missing.append("the speed at which half of that friction is left")
        return tuple(missing)


SHOES = ShoesInputs()
"""What the examples start with: no figure that no text gives."""


def listed(words: tuple[str, ...]) -> str:
    """Words as a list in a sentence.

    >>> listed(("ratio", "friction", "speed"))
    'ratio, friction and speed'
    >>> listed(("ratio",))
    'ratio'
    """
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def missing_note(missing: tuple[str, ...], what: str) -> Note:
    """Say which figures an answer waits for; no text gives them for the user's own train."""
    return Note(
        text=say(
            "No {what} without {missing}: no text gives it for your train, so none is assumed here.",
            what=what,
            missing=listed(missing),
        ),
        kind="warning",
    )


def slide_notes(effort: float) -> Iterator[Note]:
    """Warn where the brakes ask more of the rail than the lowest friction read there.

    ``effort`` is the retarding force of the brakes over the weight, as a share of one.
    """
    if effort > RAIL_LOWEST.value:
        yield Note(
            text=say(
                "The brakes ask for {effort} of the weight at the rail. A sliding wheel found only "
                "{lowest} to {highest} there, mostly {low} to {high}: wheels may slide, and the "
                "stop is then far longer than this sum.",
                effort=Value(100 * effort, "%", 1),
                lowest=Value(100 * RAIL_LOWEST.value, "%"),
                highest=Value(100 * RAIL_HIGHEST.value, "%"),
                low=Value(100 * RAIL_USUAL.value, "%"),
                high=Value(100 * RAIL_USUAL.span()[1], "%"),
            ),
            kind="warning",
        )


def friction_how(law: Friction, speed: float) -> Phrase:
    """Friction at a speed, as on a whiteboard."""
    if law.half_speed == inf:
        return say("One figure for all speeds: {friction}", friction=Value(law.standstill, "", 3))
    return say(
        "{friction} / (1 + {speed} / {half})",
        friction=Value(law.standstill, "", 3),
        speed=Value(speed, "mph", 1),
        half=Value(law.half_speed, "mph"),
    )


def sampled(
    function: Callable[[float], float], *, start: int, end: int, step: int
) -> tuple[tuple[float, float], ...]:
    """Points of a curve at whole steps, both ends included where the step allows."""
    return tuple((float(x), function(float(x))) for x in range(start, end + 1, step))
