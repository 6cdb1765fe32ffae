"""The lower bound of the reserve against the train model, which knows none of its assumptions.

The train model runs the same sets, releases and waits and follows every car; what its last car
has left must not be less than the bound says, or the answer must take what the model says.
Neither has been compared with a measured train.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import replace
from random import Random
from types import SimpleNamespace

import pytest

from calculators.base.results import Display, Outcome, Progress
from calculators.base.units import ATMOSPHERE
from calculators.equipment.car import NOMINAL_CAR
from calculators.equipment.reserve import CarState, emergency_left, service_left
from calculators.equipment.train import Command, Leak, Sample, Train, equal_cars, run, steady
from calculators.questions.repeated_applications import on_train
from calculators.questions.repeated_applications.declaration import (
    RepeatedApplications,
    repeated_applications,
)
from calculators.questions.repeated_applications.inputs import RepeatedApplicationsInputs

# The models settle within this of each other where they should agree. [psi]
SETTLED = 0.6


def ask(
    train: Train,
    rear: float,
    reductions: list[float],
    waits: list[float],
    *,
    emergency_needs: float = 40.0,
) -> RepeatedApplications:
    released = len(waits) == len(reductions)
    found = repeated_applications.outcome(
        brake_pipe_setting=train.brake_pipe_setting,
        rear=rear,
        cars=float(len(train.cars)),
        reductions=tuple(reductions),
        waits=tuple(waits),
        last_set="released" if released else "on",
        piston_travel=8.0,
        emergency_needs=emergency_needs,
    )
    assert isinstance(found, RepeatedApplications)
    return found


def whole(first: RepeatedApplications) -> RepeatedApplications:
    """The answer when the train model has added its part."""
    ended: list[Outcome] = []

    def to_the_end() -> Generator[Progress, None, None]:
        assert first.to_follow is not None
        ended.append((yield from first.to_follow.work()))

    assert list(to_the_end())
    (found,) = ended
    assert isinstance(found, RepeatedApplications)
    return found


def last_car(sample: Sample) -> CarState:
    """The model's last car as the reserve sees it: its cylinder's air from its gauge."""
    gauge = sample.brake_cylinder[-1]
    space = NOMINAL_CAR.cylinder if gauge > 1 else NOMINAL_CAR.unswept
    return CarState(
        brake_pipe=sample.brake_pipe[-1],
        auxiliary=sample.auxiliary[-1],
        emergency_reservoir=sample.emergency_reservoir[-1],
        cylinder_air=((gauge if gauge > 1 else 0.0) + ATMOSPHERE) * space,
    )


@pytest.mark.parametrize(
    ("cars", "setting", "leak", "reductions", "waits"),
    [
        (118, 90.0, 0.0, [10.0, 14.0, 18.0], [2.0, 3.0]),
        (118, 90.0, 0.0, [26.0, 26.0, 26.0], [0.5, 0.5, 0.5]),
        (26, 80.0, 0.0, [23.0, 23.0, 23.0], [0.5, 0.5, 0.5]),
        (80, 90.0, 30.0, [15.0, 15.0], [5.0, 5.0]),
        (60, 110.0, 20.0, [10.0, 20.0, 30.0], [1.0, 1.0, 1.0]),
    ],
)
def test_the_last_car_never_has_less(cars, setting, leak, reductions, waits):
    compare(cars, setting, leak, reductions, waits)


# A train whose second set comes hardly over its auxiliaries.
SLOW_FALL = 291
# As if it had come too slowly at the rear to move the valve, and its air were lost. [psi]
LOST = 12.0


def draw(seed: int) -> tuple[int, float, float, list[float], list[float]]:
    drawn = Random(seed)
    sets = drawn.randint(1, 4)
    return (
        drawn.randint(5, 150),
        drawn.choice([70.0, 80.0, 90.0, 110.0]),
        drawn.choice([0.0, 15.0, 40.0]),
        [float(drawn.randint(7, 30)) for _ in range(sets)],
        [drawn.choice([0.3, 0.5, 1.0, 3.0, 8.0]) for _ in range(sets)],
    )


def test_where_the_last_car_has_less_the_answer_takes_that(monkeypatch: pytest.MonkeyPatch):
    """No train drawn has less by the model since one running brake serves all: some air is taken."""
    run_moves = on_train.run_moves

    def with_less(
        given: RepeatedApplicationsInputs,
    ) -> Generator[Progress, None, on_train.Left]:
        left = yield from run_moves(given)
        assert left.emergency is not None
        end = left.run.samples[-1]
        empty = replace(end, brake_cylinder=(*end.brake_cylinder[:-1], 0.4))
        return replace(
            left,
            run=replace(left.run, samples=(*left.run.samples[:-1], empty)),
            full_service=left.full_service - LOST,
            emergency=left.emergency - LOST,
        )

    monkeypatch.setattr(on_train, "run_moves", with_less)
    cars, setting, leak, reductions, waits = draw(SLOW_FALL)
    train = Train(cars=equal_cars(cars), brake_pipe_setting=setting, leaks=(Leak(flow=leak),))
    rear = steady(train).rear
    bound = ask(train, rear, reductions[:2], waits[:1])
    found = whole(bound)
    model = found.model_full_service
    assert model is not None

    assert model < bound.full_service_left - 1
    assert found.full_service_left == model
    assert found.model_emergency is not None
    assert found.emergency_left == found.model_emergency
    assert bound.emergency_left is not None
    assert found.emergency_left < bound.emergency_left
    assert bound.brake_cylinder > 1
    assert found.brake_cylinder < 1
    said = " ".join(note.text.text(Display()) for note in found.notes if note.kind == "warning")
    assert "has less than the count" in said
    assert "its valve never moves" in said
    (deciding,) = [step for step in found.working if step.decides]
    assert deciding.label == "Emergency counted on"
    assert f"{model:.0f} psi" in found.headline.text(Display())
    compare(cars, setting, leak, reductions[:2], waits[:1])


def test_an_emergency_that_the_model_does_not_assure_is_not_counted_on():
    """The model's pipe lies a hair under the count's; what an emergency needs lies between."""
    cars, setting, leak, reductions, _ = draw(SLOW_FALL)
    train = Train(cars=equal_cars(cars), brake_pipe_setting=setting, leaks=(Leak(flow=leak),))
    rear = steady(train).rear
    count = ask(train, rear, reductions[:1], [])
    pipe = (
        run(
            train,
            (Command(at_seconds=0.0, action="service", reduction=reductions[0]),),
            seconds=90 + 5 * reductions[0],
            sample_seconds=5.0,
        )
        .samples[-1]
        .brake_pipe[-1]
    )
    assert pipe < count.brake_pipe

    bound = ask(train, rear, reductions[:1], [], emergency_needs=(pipe + count.brake_pipe) / 2)
    found = whole(bound)

    assert bound.emergency_left is not None
    assert found.emergency_left is None
    assert found.headline.text(Display()).endswith("emergency is NOT assured.")
    said = " ".join(note.text.text(Display()) for note in found.notes if note.kind == "warning")
    assert "by the train model the brake pipe at the last car is under" in said
    assert [step.label for step in found.working][-1] == "Emergency counted on"


@pytest.mark.long
@pytest.mark.parametrize("seed", range(300))
def test_trains_drawn_at_random_never_have_less(seed):
    compare(*draw(seed))


def compare(
    cars: int, setting: float, leak: float, reductions: list[float], waits: list[float]
) -> None:
    """Run both and compare the last car at the end of every set and every wait."""
    train = Train(
        cars=equal_cars(cars),
        brake_pipe_setting=setting,
        leaks=(Leak(flow=leak),) if leak else (),
    )
    moves: list[Command] = []
    marks: list[float] = []
    at = 0.0
    for number, reduction in enumerate(reductions):
        moves.append(Command(at_seconds=at, action="service", reduction=reduction))
        at += 90 + 5 * reduction
        marks.append(at)
        if number < len(waits):
            moves.append(Command(at_seconds=at, action="release"))
            at += 60 * waits[number]
            marks.append(at)
    samples = run(train, tuple(moves), seconds=at, sample_seconds=1.0).samples

    rear = samples[0].brake_pipe[-1]
    for number, mark in enumerate(marks):
        model = last_car(min(samples, key=lambda sample: abs(sample.seconds - mark + 1)))
        sets, released = number // 2 + 1, number // 2 + number % 2
        bound = ask(train, rear, reductions[:sets], waits[:released])
        if bound.full_service_left > service_left(model) + SETTLED:
            bound = whole(bound)
        assert bound.full_service_left <= service_left(model) + SETTLED
        # No figure at all, "not assured", promises nothing.
        if bound.emergency_left is not None:
            assert bound.emergency_left <= emergency_left(model) + SETTLED
        if number % 2:
            # While a set is on the model's auxiliary may lie a little under the pipe, with the
            # difference in the cylinder; full service above counts both.
            assert bound.auxiliary <= model.auxiliary + SETTLED
        assert bound.emergency_reservoir <= model.emergency_reservoir + SETTLED
        assert bound.brake_pipe <= model.brake_pipe + SETTLED


@pytest.mark.parametrize("number", [2, 3, 39, 40, 41, 42, 80, 81, 82, 400])
def test_the_curve_is_evenly_thinned_and_ends_where_the_run_ends(number: int):
    """Every step-th moment from the first on, and the last; no more than a picture shows."""
    samples = [
        SimpleNamespace(
            seconds=60.0 * place,
            auxiliary=[1.0],
            emergency_reservoir=[2.0],
            brake_pipe=[3.0],
            brake_cylinder=[4.0],
        )
        for place in range(number)
    ]
    drawn = on_train.curve(SimpleNamespace(run=SimpleNamespace(samples=samples)))  # type: ignore[arg-type]

    places = [round(x) for x, _ in drawn.lines[0].points]
    step = places[1] - places[0] if number > 2 else 1
    assert places == [*range(0, number - 1, step), number - 1]
    assert step - 1 < number / 40 <= step
    assert len(places) <= 41
    assert len({line.points[0][1] for line in drawn.lines}) == 4


@pytest.mark.parametrize("lower", [0.0, 2.0])
def test_a_count_that_the_model_lowers_is_no_longer_shown_as_the_result(
    monkeypatch: pytest.MonkeyPatch, lower: float
):
    """Whichever counts, the step that says it shows the result and no other step does."""
    train = Train(cars=equal_cars(10), brake_pipe_setting=90.0)
    first = ask(train, 90.0, [20.0, 26.0], [1.0])
    assert first.brake_cylinder > 5.0
    model = on_train.run_moves

    def lowered(asked: RepeatedApplicationsInputs) -> Generator[Progress, None, on_train.Left]:
        left = yield from model(asked)
        last = replace(
            left.run.samples[-1],
            brake_cylinder=(first.brake_cylinder - lower,) * len(train.cars),
        )
        return replace(left, run=replace(left.run, samples=(*left.run.samples[:-1], last)))

    monkeypatch.setattr(on_train, "run_moves", lowered)
    found = whole(first)
    assert found.brake_cylinder == pytest.approx(first.brake_cylinder - lower)
    for step in found.working:
        if step.shows == "brake_cylinder":
            assert step.value is not None
            assert step.value.amount == pytest.approx(found.brake_cylinder)
    assert any(step.shows == "brake_cylinder" for step in first.working)
    assert any(step.shows == "brake_cylinder" for step in found.working) == (lower == 0.0)
