"""The `release` calculator: what a rise of the brake pipe releases, direct and graduated."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Progress,
    Series,
    Step,
    ToFollow,
    Value,
    psi,
    say,
)
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import (
    CarBrake,
    cylinder_pressure,
    full_service_reduction,
    rise_to_release,
)
from calculators.equipment.locomotive import control_valve_demand
from calculators.figures.thresholds import RELEASE_FROM
from calculators.law.records import Citation
from calculators.questions.release import on_train
from calculators.questions.release.inputs import ReleaseInputs
from calculators.questions.shared.train_model import WHO


@dataclass(frozen=True, slots=True, kw_only=True)
class Release(Outcome):
    """The cylinder before and after the rise, and the rise at which it lets go."""

    brake_cylinder: Annotated[
        float | None, Quantity(term="Brake cylinder after the rise", unit="psi")
    ]
    brake_cylinder_before: Annotated[
        float, Quantity(term="Brake cylinder before the rise", unit="psi")
    ]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe after the rise", unit="psi")]
    rise_begins: Annotated[
        float, Quantity(term="Rise at which it may begin to let go", unit="psi", digits=1)
    ]
    rise_empties: Annotated[
        float, Quantity(term="Rise at which nothing is left", unit="psi", digits=1)
    ]
    rear_rise_time: Annotated[
        float | None,
        Quantity(
            term="By the train model: the rear has risen so far after",
            unit="s",
            help="from the handle's move to release",
            blank="not by the train model",
        ),
    ]
    last_car_releases: Annotated[
        float | None,
        Quantity(
            term="By the train model: the latest car lets go after",
            unit="s",
            help="from the handle's move to release",
            blank="not by the train model",
        ),
    ]


@calculator(
    "release",
    title="Release",
    question="What does this rise of the brake pipe release?",
    first=FirstScreen(
        figures={
            "brake_cylinder": "cylinder now",
            "brake_cylinder_before": "before",
            "rise_empties": "rise that empties it",
        },
        asked={"": "a rise of {rise:bare} after {reduction:bare} off {brake_pipe_setting}"},
        keys=(
            Key(field="reduction", presets=(6, 10, 12, 15, 20, 26)),
            Key(field="rise", step=0.5, presets=(1, 2, 3, 4, 5)),
            Key(field="release_type"),
        ),
        line={"brake_pipe_setting": "", "piston_travel": "travel"},
    ),
    sources=(
        Citation("ARRC-96", "page 64-3"),
        Citation("ARMY-203", "ch. 8"),
        Citation("CFR-238-231", "mixing of release types"),
    ),
    validity=(
        "For one car, and the rise at that car: for the last one read the rear gauge.",
        "Settled before and after: the set had stopped, the rise has stopped.",
    ),
    leaves_out=(
        "How long the cylinder takes to empty.",
        "Retaining valves, leakage, and a valve that sticks.",
    ),
)
def release(given: ReleaseInputs) -> Release:
    """Predict what is left in the cylinder after a rise of the brake pipe.

    Returns
    -------
    Release
        Pressures in psi; the cylinder is None where neither holding nor release is assured.

    Raises
    ------
    InputError
        If more comes off than was in the pipe, if it rises by more than came off, or if the two
        margins are the wrong way round.
    """
    P = given.brake_pipe_setting if given.charged is None else given.charged
    _check(P, given.reduction, given.rise, given.release_margin_low, given.release_margin_high)
    direct = _Direct(
        charged=P,
        reduction=given.reduction,
        car=given.car.brake(),
        quick_service_limit=given.car.quick_service_limit,
        moving_reduction=given.car.moving_reduction,
        margin_low=given.release_margin_low,
        margin_high=given.release_margin_high,
        atmosphere=given.car.atmosphere,
    )
    graduated = _Graduated(
        charged=P, reduction=given.reduction, multiplier=given.multiplier, limit=given.service_limit
    )
    side: _Direct | _Graduated = direct if given.release_type == "direct" else graduated
    left = side.after(given.rise)
    first = Release(
        brake_cylinder=left,
        brake_cylinder_before=side.before(),
        brake_pipe=P - given.reduction + given.rise,
        rise_begins=side.begins(),
        rise_empties=side.empties(),
        rear_rise_time=None,
        last_car_releases=None,
        headline=_headline(side, given.rise, left),
        working=tuple(side.working(given.rise, left)),
        notes=tuple(_notes(side, given.rise, left)),
        series=(_curve(direct, graduated),),
    )
    reason = on_train.why_not(given)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("rear_rise_time", "last_car_releases"),
            of=Progress(done=0.0, of=on_train.seconds(given)),
            work=partial(_with_model, first, given),
        ),
    )


def _with_model(first: Release, given: ReleaseInputs) -> Generator[Progress, None, Release]:
    """The first answer with the times of the train model."""
    found = yield from on_train.run_release(given)
    return replace(
        first,
        rear_rise_time=found.rear_rise_time,
        last_car_releases=found.last_car_releases,
        working=(*first.working, *on_train.working(given, found)),
        notes=(*first.notes, *on_train.notes(given, found)),
        series=(*first.series, on_train.curve(found)),
        bands=on_train.bands(found),
        to_follow=None,
    )


def _check(charged: float, reduction: float, rise: float, low: float, high: float) -> None:
    if reduction > charged:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; this car was charged to {charged:g} psi, so no more than "
            "that can come off.",
        )
    if rise > reduction:
        raise InputError(
            "rise",
            f"Rise is {rise:g} psi; only {reduction:g} psi came off, so the pipe can rise by no "
            "more than that without an overcharge.",
        )
    if low > high:
        raise InputError(
            "release_margin_high",
            f"The rise counted on is {high:g} psi; it must not be less than the {low:g} psi at "
            "which the valve may let go.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Direct:
    """A car whose valve lets everything go once the pipe stands over its own auxiliary."""

    charged: float
    reduction: float
    car: CarBrake
    quick_service_limit: float
    moving_reduction: float
    margin_low: float
    margin_high: float
    atmosphere: float

    def set_to(self, reduction: float) -> float:
        """Cylinder pressure of a set, going down."""
        return cylinder_pressure(
            charged=self.charged,
            reduction=reduction,
            quick_service_limit=self.quick_service_limit,
            moving_reduction=self.moving_reduction,
            car=self.car,
            atmosphere=self.atmosphere,
        )

    def before(self) -> float:
        return self.set_to(self.reduction)

    def _rise(self, margin: float) -> float:
        return rise_to_release(
            charged=self.charged,
            reduction=self.reduction,
            margin=margin,
            car=self.car,
            atmosphere=self.atmosphere,
        )

    def begins(self) -> float:
        return self._rise(self.margin_low)

    def empties(self) -> float:
        return self._rise(self.margin_high)

    def after(self, rise: float) -> float | None:
        """What is left; None between the two margins."""
        if self.before() == 0 or rise >= self.empties():
            return 0.0
        return self.before() if rise < self.begins() else None

    def working(self, rise: float, left: float | None) -> Iterator[Step]:
        pipe = self.charged - self.reduction
        full = full_service_reduction(
            charged=self.charged, car=self.car, atmosphere=self.atmosphere
        )
        auxiliary = self.charged - min(full, self.reduction)
        yield Step(
            label="Cylinder before",
            shows="brake_cylinder_before",
            how=say("{off} off {charged}", off=psi(self.reduction), charged=psi(self.charged)),
            value=psi(self.before()),
        )
        yield Step(
            label="This car's auxiliary",
            how=(
                say("Came down with the pipe.")
                if self.reduction <= full
                else say(
                    "Met the cylinder at {full} off and stayed there; the pipe went on down.",
                    full=psi(full),
                )
            ),
            value=psi(auxiliary),
        )
        yield Step(
            label="Brake pipe at this car",
            shows="brake_pipe",
            how=say("{pipe} + {rise}", pipe=psi(pipe), rise=psi(rise, 1)),
            value=psi(pipe + rise),
        )
        over = pipe + rise - auxiliary
        yield Step(
            label="Pipe over auxiliary",
            how=say(
                "{pipe} − {auxiliary}; the valve lets go somewhere between {low} and {high}",
                pipe=psi(pipe + rise, 1),
                auxiliary=psi(auxiliary, 1),
                low=psi(self.margin_low, 1),
                high=psi(self.margin_high, 1),
            ),
            value=psi(over, 1),
            decides=True,
        )
        if left is not None and self.before() > 0:
            yield Step(
                label="Cylinder after",
                shows="brake_cylinder",
                how=(
                    say("Lets go, and lets all of it go.")
                    if left == 0
                    else say("Not enough to move the valve: it holds.")
                ),
                value=psi(left),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Graduated:
    """A control valve that follows its control reservoir less the pipe, both ways."""

    charged: float
    reduction: float
    multiplier: float
    limit: float

    def set_to(self, reduction: float) -> float:
        """Cylinder pressure at a pipe that stands so far down, whichever way it came."""
        demand = control_valve_demand(
            control_reservoir=self.charged,
            brake_pipe=self.charged - reduction,
            multiplier=self.multiplier,
        )
        return min(self.limit, demand)

    def before(self) -> float:
        return self.set_to(self.reduction)

    def begins(self) -> float:
        return max(0.0, self.reduction - self.limit / self.multiplier)

    def empties(self) -> float:
        return self.reduction

    def after(self, rise: float) -> float:
        return self.set_to(self.reduction - rise)

    def working(self, rise: float, left: float | None) -> Iterator[Step]:
        times = Value(self.multiplier, "", 2 if self.multiplier * 10 % 1 else 1)
        for label, shows, off, value in (
            ("Cylinder before", "brake_cylinder_before", self.reduction, self.before()),
            ("Cylinder after", "brake_cylinder", self.reduction - rise, left),
        ):
            yield Step(
                label=label,
                shows=shows,
                how=say(
                    "{times} × ({charged} − {pipe}), at most {limit}",
                    times=times,
                    charged=psi(self.charged),
                    pipe=psi(self.charged - off),
                    limit=psi(self.limit),
                ),
                value=psi(value or 0.0),
                decides=label == "Cylinder after",
            )


def _headline(side: _Direct | _Graduated, rise: float, left: float | None) -> Phrase:
    before = psi(side.before())
    if side.before() == 0:
        return say("Nothing was in the cylinder: there is nothing to release.")
    if left is None:
        return say(
            "A rise of {rise} may release all {before}, or hold it: count on neither.",
            rise=psi(rise, 1),
            before=before,
        )
    if left == 0:
        return say(
            "A rise of {rise} should release everything: of {before} nothing is left.",
            rise=psi(rise, 1),
            before=before,
        )
    if left == side.before():
        return say(
            "A rise of {rise} releases nothing yet: {left} stays.",
            rise=psi(rise, 1),
            left=psi(left),
        )
    return say(
        "A rise of {rise} takes the cylinder from {before} to {left}.",
        rise=psi(rise, 1),
        before=before,
        left=psi(left),
    )


def _warn(template: str, **parts: Value | str) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def _notes(side: _Direct | _Graduated, rise: float, left: float | None) -> Iterator[Note]:
    if 0 < side.reduction < RELEASE_FROM.value:
        yield _warn(
            "Only {off} off: one railroad asks for at least {least} before a release, or some cars "
            "may not let go.",
            off=psi(side.reduction),
            least=psi(RELEASE_FROM.value),
        )
    if isinstance(side, _Graduated):
        yield _warn(
            "Freight cars run direct: on them the first rise lets everything go. Do not count on "
            "a graduated release of a train."
        )
        return
    if side.before() > 0 and side.empties() > side.reduction:
        yield _warn(
            "The pipe would have to rise by {empties}, more than came off: this car may stay set.",
            empties=psi(side.empties(), 1),
        )
    over = side.empties() - side.margin_high
    if round(over) > 0:
        yield Note(
            text=say(
                "Taken {over} past full service: the pipe must first rise that far before any "
                "release can begin.",
                over=psi(over),
            )
        )
    yield Note(
        text=say(
            "The rise that counts is the one at this car, against its own auxiliary. The rear gauge "
            "tells of the last car; the head gauge does not."
        )
    )
    if left is None or left == 0:
        yield Note(
            text=say(
                "Released is not recharged: the auxiliary is still about where the set left it."
            )
        )


def _curve(direct: _Direct, graduated: _Graduated) -> Series:
    """Cylinder against brake pipe for both, down to the set and back up."""
    P, R = direct.charged, direct.reduction
    offs = sorted({*(float(off) for off in range(int(R) + 1)), R})
    before = direct.before()
    begins, empties = direct.begins(), direct.empties()
    rises = sorted({*(R - off for off in offs), begins, empties})
    up = [
        (P - R + rise, before if rise <= begins else 0.0)
        for rise in rises
        if rise <= R and not begins < rise < empties
    ]
    return Series(
        title="Brake cylinder against brake pipe, down and back up",
        x=Axis(term="Brake pipe", unit="psi", digits=1),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(
                name="Car, going down",
                points=tuple((P - off, direct.set_to(off)) for off in reversed(offs)),
                color="brake_cylinder",
            ),
            Line(name="Car, direct release, going up", points=tuple(up), color="brake_pipe"),
            Line(
                name="Graduated release, both ways",
                points=tuple((P - off, graduated.set_to(off)) for off in reversed(offs)),
                color="pipe_16",
            ),
        ),
        note=(
            "Where the direct line falls is only known within a psi or two: the slope is that "
            "doubt, not a gradual release."
        ),
    )
