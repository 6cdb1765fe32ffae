"""The `release` calculator: what a rise of the brake pipe releases, direct and graduated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import (
    Axis,
    Line,
    Note,
    Outcome,
    Phrase,
    Series,
    Step,
    Value,
    psi,
    say,
)
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import (
    THE_CAR,
    Atmosphere,
    AuxiliaryVolume,
    BrakePipeSetting,
    Charged,
    CylinderBore,
    MovingReduction,
    PistonTravel,
    QuickServiceLimit,
    Reduction,
    ReleaseType,
    UnsweptVolume,
)
from calculators.equipment.car import (
    CarBrake,
    cylinder_pressure,
    full_service_reduction,
    rise_to_release,
)
from calculators.equipment.locomotive import control_valve_demand
from calculators.law.records import Citation

GRADUATED = "A control valve with graduated release"
# One railroad asks for at least this set before a release [S: ARRC-96 64-3].
RELEASE_FROM = 10.0


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


@calculator(
    "release",
    title="Release",
    question="What does this rise of the brake pipe release?",
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
        "How long the rise takes to reach the car, and how long the cylinder takes to empty.",
        "Retaining valves, leakage, and a valve that sticks.",
    ),
)
def release(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    reduction: Reduction = 12.0,
    rise: Annotated[
        float,
        Quantity(
            term="Rise of the brake pipe at this car",
            unit="psi",
            low=0,
            high=130,
            digits=1,
            help="From the lowest the pipe has been. The head's rise is not the rear's.",
        ),
    ] = 4.0,
    release_type: ReleaseType = "direct",
    charged: Charged = None,
    release_margin_low: Annotated[
        float,
        Quantity(
            term="A direct valve may let go at a rise over its auxiliary of",
            unit="psi",
            low=0.5,
            high=5,
            digits=1,
            mark="M",
            group=THE_CAR,
        ),
    ] = 1.5,
    release_margin_high: Annotated[
        float,
        Quantity(
            term="and is counted on to let go at",
            unit="psi",
            low=0.5,
            high=6,
            digits=1,
            mark="M",
            group=THE_CAR,
        ),
    ] = 3.0,
    piston_travel: PistonTravel = 8.0,
    cylinder_bore: CylinderBore = 10.0,
    auxiliary_volume: AuxiliaryVolume = 2500.0,
    unswept_volume: UnsweptVolume = None,
    quick_service_limit: QuickServiceLimit = 10.0,
    moving_reduction: MovingReduction = 2.5,
    atmosphere: Atmosphere = 14.7,
    multiplier: Annotated[
        float,
        Quantity(
            term="Control valve multiplier",
            unit="",
            low=0.5,
            high=5,
            digits=2,
            help="Psi in the cylinder for each psi that the pipe stands below the control reservoir.",
            mark="P",
            group=GRADUATED,
        ),
    ] = 2.5,
    service_limit: Annotated[
        float,
        Quantity(
            term="Service limiting valve set at",
            unit="psi",
            low=0,
            high=150,
            mark="P",
            group=GRADUATED,
        ),
    ] = 60.0,
) -> Release:
    """Predict what is left in the cylinder after a rise of the brake pipe.

    Parameters
    ----------
    brake_pipe_setting, charged
        The setting, and what this car was charged to if that is another pressure. [psi]
    reduction, rise
        Fall of the brake pipe from there, and its rise since, at this car. [psi]
    release_type
        Direct or graduated release.
    release_margin_low, release_margin_high
        Rise over the auxiliary at which a direct valve may, and is counted on to, let go. [psi]
    piston_travel, cylinder_bore, auxiliary_volume, unswept_volume
        The car's cylinder [in] and volumes [cu in].
    quick_service_limit, moving_reduction
        Pressure that quick service fills to, reduction that moves the valve. [psi]
    atmosphere
        Pressure of the atmosphere. [psi abs]
    multiplier, service_limit
        Multiplier and cap [psi] of a control valve with graduated release.

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
    P = brake_pipe_setting if charged is None else charged
    _check(P, reduction, rise, release_margin_low, release_margin_high)
    direct = _Direct(
        charged=P,
        reduction=reduction,
        car=CarBrake(
            auxiliary_volume=auxiliary_volume,
            cylinder_bore=cylinder_bore,
            piston_travel=piston_travel,
            unswept_volume=unswept_volume,
        ),
        quick_service_limit=quick_service_limit,
        moving_reduction=moving_reduction,
        margin_low=release_margin_low,
        margin_high=release_margin_high,
        atmosphere=atmosphere,
    )
    graduated = _Graduated(
        charged=P, reduction=reduction, multiplier=multiplier, limit=service_limit
    )
    side: _Direct | _Graduated = direct if release_type == "direct" else graduated
    left = side.after(rise)
    return Release(
        brake_cylinder=left,
        brake_cylinder_before=side.before(),
        brake_pipe=P - reduction + rise,
        rise_begins=side.begins(),
        rise_empties=side.empties(),
        headline=_headline(side, rise, left),
        working=tuple(side.working(rise, left)),
        notes=tuple(_notes(side, rise, left)),
        series=(_curve(direct, graduated),),
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
        for label, off, value in (
            ("Cylinder before", self.reduction, self.before()),
            ("Cylinder after", self.reduction - rise, left),
        ):
            yield Step(
                label=label,
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
    if 0 < side.reduction < RELEASE_FROM:
        yield _warn(
            "Only {off} off: one railroad asks for at least {least} before a release, or some cars "
            "may not let go.",
            off=psi(side.reduction),
            least=psi(RELEASE_FROM),
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
    if over > 0:
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
                "Released is not recharged: the auxiliary still stands about where the set left it."
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
