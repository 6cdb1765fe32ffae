"""The `leakage-and-flow` calculator: one leak read two ways, each against its own limit."""

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
    psi,
    say,
)
from calculators.base.units import ATMOSPHERE
from calculators.base.wording import at_begin
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.leakage import (
    fall_of_flow,
    falling_volume,
    flow_of_fall,
    pipe_volume,
    same_holes,
    volume_where_alike,
)
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.law.rules import combined_flow, flow_limits
from calculators.questions.leakage_and_flow.inputs import LeakageAndFlowInputs
from calculators.questions.shared.juniper_fork import readings

NOT_GIVEN_LEAKAGE = "no leakage was given"
NOT_GIVEN_FLOW = "no air flow was given"
CURVE_TO = 10


def _flow(amount: float) -> Value:
    return Value(amount, "cfm", 1)


def _fall(amount: float) -> Value:
    return Value(amount, "psi/min", 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Train:
    """The train's pipe and the pressures of the two readings, ready to be worked with.

    Volumes in cu ft, pressures in psi.
    """

    pipe: float
    volume: float
    leakage_pressure: float
    flow_pressure: float

    def flow(self, fall: float) -> float:
        """Charged air flow, in cfm, of a fall read at the leakage pressure in psi/min."""
        return same_holes(
            flow=flow_of_fall(volume=self.volume, fall=fall),
            pressure=self.leakage_pressure,
            other_pressure=self.flow_pressure,
        )

    def fall(self, flow: float) -> float:
        """Fall at the leakage pressure, in psi/min, of a charged air flow in cfm."""
        after_the_set = same_holes(
            flow=flow, pressure=self.flow_pressure, other_pressure=self.leakage_pressure
        )
        return fall_of_flow(volume=self.volume, flow=after_the_set)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakageAndFlow(Outcome):
    """A leakage as an air flow, an air flow as a leakage, and both limits on this train."""

    flow_from_leakage: Annotated[
        float | None,
        Quantity(term="This leakage as air flow", unit="cfm", digits=1, blank=NOT_GIVEN_LEAKAGE),
    ]
    leakage_from_flow: Annotated[
        float | None,
        Quantity(term="This air flow as leakage", unit="psi/min", digits=1, blank=NOT_GIVEN_FLOW),
    ]
    flow_at_leakage_limit: Annotated[
        float, Quantity(term="The leakage limit as air flow", unit="cfm", digits=1)
    ]
    leakage_at_flow_limit: Annotated[
        float,
        Quantity(
            term="The air flow limit as leakage",
            unit="psi/min",
            digits=1,
            help="the limit for air from one place",
        ),
    ]
    pipe_volume: Annotated[
        float, Quantity(term="Brake pipe of the cars holds", unit="cu ft", digits=1)
    ]
    cars_where_alike: Annotated[
        float,
        Quantity(
            term="Cars at which the two limits would be one",
            unit="",
            help="same cars, same pressures",
        ),
    ]


@calculator(
    "leakage-and-flow",
    title="Leakage and air flow",
    question="What is this brake pipe leakage as an air flow, and this air flow as a leakage?",
    first=FirstScreen(
        figures={
            "flow_from_leakage": "flow by that leakage",
            "leakage_from_flow": "leakage by that flow",
        },
        asked={"": "leakage {leakage}, air flow {air_flow}"},
        keys=(
            Key(field="leakage", step=0.5),
            Key(field="air_flow"),
            Key(field="air_sources"),
        ),
        line={"cars": "cars", "leakage_pressure": "leakage read at", "flow_pressure": "flow at"},
        means={"": "parts/air-flow-indicator/"},
    ),
    sources=(
        Citation("CFR-232-205", "(c)(1)"),
        Citation("CFR-232-207", "(b)"),
        Citation("CFR-232-209"),
        Citation("CFR-232-103", "(m)"),
        Citation("KC77"),
        Citation("AH88"),
    ),
    validity=(
        "Leaks stay the same holes; they pass air in proportion to absolute pressure.",
        "The leakage reading is steady and the air flow has settled: nothing is still charging.",
    ),
    leaves_out=(
        "The locomotives' own pipe and leaks, hoses and fittings of other widths.",
        "Where the leak is: far from the supply the same leak lowers the rear more.",
        "Other atmospheres than 14.7 psi.",
    ),
    example_readings=readings("leakage", "air_flow"),
    judges=(
        "air-flow",
        "air-flow-two-sources",
        "air-flow-two-sources-by-reference",
        "air-flow-two-sources-own-words",
        "brake-pipe-leakage",
    ),
)
def leakage_and_flow(given: LeakageAndFlowInputs) -> LeakageAndFlow:
    """Turn leakage into air flow and back, at the pressures at which each was read.

    Returns
    -------
    LeakageAndFlow
        Flows in cfm, falls in psi/min.
    """
    pipe = pipe_volume(
        cars=given.train.cars, car_length=given.train.car_length, bore=float(given.pipe_bore)
    )
    reservoir = {
        "pipe": 0.0,
        "auxiliaries": given.car.auxiliary_volume,
        "reservoirs": given.car.auxiliary_volume + given.car.emergency_volume,
    }[given.falling]
    train = Train(
        pipe=pipe,
        volume=falling_volume(cars=given.train.cars, pipe=pipe, reservoir_volume=reservoir),
        leakage_pressure=given.after_the_set,
        flow_pressure=given.flow_pressure,
    )
    leakage_limit = find_limit("brake-pipe-leakage").figure
    flow_limit = find_limit("air-flow").figure
    at_limit = same_holes(
        flow=flow_limit, pressure=given.flow_pressure, other_pressure=given.after_the_set
    )
    alike = volume_where_alike(fall=leakage_limit, flow=at_limit)
    return LeakageAndFlow(
        flow_from_leakage=None if given.leakage is None else train.flow(given.leakage),
        leakage_from_flow=None if given.air_flow is None else train.fall(given.air_flow),
        flow_at_leakage_limit=train.flow(leakage_limit),
        leakage_at_flow_limit=train.fall(flow_limit),
        pipe_volume=pipe,
        cars_where_alike=given.train.cars * alike / train.volume,
        headline=_headline(train, given.leakage, given.air_flow),
        working=(
            _pipe_step(train, given.train.cars, given.train.car_length, given.pipe_bore),
            *_working(train, given.leakage, given.air_flow, given.air_sources),
        ),
        notes=tuple(_notes(train, given.air_flow, given.air_sources, given.falling)),
        readings=tuple(_readings(given.leakage, given.air_flow, given.air_sources)),
        series=(_curve(train, given.leakage),),
    )


def _headline(train: Train, leakage: float | None, air_flow: float | None) -> Phrase:
    parts: dict[str, Value] = {}
    halves: list[str] = []
    if leakage is not None:
        halves.append("{leakage} is about {as_flow} once charged")
        parts |= {"leakage": _fall(leakage), "as_flow": _flow(train.flow(leakage))}
    if air_flow is not None:
        halves.append("{flow} is about {as_fall} after the set")
        parts |= {"flow": _flow(air_flow), "as_fall": _fall(train.fall(air_flow))}
    if not halves:
        halves = ["on this train {fall} is about {fall_flow}", "{limit} is about {limit_fall}"]
        fall, flow = find_limit("brake-pipe-leakage").figure, find_limit("air-flow").figure
        parts = {
            "fall": _fall(fall),
            "fall_flow": _flow(train.flow(fall)),
            "limit": _flow(flow),
            "limit_fall": _fall(train.fall(flow)),
        }
    text = "; ".join(halves)
    return Phrase(at_begin(text) + ".", parts)


def _pipe_step(train: Train, cars: float, car_length: float, pipe_bore: str) -> Step:
    return Step(
        label="Brake pipe",
        shows="pipe_volume",
        how=say(
            "{cars} cars × {length} of pipe, {bore} inside",
            cars=Value(cars, ""),
            length=Value(car_length, "ft"),
            bore=Value(float(pipe_bore), "in", 3),
        ),
        value=Value(train.pipe, "cu ft", 1),
    )


def _working(
    train: Train, leakage: float | None, air_flow: float | None, air_sources: str
) -> Iterator[Step]:
    if train.volume > train.pipe:
        yield Step(
            label="Falls with it",
            how=say("The cars' reservoirs counted in"),
            value=Value(train.volume, "cu ft", 1),
        )
    if leakage is not None:
        yield from _leakage_steps(train, leakage)
    if air_flow is not None:
        yield from _flow_steps(train, air_flow)
    fall = find_limit("brake-pipe-leakage").figure
    yield Step(
        label="The leakage limit on this train",
        shows="flow_at_leakage_limit",
        how=say("{fall}, in the same way", fall=_fall(fall)),
        value=_flow(train.flow(fall)),
    )
    for flow in sorted({find_limit(id).figure for id in flow_limits(air_sources)}):
        yield Step(
            label="The air flow limit on this train",
            shows="leakage_at_flow_limit" if flow == find_limit("air-flow").figure else "",
            how=say("{flow}, in the same way", flow=_flow(flow)),
            value=_fall(train.fall(flow)),
        )


def _leakage_steps(train: Train, leakage: float) -> Iterator[Step]:
    read = flow_of_fall(volume=train.volume, fall=leakage)
    yield Step(
        label="Air lost while the leakage was read",
        how=say(
            "{volume} × {fall} ÷ {atmosphere}",
            volume=Value(train.volume, "cu ft", 1),
            fall=_fall(leakage),
            atmosphere=psi(ATMOSPHERE, 1),
        ),
        value=_flow(read),
    )
    yield Step(
        label="The same holes, charged",
        shows="flow_from_leakage",
        how=say(
            "{flow} × ({charged} + {atmosphere}) ÷ ({low} + {again})",
            flow=_flow(read),
            charged=psi(train.flow_pressure),
            atmosphere=psi(ATMOSPHERE, 1),
            low=psi(train.leakage_pressure),
            again=psi(ATMOSPHERE, 1),
        ),
        value=_flow(train.flow(leakage)),
    )


def _flow_steps(train: Train, air_flow: float) -> Iterator[Step]:
    after = same_holes(
        flow=air_flow, pressure=train.flow_pressure, other_pressure=train.leakage_pressure
    )
    yield Step(
        label="The same holes after the set",
        how=say(
            "{flow} × ({low} + {atmosphere}) ÷ ({charged} + {again})",
            flow=_flow(air_flow),
            low=psi(train.leakage_pressure),
            atmosphere=psi(ATMOSPHERE, 1),
            charged=psi(train.flow_pressure),
            again=psi(ATMOSPHERE, 1),
        ),
        value=_flow(after),
    )
    yield Step(
        label="The pipe would fall by",
        shows="leakage_from_flow",
        how=say(
            "{flow} × {atmosphere} ÷ {volume}",
            flow=_flow(after),
            atmosphere=psi(ATMOSPHERE, 1),
            volume=Value(train.volume, "cu ft", 1),
        ),
        value=_fall(train.fall(air_flow)),
    )


def _notes(train: Train, air_flow: float | None, air_sources: str, falling: str) -> Iterator[Note]:
    fall, flow = find_limit("brake-pipe-leakage").figure, find_limit("air-flow").figure
    if train.leakage_pressure > train.flow_pressure:
        yield Note(
            kind="warning",
            text=say(
                "The leakage pressure {low} is over the charged pressure {charged}: "
                "the leakage is read after a set. Check the two.",
                low=psi(train.leakage_pressure),
                charged=psi(train.flow_pressure),
            ),
        )
    if falling != "pipe":
        yield Note(
            kind="warning",
            text=say(
                "With reservoirs falling too, the gauge falls slowly and hides the leak. "
                "The test is read after a set, where the pipe alone falls."
            ),
        )
    first = "leakage" if train.flow(fall) < flow else "air flow"
    yield Note(
        text=say(
            "{fall} and {flow} are two limits, not one. On this train the {first} limit is "
            "reached first; they are alternatives, so say which one was read.",
            fall=_fall(fall),
            flow=_flow(flow),
            first=first,
        )
    )
    if air_flow is not None and air_flow <= flow and train.fall(air_flow) > fall:
        yield Note(
            text=say(
                "This air flow is not over {flow}, yet read as leakage the same holes would show about "
                "{as_fall}, over {fall}: the other method would not have it.",
                flow=_flow(flow),
                as_fall=_fall(train.fall(air_flow)),
                fall=_fall(fall),
            )
        )
    if air_flow is not None:
        error = find_limit("flow-indicator-error").figure
        yield Note(
            text=say(
                "The air flow indicator itself may be {error} off either way, here {share}.",
                error=Value(error, "cfm"),
                share=_fall(train.fall(error)),
            )
        )
    if air_sources == "two-or-more":
        yield Note(
            text=say(
                "Leaks are fed from every place that gives air: add up what each indicator "
                "shows, or the leakage comes out too small."
            )
        )
        yield Note(text=combined_flow())
    yield Note(
        text=say(
            "Leakage is read with the brake valve cut out or lapped. Cut in, it feeds the leak and "
            "the gauge does not move. Before cutting in again, bring the equalizing reservoir a little "
            "below the brake pipe."
        )
    )
    yield Note(
        text=say(
            "Air flow counts once it is steady: while cars still charge, it shows that as well. "
            "The method needs a 26-L or other brake valve that maintains pressure."
        )
    )


def _readings(leakage: float | None, air_flow: float | None, air_sources: str) -> Iterator[Reading]:
    if leakage is not None or air_flow is None:
        yield Reading(limit="brake-pipe-leakage", value=None if leakage is None else _fall(leakage))
    if air_flow is not None or leakage is None:
        value = None if air_flow is None else _flow(air_flow)
        for limit in flow_limits(air_sources):
            yield Reading(limit=limit, value=value)


def _curve(train: Train, leakage: float | None) -> Series:
    """Air flow against leakage, as read and charged, with the flow limit across."""
    falls = [float(fall) for fall in range(CURVE_TO + 1)]
    limit = find_limit("air-flow").figure
    marked = leakage is not None and leakage <= CURVE_TO
    return Series(
        title="Air flow against leakage on this train",
        x=Axis(term="Leakage read", unit="psi/min"),
        y=Axis(term="Air flow", unit="cfm"),
        lines=(
            Line(
                name="Air lost after the set",
                points=tuple((f, flow_of_fall(volume=train.volume, fall=f)) for f in falls),
                color="equalizing_reservoir",
            ),
            Line(
                name="The same holes, charged",
                points=tuple((f, train.flow(f)) for f in falls),
                color="brake_pipe",
            ),
            Line(
                name="Air flow limit",
                points=tuple((f, limit) for f in falls),
                color="exhaust",
            ),
        ),
        marked=((leakage, train.flow(leakage)),) if marked and leakage is not None else (),
        note="The lines are steeper the longer the train: its pipe holds more air.",
    )
