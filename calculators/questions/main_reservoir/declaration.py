"""The `main-reservoir` calculator: pumping up, leakage, the compressor's settings and its proof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Annotated

from calculators.base.errors import InputError
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
    plain,
    psi,
    say,
)
from calculators.base.units import ATMOSPHERE, CUBIC_INCHES_PER_CUBIC_FOOT
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.air_supply import (
    NO_LEAK,
    Leak,
    Settings,
    delivery_of_rise,
    highest_pressure,
    orifice_delivery,
    pump_up_time,
    settings,
)
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.questions.main_reservoir.inputs import MainReservoirInputs

CURVE_POINTS = 20


def _result(term: str, help: str = "") -> Quantity:
    """A pressure that comes out."""
    return Quantity(term=term, unit="psi", help=help)


@dataclass(frozen=True, slots=True, kw_only=True)
class MainReservoir(Outcome):
    """The pump-up time, the settings that follow from the two pressures, and measured delivery."""

    time: Annotated[
        float | None,
        Quantity(term="Pump-up time", unit="min", digits=1, blank="never reached"),
    ]
    highest_pressure: Annotated[
        float | None,
        Quantity(
            term="Leakage takes the whole delivery at", unit="psi", blank="no pressure reached here"
        ),
    ]
    compressor_start: Annotated[float, _result("Compressor starts no lower than")]
    compressor_stop: Annotated[
        float,
        _result(
            "Compressor stops no lower than",
            "from the lowest start; from a higher one the rise counts",
        ),
    ]
    governor_low: Annotated[float, _result("Governor acts between")]
    governor_high: Annotated[float, _result("and")]
    safety_valve: Annotated[float, _result("Safety valve keeps it under")]
    leakage_start: Annotated[float, _result("Leakage test starts at")]
    measured_delivery: Annotated[
        float | None,
        Quantity(term="Delivery by your timing", unit="cfm", blank="no time was read"),
    ]
    orifice_delivery: Annotated[
        float | None,
        Quantity(term="Delivery through the orifice", unit="cfm", blank="no orifice was given"),
    ]


@calculator(
    "main-reservoir",
    title="Main reservoir and compressor",
    question="How long does the main reservoir take to pump up, and how must its compressor be set?",
    first=FirstScreen(
        figures={
            "time": "pumped up in",
            "compressor_start": "starts at, or higher",
            "compressor_stop": "stops no lower than",
        },
        asked={"": "{from_pressure:bare} to {to_pressure} with {delivery}"},
        keys=(
            Key(field="from_pressure", step=5),
            Key(field="to_pressure", step=5),
            Key(field="delivery", step=10),
            Key(field="leakage", step=0.5),
        ),
        line={"brake_pipe_setting": "", "working_pressure": "working", "volume": "volume"},
        means={"": "parts/compressor-and-governor/"},
    ),
    sources=(
        Citation("CFR-229-49"),
        Citation("CFR-229-59", "(a)"),
        Citation("CFR-229-31"),
        Citation("CFR-230-71", "orifice testing of steam compressors"),
        Citation("ARRC-96", "page 63-6"),
    ),
    validity=(
        "Air at one temperature. Just after pumping it is warm, and the gauge falls as it cools.",
        "The orifice is choked: from about 14 psi upward.",
    ),
    leaves_out=(
        "Air used meanwhile by brakes, dryer purge, horn, bell and sanders.",
        "A delivery that falls as the pressure rises, or with engine speed.",
        "Other atmospheres than 14.7 psi.",
    ),
    judges=(
        "compressor-run",
        "compressor-start-over-brake-pipe",
        "governor-error",
        "main-reservoir-leakage",
        "safety-valve-over-working",
    ),
)
def main_reservoir(given: MainReservoirInputs) -> MainReservoir:
    """Work out pump-up, settings and delivery.

    Returns
    -------
    MainReservoir
        Time in min, pressures in psi, deliveries in cfm.

    Raises
    ------
    InputError
        If the end pressure lies under the start, or the stop read under the start read.
    """
    if given.to_pressure < given.from_pressure:
        raise InputError(
            "to_pressure",
            f"To is {plain(given.to_pressure)} psi; it must be {plain(given.from_pressure)} psi or more, "
            "where the pumping starts.",
        )
    if (
        given.start_read is not None
        and given.stop_read is not None
        and given.stop_read < given.start_read
    ):
        raise InputError(
            "stop_read",
            f"Compressor stopped at {plain(given.stop_read)} psi; it must be {plain(given.start_read)} psi or "
            "more, where it started.",
        )
    found = settings(
        brake_pipe_setting=given.brake_pipe_setting, working_pressure=given.working_pressure
    )
    leak = Leak(fall=given.leakage, pressure=found.leakage_start) if given.leakage else NO_LEAK
    cubic_feet = given.volume / CUBIC_INCHES_PER_CUBIC_FOOT
    minutes = pump_up_time(
        volume=cubic_feet,
        from_pressure=given.from_pressure,
        to_pressure=given.to_pressure,
        delivery=given.delivery,
        leak=leak,
    )
    time = minutes if minutes < inf else None
    highest = highest_pressure(volume=cubic_feet, delivery=given.delivery, leak=leak)
    measured = None
    if given.time_read is not None:
        measured = delivery_of_rise(
            volume=cubic_feet, rise=given.to_pressure - given.from_pressure, minutes=given.time_read
        )
    through = None
    if given.orifice is not None:
        through = orifice_delivery(
            diameter=given.orifice,
            pressure=given.orifice_pressure,
            discharge_coefficient=given.discharge_coefficient,
            temperature=given.temperature,
        )
    pumping = _Pumping(
        volume=cubic_feet,
        from_pressure=given.from_pressure,
        to_pressure=given.to_pressure,
        delivery=given.delivery,
        leak=leak,
    )
    return MainReservoir(
        time=time,
        highest_pressure=max(0.0, highest) if highest <= found.safety_valve else None,
        compressor_start=found.compressor_start,
        compressor_stop=found.compressor_stop,
        governor_low=found.governor_low,
        governor_high=found.governor_high,
        safety_valve=found.safety_valve,
        leakage_start=found.leakage_start,
        measured_delivery=measured,
        orifice_delivery=through,
        headline=_headline(pumping, time, found),
        working=(
            *_pump_steps(pumping, time, measured),
            *_setting_steps(found, given.brake_pipe_setting, given.working_pressure),
            *_orifice_steps(
                given.orifice, given.orifice_pressure, given.discharge_coefficient, through
            ),
        ),
        notes=tuple(_notes(pumping, found, time, highest, given.working_pressure, measured)),
        readings=tuple(
            _readings(
                given.leakage,
                given.start_read,
                given.stop_read,
                given.safety_valve_read,
                given.brake_pipe_setting,
                given.working_pressure,
            )
        ),
        series=(_curve(pumping),),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pumping:
    """One pump-up: volume in cu ft, pressures in psi, delivery in cfm, the leak."""

    volume: float
    from_pressure: float
    to_pressure: float
    delivery: float
    leak: Leak

    def time_to(self, pressure: float, leak: Leak) -> float:
        """Minutes from the start to a pressure."""
        return pump_up_time(
            volume=self.volume,
            from_pressure=self.from_pressure,
            to_pressure=pressure,
            delivery=self.delivery,
            leak=leak,
        )


def _headline(pumping: _Pumping, time: float | None, found: Settings) -> Phrase:
    start, stop = psi(found.compressor_start), psi(found.compressor_stop)
    if time is None:
        return say(
            "{end} is never reached: leakage takes the delivery first. Compressor: start at {start} "
            "or higher, stop no lower than {stop}.",
            end=psi(pumping.to_pressure),
            start=start,
            stop=stop,
        )
    return say(
        "{begin} to {end} in {time}. Compressor: start at {start} or higher, stop no lower than {stop}.",
        begin=psi(pumping.from_pressure),
        end=psi(pumping.to_pressure),
        time=Value(time, "min", 1),
        start=start,
        stop=stop,
    )


def _pump_steps(pumping: _Pumping, time: float | None, measured: float | None) -> Iterator[Step]:
    rise = pumping.to_pressure - pumping.from_pressure
    volume = Value(pumping.volume, "cu ft", 1)
    yield Step(
        label="Pump-up without leakage",
        shows="" if pumping.leak.fall > 0 else "time",
        how=say(
            "{volume} × {rise} ÷ ({atmosphere} × {delivery})",
            volume=volume,
            rise=psi(rise),
            atmosphere=psi(ATMOSPHERE, 1),
            delivery=Value(pumping.delivery, "cfm"),
        ),
        value=Value(pumping.time_to(pumping.to_pressure, NO_LEAK), "min", 1),
    )
    if pumping.leak.fall > 0:
        yield Step(
            label="With the leakage",
            shows="time",
            how=say(
                "{fall} read from {start}; the leak grows with absolute pressure",
                fall=Value(pumping.leak.fall, "psi/min", 1),
                start=psi(pumping.leak.pressure),
            ),
            value=None if time is None else Value(time, "min", 1),
        )
    if measured is not None:
        yield Step(
            label="Delivery by your timing",
            shows="measured_delivery",
            how=say(
                "{volume} × {rise} ÷ ({atmosphere} × the time read)",
                volume=volume,
                rise=psi(rise),
                atmosphere=psi(ATMOSPHERE, 1),
            ),
            value=Value(measured, "cfm"),
        )


def _setting_steps(found: Settings, pipe: float, working: float) -> Iterator[Step]:
    def over(id: str, base: float, words: str) -> Phrase:
        return say(
            f"{{base}} {words} {{figure}}", base=psi(base), figure=psi(find_limit(id).figure)
        )

    yield Step(
        label="Compressor starts no lower than",
        shows="compressor_start",
        how=over("compressor-start-over-brake-pipe", pipe, "brake pipe +"),
        value=psi(found.compressor_start),
    )
    yield Step(
        label="and stops no lower than",
        shows="compressor_stop",
        how=over("compressor-run", found.compressor_start, "+"),
        value=psi(found.compressor_stop),
    )
    yield Step(
        label="Governor at the most",
        shows="governor_high",
        how=over("governor-error", working, "working +"),
        value=psi(found.governor_high),
    )
    yield Step(
        label="Safety valve keeps it under",
        shows="safety_valve",
        how=over("safety-valve-over-working", working, "working +"),
        value=psi(found.safety_valve),
    )
    yield Step(
        label="Leakage test starts at",
        shows="leakage_start",
        how=say(
            "{share} of {working}",
            share=Value(find_limit("main-reservoir-leakage-start").figure, "%"),
            working=psi(working),
        ),
        value=psi(found.leakage_start),
    )


def _orifice_steps(
    orifice: float | None, pressure: float, coefficient: float, through: float | None
) -> Iterator[Step]:
    if orifice is None or through is None:
        return
    yield Step(
        label="Orifice",
        shows="orifice_delivery",
        how=say(
            "{diameter} at {pressure}, choked: flow in proportion to area and absolute pressure, "
            "times {coefficient}",
            diameter=Value(orifice, "in", 3),
            pressure=psi(pressure),
            coefficient=Value(coefficient, "", 2),
        ),
        value=Value(through, "cfm"),
    )


def _notes(
    pumping: _Pumping,
    found: Settings,
    time: float | None,
    highest: float,
    working: float,
    measured: float | None,
) -> Iterator[Note]:
    if time is None:
        yield Note(
            kind="warning",
            text=say(
                "At {highest} the leakage takes the whole delivery.", highest=psi(max(0.0, highest))
            ),
        )
    if found.compressor_stop > found.governor_high:
        yield Note(
            kind="warning",
            text=say(
                "The two pressures leave no room: the compressor may not stop under {stop}, and the "
                "governor must act by {high}. The working pressure is too low for this brake pipe.",
                stop=psi(found.compressor_stop),
                high=psi(found.governor_high),
            ),
        )
    if pumping.to_pressure > working:
        yield Note(
            kind="warning",
            text=say(
                "{end} is over the maximum working pressure {working}.",
                end=psi(pumping.to_pressure),
                working=psi(working),
            ),
        )
    if measured is not None and pumping.leak.fall > 0:
        yield Note(
            text=say(
                "The timed delivery is what was left after the leakage; the compressor made more."
            )
        )
    yield Note(
        text=say(
            "Leakage: stop the compressor, drain or let down to {start}, wait until the gauge holds, "
            "then average {minutes}. Air that is still warm falls as it cools and looks like a leak.",
            start=psi(found.leakage_start),
            minutes=Value(find_limit("main-reservoir-leakage-time").figure, "min"),
        )
    )
    yield Note(
        text=say(
            "Safety valve and orifice tests are for qualified persons with the locomotive secured: "
            "air under this pressure injures."
        )
    )


def _readings(
    leakage: float | None,
    start: float | None,
    stop: float | None,
    valve: float | None,
    pipe: float,
    working: float,
) -> Iterator[Reading]:
    yield Reading(
        limit="main-reservoir-leakage",
        value=None if leakage is None else Value(leakage, "psi/min", 1),
    )
    if start is not None:
        yield Reading(limit="compressor-start-over-brake-pipe", value=psi(start - pipe))
    if start is not None and stop is not None:
        yield Reading(limit="compressor-run", value=psi(stop - start))
    if stop is not None:
        yield Reading(limit="governor-error", value=psi(abs(stop - working)))
    if valve is not None:
        yield Reading(limit="safety-valve-over-working", value=psi(valve - working))


def _curve(pumping: _Pumping) -> Series:
    """Time to each pressure, without and with the leakage."""
    rise = pumping.to_pressure - pumping.from_pressure
    pressures = [
        pumping.from_pressure + rise * point / CURVE_POINTS for point in range(CURVE_POINTS + 1)
    ]

    def line(name: str, leak: Leak, color: str) -> Line:
        times = [(pressure, pumping.time_to(pressure, leak)) for pressure in pressures]
        return Line(name=name, points=tuple((p, t) for p, t in times if t < inf), color=color)

    lines = [line("No leakage", NO_LEAK, "main_reservoir")]
    if pumping.leak.fall > 0:
        lines.append(line("With the leakage", pumping.leak, "exhaust"))
    return Series(
        title="Time to reach a pressure",
        x=Axis(term="Main reservoir", unit="psi"),
        y=Axis(term="Time", unit="min", digits=1),
        lines=tuple(lines),
    )
