"""The words of the `car-brake` answer: headline, working, notes and curves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from calculators.base.results import Axis, Line, Note, Phrase, Series, Step, Value, psi, say
from calculators.equipment.car import (
    RULE_FACTOR,
    CarBrake,
    cylinder_pressure,
    rule_full_service_pressure,
    rule_of_thumb,
)
from calculators.equipment.retaining import (
    BLOW_DOWN_SECONDS,
    HELD,
    Position,
    held_pressure,
    slow_direct_pressure,
)
from calculators.figures.nominal import EMPTY_SHARE
from calculators.figures.thresholds import LEAST_OVER, PARTED
from calculators.law.limit_list import find_limit
from calculators.questions.car_brake.inputs import CarBrakeInputs
from calculators.questions.shared.low_emergency import (
    NOT_ASSURED,
    is_low,
    warnings_of_low_emergency,
)

CURVE_TO = 36

Decisive = Literal["not moved", "quick service", "volumes", "equalization", "emergency"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the sentences of one answer are made from."""

    charged: float
    car: CarBrake
    cylinder: float
    full: float
    emergency: float
    volumes: float
    rule: float
    decisive: Decisive
    position: Position


def _cubic_inches(amount: float) -> Value:
    return Value(amount, "cu in")


def headline(given: CarBrakeInputs, found: Found) -> Phrase:
    """The answer in one sentence."""
    if found.decisive == "emergency":
        return say(
            "Emergency off {charged}: about {cylinder} in the car's brake cylinder."
            + (NOT_ASSURED if is_low(found.charged, given.emergency_needs) else ""),
            charged=psi(found.charged),
            cylinder=psi(found.cylinder),
        )
    if found.decisive == "not moved":
        return say(
            "{off} off {charged} does not move the car's valve: nothing in its brake cylinder.",
            off=psi(given.reduction),
            charged=psi(found.charged),
        )
    return say(
        "{off} off {charged}: about {cylinder} in the car's brake cylinder.",
        off=psi(given.reduction),
        charged=psi(found.charged),
        cylinder=psi(found.cylinder),
    )


def empty_shares(given: CarBrakeInputs) -> tuple[float, float]:
    """Least and most that this car's empty/load device leaves of the loaded force, in percent."""
    if given.load_device != "empty":
        return 100.0, 100.0
    if given.empty_share is not None:
        return given.empty_share, given.empty_share
    return EMPTY_SHARE.span()


def working(given: CarBrakeInputs, found: Found) -> Iterator[Step]:
    """Whiteboard steps with the user's figures."""
    car, A = found.car, psi(given.car.atmosphere, 1)
    yield Step(
        label="Room in the cylinder",
        how=say(
            "{swept} swept by the piston + {unswept} that it does not sweep",
            swept=_cubic_inches(car.swept),
            unswept=_cubic_inches(car.unswept),
        ),
        value=_cubic_inches(car.cylinder),
    )
    yield from _service_steps(given, found)
    yield Step(
        label="Emergency, both reservoirs and cylinder meet",
        shows="emergency_pressure",
        how=say(
            "(({charged} + {A}) × {reservoirs} + {A2} × {unswept}) / {all} − {A3}",
            charged=psi(found.charged),
            A=A,
            A2=A,
            A3=A,
            reservoirs=_cubic_inches(car.auxiliary_volume + car.emergency_volume),
            unswept=_cubic_inches(car.unswept),
            all=_cubic_inches(car.auxiliary_volume + car.emergency_volume + car.cylinder),
        ),
        value=psi(found.emergency),
        decides=found.decisive == "emergency",
    )
    yield from _rule_steps(given, found)
    yield from _load_steps(given, found)
    yield from _retaining_steps(given, found)


def _service_steps(given: CarBrakeInputs, found: Found) -> Iterator[Step]:
    car, A = found.car, psi(given.car.atmosphere, 1)
    yield Step(
        label="Full service, auxiliary and cylinder meet",
        shows="full_service_pressure",
        how=say(
            "(({charged} + {A}) × {auxiliary} + {A2} × {unswept}) / {all} − {A3}",
            charged=psi(found.charged),
            A=A,
            A2=A,
            A3=A,
            auxiliary=_cubic_inches(car.auxiliary_volume),
            unswept=_cubic_inches(car.unswept),
            all=_cubic_inches(car.auxiliary_volume + car.cylinder),
        ),
        value=psi(found.full),
        decides=found.decisive == "equalization",
    )
    if found.decisive == "emergency":
        return
    if found.decisive == "not moved":
        yield Step(
            label="Valve",
            shows="brake_cylinder",
            how=say(
                "{off} is less than the {least} that moves it",
                off=psi(given.reduction),
                least=psi(given.car.moving_reduction, 1),
            ),
            value=psi(0),
            decides=True,
        )
        return
    yield Step(
        label="Auxiliary's air in the cylinder",
        how=say(
            "({off} × {auxiliary} + {A} × {unswept}) / {cylinder} − {A2}, at most full service",
            off=psi(given.reduction),
            auxiliary=_cubic_inches(car.auxiliary_volume),
            A=A,
            A2=A,
            unswept=_cubic_inches(car.unswept),
            cylinder=_cubic_inches(car.cylinder),
        ),
        value=psi(found.volumes),
        decides=found.decisive == "volumes",
    )
    yield Step(
        label="Quick service",
        shows="brake_cylinder",
        how=(
            say(
                "Fills the cylinder from the pipe to {limit}, which is more.",
                limit=psi(given.car.quick_service_limit),
            )
            if found.decisive == "quick service"
            else say(
                "Would fill it to {limit}: passed already.",
                limit=psi(min(given.car.quick_service_limit, found.full)),
            )
        ),
        value=psi(found.cylinder),
        decides=found.decisive == "quick service",
    )


def _rule_steps(given: CarBrakeInputs, found: Found) -> Iterator[Step]:
    times = Value(RULE_FACTOR, "", 1)
    rule_full = psi(rule_full_service_pressure(charged=found.charged))
    if found.decisive == "emergency":
        how = say(
            "Full service by the rule, {full}, and a fifth more",
            full=rule_full,
        )
    else:
        how = say(
            "{times} × {off}, at most {full}, where the rule's auxiliary meets its cylinder",
            times=times,
            off=psi(given.reduction),
            full=rule_full,
        )
    yield Step(
        label="Rule of thumb, beside it", shows="rule_of_thumb", how=how, value=psi(found.rule)
    )


def _load_steps(given: CarBrakeInputs, found: Found) -> Iterator[Step]:
    if given.load_device != "empty":
        return
    low, high = empty_shares(given)
    if low == high:
        yield Step(
            label="Empty/load device, empty",
            how=say(
                "{share} of the loaded force: as much as this would give on a loaded car",
                share=Value(low, "%"),
            ),
            value=psi(found.cylinder * low / 100),
        )
        return
    yield Step(
        label="Empty/load device, empty",
        how=say(
            "{low} to {high} of the loaded force: as much as {least} to {most} would give on a "
            "loaded car",
            low=Value(low, "%"),
            high=Value(high, "%"),
            least=psi(found.cylinder * low / 100),
            most=psi(found.cylinder * high / 100),
        ),
    )


def _retaining_steps(given: CarBrakeInputs, found: Found) -> Iterator[Step]:
    held = HELD[found.position]
    if found.position == "slow-direct":
        how = say(
            "Lets a full service out in about {seconds}, then nothing is left.",
            seconds=Value(BLOW_DOWN_SECONDS, "s"),
        )
    elif found.position == "direct":
        how = say("Direct keeps nothing after a release.")
    elif found.cylinder < held:
        how = say("Holds up to {held}; less than that was there.", held=psi(held))
    else:
        how = say("Holds {held} after a release.", held=psi(held))
    yield Step(
        label="Retaining valve",
        shows="retained",
        how=how,
        value=psi(held_pressure(position=found.position, brake_cylinder=found.cylinder)),
    )


def _warn(template: str, **parts: Value | str) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def notes(given: CarBrakeInputs, found: Found) -> Iterator[Note]:
    """What to know beside the figures; warnings come first on the page."""
    yield from warnings_of_low_emergency(found.charged, given.emergency_needs)
    travel = found.car.piston_travel
    if travel > find_limit("piston-travel-effective").figure:
        yield _warn(
            "Piston travel over {most} does not count as an effective brake, whatever the pressure.",
            most=Value(find_limit("piston-travel-effective").figure, "in", 1),
        )
    elif travel > (find_limit("piston-travel").upper or 0.0):
        yield Note(
            text=say(
                "Longer travel is more room to fill: every pressure here is lower than at {nominal}.",
                nominal=Value(8, "in"),
            )
        )
    if found.charged < given.brake_pipe_setting:
        yield _warn(
            "This car is charged to {charged}, not to the setting of {setting}: the reduction counts "
            "from {charged2}. Counted from the setting it is worth less by the difference.",
            charged=psi(found.charged),
            charged2=psi(found.charged),
            setting=psi(given.brake_pipe_setting),
        )
    low, high = empty_shares(given)
    if given.load_device == "empty" and found.cylinder > 0:
        yield _warn(
            "Empty/load device in the empty position: what is in the cylinder brakes no harder than "
            "{least} to {most} would on the same car loaded.",
            least=psi(found.cylinder * low / 100),
            most=psi(found.cylinder * high / 100),
        )
    if found.decisive == "equalization":
        over = given.reduction - (found.charged - found.full)
        if over < LEAST_OVER.value:
            yield Note(text=say("This is full service: a deeper set adds nothing on this car."))
        else:
            yield Note(
                text=say(
                    "Full service came at {full} off. The other {over} added nothing and must be "
                    "recharged before a release can begin.",
                    full=psi(found.charged - found.full),
                    over=psi(over),
                )
            )
    if found.decisive == "quick service":
        yield Note(
            text=say(
                "Quick service's pressure is from memory: a light set is the least certain figure here."
            )
        )
    if (
        found.decisive in ("volumes", "quick service")
        and found.rule - found.cylinder > PARTED.value
    ):
        yield Note(
            text=say(
                "The rule says {rule}, this answer {cylinder}: the rule forgets the air that only "
                "pushes the piston out. They meet near full service.",
                rule=psi(found.rule),
                cylinder=psi(found.cylinder),
            )
        )
    if found.decisive == "emergency" and given.reduction > 0:
        yield Note(
            text=say(
                "The same after a service set as from release: air is only shared out. That holds as "
                "long as the emergency starts and runs through."
            )
        )
    if found.position in ("high-pressure", "low-pressure"):
        yield Note(
            text=say(
                "A retaining valve holds only while its cylinder does not leak; it secures nothing."
            )
        )


def series(given: CarBrakeInputs, found: Found) -> Iterator[Series]:
    """Cylinder against reduction, and the blow-down where it is asked for."""
    most = int(min(CURVE_TO, found.charged))
    offs = [float(off) for off in range(most + 1)]
    car = tuple(
        (
            off,
            cylinder_pressure(
                charged=found.charged,
                reduction=off,
                quick_service_limit=given.car.quick_service_limit,
                moving_reduction=given.car.moving_reduction,
                car=found.car,
                atmosphere=given.car.atmosphere,
            ),
        )
        for off in offs
    )
    rule = tuple((off, rule_of_thumb(charged=found.charged, reduction=off)) for off in offs)
    shown = found.decisive != "emergency" and given.reduction <= most
    yield Series(
        title="A car's brake cylinder against the reduction, in service",
        x=Axis(term="Reduction", unit="psi"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(
            Line(name="By volumes, with quick service", points=car, color="brake_cylinder"),
            Line(name="Rule of thumb", points=rule, color="exhaust"),
        ),
        marked=((given.reduction, found.cylinder),) if shown else (),
        note="The mark is this answer. Where the lines part, trust the volumes.",
    )
    if found.position != "slow-direct":
        return
    blow_down = tuple(
        (
            float(seconds),
            slow_direct_pressure(
                brake_cylinder=found.cylinder, seconds=seconds, atmosphere=given.car.atmosphere
            ),
        )
        for seconds in range(0, 101, 4)
    )
    yield Series(
        title="Slow direct: the cylinder after a release",
        x=Axis(term="Time since the release", unit="s"),
        y=Axis(term="Brake cylinder", unit="psi"),
        lines=(Line(name="Brake cylinder", points=blow_down, color="brake_cylinder"),),
        note=(
            "Only the 86 seconds were read. They are taken from a full service off 90 psi "
            "down to nothing."
        ),
    )
