"""The `exhaust-time` calculator: how long the head should blow, and which train a blow fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Words
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
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.declaring.vocabulary import (
    Atmosphere,
    BrakePipeSetting,
    CarLength,
    Cars,
    PipeBore,
    Reduction,
)
from calculators.equipment.exhaust import (
    LONG_SHARE,
    SERVICE_RATE,
    SHORT_SHARE,
    SLOWEST_END,
    SLOWEST_START,
    Blow,
    blow,
    cars_that_fit,
    drain_time,
)
from calculators.law.records import Citation
from calculators.questions.shared.car import CAR

CURVE_POINTS = 20
# The air flow that a train may have at most in its brake test [S: 49 CFR 232.205].
MOST_FLOW = 60.0


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
    first=FirstScreen(
        figures={"shortest": "at least", "longest": "at most", "fits": "what was heard"},
        asked={"": "{reduction:bare} off {brake_pipe_setting}, {cars} cars"},
        keys=(
            Key(field="reduction", presets=(6, 10, 12, 15, 20, 26)),
            Key(field="heard", step=5),
            Key(field="cars", step=5),
        ),
        line={"brake_pipe_setting": "", "car_length": "cars of"},
        means={"": "parts/angle-cock/"},
    ),
    sources=(
        Citation("RLE", "equalizing reservoir 110 to 90 in 5.5 to 6 s"),
        Citation("ARMY-203", "quick service"),
        Citation("TSB-17Q", "a cock closed before the exhaust stopped"),
        Citation("NTSB-96C", "a restriction that was not found"),
        Citation("CFR-232-205", "(c)(1), air flow"),
    ),
    validity=(
        "A band: what quick service lets out on the cars is known too badly for a single figure.",
        "One reduction from a charged train; the blow is timed from the handle's move to its end.",
        "The reference's own train model falls inside the band; no measured blow was found.",
    ),
    leaves_out=(
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
    air_flow: Annotated[
        float | None,
        Quantity(
            term="Air flow into the train, charged",
            unit="cfm",
            low=0,
            high=200,
            help="What leaks out does not come back to the head: leakage shortens the blow.",
            blank="taken as none",
        ),
    ] = None,
    pipe_bore: PipeBore = "1.278",
    atmosphere: Atmosphere = CAR.atmosphere,
) -> ExhaustTime:
    """Give the band for the blow at the head.

    Parameters
    ----------
    brake_pipe_setting, reduction
        Brake pipe before the set, and the reduction. [psi]
    cars, car_length, pipe_bore
        The train: cars, length [ft] and bore [in] of their brake pipe.
    heard, air_flow
        Time that the head was heard to blow [s], and air flow with the train charged [cfm].
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

    def band_of(number: float, flow: float) -> Blow:
        return blow(
            cars=number,
            car_length=car_length,
            charged=brake_pipe_setting,
            reduction=reduction,
            leakage=flow * number / cars,
            bore=bore,
            atmosphere=atmosphere,
        )

    flow = air_flow or 0.0
    band = band_of(cars, flow)
    fitting = None
    if heard is not None:
        fitting = cars_that_fit(
            seconds=heard,
            cars=int(cars),
            car_length=car_length,
            charged=brake_pipe_setting,
            reduction=reduction,
            leakage=flow,
            bore=bore,
            atmosphere=atmosphere,
        )
    friction = drain_time(
        length=cars * car_length,
        from_pressure=brake_pipe_setting,
        to_pressure=brake_pipe_setting - reduction,
        leakage=flow,
        bore=bore,
        atmosphere=atmosphere,
    )
    facts = _Facts(
        cars=int(cars),
        reduction=reduction,
        air_flow=air_flow,
        heard=heard,
        fitting=fitting,
        band=band,
        friction=friction,
        shortest_at_limit=band_of(cars, MOST_FLOW).shortest,
    )
    numbers = sorted({max(1, round(cars * n / CURVE_POINTS)) for n in range(CURVE_POINTS + 1)})
    return ExhaustTime(
        shortest=band.shortest,
        longest=band.longest,
        fits=_fits(facts),
        headline=_headline(facts),
        working=tuple(_working(facts)),
        notes=tuple(_notes(facts)),
        series=(_curve({number: band_of(number, flow) for number in numbers}, cars, heard),),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Facts:
    """What the sentences of one answer are made from."""

    cars: int
    reduction: float
    air_flow: float | None
    heard: float | None
    fitting: tuple[int, int] | None
    band: Blow
    friction: float
    shortest_at_limit: float

    def too_short(self) -> bool:
        """Whether the blow heard is under the band."""
        return self.heard is not None and self.heard < self.band.shortest

    def too_long(self) -> bool:
        """Whether the blow heard is over the band."""
        return self.heard is not None and self.heard > self.band.longest


def _fits(facts: _Facts) -> str:
    if facts.heard is None:
        return "no blow was timed"
    if facts.fitting is None:
        return "more than these cars" if facts.too_long() else "not even one car"
    least, most = facts.fitting
    return f"the first {least} to {most} of {facts.cars} cars"


def _headline(facts: _Facts) -> Phrase:
    shortest, longest = Value(facts.band.shortest, "s"), Value(facts.band.longest, "s")
    if facts.heard is None:
        return say(
            "{off} off with {cars} cars: the head should blow for somewhere from {shortest} to "
            "{longest}.",
            off=psi(facts.reduction),
            cars=facts.cars,
            shortest=shortest,
            longest=longest,
        )
    heard = Value(facts.heard, "s")
    if facts.too_short():
        template = (
            "{heard} is too short for {cars} cars: {shortest} to {longest} was to be expected."
        )
    elif facts.too_long():
        template = (
            "{heard} is longer than {cars} cars should take: {shortest} to {longest} was to be "
            "expected."
        )
    else:
        template = "{heard} lies in the band of {cars} cars, {shortest} to {longest}."
    return say(template, heard=heard, cars=facts.cars, shortest=shortest, longest=longest)


def _working(facts: _Facts) -> Iterator[Step]:
    equalizing = facts.reduction / SERVICE_RATE
    yield Step(
        label="Equalizing reservoir comes down",
        how=say(
            "{off} at about {rate} in a second", off=psi(facts.reduction), rate=psi(SERVICE_RATE, 1)
        ),
        value=Value(equalizing, "s", 1),
    )
    yield Step(
        label="Friction along the pipe",
        how=(
            say(
                "If all the air had to leave at the head, less the {flow} that leak out on the way.",
                flow=Value(facts.air_flow, "cfm"),
            )
            if facts.air_flow
            else say("If all the air had to leave at the head and none leaked out on the way.")
        ),
        value=Value(facts.friction, "s"),
    )
    yield Step(
        label="At least",
        shows="shortest",
        how=say(
            "{share} of that, as quick service lets much of it out on the cars, and not under {part} "
            "of the equalizing reservoir's time",
            share=Value(100 * SHORT_SHARE, "%"),
            part=Value(100 * SLOWEST_START, "%"),
        ),
        value=Value(facts.band.shortest, "s"),
    )
    yield Step(
        label="At most",
        shows="longest",
        how=say(
            "{share} of the friction, the equalizing reservoir's time, and {end} for the exhaust to "
            "shut",
            share=Value(100 * LONG_SHARE, "%"),
            end=Value(SLOWEST_END, "s"),
        ),
        value=Value(facts.band.longest, "s"),
    )


def _warn(template: str, **parts: Value | str | int) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def _notes(facts: _Facts) -> Iterator[Note]:
    if facts.too_short():
        yield _warn(
            "A short blow on a long train is the sign of a closed angle cock or a blocked pipe; this "
            "one fits {fit}. Cars behind it may have no brake at all. Do not rely on this train "
            "until the rear gauge or a person at the rear has answered.",
            fit=_fits(facts),
        )
        if facts.air_flow is None and facts.shortest_at_limit < facts.band.shortest:
            yield Note(
                text=say(
                    "A leaking train blows shorter too: with {flow}, the most a brake test allows, "
                    "{shortest} could be enough. Put in the flow you read; a leak does not clear the "
                    "train of a closed cock.",
                    flow=Value(MOST_FLOW, "cfm"),
                    shortest=Value(facts.shortest_at_limit, "s"),
                )
            )
    elif facts.too_long():
        yield _warn(
            "A blow that does not end means air still comes from somewhere: more pipe than you "
            "think, a valve that feeds it, or an exhaust that does not seat."
        )
    elif facts.heard is not None:
        yield _warn(
            "The blow fits {cars} cars, and part of them as well. It does not show that the pipe is "
            "open to the rear.",
            cars=facts.cars,
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
