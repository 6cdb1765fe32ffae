"""The words of the `locomotive-brake` answer: headline, working and notes."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.base.results import Note, Phrase, Step, Value, plain, psi, say
from calculators.base.wording import at_begin
from calculators.equipment import car
from calculators.equipment.locomotive import (
    EQUALIZATION,
    MAIN_RESERVOIR_MARGIN,
    AtRest,
    Equipment,
    HandleDemand,
    asked_reduction,
    double_check,
)
from calculators.figures.thresholds import CYLINDER_IN_DYNAMIC, PLAUSIBLE_CYLINDER, RELEASE_FROM
from calculators.questions.shared.low_emergency import (
    NOT_ASSURED,
    is_low,
    warnings_of_low_emergency,
)


def headline(
    equipment: Equipment, command: HandleDemand, state: AtRest, cars: float, *, needs: float
) -> Phrase:
    """Say what the gauges show; ``cars`` is a car's cylinder [psi]."""
    low = command.handle == "emergency" and is_low(_pipe_before(equipment, command), needs)
    return say(
        "Brake pipe {pipe}, locomotive cylinder {cylinder}; a car about {car}."
        + (NOT_ASSURED if low else ""),
        pipe=psi(state.brake_pipe),
        cylinder=psi(state.brake_cylinder),
        car=psi(cars),
    )


def _pipe_before(equipment: Equipment, command: HandleDemand) -> float:
    """What the brake pipe held when the handle was moved [psi]."""
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    return max(0.0, charged - command.earlier_reduction)


def working(
    equipment: Equipment, command: HandleDemand, state: AtRest, cars: float
) -> Iterator[Step]:
    """Go through the chain of command step by step; the step that decided is marked."""
    yield from _command_steps(equipment, command, state)
    yield from _automatic_steps(equipment, command, state)
    yield from _cylinder_steps(equipment, state)
    yield Step(
        label="The cars",
        shows="car_brake_cylinder",
        how=(
            say("Emergency joins both of a car's reservoirs to its cylinder.")
            if command.handle == "emergency"
            else say(
                "The same {off} off works on each car by its volumes and quick service, not by the locomotive's multiplier.",
                off=psi(state.train_reduction),
            )
        ),
        value=psi(cars),
    )


def _command_steps(equipment: Equipment, command: HandleDemand, state: AtRest) -> Iterator[Step]:
    setting = psi(equipment.brake_pipe_setting)
    lead_er = state.equalizing_reservoir if equipment.unit == "lead" else None
    if command.handle == "release":
        how = say("Release brings it to the setting, {setting}.", setting=setting)
    elif command.handle in ("handle-off", "emergency"):
        how = say("The handle takes it to zero.")
    else:
        asked = asked_reduction(equipment, command)
        how = say("{setting} − {off}", setting=setting, off=psi(asked))
        if equipment.cut_off != "passenger" and command.earlier_reduction > asked:
            how = say(
                "{earlier} was already off, and only release lets it rise again: {setting} − {earlier_again}",
                earlier=psi(command.earlier_reduction),
                setting=setting,
                earlier_again=psi(command.earlier_reduction),
            )
    if lead_er is None:
        how = say("A unit that is not in control has none in use.")
    elif (
        command.handle not in ("handle-off", "emergency")
        and lead_er == equipment.main_reservoir < equipment.brake_pipe_setting
    ):
        how = say(
            "The main reservoir has only {supply} to fill it with.",
            supply=psi(equipment.main_reservoir),
        )
    yield Step(
        label="Equalizing reservoir",
        shows="equalizing_reservoir",
        how=how,
        value=psi(lead_er or 0.0),
    )
    if command.handle == "emergency":
        pipe = say("Vented straight to atmosphere, cut in or cut out.")
    elif equipment.unit != "lead":
        pipe = say("Comes from the train: the lead unit's handle decides it.")
    elif equipment.cut_off == "out":
        pipe = say("Cut out: it stays where it was.")
    elif state.brake_pipe < state.equalizing_reservoir:
        pipe = say("Cannot be fed above what the main reservoir or the cut-off valve allows.")
    else:
        pipe = say("Follows the equalizing reservoir.")
    yield Step(label="Brake pipe", shows="brake_pipe", how=pipe, value=psi(state.brake_pipe))


def _automatic_steps(equipment: Equipment, command: HandleDemand, state: AtRest) -> Iterator[Step]:
    times = plain(equipment.multiplier)
    if command.handle == "emergency":
        how = say("Main-reservoir air is fed to pipe 16 up to the emergency limit.")
    elif command.bail_off == "released":
        how = say(
            "After the bail-off only what has come off since then counts, times {times}.",
            times=times,
        )
    elif state.brake_pipe > state.control_reservoir:
        how = say(
            "The brake pipe at {pipe} is over the control reservoir at {charged}: it asks for nothing.",
            charged=psi(state.control_reservoir),
            pipe=psi(state.brake_pipe),
        )
    elif state.demand == 0 and state.brake_pipe < state.control_reservoir:
        how = say(
            "The brake pipe rose to {pipe}, and direct release gives everything away at once.",
            pipe=psi(state.brake_pipe),
        )
    else:
        how = say(
            "{times} × ({charged} − {pipe})",
            times=times,
            charged=psi(state.control_reservoir),
            pipe=psi(state.brake_pipe),
        )
    yield Step(
        label="Control valve asks for",
        how=how,
        value=psi(state.demand),
        decides=state.decisive == "demand",
    )
    nullified = state.pipe_16 == 0 and state.demand > 0
    passed = min(state.demand, state.limit)
    if state.supply < passed:
        how = say(
            "Set at {limit}, but there is only {supply} to fill pipe 16.",
            limit=psi(state.limit),
            supply=psi(state.supply),
        )
    elif state.limited_by == EQUALIZATION:
        how = say(
            "{volume} charged to {charged} and the {of_pipe} of pipe 16 come to {limit}"
            + ("." if state.demand > state.limit else ": not reached."),
            volume=Value(equipment.own_reservoir, "cu in"),
            charged=psi(state.control_reservoir),
            of_pipe=Value(equipment.pipe_16_volume, "cu in"),
            limit=psi(state.limit),
        )
    elif state.demand > state.limit or command.handle == "emergency":
        how = say("Holds pipe 16 at {limit}.", limit=psi(state.limit))
    else:
        how = say("Set at {limit}: not reached.", limit=psi(state.limit))
    yield Step(
        label=at_begin(state.limited_by),
        shows="" if nullified else "pipe_16",
        how=how,
        value=psi(min(passed, state.supply)),
        decides=state.decisive == "limit",
    )
    if nullified:
        held_off = command.bail_off == "held" and equipment.unit != "dead"
        yield Step(
            label="Bail-off" if held_off else "Dynamic brake interlock",
            shows="pipe_16",
            how=say("Takes the automatic application off this locomotive."),
            value=psi(0),
            decides=state.decisive in ("bail-off", "dynamic brake"),
        )


def _cylinder_steps(equipment: Equipment, state: AtRest) -> Iterator[Step]:
    alike = equipment.relay_ratio_automatic == equipment.relay_ratio_independent
    _, greater = double_check(pipe_16=state.pipe_16, pipe_20=state.pipe_20)
    if state.decided_by == "neither":
        how = say("Nothing in pipe 16, nothing in pipe 20.")
    else:
        how = say(
            "Pipe 16 {sixteen} against pipe 20 {twenty}: {winner} decides, the two never add.",
            sixteen=psi(state.pipe_16),
            twenty=psi(state.pipe_20),
            winner=state.decided_by,
        )
        if not alike and greater != state.decided_by:
            how = say(
                "Pipe 16 {sixteen}, pipe 20 {twenty}: with its ratio {winner} asks for more.",
                sixteen=psi(state.pipe_16),
                twenty=psi(state.pipe_20),
                winner=state.decided_by,
            )
    yield Step(
        label="Double check valve",
        shows="pilot",
        how=how,
        value=psi(state.pilot),
        decides=state.decisive == "independent",
    )
    ratio = (
        equipment.relay_ratio_independent
        if state.decided_by == "pipe 20"
        else equipment.relay_ratio_automatic
    )
    capped = state.decisive == "supply"
    template = "{ratio} × {pilot}" + (", and there is only {supply} to fill it" if capped else "")
    parts: dict[str, Value | str] = {"ratio": plain(ratio), "pilot": psi(state.pilot)}
    if capped:
        parts["supply"] = psi(state.supply)
    yield Step(
        label="Relay valve fills the cylinder to",
        shows="brake_cylinder",
        how=Phrase(template, parts),
        value=psi(state.brake_cylinder),
        decides=state.decisive == "supply",
    )


def _warn(template: str, **parts: Value | str) -> Note:
    return Note(kind="warning", text=Phrase(template, parts))


def notes(
    equipment: Equipment, command: HandleDemand, state: AtRest, *, needs: float
) -> Iterator[Note]:
    """Warn of how the locomotive stands, and say what the handling brings with it.

    ``needs`` is the brake pipe below which an emergency is not counted on. [psi]
    """
    yield from _equipment_notes(equipment, command, state)
    yield from _handling_notes(equipment, command, state, needs)


def _equipment_notes(equipment: Equipment, command: HandleDemand, state: AtRest) -> Iterator[Note]:
    setting = equipment.brake_pipe_setting
    if state.brake_cylinder > PLAUSIBLE_CYLINDER.value:
        yield _warn(
            "{cylinder} in the locomotive cylinder is more than is usual here: check the limits and ratios you entered.",
            cylinder=psi(state.brake_cylinder),
        )
    if equipment.main_reservoir < setting + MAIN_RESERVOIR_MARGIN and equipment.unit != "dead":
        yield _warn(
            "Main reservoir {main} is less than {margin} above the setting: charging and holding suffer.",
            main=psi(equipment.main_reservoir),
            margin=psi(MAIN_RESERVOIR_MARGIN),
        )
    if state.control_reservoir > setting:
        yield _warn(
            "Overcharged: release cannot bring the pipe up to {charged}, so {residue} stays in pipe 16. "
            "The cure is your railroad's; it usually starts with a heavy reduction below the new setting.",
            charged=psi(state.control_reservoir),
            residue=psi(
                min(equipment.multiplier * (state.control_reservoir - setting), state.limit)
            ),
        )
    if equipment.unit == "trailing" and equipment.cut_off != "out":
        yield _warn(
            "A trailing unit belongs cut OUT: two brake valves that feed one pipe fight each other. "
            "This answer takes it as cut out."
        )
    if equipment.unit == "dead":
        yield _warn(
            "Hauled dead, the cylinders have only what the brake pipe left in the main reservoir: {supply}. "
            "An independent pressure counts for nothing here.",
            supply=psi(state.supply),
        )


def _handling_notes(
    equipment: Equipment, command: HandleDemand, state: AtRest, needs: float
) -> Iterator[Note]:
    if command.handle == "emergency":
        yield from warnings_of_low_emergency(_pipe_before(equipment, command), needs)
    moving_back = command.earlier_reduction > asked_reduction(equipment, command)
    if command.bail_off != "none" and equipment.unit != "dead":
        yield Note(text=say("Bail-off acts on the locomotive only: the cars stay as they are."))
        if command.handle == "emergency" and command.bail_off == "released":
            yield _warn(
                "In emergency the cylinder stays down only while the handle is held; let go, it returns."
            )
    if command.dynamic_brake and state.brake_cylinder > CYLINDER_IN_DYNAMIC.value:
        yield _warn(
            "In dynamic the cylinder has {cylinder}, over the {most} at or under which one railroad "
            "keeps it: the wheels are braked twice and may slide.",
            cylinder=psi(state.brake_cylinder),
            most=psi(CYLINDER_IN_DYNAMIC.value),
        )
    elif command.dynamic_brake:
        yield Note(
            text=say(
                "In dynamic the independent still adds; one railroad keeps the cylinder at or under {most}.",
                most=psi(CYLINDER_IN_DYNAMIC.value),
            )
        )
    if equipment.cut_off == "passenger" and equipment.unit == "lead" and moving_back:
        yield _warn(
            "With the cut-off in passenger the pipe rises with the handle: cars with direct release "
            "can let the whole train go on this first move back."
        )
    if command.handle == "release" and 0 < command.earlier_reduction < RELEASE_FROM.value:
        yield _warn(
            "Released from only {set}: one railroad asks for at least {least} off before a release, or "
            "some cars may not let go.",
            set=psi(command.earlier_reduction),
            least=psi(RELEASE_FROM.value),
        )
    if command.handle == "service" and 0 < command.reduction < equipment.minimum_reduction:
        yield Note(
            text=say(
                "The handle's first notch already takes {least} off; the valve cannot rest at less.",
                least=psi(equipment.minimum_reduction),
            )
        )
    full = car.full_service_reduction(charged=equipment.brake_pipe_setting)
    if command.handle in ("service", "suppression") and state.train_reduction > full:
        yield Note(
            text=say(
                "The cars reached full service at {full} off; the rest adds nothing there and must be recharged.",
                full=psi(full),
            )
        )
    if (
        command.handle == "suppression"
        and state.train_reduction < full - 1
        and equipment.cut_off != "out"
    ):
        yield Note(
            text=say(
                "At this setting the cars would need {full} off for their full service.",
                full=psi(full),
            )
        )
    if (
        equipment.cut_off == "out"
        and equipment.unit == "lead"
        and command.handle not in ("emergency", "release")
    ):
        yield _warn(
            "Cut OUT on the unit in control: the equalizing reservoir moves, the train does not brake."
        )
