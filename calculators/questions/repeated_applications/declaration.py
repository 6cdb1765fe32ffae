"""The `repeated-applications` calculator: what the last car has left after sets and short waits."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from calculators.base.errors import InputError
from calculators.base.quantities import Quantity
from calculators.base.results import Note, Outcome, Progress, ToFollow
from calculators.declaring.first_screen import FirstScreen, Key
from calculators.declaring.registry import calculator
from calculators.equipment.car import full_service_pressure
from calculators.equipment.reserve import emergency_left, service_left
from calculators.law.records import Citation
from calculators.questions.repeated_applications import model, on_train, words
from calculators.questions.repeated_applications.inputs import RepeatedApplicationsInputs
from calculators.questions.repeated_applications.model import Found
from calculators.questions.shared.train_model import WHO


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedApplications(Outcome):
    """The last car's reservoirs, counted against the user, and what they would still give."""

    full_service_left: Annotated[
        float, Quantity(term="A full service would still give", unit="psi", help="at least")
    ]
    emergency_left: Annotated[
        float | None,
        Quantity(term="An emergency that runs through would give", unit="psi", help="at least"),
    ]
    brake_cylinder: Annotated[
        float, Quantity(term="Brake cylinder now", unit="psi", help="at least")
    ]
    auxiliary: Annotated[float, Quantity(term="Auxiliary reservoir", unit="psi")]
    emergency_reservoir: Annotated[float, Quantity(term="Emergency reservoir", unit="psi")]
    brake_pipe: Annotated[float, Quantity(term="Brake pipe at this car", unit="psi")]
    last_set_worth: Annotated[
        float,
        Quantity(term="The last set was worth", unit="psi", help="its fall below the auxiliary"),
    ]
    model_full_service: Annotated[
        float | None,
        Quantity(
            term="By the train model: a full service",
            unit="psi",
            help="a nominal train; not to be counted on",
            blank="not by the train model",
        ),
    ]
    model_emergency: Annotated[
        float | None,
        Quantity(
            term="By the train model: an emergency",
            unit="psi",
            help="a nominal train; not to be counted on",
            blank="not assured",
        ),
    ]


@calculator(
    "repeated-applications",
    title="Repeated applications",
    question="What is left in reserve after sets and releases with too little time to recharge?",
    first=FirstScreen(
        figures={
            "full_service_left": "full service left",
            "emergency_left": "emergency left",
            "last_set_worth": "the last set is worth",
        },
        asked={"": "sets of {reductions}, with waits of {waits}"},
        keys=(Key(field="reductions"), Key(field="waits"), Key(field="last_set")),
        line={"brake_pipe_setting": "", "cars": "cars"},
    ),
    sources=(
        Citation("NAVY", "charging a train"),
        Citation("MCB-06", "test 2"),
        Citation("ARRC-96", "pages 64, 64-2; glossary"),
        Citation("ARMY-203", "ch. 8"),
        Citation("CFR-232-205", "(c)(1)(i)(A), (c)(5)"),
    ),
    validity=(
        "For the last car, where least comes back. The rest of the train has this much or more.",
        "A lower bound by intent: what no text gives is counted on the side of less air. It tells "
        "what you can count on, not what the car will have.",
        "Direct release, every car alike, every brake working.",
        "The reference's own train model is run over the same moves. Where its last car has less, "
        "as where a set reaches it so slowly that its valve never moves, the answer takes that. No "
        "measured train was found to compare with.",
    ),
    leaves_out=(
        "Leakage of cylinders and reservoirs, which takes more still.",
        "Where the train model does not go: a set that comes so slowly at the rear that the "
        "auxiliary follows the pipe and its valve never moves. That air is gone.",
        "Worn or frozen valves, cars cut out, brakes that do not apply.",
        "Air that retaining valves keep, and the dynamic brake.",
    ),
    estimate=(
        "A lower bound for learning. A train that has been braked again and again is a train to "
        "stop and secure, not to reckon with."
    ),
)
def repeated_applications(given: RepeatedApplicationsInputs) -> RepeatedApplications:
    """Follow the last car's reservoirs through sets, releases and waits.

    Returns
    -------
    RepeatedApplications
        Pressures in psi; emergency None where it is not assured.

    Raises
    ------
    InputError
        If sets and waits do not go together.
    """
    sets = len(given.reductions)
    if len(given.waits) not in ((sets - 1, sets) if given.last_set == "on" else (sets,)):
        raise InputError(
            "waits",
            f"There are {sets} sets and {len(given.waits)} waits; write one wait for every set. "
            "Only the one after a set that is still on may be left out.",
        )
    car, atmosphere = given.car.brake(), given.car.atmosphere
    events = model.counted(given)
    state = events[-1].after
    emergency = None
    if state.brake_pipe >= given.emergency_needs:
        # From the lesser of each reservoir: what one of them gave may be gone down the train.
        emergency = emergency_left(state, car=car, atmosphere=atmosphere)
    found = Found(
        events=events,
        full_service=full_service_pressure(charged=given.charged, car=car, atmosphere=atmosphere),
        service_left=service_left(state, car=car, atmosphere=atmosphere),
        emergency_left=emergency,
    )
    first = RepeatedApplications(
        full_service_left=found.service_left,
        emergency_left=emergency,
        brake_cylinder=events[-1].cylinder,
        auxiliary=state.auxiliary,
        emergency_reservoir=state.emergency_reservoir,
        brake_pipe=state.brake_pipe,
        last_set_worth=found.sets()[-1].worth,
        model_full_service=None,
        model_emergency=None,
        headline=words.headline(found),
        working=tuple(words.working(given, found)),
        notes=tuple(words.notes(given, found)),
        series=(words.curve(found),),
    )
    reason = on_train.why_not(given)
    if reason is not None:
        return replace(first, notes=(*first.notes, Note(text=reason)))
    return replace(
        first,
        to_follow=ToFollow(
            what=WHO,
            fills=("model_full_service", "model_emergency"),
            of=Progress(done=0.0, of=on_train.commands(given)[1]),
            work=partial(_with_model, first, given, found),
            lowers=("full_service_left", "emergency_left", "brake_cylinder"),
        ),
    )


def _with_model(
    first: RepeatedApplications, given: RepeatedApplicationsInputs, found: Found
) -> Generator[Progress, None, RepeatedApplications]:
    """The first answer with what the train model's last car has left; the lesser of both counts."""
    left = yield from on_train.run_moves(given)
    if found.emergency_left is None:
        # Not assured by the count: then no figure of a train in order may say otherwise.
        left = replace(left, emergency=None)
    lesser = replace(
        found,
        service_left=min(found.service_left, left.full_service),
        emergency_left=_lesser(found.emergency_left, left.emergency),
    )
    lowered = lesser != found
    modelled = tuple(on_train.working(left))
    if lowered:
        pipe = left.run.samples[-1].rear
        modelled = (*modelled, *words.lesser(given, lesser, pipe=pipe))
    brake_cylinder = min(first.brake_cylinder, left.run.samples[-1].brake_cylinder[-1])
    no_more = {"full_service_left", "emergency_left"} if lowered else set()
    if brake_cylinder < first.brake_cylinder:
        no_more.add("brake_cylinder")
    return replace(
        first,
        headline=words.headline(lesser),
        full_service_left=lesser.service_left,
        emergency_left=lesser.emergency_left,
        brake_cylinder=brake_cylinder,
        model_full_service=left.full_service,
        model_emergency=left.emergency,
        working=(
            *(
                replace(
                    step,
                    decides=step.decides and not lowered,
                    shows="" if step.shows in no_more else step.shows,
                )
                for step in first.working
            ),
            *modelled,
        ),
        notes=(
            *first.notes,
            *(words.lower_by_the_model(given, found, lesser) if lowered else ()),
            *on_train.notes(given, left),
        ),
        series=(*first.series, on_train.curve(left)),
        bands=on_train.bands(left),
        to_follow=None,
    )


def _lesser(one: float | None, other: float | None) -> float | None:
    """The lesser of two emergencies; one that is not assured is the lesser."""
    return None if one is None or other is None else min(one, other)
