"""The words of the `repeated-applications` answer: headline, working, warnings and the curve."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from calculators.base.results import Axis, Line, Note, Phrase, Series, Step, Value, psi, say
from calculators.figures.thresholds import DEEPER_BY, PLAN_ENDS, PLAN_ENDS_MOUNTAIN, SHORT_BY
from calculators.questions.repeated_applications.inputs import RepeatedApplicationsInputs
from calculators.questions.repeated_applications.model import Found, SetOrRelease, recharging

# A cylinder that would be shown as nothing.
FELT = 0.5


def headline(found: Found) -> Phrase:
    """The answer in one sentence."""
    if found.emergency_left is None:
        return say(
            "Count on no more than {service} from a full service; emergency is NOT assured.",
            service=psi(found.service_left),
        )
    return say(
        "Count on no more than {service} from a full service and {emergency} from an emergency.",
        service=psi(found.service_left),
        emergency=psi(found.emergency_left),
    )


def working(given: RepeatedApplicationsInputs, found: Found) -> Iterator[Step]:
    """Every set and wait in turn."""
    yield Step(
        label="Last car charged to",
        how=(
            say("Your reading at the rear.")
            if given.rear is not None
            else say(
                "Not given: {setting} less the {most} that a brake test allows.",
                setting=psi(given.setting),
                most=psi(given.setting - given.charged),
            )
        ),
        value=psi(given.charged),
    )
    number = 0
    for event in found.events:
        if event.kind == "set":
            number += 1
            yield _set_step(event, number, last=event is found.events[-1])
        else:
            yield _release_step(event, number)
    yield Step(
        label="Full service from here",
        shows="full_service_left",
        how=say("Auxiliary and cylinder share what is left."),
        value=psi(found.service_left),
        decides=found.emergency_left is None,
    )
    if found.emergency_left is None:
        yield Step(
            label="Emergency from here",
            shows="emergency_left",
            how=say(
                "Not assured: the pipe counts as {pipe}, under {needs}.",
                pipe=psi(found.events[-1].after.brake_pipe),
                needs=psi(given.emergency_needs),
            ),
        )
    else:
        yield Step(
            label="Emergency from here",
            shows="emergency_left",
            how=say(
                "Both reservoirs and the cylinder share what is left, the worse of two ways: the air "
                "of the releases stopped in the pipe, or went into the auxiliary and was spent."
            ),
            value=psi(found.emergency_left),
            decides=True,
        )


def lesser(given: RepeatedApplicationsInputs, counted: Found, *, pipe: float) -> Iterator[Step]:
    """The last steps, where the train model has less than the count; its last car's pipe in psi."""
    yield Step(
        label="Full service counted on",
        shows="full_service_left",
        how=say("The lesser of the count and the train model."),
        value=psi(counted.service_left),
        decides=counted.emergency_left is None,
    )
    if counted.emergency_left is None:
        yield Step(
            label="Emergency counted on",
            shows="emergency_left",
            how=say(
                "Not assured: by the count or by the train model, whose pipe at the last car is "
                "at {pipe}, the pipe is under {needs}.",
                pipe=psi(pipe),
                needs=psi(given.emergency_needs),
            ),
        )
    else:
        yield Step(
            label="Emergency counted on",
            shows="emergency_left",
            how=say("The lesser of the count and the train model."),
            value=psi(counted.emergency_left),
            decides=True,
        )


def lower_by_the_model(
    given: RepeatedApplicationsInputs, found: Found, counted: Found
) -> Iterator[Note]:
    """That the train model has less than the count, and what is known of the reason."""
    if counted.service_left < found.service_left:
        yield _warn(
            "By the train model the last car has less than the count, which came to {count} from a "
            "full service: the answer takes the model's {model}. That happens where a set reaches "
            "the rear so slowly that the auxiliary there follows the pipe, its valve never moves, "
            "and the air of the set is lost.",
            count=psi(found.service_left),
            model=psi(counted.service_left),
        )
    if found.emergency_left is not None and counted.emergency_left is None:
        yield _warn(
            "Emergency not assured: by the train model the brake pipe at the last car is under "
            "{needs}, though by the count it is not.",
            needs=psi(given.emergency_needs),
        )


def _set_step(event: SetOrRelease, number: int, *, last: bool) -> Step:
    parts: dict[str, Value | str] = {
        "off": psi(event.amount),
        "target": psi(event.target),
        "auxiliary": psi(event.before.auxiliary),
    }
    template = "{off} off the setting takes this car's pipe to {target}"
    if event.worth == 0:
        template += ", but the auxiliary is at {auxiliary}: worth nothing."
    else:
        parts["worth"] = psi(event.worth)
        template += "; against an auxiliary of {auxiliary} that is worth {worth}"
        little = event.cylinder < FELT
        template += ", too little to put anything in the cylinder." if little else "."
    return Step(
        label=f"Set {number}, cylinder",
        shows="brake_cylinder" if last else "",
        how=Phrase(template, parts),
        value=psi(event.cylinder),
    )


def _release_step(event: SetOrRelease, number: int) -> Step:
    return Step(
        label=f"Release {number}, auxiliary",
        how=say(
            "The emergency reservoir feeds it: down to {kept} if its air only fills the car's own "
            "pipe, to {drawn} if it goes on into the auxiliary. In {minutes} the auxiliary comes "
            "from {low} to {high}, the emergency reservoir to {emergency}.",
            kept=psi(event.kept),
            drawn=psi(event.before.emergency_reservoir),
            minutes=Value(event.amount, "min", 1),
            low=psi(event.before.auxiliary),
            high=psi(event.after.auxiliary),
            emergency=psi(event.after.emergency_reservoir),
        ),
        value=psi(event.after.auxiliary),
    )


def _warn(template: str, **parts: Value | str | int) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def notes(given: RepeatedApplicationsInputs, found: Found) -> Iterator[Note]:
    """Warnings first: what takes people into a runaway, then how the sum was made."""
    yield from _warnings(given, found)
    yield from _assumptions(given)


def _warnings(given: RepeatedApplicationsInputs, found: Found) -> Iterator[Note]:
    state, sets = found.events[-1].after, found.sets()
    if found.emergency_left is None:
        yield _warn(
            "Emergency not assured: the brake pipe at the last car counts as {pipe}. Under {needs} "
            "an emergency may not start or not run through the train.",
            pipe=psi(state.brake_pipe),
            needs=psi(given.emergency_needs),
        )
    if any(event.target == 0 for event in sets):
        yield _warn(
            "All the air was taken off, as by a penalty or handle off: until the train is "
            "recharged count on nothing but what is in the cylinders, and that leaks."
        )
    last = sets[-1]
    if len(sets) > 1 and last.worth < last.amount - SHORT_BY.value:
        yield _warn(
            "The last set reads {amount} off and is worth {worth}: it counts only from the "
            "auxiliary, not from the setting or the gauge.",
            amount=psi(last.amount),
            worth=psi(last.worth),
        )
    if found.full_service - found.service_left > SHORT_BY.value:
        yield _warn(
            "Charged, a full service gave {full}; now {left}. What is gone comes back only with "
            "time. Stop and secure while the brake still holds, as your railroad's rules say.",
            full=psi(found.full_service),
            left=psi(found.service_left),
        )
    if max(event.amount for event in sets) > PLAN_ENDS.value:
        yield _warn(
            "One railroad takes no more than {most} off ({mountain} in mountain territory) before "
            "the plan is changed.",
            most=psi(PLAN_ENDS.value),
            mountain=psi(PLAN_ENDS_MOUNTAIN.value),
        )
    if any(later.amount < earlier.amount + DEEPER_BY.value for earlier, later in pairwise(sets)):
        yield _warn(
            "One railroad asks that a set after a release go {more} below the one before it, "
            "because the train has not come back.",
            more=psi(DEEPER_BY.value),
        )


def _assumptions(given: RepeatedApplicationsInputs) -> Iterator[Note]:
    if given.rear is None:
        yield Note(
            text=say(
                "The rear gauge was not given, so the last car counts as {charged} when charged. "
                "Your own reading before the first set makes this answer yours.",
                charged=psi(given.charged),
            )
        )
    yield Note(
        text=say(
            "Counted against you: {cars} cars charge by the slow rule and then only near full; the "
            "auxiliary trails the pipe through its choke; each release draws on the emergency "
            "reservoir, and of the two ways its air can go the worse is shown for each figure; quick "
            "service and retaining valves give nothing; piston travel is {travel}.",
            cars=given.cars,
            travel=Value(given.car.piston_travel, "in", 1),
        )
    )
    yield Note(
        text=say(
            "After {minutes} in release the pipe at the last car has made up less than two thirds "
            "of what was missing, by this count. A gauge that shows more does not show the "
            "auxiliary: while reservoirs still fill, the pipe is above them.",
            minutes=Value(recharging(given).pipe_minutes, "min"),
        )
    )


def curve(found: Found) -> Series:
    """Both reservoirs over the minutes since the first set."""
    samples = [sample for event in found.events for sample in event.samples]
    start = found.events[0].before
    samples.insert(0, (0.0, start))
    return Series(
        title="The last car's reservoirs since the first set, counted against you",
        x=Axis(term="Time", unit="min", digits=1),
        y=Axis(term="Pressure", unit="psi"),
        lines=(
            Line(
                name="Auxiliary",
                points=tuple((minute, state.auxiliary) for minute, state in samples),
                color="reservoir",
            ),
            Line(
                name="Emergency reservoir",
                points=tuple((minute, state.emergency_reservoir) for minute, state in samples),
                color="main_reservoir",
            ),
            Line(
                name="Brake pipe",
                points=tuple((minute, state.brake_pipe) for minute, state in samples),
                color="brake_pipe",
            ),
        ),
        note="Upright lines are sets. Between them the train is in release.",
    )
