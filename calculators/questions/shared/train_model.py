"""What the calculators that run the train model share: its cover, its progress, its bands."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from dataclasses import replace

from calculators.base.results import Note, Phrase, Progress, Value, psi, say
from calculators.equipment.car import CarBrake
from calculators.equipment.running import follow
from calculators.equipment.train import BANDS, Car, Command, Run, Sample, Train, steady
from calculators.equipment.train.bands import Output
from calculators.equipment.train.consist import CAR_LENGTHS, MOST_CARS, SETTINGS
from calculators.equipment.train.tables import FREIGHT_VALVE, PIPE_LINE
from calculators.questions.shared.train import JF_3

WHO = "the train model"

LONGEST_RUN = 10_800.0
"""Longest run that a calculator asks for: three hours of train time. [s]"""

CHARGED_WITHIN = 1.0
"""A car counts as charged when its reservoirs are this near to what they come to. [psi] Our own."""

FITTED_AT = 90.0
"""Setting at which the valves were fitted. [psi]"""
FEW_CARS = 50.0
"""Under so many cars the charging band widens."""

HELD, HELD_PER_PSI = 90.0, 5.0
"""A set counts as settled after this, by a train of the longest kind. [s, and s for each psi off]"""

TRAVELS = (4.0, 12.0)
"""Piston travels that the train model follows. [in]"""
LEAST_UNSWEPT = 50.0
"""Least space in a cylinder that the piston does not sweep. [cu in]"""

_PARTS = 100
_LONGEST_SLAB = 20.0
_SAMPLE_SECONDS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0)
_MOST_SAMPLES = 400


def why_not_covered(*, cars: float, car_length: float, setting: float) -> Phrase | None:
    """Why the train model cannot follow this train; None if it can."""
    if (
        cars <= MOST_CARS
        and CAR_LENGTHS[0] <= car_length <= CAR_LENGTHS[1]
        and SETTINGS[0] <= setting <= SETTINGS[1]
    ):
        return None
    return say(
        "The train model follows up to {cars} cars of {short} to {long} at {low} to {high}; for "
        "this train it adds nothing.",
        cars=MOST_CARS,
        short=Value(CAR_LENGTHS[0], "ft"),
        long=Value(CAR_LENGTHS[1], "ft"),
        low=psi(SETTINGS[0]),
        high=psi(SETTINGS[1]),
    )


def why_car_not_covered(car: CarBrake) -> Phrase | None:
    """Why the train model cannot follow cars of this kind; None if it can."""
    low, high = TRAVELS
    if not low <= car.piston_travel <= high:
        return say(
            "The train model follows piston travels from {low} to {high}.",
            low=Value(low, "in"),
            high=Value(high, "in"),
        )
    if car.unswept < LEAST_UNSWEPT:
        return say(
            "The train model needs at least {least} in a cylinder that the piston does not sweep.",
            least=Value(LEAST_UNSWEPT, "cu in"),
        )
    return None


def like_cars(
    *,
    cars: float,
    car_length: float,
    setting: float,
    car: CarBrake,
    atmosphere: float,
    bore: str = JF_3.pipe_bore,
) -> Train:
    """A tight train of like cars behind one locomotive, charged to the setting."""
    valve = replace(
        FREIGHT_VALVE,
        auxiliary_volume=car.auxiliary_volume,
        emergency_volume=car.emergency_volume,
        cylinder_clearance=car.unswept,
    )
    one = Car(
        length=car_length,
        piston_travel=car.piston_travel,
        cylinder_bore=car.cylinder_bore,
        valve=valve,
    )
    return Train(
        cars=(one,) * int(cars),
        brake_pipe_setting=setting,
        locomotives=1,
        atmosphere=atmosphere,
        pipe=replace(PIPE_LINE, bore=float(bore)),
    )


def held(reduction: float) -> float:
    """How long a set is held until it counts as settled. [s].

    >>> held(10.0)
    140.0
    """
    return HELD + HELD_PER_PSI * reduction


def band(kind: Output, amount: float, *, wider: float = 1.0) -> float:
    """Half-width of the model's band around a figure, in the figure's own unit (psi, s, cfm)."""
    found = BANDS[kind]
    return max(found.at_least, wider * found.share * abs(amount))


def away_from_fitted(setting: float) -> float:
    """How much wider the band of service times is at a setting other than the fitted one. [-].

    The model's service speed hardly moves with the setting; in a study of the same equations with
    valves of fixed differences it moved by a fifth from 90 to 70 psi, and by a sixth to 110.

    >>> away_from_fitted(90.0), away_from_fitted(70.0)
    (1.0, 2.0)
    """
    return 1.0 + abs(setting - FITTED_AT) / 20.0


def short_train(cars: float) -> float:
    """How much wider the band of charging times is on a short train. [-].

    Ten cars charge in the model in half of the yard rule's time: there it is as wide as the time.

    >>> short_train(50.0), round(short_train(10.0), 2)
    (1.0, 3.33)
    """
    missing = max(0.0, 1.0 - cars / FEW_CARS)
    return min(1.0 / BANDS["charging times"].share, 1.0 + 3.0 * missing)


def band_notes(*kinds: Output) -> Iterator[Note]:
    """What the bands of these kinds of answer rest on."""
    yield Note(
        text=say(
            "The train model's bands are no error bars of a measurement: no measured train was "
            "compared with it point by point."
        )
    )
    for kind in kinds:
        found = BANDS[kind]
        yield Note(
            text=say(
                "Band of {kind}, {share} either way: {rests_on}",
                kind=kind,
                share=Value(100.0 * found.share, "%"),
                rests_on=found.rests_on,
            )
        )


def sample_seconds(seconds: float) -> float:
    """Time between samples that keeps a run of this length to some hundreds of them.

    >>> sample_seconds(90.0), sample_seconds(3600.0)
    (0.5, 10.0)
    """
    return next((s for s in _SAMPLE_SECONDS if seconds / s <= _MOST_SAMPLES), _SAMPLE_SECONDS[-1])


def followed(
    train: Train, commands: tuple[Command, ...], *, seconds: float, until_released: float = 0.0
) -> Generator[Progress, None, Run]:
    """Run a train to the end, with progress; arguments and errors as in `running.follow`."""
    every = sample_seconds(seconds)
    slab = max(every, min(seconds / _PARTS, _LONGEST_SLAB))
    run = None
    for part in follow(
        train,
        commands,
        seconds=seconds,
        sample_seconds=every,
        slab_seconds=slab,
        until_released=until_released,
    ):
        run = part.run
        if run is None:
            yield Progress(done=part.seconds, of=part.of_seconds)
    assert run is not None
    return run


def samples_until(
    train: Train,
    commands: tuple[Command, ...],
    *,
    expected: float,
    met: Callable[[Sample], bool],
) -> Generator[Progress, None, tuple[Sample, ...]]:
    """Run a train until a sample meets a condition, at most `LONGEST_RUN`; gives all samples.

    ``expected`` is about how long that takes, in s; samples and progress are measured by it.
    Progress is in minutes: such runs are long.
    """
    every = sample_seconds(expected)
    slab = max(every, min(expected / _PARTS, _LONGEST_SLAB))
    samples: list[Sample] = []
    for part in follow(
        train, commands, seconds=LONGEST_RUN, sample_seconds=every, slab_seconds=slab
    ):
        samples += part.samples
        if any(met(sample) for sample in part.samples):
            break
        yield progress_in_minutes(part.seconds, expected)
    return tuple(samples)


def charged_to(train: Train) -> float:
    """What the last car's reservoirs come to, in psi: the setting, less what the leaks take."""
    if not train.leaks:
        return train.brake_pipe_setting
    # At rest the compressor has long filled its reservoir; as it starts it might starve the leaks.
    return steady(replace(train, main_reservoir=train.air_supply.compressor_stops)).rear


def progress_in_minutes(seconds: float, expected: float) -> Progress:
    """Progress of a run whose end is only expected; past that, the end moves along.

    >>> progress_in_minutes(90.0, 60.0)
    Progress(done=1.5, of=1.5, unit='min')
    """
    return Progress(done=seconds / 60.0, of=max(seconds, expected) / 60.0, unit="min")
