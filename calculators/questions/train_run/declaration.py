"""The `train-run` calculator: an application, a release or a charge as it runs along the train."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from functools import partial
from typing import Annotated

from calculators.base.quantities import Quantity, Words
from calculators.base.results import Outcome, Progress, ToFollow
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.train import Run
from calculators.law.records import Citation
from calculators.questions.shared.train_model import WHO, followed
from calculators.questions.train_run import words
from calculators.questions.train_run.asked import AskedRun, made_question
from calculators.questions.train_run.inputs import TrainRunInputs
from calculators.questions.train_run.pictures import curves, grid

_NOT_IN_RUN = "not in this run"
ONE_CLOCK = "like every time here, from the start of the run"


def _seconds(term: str, *, digits: int = 0, help: str = "") -> Quantity:
    return Quantity(term=term, unit="s", digits=digits, help=help, blank=_NOT_IN_RUN)


def _pressure(term: str, help: str = "") -> Quantity:
    return Quantity(term=term, unit="psi", help=help)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainRun(Outcome):
    """When what happened along the train, and what stands where at the end of the run."""

    first_car_starts: Annotated[
        float | None, _seconds("The first car starts to apply", digits=1, help=ONE_CLOCK)
    ]
    last_car_starts: Annotated[float | None, _seconds("The last car starts to apply", digits=1)]
    latest_car_starts: Annotated[
        float | None,
        _seconds("The latest of all cars", digits=1, help="from both ends it is in the middle"),
    ]
    propagation_speed: Annotated[
        float | None,
        Quantity(
            term="The start runs along the train at",
            unit="ft/s",
            digits=-1,
            help="from one end only",
            blank="not from one end",
        ),
    ]
    last_car_90_percent: Annotated[
        float | None,
        _seconds("The last car has nine tenths of its cylinder", help="of the most it gets"),
    ]
    exhaust_ends: Annotated[float | None, _seconds("The exhaust at the head stops")]
    first_car_releases: Annotated[float | None, _seconds("The first car lets go", help=ONE_CLOCK)]
    last_car_releases: Annotated[float | None, _seconds("The latest car lets go", help=ONE_CLOCK)]
    undesired_actions: Annotated[
        str, Words(term="Undesired actions", help="that no move asked for")
    ]
    cars_not_applied: Annotated[str, Words(term="Cars that did not apply")]
    cars_not_in_emergency: Annotated[
        str, Words(term="Cars that did not go to emergency", help="that were asked to")
    ]
    cars_still_applied: Annotated[str, Words(term="Cars still applied at the end")]
    charged_after: Annotated[
        float | None,
        _seconds("Every car charged within 1 psi of its brake pipe after", help="in a charge"),
    ]
    head: Annotated[float | None, _pressure("Brake pipe at the head", "at the end")]
    rear: Annotated[float | None, _pressure("Brake pipe at the rear", "at the end")]
    last_car_cylinder: Annotated[float | None, _pressure("Last car's cylinder", "at the end")]
    last_car_auxiliary: Annotated[float | None, _pressure("Last car's auxiliary", "at the end")]
    last_car_emergency_reservoir: Annotated[
        float | None, _pressure("Last car's emergency reservoir", "at the end")
    ]
    head_flow: Annotated[
        float | None, Quantity(term="Air into the train at the head", unit="cfm", help="at the end")
    ]
    soonest: Annotated[
        float | None,
        Quantity(
            term="The last car: no sooner than",
            unit="s",
            digits=1,
            help="nothing outruns sound in air of this temperature",
            blank="no application asked for",
        ),
    ]
    by_volumes: Annotated[
        float | None,
        Quantity(
            term="A cylinder by a car's volumes alone",
            unit="psi",
            help="settled, charged to the setting",
            blank="for a single set or emergency only",
        ),
    ]
    detection: Annotated[
        float | None,
        Quantity(
            term="Nearest that a valve came to emergency by itself",
            unit="%",
            help="of what fires it",
            blank="there was an emergency",
        ),
    ]
    mass_error: Annotated[
        float | None,
        Quantity(
            term="Air gained or lost by the arithmetic",
            unit="",
            digits=9,
            help="as a share of all the air",
            of_the_sum=True,
        ),
    ]


# What stands empty until the train model has run.
FILLS = tuple(name for name in TrainRun.__annotations__ if name not in ("soonest", "by_volumes"))


@calculator(
    "train-run",
    title="Train run",
    question="How does an application, a release or a charge run along the train, car by car?",
    first=FirstScreen(
        figures={
            "last_car_starts": "the last car starts",
            "last_car_90_percent": "it is nine tenths on",
            "rear": "rear at the end",
        },
        asked={
            "service": "{reduction:bare} off {brake_pipe_setting}, {cars} cars",
            "": "{command}, {cars} cars at {brake_pipe_setting}",
        },
        asked_by="command",
        keys=(
            Key(field="command"),
            Key(field="reduction", presets=(6, 10, 15, 20, 26), only=("command", ("service",))),
            Key(field="cars", step=5, presets=(20, 50, 80, 100, 150)),
        ),
        line={"brake_pipe_setting": "", "car_length": "cars of", "leakage": "leakage"},
    ),
    sources=(
        Citation("WU17", "abstract: accuracy of models of this kind"),
        Citation("WHITE46", "time to 40 psi on the last car against train length"),
        Citation("MCB-06", "charging of an auxiliary reservoir"),
        Citation("ARRC-96", "67-12, slow direct"),
        Citation("ARMY-223", "equalizing reservoir in emergency"),
        Citation("KC77", "where along the train a leak is"),
    ),
    validity=(
        "The train is stopped. Direct-release freight valves, all cars alike but for what is set here.",
        "Pipe, reservoirs and openings are nominal or fitted; each kind of answer carries its band.",
        "Settled pressures, mass of air and the steady gradient are held by exact checks; times are not.",
    ),
    leaves_out=(
        "Heat, water and ice in the pipe, leaking cylinders and reservoirs, worn valves, slack.",
        "The brakes of all locomotives but the first.",
        "The pressure below which a real emergency no longer runs through.",
    ),
    offers={
        "JF-3: 118 cars, 2 locomotives, 90 psi": {
            "cars": "118",
            "car_length": "55",
            "brake_pipe_setting": "90",
            "locomotives": "2",
        },
        "JF-7: 26 cars, 1 locomotive, 90 psi": {
            "cars": "26",
            "car_length": "55",
            "brake_pipe_setting": "90",
            "locomotives": "1",
        },
    },
    estimate=(
        "An estimate for learning: no measured train was compared with this model point by point."
    ),
)
def train_run(given: TrainRunInputs) -> TrainRun:
    """Follow a move along the train.

    At once it says what needs no run: when the last car can start at the soonest, and where a
    cylinder settles by volumes. The train model's run follows.

    Returns
    -------
    TrainRun
        Times in s from the first move, pressures in psi, None where it did not happen.

    Raises
    ------
    InputError
        If a car is named that the train does not have, or a move or a length cannot be read.
    """
    return _at_once(made_question(given))


def _at_once(asked: AskedRun) -> TrainRun:
    return TrainRun(
        **dict.fromkeys(FILLS),  # type: ignore[arg-type]
        soonest=asked.soonest(),
        by_volumes=asked.by_volumes(),
        headline=words.headline_before(asked),
        working=tuple(words.working(asked)),
        notes=tuple(words.notes_before(asked)),
        to_follow=ToFollow(
            what=WHO,
            fills=FILLS,
            of=Progress(done=0.0, of=asked.seconds),
            work=partial(_with_run, asked),
        ),
    )


def _with_run(asked: AskedRun) -> Generator[Progress, None, TrainRun]:
    run = yield from followed(
        asked.train,
        asked.commands,
        seconds=asked.seconds,
        until_released=asked.until_released,
    )
    return _whole(asked, run)


def _whole(asked: AskedRun, run: Run) -> TrainRun:
    end = run.samples[-1]
    return TrainRun(
        first_car_starts=run.first_car_starts,
        last_car_starts=run.last_car_starts,
        latest_car_starts=max(words.first_starts(run).values(), default=None),
        propagation_speed=run.propagation_speed if asked.from_the_head_only() else None,
        last_car_90_percent=run.last_car_90_percent,
        exhaust_ends=run.exhaust_ends,
        first_car_releases=run.first_car_releases,
        last_car_releases=run.last_car_releases,
        undesired_actions=words.undesired_words(run),
        cars_not_applied=words.not_applied_words(asked, run),
        cars_not_in_emergency=words.not_in_emergency_words(asked, run),
        cars_still_applied=words.ranges(run.cars_still_applied) or "none",
        charged_after=words.charged_after(asked, run),
        head=end.head,
        rear=end.rear,
        last_car_cylinder=end.brake_cylinder[-1],
        last_car_auxiliary=end.auxiliary[-1],
        last_car_emergency_reservoir=end.emergency_reservoir[-1],
        head_flow=end.supply_flow,
        soonest=asked.soonest(),
        by_volumes=asked.by_volumes(),
        detection=None if words.had_emergency(run) else 100.0 * run.strongest_detection,
        mass_error=run.mass_error,
        headline=words.headline(asked, run),
        working=(*words.working(asked), *words.working_of_run(asked, run)),
        notes=tuple(words.notes(asked, run)),
        series=tuple(curves(asked, run)),
        grids=(grid(asked, run),),
        bands=words.bands(asked, run),
    )
