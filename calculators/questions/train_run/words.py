"""The words of the `train-run` answer: headline, working, notes, and the bands of its figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from calculators.base.results import Note, Phrase, Step, Value, psi, say, time_digits
from calculators.equipment.train import Movement, Run, Sample
from calculators.equipment.train.bands import Output
from calculators.equipment.train.consist import LEAKAGE_READ_AT
from calculators.equipment.train.tables import FREIGHT_VALVE
from calculators.figures.thresholds import USUAL_EMERGENCY_SPEED, USUAL_SERVICE_SPEED
from calculators.questions.shared.spacing import warn
from calculators.questions.shared.train_model import (
    CHARGED_WITHIN,
    FITTED_AT,
    away_from_fitted,
    band,
    band_notes,
    charged_to,
    short_train,
)
from calculators.questions.train_run.asked import AskedRun
from calculators.questions.train_run.moves import moves_words
from calculators.questions.train_run.warnings import (
    low_emergency,
    warnings_of_length,
    warnings_of_pressure,
)

# Speeds of the trade from memory: shown to compare, marked as not verified. [ft/s]
USUAL_SPEED = {"service": USUAL_SERVICE_SPEED, "emergency": USUAL_EMERGENCY_SPEED}

_KINDS = {"emergency": "emergency", "releases": "release", "applies": "application"}
# A row of results holds a line or two; the rest is counted.
_MOST_LISTED = 8


def first_starts(run: Run) -> dict[int, float]:
    """When each car first applied, in s, by its number."""
    found: dict[int, float] = {}
    for movement in run.movements:
        if movement.kind in ("applies", "emergency"):
            found.setdefault(movement.car, movement.seconds)
    return found


def had_emergency(run: Run) -> bool:
    """Whether any car went to emergency."""
    return any(one.kind == "emergency" for one in run.movements)


def releases(run: Run) -> dict[int, float]:
    """When each car last let go, in s, by its number."""
    return {one.car: one.seconds for one in run.movements if one.kind == "releases"}


def ranges(numbers: Iterable[int]) -> str:
    """Whole numbers in order as a person lists them.

    >>> ranges([1, 2, 3, 7])
    '1 to 3, 7'
    """
    spans: list[list[int]] = []
    for number in sorted(set(numbers)):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    texts = [f"{low}" if low == high else f"{low} to {high}" for low, high in spans]
    if len(texts) > _MOST_LISTED:
        texts = [*texts[:_MOST_LISTED], f"{len(texts) - _MOST_LISTED} more"]
    return ", ".join(texts)


def undesired_words(run: Run) -> str:
    """Undesired actions by kind: "release: car 7"."""
    if not run.undesired_actions:
        return "none"
    by_kind: dict[str, list[Movement]] = {}
    for movement in run.undesired_actions:
        by_kind.setdefault(_KINDS[movement.kind], []).append(movement)
    return "; ".join(
        f"{kind}: {ranges(one.car for one in found)}" for kind, found in sorted(by_kind.items())
    )


def not_applied_words(asked: AskedRun, run: Run) -> str:
    """Cars that were asked to apply and did not."""
    if asked.first_application() is None:
        return "none was asked to"
    return ranges(run.cars_not_applied) or "none"


def not_in_emergency_words(asked: AskedRun, run: Run) -> str:
    """Cars that did not go to emergency though one was asked for."""
    if not asked.asks_emergency():
        return "none was asked to"
    return ranges(run.cars_not_in_emergency) or "none"


def charged_after(asked: AskedRun, run: Run) -> float | None:
    """When every car of a charge was within a psi of what it comes to, in s; None if it was not."""
    if asked.move != "charge":
        return None
    least = charged_to(asked.train) - CHARGED_WITHIN
    short = [
        number
        for number, sample in enumerate(run.samples)
        if min(*sample.auxiliary, *sample.emergency_reservoir) < least
    ]
    if not short:
        return 0.0
    after = short[-1] + 1
    return run.samples[after].seconds if after < len(run.samples) else None


def cars_words(asked: AskedRun) -> str:
    """How many cars the train has: "1 car", "118 cars"."""
    cars = len(asked.train.cars)
    return "1 car" if cars == 1 else f"{cars} cars"


def _time(amount: float, width: float) -> Value:
    """A time of the run with its band, to what the band can carry."""
    return Value(amount, "s", time_digits(width), width)


def _moment(at: float) -> Value:
    """A moment that was asked for, in s, as it was typed."""
    return Value(at, "s", 0 if at == int(at) else 1)


def headline_before(asked: AskedRun) -> Phrase:
    """What can be said before the run."""
    soonest, low = asked.soonest(), low_emergency(asked, None)
    if low is not None:
        return say(
            "{cars}: emergency not assured from {low} in the brake pipe; the run is still to come.",
            cars=cars_words(asked),
            low=psi(low),
        )
    if soonest is None:
        return say(
            "{cars} followed for {seconds}: the run is still to come.",
            cars=cars_words(asked),
            seconds=Value(asked.seconds, "s"),
        )
    return say(
        "{cars}: the last one can start no sooner than {soonest}, for nothing outruns sound; "
        "the run is still to come.",
        cars=cars_words(asked),
        soonest=Value(soonest, "s", 1),
    )


def headline(asked: AskedRun, run: Run) -> Phrase:
    """The answer in one sentence."""
    end, widths = run.samples[-1], bands(asked, run)
    low = low_emergency(asked, run)
    if low is not None:
        return say(
            "{cars}: emergency not assured from {low} in the brake pipe.",
            cars=cars_words(asked),
            low=psi(low),
        )
    if asked.asks_emergency() and run.cars_not_in_emergency:
        return say(
            "{cars}: the emergency did not go through: {those} did not go to emergency.",
            cars=cars_words(asked),
            those=_those(run.cars_not_in_emergency),
        )
    release = asked.release()
    if release is not None and run.cars_still_applied:
        return say(
            "{cars} after {seconds}: still applied {those}, the last one with {cylinder} in its "
            "cylinder.",
            cars=cars_words(asked),
            seconds=Value(end.seconds, "s"),
            those=_those(run.cars_still_applied),
            cylinder=psi(end.brake_cylinder[run.cars_still_applied[-1] - 1]),
        )
    if release is not None and run.last_car_releases is not None:
        return say(
            "{cars}: the latest lets go at {at}; the handle went to release at {moved}.",
            cars=cars_words(asked),
            at=_time(run.last_car_releases, widths["last_car_releases"]),
            moved=_moment(release.at_seconds),
        )
    if asked.move == "charge":
        return _charge_headline(asked, run)
    if asked.first_application() is None or release is not None:
        return say(
            "{cars} after {seconds}: head {head}, rear {rear}, the last car's auxiliary "
            "{auxiliary}.",
            cars=cars_words(asked),
            seconds=Value(end.seconds, "s"),
            head=psi(end.head),
            rear=psi(end.rear, band=widths["rear"]),
            auxiliary=psi(end.auxiliary[-1], band=widths["last_car_auxiliary"]),
        )
    if run.last_car_starts is None:
        return say(
            "{cars}: within {seconds} the last car does not start to apply.",
            cars=cars_words(asked),
            seconds=Value(asked.seconds, "s"),
        )
    starts = _time(run.last_car_starts, widths["last_car_starts"])
    if run.last_car_90_percent is None:
        return say(
            "{cars}{whence}: the last one starts at {starts}.",
            cars=cars_words(asked),
            whence=_whence(asked),
            starts=starts,
        )
    return say(
        "{cars}{whence}: the last one starts at {starts} and has nine tenths of its cylinder at "
        "{full}.",
        cars=cars_words(asked),
        whence=_whence(asked),
        starts=starts,
        full=_time(run.last_car_90_percent, widths["last_car_90_percent"]),
    )


def _those(cars: Sequence[int]) -> str:
    """Cars by number with their noun: "car 7", "cars 29 to 60"."""
    return f"{'car' if len(cars) == 1 else 'cars'} {ranges(cars)}"


def _whence(asked: AskedRun) -> str:
    """Where an emergency starts, as the headline says it."""
    first = asked.first_application()
    if first is None or first.action != "emergency":
        return ""
    if isinstance(first.at, int):
        return f", emergency from car {first.at}"
    return {
        "head": ", emergency from the head",
        "rear": ", emergency from the rear",
        "both": ", emergency from both ends (the end-of-train device opens the rear)",
    }[first.at]


def _charge_headline(asked: AskedRun, run: Run) -> Phrase:
    end, charged = run.samples[-1], charged_after(asked, run)
    if charged is None:
        return say(
            "{cars} not charged after {minutes}: head {head}, rear {rear}, the last car's "
            "auxiliary {auxiliary}.",
            cars=cars_words(asked),
            minutes=Value(end.seconds / 60.0, "min", 1),
            head=psi(end.head),
            rear=psi(end.rear),
            auxiliary=psi(end.auxiliary[-1]),
        )
    return say(
        "{cars} charged after {time}: every car's reservoirs within {near} of the {level} they "
        "come to.",
        cars=cars_words(asked),
        time=Value(charged / 60.0, "min", 1, _charging_band(asked, charged) / 60.0),
        near=psi(CHARGED_WITHIN),
        level=psi(charged_to(asked.train)),
    )


def working(asked: AskedRun) -> Iterator[Step]:
    """What is run, and what needs no run."""
    train = asked.train
    lengths = {car.length for car in train.cars}
    yield Step(
        label="Brake pipe of the cars",
        how=(
            say("{cars} × {length}", cars=len(train.cars), length=Value(lengths.pop(), "ft"))
            if len(lengths) == 1
            else say("{cars} of different lengths", cars=cars_words(asked))
        ),
        value=Value(sum(car.length for car in train.cars), "ft"),
    )
    for move in moves_words(asked.commands):
        yield Step(label="Move", how=move)
    if not asked.commands:
        yield Step(label="Move", how=say("None: the handle is in release"))
    soonest = asked.soonest()
    if soonest is not None:
        yield Step(
            label="Sound reaches the last car",
            shows="soonest",
            how=say(
                "From where the application starts, at {speed} in air of {temperature}, rounded down",
                speed=Value(asked.sound(), "ft/s"),
                temperature=Value(train.temperature, "°F"),
            ),
            value=Value(soonest, "s", 1),
        )
    by_volumes = asked.by_volumes()
    if by_volumes is not None:
        yield Step(
            label="A cylinder by volumes alone",
            shows="by_volumes",
            how=say("A car charged to {setting}, settled", setting=psi(train.brake_pipe_setting)),
            value=psi(by_volumes),
        )


def working_of_run(asked: AskedRun, run: Run) -> Iterator[Step]:
    """What the run gave, as far as one figure follows from others."""
    if run.propagation_speed is not None and asked.from_the_head_only():
        assert run.first_car_starts is not None
        assert run.last_car_starts is not None
        yield Step(
            label="Speed of the start",
            shows="propagation_speed",
            how=say(
                "First to last working car, from {first} to {last}",
                first=Value(run.first_car_starts, "s", 1),
                last=Value(run.last_car_starts, "s", 1),
            ),
            value=Value(run.propagation_speed, "ft/s", -1),
        )
    release = asked.release()
    if release is not None and run.last_car_releases is not None:
        after = run.last_car_releases - release.at_seconds
        yield Step(
            label="From the handle to the latest car",
            how=say(
                "{at} less the {moved} at which the handle went to release",
                at=Value(run.last_car_releases, "s"),
                moved=_moment(release.at_seconds),
            ),
            value=_time(after, band("release times", after)),
        )
    end = run.samples[-1]
    yield Step(
        label="Head less rear at the end",
        how=say("{head} − {rear}", head=psi(end.head), rear=psi(end.rear)),
        value=psi(end.head - end.rear),
    )
    yield Step(
        label="Cylinders at the end",
        how=say(
            "From {low} to {high} along the train",
            low=psi(min(end.brake_cylinder)),
            high=psi(max(end.brake_cylinder)),
        ),
        value=psi(end.brake_cylinder[-1]),
    )


def notes_before(asked: AskedRun, run: Run | None = None) -> Iterator[Note]:
    """What is to be said whether or not the run is done."""
    yield from warnings_of_pressure(asked, run)
    yield from warnings_of_length(asked)
    late = [one for one in asked.commands if one.at_seconds > asked.seconds]
    if late:
        yield warn(
            "The run ends at {seconds}; moves that come later and are never made: {late}.",
            late=len(late),
            seconds=Value(asked.seconds, "s"),
        )
    light = [
        one.reduction
        for one in asked.commands
        if one.action == "service" and one.reduction < LEAST_SET
    ]
    if light:
        yield warn(
            "{off} off is less than any minimum reduction read ({least} or more): a set so light "
            "may apply some cars and let them go again by itself.",
            off=psi(min(light)),
            least=psi(LEAST_SET),
        )
    taken = 0.0
    for one in asked.commands:
        if one.action == "release":
            taken = 0.0
        elif one.action == "service":
            if one.reduction < taken:
                yield Note(
                    text=say(
                        "{less} off after {more} off takes nothing more: a handle moved part of the "
                        "way back does not raise the equalizing reservoir.",
                        less=psi(one.reduction),
                        more=psi(taken),
                    )
                )
            taken = max(taken, one.reduction)


def notes(asked: AskedRun, run: Run) -> Iterator[Note]:
    """Warnings first, then what the figures rest on."""
    if run.undesired_actions:
        yield warn(
            "In this run valves moved that no move asked for ({what}). A real train that does this "
            "has a fault or was handled into it; a model that does it may also be at its limit.",
            what=undesired_words(run),
        )
    if asked.first_application() is not None and run.cars_not_applied:
        yield warn(
            "Cars {cars} did not apply in this run: they brake nothing.",
            cars=ranges(run.cars_not_applied),
        )
    if asked.asks_emergency() and run.cars_not_in_emergency:
        yield warn(
            "The emergency did not go through: {cars} did not go to emergency in this run. Whether "
            "it crosses cars that are cut out hangs on valves nobody has measured here.",
            cars=_those(run.cars_not_in_emergency),
        )
    if asked.release() is not None and run.cars_still_applied:
        yield warn(
            "Still applied at the end of this run: {cars}. The others let go; a gauge at the head "
            "does not show these.",
            cars=_those(run.cars_still_applied),
        )
    if run.feed_shut and asked.release() is not None:
        yield warn(
            "The brake valve's charging cut-off stays shut in this run, and nothing comes back "
            "into the train: after an emergency from the train the handle must go to emergency "
            "before it goes to release."
        )
    yield from notes_before(asked, run)
    if asked.train.cars[0].cylinder_leakage > 0.0:
        yield warn(
            "Every cylinder leaks {leakage} at {read_at}: in lap nothing makes it up, and what holds "
            "the train falls with time while no gauge at the head shows it.",
            leakage=Value(asked.train.cars[0].cylinder_leakage, "psi/min", 2),
            read_at=psi(LEAKAGE_READ_AT),
        )
    if asked.asks_emergency():
        yield Note(
            text=say(
                "How fast an emergency runs is taken, not predicted: the model carries it at its "
                "own wave speed, which vents, detectors and friction hardly move."
            )
        )
    first = asked.first_application()
    if run.propagation_speed is not None and first is not None and asked.from_the_head_only():
        low, high = USUAL_SPEED[first.action].span()
        inside = low <= run.propagation_speed <= high
        yield Note(
            text=say(
                "Consistency only, not verified: the usual {low} to {high} for {kind} is from "
                "memory; the model {stands} there. It hangs on setting and car length.",
                low=Value(low, "ft/s"),
                high=Value(high, "ft/s"),
                kind=first.action,
                stands="lies" if inside else "does not lie",
            )
        )
    yield from _where_the_model_is_weak(asked, run)
    yield from band_notes(*_kinds_shown(asked, run))
    yield Note(
        text=say(
            "What was checked: the air of the whole train adds up; no start outruns sound in air; the "
            "gradient of a leaking train follows the law of pipe flow; a finer cutting of the pipe "
            "changes starts by less than their band."
        )
    )


LIGHT_SET = 10.0
"""Reduction under which the model's cylinders fill too slowly. [psi]"""
LEAST_SET = 5.0
"""Least that a minimum reduction takes off, by the books read. [psi]"""


def _where_the_model_is_weak(asked: AskedRun, run: Run) -> Iterator[Note]:
    """What is known to be off in this kind of run."""
    sets = [one.reduction for one in asked.commands if one.action == "service"]
    setting = asked.train.brake_pipe_setting
    if sets and setting != FITTED_AT:
        yield Note(
            text=say(
                "The valves were fitted at {fitted}, and the model's service speed hardly moves "
                "with the setting: at {setting} the bands of its times are wider.",
                fitted=psi(FITTED_AT),
                setting=psi(setting),
            )
        )
    if any(one.valve != FREIGHT_VALVE for one in asked.train.cars):
        yield Note(
            text=say(
                "The reduction relay valve of long cars is taken, not read: here all quick service "
                "grows with the pipe that one valve serves. Real ones may do more or less."
            )
        )
    if sets and min(sets) < LIGHT_SET:
        yield Note(
            text=say(
                "Light sets fill too slowly in the model: up to a quarter of a minute to {limit}. "
                "A quick-service limiting valve is there to get it at once, in {low} to {high}, "
                "nominal and from memory.",
                limit=psi(10.0),
                low=Value(2.0, "s"),
                high=Value(4.0, "s"),
            )
        )
    if not had_emergency(run) and sets:
        yield Note(
            text=say(
                "How near a valve came to emergency is not to be read as safety against slack: the "
                "model's detector is too dull for short pulses."
            )
        )


def _kinds_shown(asked: AskedRun, run: Run) -> Sequence[Output]:
    """The kinds of answers that this run gave."""
    kinds: list[Output] = []
    first = asked.first_application()
    if first is not None:
        kinds += [_start_kind(asked), "cylinder times"]
    if run.last_car_releases is not None:
        kinds.append("release times")
    if asked.move == "charge":
        kinds.append("charging times")
    kinds.append("settled pressures")
    return kinds


def _start_kind(asked: AskedRun) -> Output:
    first = asked.first_application()
    return "emergency times" if first and first.action == "emergency" else "service times"


def bands(asked: AskedRun, run: Run) -> dict[str, float]:
    """Half-width of every figure by its result's name, in the result's own unit.

    A time's band counts from the move that began it.
    A pressure that still moves has, besides the band of settled pressures, what it would change
    if the move ran slower by the band of times.
    """
    found: dict[str, float] = {}
    first, kind = asked.first_application(), _start_kind(asked)
    begun = first.at_seconds if first else 0.0
    service = kind == "service times"
    wider = away_from_fitted(asked.train.brake_pipe_setting) if service else 1.0
    for name in ("first_car_starts", "last_car_starts"):
        at = getattr(run, name)
        if at is not None:
            found[name] = band(kind, at - begun, wider=wider)
    starts = first_starts(run)
    if starts:
        found["latest_car_starts"] = band(kind, max(starts.values()) - begun, wider=wider)
    if run.propagation_speed is not None and asked.from_the_head_only():
        found["propagation_speed"] = band(kind, run.propagation_speed, wider=wider)
    charged = charged_after(asked, run)
    if charged is not None:
        found["charged_after"] = _charging_band(asked, charged)
    if run.last_car_90_percent is not None:
        found["last_car_90_percent"] = band("cylinder times", run.last_car_90_percent - begun)
    if run.exhaust_ends is not None:
        found["exhaust_ends"] = band("service times", run.exhaust_ends - begun, wider=wider)
    release = asked.release()
    let_go = release.at_seconds if release else begun
    for name in ("first_car_releases", "last_car_releases"):
        at = getattr(run, name)
        if at is not None:
            found[name] = band("release times", at - let_go)
    end = run.samples[-1]
    last_move = max((one.at_seconds for one in asked.commands), default=0.0)
    earlier = _earlier(run.samples, since=min(last_move, end.seconds), share=_share(asked))
    for name, now, before in (
        ("head", end.head, earlier.head),
        ("rear", end.rear, earlier.rear),
        ("last_car_cylinder", end.brake_cylinder[-1], earlier.brake_cylinder[-1]),
        ("last_car_auxiliary", end.auxiliary[-1], earlier.auxiliary[-1]),
        (
            "last_car_emergency_reservoir",
            end.emergency_reservoir[-1],
            earlier.emergency_reservoir[-1],
        ),
    ):
        found[name] = band("settled pressures", now) + abs(now - before)
    found["head_flow"] = band("gradient and flow", end.supply_flow)
    return found


def _charging_band(asked: AskedRun, seconds: float) -> float:
    return band("charging times", seconds, wider=short_train(len(asked.train.cars)))


def _share(asked: AskedRun) -> float:
    """Relative band of the times that the last move takes."""
    if asked.move == "charge":
        return _charging_band(asked, 1e3) / 1e3
    if asked.release() is not None:
        return band("release times", 1e3) / 1e3
    return band("cylinder times", 1e3) / 1e3


def _earlier(samples: tuple[Sample, ...], *, since: float, share: float) -> Sample:
    """The sample at which the end of the run would stand if all ran slower by a share."""
    end = samples[-1].seconds
    at = since + (end - since) / (1.0 + share)
    return min(samples, key=lambda sample: abs(sample.seconds - at))
