"""The words of the `grade-balance` answer: headline, working, notes and curve."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from calculators.base.results import Axis, Line, Note, Phrase, Series, Step, Value, psi, say
from calculators.base.units import POUNDS_PER_TON
from calculators.equipment.force.friction import Friction
from calculators.figures.thresholds import HEAVY_TONS
from calculators.questions.grade_balance.inputs import GradeBalanceInputs
from calculators.questions.shared.force_inputs import Rolling, friction_how, missing_note

CURVE_TO = 60
CURVE_STEP = 5
# How much faster the train is taken to run when the answer shows that a balance may be unstable.
SPEED_STEP = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the sentences of one answer are made from."""

    full: float
    full_reduction: float
    emergency: float
    law: Friction | None
    missing: tuple[str, ...]
    rolling: Rolling
    pull: float
    dynamic: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The balance found, at the speed asked and at others."""

    pressure: float
    reduction: float | None
    with_dynamic: float | None
    faster: float
    faster_reduction: float | None
    share: float
    against_speed: tuple[tuple[float, float], ...]


def _each(amount: float) -> Value:
    return Value(amount, "lb/ton", 1)


def headline(given: GradeBalanceInputs, found: Found, balance: Balance | None) -> Phrase:
    """The answer in one sentence."""
    force = Value(20.0 * given.train.weight * given.grade, "lbf")
    if balance is None:
        return say(
            "The grade pulls with {force}; the reduction that balances it cannot be worked out yet.",
            force=force,
        )
    if balance.reduction is None:
        return say(
            "No service reduction balances this grade: it would take {needed} in the cylinders, and "
            "full service gives {full}.",
            needed=psi(balance.pressure),
            full=psi(found.full),
        )
    if balance.reduction == 0.0:
        return say("What holds a rolling train back is more than this grade pulls: no reduction.")
    return say(
        "About {off} off balances {grade} at {speed} with cold shoes; the grade pulls with {force}.",
        off=psi(balance.reduction, 1),
        grade=Value(given.grade, "%", 2),
        speed=Value(given.speed, "mph"),
        force=force,
    )


def working(
    given: GradeBalanceInputs, found: Found, balance: Balance | None, tons: float | None
) -> Iterator[Step]:
    """The working as on a whiteboard, with the user's figures."""
    yield Step(
        label="Pull of the grade",
        shows="grade_force",
        how=say(
            "20 × {weight} × {grade}",
            weight=Value(given.train.weight, "tons"),
            grade=Value(given.grade, "%", 2),
        ),
        value=Value(20.0 * given.train.weight * given.grade, "lbf"),
    )
    if tons is not None and given.operative_brakes is not None:
        yield Step(
            label="Weight on each operative brake",
            shows="tons_per_operative_brake",
            how=say(
                "{weight} / {brakes}",
                weight=Value(given.train.weight, "tons"),
                brakes=Value(given.operative_brakes, ""),
            ),
            value=Value(tons, "tons", 1),
        )
    yield Step(
        label="For each ton",
        how=say(
            "20 × {grade} − 0.8 × {curve}",
            grade=Value(given.grade, "%", 2),
            curve=Value(given.curve, "deg", 1),
        ),
        value=_each(found.pull),
    )
    yield Step(
        label="Rolling resistance",
        how=found.rolling.how(given.speed),
        value=_each(found.rolling.at(given.speed)),
    )
    if balance is None or found.law is None or given.shoes.braking_ratio is None:
        return
    yield Step(
        label="Friction at this speed",
        how=friction_how(found.law, given.speed),
        value=Value(found.law.at(given.speed), "", 3),
    )
    full = (
        POUNDS_PER_TON
        * given.shoes.braking_ratio
        / 100.0
        * found.law.at(given.speed)
        * balance.share
    )
    yield Step(
        label="Brakes hold back at the stated pressure",
        how=say(
            "2,000 × {ratio} × {friction} × {share} operative",
            ratio=Value(given.shoes.braking_ratio, "%", 1),
            friction=Value(found.law.at(given.speed), "", 3),
            share=Value(100.0 * balance.share, "%", 1),
        ),
        value=_each(full),
    )
    yield Step(
        label="Cylinder pressure needed",
        shows="" if balance.reduction is None else "brake_cylinder",
        how=say(
            "{stated} × {pull} / {full}",
            stated=psi(given.shoes.ratio_pressure),
            pull=_each(max(0.0, found.pull - found.rolling.at(given.speed))),
            full=_each(full),
        ),
        value=psi(balance.pressure, 1),
        decides=balance.reduction is None,
    )
    if balance.reduction is not None:
        yield Step(
            label="Reduction that gives it",
            shows="reduction",
            how=say(
                "The car's volumes turned round, from {charged}",
                charged=psi(given.brake_pipe_setting),
            ),
            value=psi(balance.reduction, 1),
            decides=True,
        )
    if found.dynamic > 0:
        yield Step(
            label="Dynamic brake, apart",
            shows="dynamic_force",
            how=say(
                "{axles} axles together, {each} for each ton of the train",
                axles=Value(given.dynamic_axles, ""),
                each=_each(found.dynamic / given.train.weight),
            ),
            value=Value(found.dynamic, "lbf"),
        )


def notes(
    given: GradeBalanceInputs, found: Found, balance: Balance | None, tons: float | None
) -> Iterator[Note]:
    """The warnings and notes."""
    yield Note(
        text=say(
            "Shoes heat on a grade and fade. A set that balances at the top may not hold half-way "
            "down; no figure here knows when. Your railroad's rules say when a train that gains is stopped."
        ),
        kind="warning",
    )
    if found.missing:
        yield missing_note(found.missing, "reduction")
    if balance is not None:
        yield from _balance_notes(given, found, balance)
    if tons is not None and tons > HEAVY_TONS.value:
        yield Note(
            text=say(
                "{tons} on each operative brake. One railroad ran slower above {heavy}, at 45, 25 or "
                "20 mph (NTSB-90); your railroad's own table decides.",
                tons=Value(tons, "tons", 1),
                heavy=Value(HEAVY_TONS.value, "tons"),
            ),
        )
    if found.dynamic > 0:
        yield Note(
            text=say(
                "The dynamic brake is shown apart because it can be lost at once, also by an "
                "emergency application; the friction brake alone must be able to hold the train "
                "(49 CFR 232.109(j)(1))."
            ),
            kind="warning",
        )


def _balance_notes(given: GradeBalanceInputs, found: Found, balance: Balance) -> Iterator[Note]:
    half = found.full_reduction / 2.0
    if balance.reduction is None:
        yield Note(
            text=(
                say(
                    "Even emergency, {emergency} in the cylinders, would not hold this train on this "
                    "grade by these figures.",
                    emergency=psi(found.emergency),
                )
                if balance.pressure > found.emergency
                else say(
                    "Only emergency, {emergency} in the cylinders, would reach it by these figures.",
                    emergency=psi(found.emergency),
                )
            ),
            kind="warning",
        )
    elif balance.reduction > half:
        yield Note(
            text=say(
                "{off} is more than half of full service, {half}. One railroad's rule for mountain "
                "grades balances with no more than half (NTSB-90, rule 61.E), so that as much is "
                "left to stop with.",
                off=psi(balance.reduction, 1),
                half=psi(half, 1),
            ),
            kind="warning",
        )
    if found.law is not None and found.law.half_speed < inf and balance.reduction:
        faster = Value(balance.faster, "mph")
        yield Note(
            text=(
                say(
                    "At {faster} no service reduction balances it any more: once the train has "
                    "gained that much it cannot be held by service.",
                    faster=faster,
                )
                if balance.faster_reduction is None
                else say(
                    "At {faster} it takes {off}: shoes hold less as speed rises, so a train that "
                    "gains under a fixed set goes on gaining.",
                    faster=faster,
                    off=psi(balance.faster_reduction, 1),
                )
            ),
            kind="warning",
        )
    if balance.share < 1.0 and given.operative_brakes is not None:
        yield Note(
            text=say(
                "{operative} of {all} brakes work, so each has to hold more than its own load.",
                operative=Value(given.operative_brakes, ""),
                all=Value(given.brakes, ""),
            )
        )


def curves(given: GradeBalanceInputs, found: Found, balance: Balance | None) -> tuple[Series, ...]:
    """Reduction against speed; nothing where no speed can be balanced."""
    if balance is None or not balance.against_speed:
        return ()
    first, last = float(CURVE_STEP), float(CURVE_TO)
    half = found.full_reduction / 2.0
    return (
        Series(
            title="Reduction that balances the grade, against speed",
            x=Axis(term="Speed", unit="mph"),
            y=Axis(term="Reduction", unit="psi", digits=1),
            lines=(
                Line(name="balances", points=balance.against_speed, color="brake_cylinder"),
                Line(
                    name="half of full service",
                    points=((first, half), (last, half)),
                    color="brake_pipe",
                ),
                Line(
                    name="full service",
                    points=((first, found.full_reduction), (last, found.full_reduction)),
                    color="main_reservoir",
                ),
            ),
            marked=((given.speed, balance.reduction),) if balance.reduction is not None else (),
            note="Where the line ends no service reduction balances the grade.",
        ),
    )
