"""The `exhaust-time` calculator: how long the head should blow, and which train a blow fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Words
from calculators.base.registry import calculator
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
from calculators.base.sources import Citation
from calculators.base.vocabulary import (
    Atmosphere,
    BrakePipeSetting,
    CarLength,
    Cars,
    PipeBore,
    Reduction,
)
from calculators.equipment.exhaust import (
    LONG_SHARE,
    MOST_CARS,
    SERVICE_RATE,
    SHORT_SHARE,
    Blow,
    blow,
    cars_that_fit,
    drain_time,
)

CURVE = (1, 5, 10, 15, 20, 26, 30, 40, 50, 60, 70, 80, 90, 100, 110, 118, 130, 140, 150)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhaustTime(Outcome):
    """The band for the blow, and the train that a timed blow fits."""

    shortest: Annotated[float, Quantity(term="The head should blow for at least", unit="s")]
    longest: Annotated[float, Quantity(term="and for at most", unit="s")]
    fits: Annotated[str, Words(term="The blow you timed fits")]


@calculator(
    "exhaust-time",
    title="Exhaust time at the head",
    question="How long should the exhaust at the head blow for this train, and what if it stops early?",
    sources=(
        Citation("RLE", "equalizing reservoir 110 to 90 in 5.5 to 6 s"),
        Citation("ARMY-203", "quick service"),
        Citation("TSB-17Q", "a cock closed before the exhaust stopped"),
        Citation("NTSB-96C", "a restriction that was not found"),
    ),
    validity=(
        "A band: what quick service lets out on the cars is known too badly for a single figure.",
        "One reduction from a charged train; the blow is timed from the handle's move to its end.",
    ),
    leaves_out=(
        "Leakage, which shortens the blow and can hide its end.",
        "Locomotives and empty pipe beside the cars; brake valves in the train, which let out their share.",
    ),
    estimate=(
        "An estimate for learning. A blow within the band does not show that the train is whole: "
        "only the rear gauge or a person at the rear does."
    ),
)
def exhaust_time(
    *,
    brake_pipe_setting: BrakePipeSetting = 90.0,
    reduction: Reduction = 10.0,
    cars: Cars = 118.0,
    car_length: CarLength = 55.0,
    heard: Annotated[
        float | None,
        Quantity(
            term="The head blew for",
            unit="s",
            low=0,
            high=1200,
            help="If you have timed it.",
            blank="not timed",
        ),
    ] = None,
    pipe_bore: PipeBore = "1.278",
    atmosphere: Atmosphere = 14.7,
) -> ExhaustTime:
    """Give the band for the blow at the head.

    Parameters
    ----------
    brake_pipe_setting, reduction
        Brake pipe before the set, and the reduction. [psi]
    cars, car_length, pipe_bore
        The train: cars, length [ft] and bore [in] of their brake pipe.
    heard
        Time that the head was heard to blow. [s]
    atmosphere
        Pressure of the atmosphere. [psi abs]

    Returns
    -------
    ExhaustTime
        The band [s] and the train that fits the blow heard.

    Raises
    ------
    InputError
        If the reduction is more than the setting.
    """
    if reduction > brake_pipe_setting:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; the brake pipe holds only {brake_pipe_setting:g} psi, "
            "so no more than that can come off.",
        )
    bore = float(pipe_bore)

    def band_of(number: float) -> Blow:
        return blow(
            cars=number,
            car_length=car_length,
            charged=brake_pipe_setting,
            reduction=reduction,
            bore=bore,
            atmosphere=atmosphere,
        )

    band = band_of(cars)
    fitting = None
    if heard is not None:
        fitting = cars_that_fit(
            seconds=heard,
            car_length=car_length,
            charged=brake_pipe_setting,
            reduction=reduction,
            bore=bore,
            atmosphere=atmosphere,
        )
    friction = drain_time(
        length=cars * car_length,
        from_pressure=brake_pipe_setting,
        to_pressure=brake_pipe_setting - reduction,
        bore=bore,
        atmosphere=atmosphere,
    )
    return ExhaustTime(
        shortest=band.shortest,
        longest=band.longest,
        fits=_fits(heard, fitting),
        headline=_headline(int(cars), reduction, band, heard),
        working=tuple(_working(reduction, friction, band)),
        notes=tuple(_notes(int(cars), band, heard, fitting)),
        series=(_curve({number: band_of(number) for number in (*CURVE, int(cars))}, cars, heard),),
    )


def _fits(heard: float | None, fitting: tuple[int, int] | None) -> str:
    if heard is None:
        return "no blow was timed"
    if fitting is None:
        return "no train: shorter than one car's"
    least, most = fitting
    if most == MOST_CARS:
        return f"{least} cars or more"
    return f"about {least} to {most} cars"


def _headline(cars: int, reduction: float, band: Blow, heard: float | None) -> Phrase:
    shortest, longest = Value(band.shortest, "s"), Value(band.longest, "s")
    if heard is not None and heard < band.shortest:
        return say(
            "{heard} is too short for {cars} cars: {shortest} to {longest} was to be expected.",
            heard=Value(heard, "s"),
            cars=cars,
            shortest=shortest,
            longest=longest,
        )
    if heard is not None and heard > band.longest:
        return say(
            "{heard} is longer than {cars} cars should take: {shortest} to {longest} was to be "
            "expected.",
            heard=Value(heard, "s"),
            cars=cars,
            shortest=shortest,
            longest=longest,
        )
    return say(
        "{off} off with {cars} cars: the head should blow for somewhere from {shortest} to {longest}.",
        off=psi(reduction),
        cars=cars,
        shortest=shortest,
        longest=longest,
    )


def _working(reduction: float, friction: float, band: Blow) -> Iterator[Step]:
    yield Step(
        label="Equalizing reservoir comes down",
        how=say("{off} at about {rate} in a second", off=psi(reduction), rate=psi(SERVICE_RATE, 1)),
        value=Value(reduction / SERVICE_RATE, "s", 1),
    )
    yield Step(
        label="Friction along the pipe",
        how=say(
            "If every bit of air had to leave at the head; grows with the length to the power 3/2."
        ),
        value=Value(friction, "s"),
    )
    yield Step(
        label="At least",
        how=say(
            "{share} of that, as quick service lets much of it out on the cars; never less than the "
            "equalizing reservoir takes",
            share=Value(100 * SHORT_SHARE, "%"),
        ),
        value=Value(band.shortest, "s"),
    )
    yield Step(
        label="At most",
        how=say(
            "The equalizing reservoir's time and {share} of the friction",
            share=Value(100 * LONG_SHARE, "%"),
        ),
        value=Value(band.longest, "s"),
    )


def _notes(
    cars: int, band: Blow, heard: float | None, fitting: tuple[int, int] | None
) -> Iterator[Note]:
    if heard is not None and heard < band.shortest:
        fit = "no train at all" if fitting is None else f"about {fitting[0]} to {fitting[1]} cars"
        yield Note(
            kind="warning",
            text=say(
                "A short blow on a long train is the sign of a closed angle cock or a blocked pipe: "
                "this one fits {fit}. Cars behind it may have no brake at all. Do not rely on this train "
                "until the rear gauge or a person at the rear has answered.",
                fit=fit,
            ),
        )
    elif heard is not None and heard > band.longest:
        yield Note(
            kind="warning",
            text=say(
                "A blow that does not end means air still comes from somewhere: more pipe than you "
                "think, a valve that feeds it, or an exhaust that does not seat."
            ),
        )
    elif heard is not None:
        yield Note(
            kind="warning",
            text=say(
                "The blow fits {cars} cars, and many a shorter train as well. It does not show that "
                "the pipe is open to the rear.",
                cars=cars,
            ),
        )
    yield Note(
        text=say(
            "Closing an angle cock while the exhaust still blows shuts in a pipe that has not come "
            "down: the air behind it evens out and can release those cars."
        )
    )


def _curve(bands: dict[int, Blow], cars: float, heard: float | None) -> Series:
    numbers = sorted(bands)
    return Series(
        title="Blow at the head against the cars in the train",
        x=Axis(term="Cars", unit=""),
        y=Axis(term="Blow", unit="s"),
        lines=(
            Line(
                name="At most",
                points=tuple((float(n), bands[n].longest) for n in numbers),
                color="exhaust",
            ),
            Line(
                name="At least",
                points=tuple((float(n), bands[n].shortest) for n in numbers),
                color="brake_pipe",
            ),
        ),
        marked=((cars, heard),) if heard is not None else (),
        note="The mark is the blow you timed." if heard is not None else "",
    )
