"""The `exhaust-time` calculator: how long the head should blow, and which train a blow fits."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity, Words
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
from calculators.law.limit_list import find_limit
from calculators.law.records import Citation
from calculators.questions.exhaust_time import on_train
from calculators.questions.exhaust_time.inputs import ExhaustTimeInputs
from calculators.questions.shared.train_model import WHO

CURVE_POINTS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhaustTime(Outcome):
    """The band for the blow, and the train that a timed blow fits."""

    shortest: Annotated[float, Quantity(term="The head should blow for at least", unit="s")]
    longest: Annotated[float, Quantity(term="and for at most", unit="s")]
    fits: Annotated[str, Words(term="The blow you timed fits")]
    time: Annotated[
        float | None,
        Quantity(
            term="By the train model",
            unit="s",
            help="a nominal train, every car in order",
            blank="not by the train model",
        ),
    ]


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
        "A whole train may be done as soon as the reference's own train model says, where that is "
        "sooner than the sum: light sets on long trains. No measured blow was found.",
    ),
    leaves_out=(
        "Locomotives and empty pipe beside the cars; brake valves in the train, which let out their share.",
    ),
    estimate=(
        "An estimate for learning. A blow within the band does not show that the train is whole: "
        "only the rear gauge or a person at the rear does."
    ),
)
def exhaust_time(given: ExhaustTimeInputs) -> ExhaustTime:
    """Give the band for the blow at the head.

    Returns
    -------
    ExhaustTime
        The band [s] and the train that fits the blow heard.

    Raises
    ------
    InputError
        If the reduction is more than the setting.
    """
    setting, reduction = given.brake_pipe_setting, given.reduction
    if reduction > setting:
        raise InputError(
            "reduction",
            f"Reduction is {reduction:g} psi; the brake pipe holds only {setting:g} psi, "
            "so no more than that can come off.",
        )
    cars, flow = given.train.cars, given.air_flow or 0.0
    band = _band(given, cars, flow)
    found = _Found(
        band=band,
        fitting=_fitting(given),
        friction=drain_time(
            length=cars * given.train.car_length,
            from_pressure=setting,
            to_pressure=setting - reduction,
            leakage=flow,
            bore=float(given.pipe_bore),
            atmosphere=given.car.atmosphere,
        ),
        shortest_at_limit=_band(given, cars, find_limit("air-flow").figure).shortest,
    )
    numbers = sorted({max(1, round(cars * n / CURVE_POINTS)) for n in range(CURVE_POINTS + 1)})
    first = ExhaustTime(
        shortest=band.shortest,
        longest=band.longest,
        fits=_fits(given, found),
        time=None,
        headline=_headline(given, found),
        working=tuple(_working(given, found)),
        notes=tuple(_notes(given, found)),
        series=(_curve({number: _band(given, number, flow) for number in numbers}, given),),
    )
    reason = on_train.why_not(given)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("time",),
            of=Progress(done=0.0, of=on_train.longest_run(band.longest)),
            work=partial(_with_model, first, given, found),
            lowers=("shortest",),
        ),
    )


def _with_model(
    first: ExhaustTime, given: ExhaustTimeInputs, found: _Found
) -> Generator[Progress, None, ExhaustTime]:
    """The first answer with the train model's blow; the whole train may be done as soon as that."""
    blown = yield from on_train.run_blow(given, found.band.longest)
    sum_shortest = found.band.shortest
    if blown.seconds is not None and blown.shortest() < sum_shortest:
        found = _with_shortest(given, found, blown.shortest())
    return replace(
        first,
        shortest=found.band.shortest,
        fits=_fits(given, found),
        time=blown.seconds,
        headline=_headline(given, found),
        working=(
            *_working(given, found, sum_shortest=sum_shortest),
            *on_train.working(blown),
        ),
        notes=(
            *_notes(given, found),
            *on_train.notes(given, blown, sum_shortest=sum_shortest),
        ),
        bands=({} if blown.seconds is None else {"time": blown.band()}),
        to_follow=None,
    )


def _with_shortest(given: ExhaustTimeInputs, found: _Found, shortest: float) -> _Found:
    """What was found, with a shorter blow of the whole train; a blow heard may fit all of it now."""
    band = replace(found.band, shortest=shortest)
    fitting = found.fitting
    if given.heard is not None and band.shortest <= given.heard <= band.longest:
        fitting = (fitting[0] if fitting else given.cars, given.cars)
    return replace(
        found,
        band=band,
        fitting=fitting,
        shortest_at_limit=min(found.shortest_at_limit, shortest),
    )


def _band(given: ExhaustTimeInputs, cars: float, flow: float) -> Blow:
    """The band for the first so many cars, with their share of the whole train's leakage [cfm]."""
    return blow(
        cars=cars,
        car_length=given.train.car_length,
        charged=given.brake_pipe_setting,
        reduction=given.reduction,
        leakage=flow * cars / given.train.cars,
        bore=float(given.pipe_bore),
        atmosphere=given.car.atmosphere,
    )


def _fitting(given: ExhaustTimeInputs) -> tuple[int, int] | None:
    """The least and the most cars that the blow heard fits."""
    if given.heard is None:
        return None
    return cars_that_fit(
        seconds=given.heard,
        cars=given.cars,
        car_length=given.train.car_length,
        charged=given.brake_pipe_setting,
        reduction=given.reduction,
        leakage=given.air_flow or 0.0,
        bore=float(given.pipe_bore),
        atmosphere=given.car.atmosphere,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What was worked out."""

    band: Blow
    fitting: tuple[int, int] | None
    friction: float
    shortest_at_limit: float

    def too_short(self, heard: float | None) -> bool:
        """Whether the blow heard is under the band."""
        return heard is not None and heard < self.band.shortest

    def too_long(self, heard: float | None) -> bool:
        """Whether the blow heard is over the band."""
        return heard is not None and heard > self.band.longest


def _fits(given: ExhaustTimeInputs, found: _Found) -> str:
    if given.heard is None:
        return "no blow was timed"
    if found.fitting is None:
        return "more than these cars" if found.too_long(given.heard) else "not even one car"
    least, most = found.fitting
    if given.cars == 1:
        return "the one car"
    return f"the first {least} to {most} of {given.cars} cars"


def _headline(given: ExhaustTimeInputs, found: _Found) -> Phrase:
    shortest, longest = Value(found.band.shortest, "s"), Value(found.band.longest, "s")
    if given.heard is None:
        return say(
            "{off} off with {cars} cars: the head should blow for somewhere from {shortest} to "
            "{longest}.",
            off=psi(given.reduction),
            cars=given.cars,
            shortest=shortest,
            longest=longest,
        )
    heard = Value(given.heard, "s")
    if found.too_short(given.heard):
        template = (
            "{heard} is too short for {cars} cars: {shortest} to {longest} was to be expected."
        )
    elif found.too_long(given.heard):
        template = (
            "{heard} is longer than {cars} cars should take: {shortest} to {longest} was to be "
            "expected."
            if found.fitting is None
            else "{heard} is longer than {cars} cars with this leakage should take, {shortest} to "
            "{longest}; a part of them blows longer than all."
        )
    else:
        template = "{heard} lies in the band of {cars} cars, {shortest} to {longest}."
    return say(template, heard=heard, cars=given.cars, shortest=shortest, longest=longest)


def _working(
    given: ExhaustTimeInputs, found: _Found, *, sum_shortest: float | None = None
) -> Iterator[Step]:
    """The sum; ``sum_shortest`` is its own least blow where the answer takes a shorter one. [s]."""
    least = found.band.shortest if sum_shortest is None else sum_shortest
    takes = least == found.band.shortest
    equalizing = given.reduction / SERVICE_RATE
    yield Step(
        label="Equalizing reservoir comes down",
        how=say(
            "{off} at about {rate} in a second", off=psi(given.reduction), rate=psi(SERVICE_RATE, 1)
        ),
        value=Value(equalizing, "s", 1),
    )
    yield Step(
        label="Friction along the pipe",
        how=(
            say(
                "If all the air had to leave at the head, less the {flow} that leak out on the way.",
                flow=Value(given.air_flow, "cfm"),
            )
            if given.air_flow
            else say("If all the air had to leave at the head and none leaked out on the way.")
        ),
        value=Value(found.friction, "s"),
    )
    yield Step(
        label="At least",
        shows="shortest" if takes else "",
        how=say(
            "{share} of that, as quick service lets much of it out on the cars, and not under {part} "
            "of the equalizing reservoir's time",
            share=Value(100 * SHORT_SHARE, "%"),
            part=Value(100 * SLOWEST_START, "%"),
        ),
        value=Value(least, "s"),
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
        value=Value(found.band.longest, "s"),
    )


def _warn(template: str, **parts: Value | str | int) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def _notes(given: ExhaustTimeInputs, found: _Found) -> Iterator[Note]:
    if found.too_short(given.heard):
        yield _warn(
            "A short blow on a long train is the sign of a closed angle cock or a blocked pipe; this "
            "one fits {fit}. Cars behind it may have no brake at all. Do not rely on this train "
            "until the rear gauge or a person at the rear has answered.",
            fit=_fits(given, found),
        )
        if given.air_flow is None and found.shortest_at_limit < found.band.shortest:
            yield Note(
                text=say(
                    "A leaking train blows shorter too: with {flow}, the most a brake test allows, "
                    "{shortest} could be enough. Put in the flow you read; a leak does not clear the "
                    "train of a closed cock.",
                    flow=Value(find_limit("air-flow").figure, "cfm"),
                    shortest=Value(found.shortest_at_limit, "s"),
                )
            )
    elif found.too_long(given.heard) and found.fitting is not None:
        yield _warn(
            "With so much leakage a part of the train, which leaks less, blows longer than all of "
            "it: this blow fits {fit}. A closed angle cock or a blocked pipe is one way to come to "
            "it. Do not rely on this train until the rear gauge or a person at the rear has "
            "answered.",
            fit=_fits(given, found),
        )
    elif found.too_long(given.heard):
        yield _warn(
            "A blow that does not end means air still comes from somewhere: more pipe than you "
            "think, a valve that feeds it, or an exhaust that does not seat."
        )
    elif given.heard is not None:
        yield _warn(
            "The blow fits {cars} cars, and part of them as well. It does not show that the pipe is "
            "open to the rear.",
            cars=given.cars,
        )
    yield Note(
        text=say(
            "Closing an angle cock while the exhaust still blows shuts in a pipe that has not come "
            "down: the air behind it evens out and can release those cars."
        )
    )


def _curve(bands: dict[int, Blow], given: ExhaustTimeInputs) -> Series:
    heard = given.heard
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
        marked=((given.train.cars, heard),) if heard is not None else (),
        note="The mark is the blow you timed." if heard is not None else "",
    )
