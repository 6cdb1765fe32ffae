"""What each passage's opening is called, and why it opened; what coming to rest is called.

The words are chosen by what the run did, never the other way round: which steps there are and
their order come from the run.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.base.results import Phrase, Value, plain, psi, say
from calculators.base.wording import at_begin
from calculators.circuits.moves import Standing, asked_off
from calculators.equipment.locomotive import relay
from calculators.equipment.running import Setup
from calculators.equipment.running.following import FollowedMove, Used

PLACE_NAMES = {
    "main_reservoir": "main reservoir",
    "equalizing_reservoir": "equalizing reservoir",
    "brake_pipe": "brake pipe",
    "control_reservoir": "control reservoir",
    "auxiliary_reservoir": "auxiliary reservoir",
    "pipe_16": "pipe 16",
    "pipe_20": "pipe 20",
    "pipe_13": "pipe 13",
    "brake_cylinder": "brake cylinder",
    "train": "train",
}

# The place whose gauge shows what a passage did.
MOVES_PLACE = {
    "handle-charge": "equalizing_reservoir",
    "handle-exhaust": "equalizing_reservoir",
    "handle-vent": "equalizing_reservoir",
    "pipe-vent": "brake_pipe",
    "pipe-feed": "brake_pipe",
    "pipe-exhaust": "brake_pipe",
    "train-pipe": "train",
    "train-vent": "train",
    "leakage": "brake_pipe",
    "actuating-feed": "pipe_13",
    "actuating-exhaust": "pipe_13",
    "control-charge": "control_reservoir",
    "control-bail": "control_reservoir",
    "control-back": "control_reservoir",
    "auxiliary-charge": "auxiliary_reservoir",
    "dead-engine": "main_reservoir",
    "emergency-feed": "pipe_16",
    "control-feed": "pipe_16",
    "control-exhaust": "pipe_16",
    "independent-feed": "pipe_20",
    "independent-exhaust": "pipe_20",
    "relay-feed": "brake_cylinder",
    "relay-exhaust": "brake_cylinder",
}


_BRAKE_VALVES = frozenset(
    {
        "handle-charge",
        "handle-exhaust",
        "handle-vent",
        "pipe-feed",
        "pipe-exhaust",
        "actuating-feed",
        "actuating-exhaust",
        "independent-feed",
        "independent-exhaust",
    }
)


SHOWN = 0.5
"""What a gauge shows. [psi]"""

STEADY_UNDER = 0.5
"""How far a leaking pipe stands under its equalizing reservoir at most. [psi]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One step in words: what opens, and why."""

    what: str
    why: Phrase


def opening(
    passage: str, setup: Setup, before: Standing | None, now: Standing, run: FollowedMove
) -> Told:
    """What the opening of a passage is, and what made it open."""
    makers = {
        "handle-charge": _handle_charge,
        "handle-exhaust": _handle_exhaust,
        "pipe-feed": _pipe_feed,
        "pipe-vent": _pipe_vent,
        "train-pipe": _train_pipe,
        "train-vent": _train_vent,
        "leakage": _leakage,
        "control-feed": _control_feed,
        "control-exhaust": _control_exhaust,
        "control-bail": _control_bail,
        "emergency-feed": _emergency_feed,
        "independent-feed": _independent,
        "independent-exhaust": _independent,
        "relay-feed": _relay_feed,
        "relay-exhaust": _relay_exhaust,
    }
    one = next(used for used in run.used if used.passage == passage)
    facts = _Sides(setup, before, now, run, one)
    told = makers[passage](facts) if passage in makers else _PLAIN[passage]
    if now.equipment.unit == "lead" or not _of_brake_valve(passage, now):
        return told
    return Told(what=f"On the lead unit {told.what[0].lower()}{told.what[1:]}", why=told.why)


def _of_brake_valve(passage: str, now: Standing) -> bool:
    """Whether a passage belongs to the handles, which only the unit in control has in use."""
    if passage == "pipe-vent":
        return now.move.handle == "emergency"
    return passage in _BRAKE_VALVES


_PLAIN = {
    "handle-vent": Told(
        what="The handle's valve vents the equalizing reservoir",
        why=say("Emergency opens it wide: it empties within a few seconds."),
    ),
    "pipe-exhaust": Told(
        what="The brake pipe relay opens its exhaust",
        why=say(
            "The equalizing reservoir has fallen under the brake pipe; the relay lets the pipe "
            "down after it."
        ),
    ),
    "actuating-feed": Told(
        what="Pressing the handle charges pipe 13",
        why=say("The bail-off valve puts main-reservoir air on the actuating pipe."),
    ),
    "actuating-exhaust": Told(
        what="Letting the handle go empties pipe 13",
        why=say("The bail-off valve returns and opens the actuating pipe to atmosphere."),
    ),
    "control-back": Told(
        what="The control reservoir lets air back into the brake pipe",
        why=say("The control valve has gone to release with its reservoir above the pipe."),
    ),
    "auxiliary-charge": Told(
        what="The control valve's own reservoir charges",
        why=say("Brake pipe air passes its check whenever the pipe is the higher."),
    ),
    "dead-engine": Told(
        what="The dead-engine device feeds the main reservoir",
        why=say("With the compressor stopped, brake pipe air passes it up to its setting."),
    ),
    "control-charge": Told(
        what="The control reservoir charges",
        why=say("The control valve is in release and lets brake pipe air into it."),
    ),
}


@dataclass(frozen=True, slots=True)
class _Sides:
    setup: Setup
    before: Standing | None
    now: Standing
    run: FollowedMove
    one: Used


def _handle_charge(facts: _Sides) -> Told:
    return Told(
        what="The handle's valve charges the equalizing reservoir",
        why=say(
            "In {position} it lets regulated air in, up to {asked}.",
            position=_position(facts),
            asked=psi(min(facts.now.equipment.brake_pipe_setting - _off(facts), _charged(facts))),
        ),
    )


def _handle_exhaust(facts: _Sides) -> Told:
    what = "The handle's valve lets the equalizing reservoir down"
    if facts.now.move.event == "penalty":
        return Told(
            what="The penalty lets the equalizing reservoir down",
            why=say("The safety device has taken over: it empties at service rate, all the way."),
        )
    if facts.now.move.handle == "handle-off":
        return Told(what=what, why=say("Handle off empties it at service rate, all the way."))
    return Told(
        what=what,
        why=say(
            "The handle asks for {off} off: air leaves through the service choke.",
            off=psi(_off(facts)),
        ),
    )


def _pipe_feed(facts: _Sides) -> Told:
    if _only_leaks(facts):
        return Told(
            what="The brake pipe relay feeds what leaks",
            why=say(
                "Maintaining: as soon as leakage takes the pipe under the equalizing reservoir, "
                "the relay makes it good. The air flow indicator shows it; the gauges do not."
            ),
        )
    cut_off = (
        ""
        if facts.run.samples[0].pressure("equalizing_reservoir") >= 25
        else (" Below that the cut-off valve kept shut.")
    )
    return Told(
        what="The brake pipe relay feeds the brake pipe",
        why=say(
            "The equalizing reservoir is above the brake pipe, so main-reservoir air goes "
            "into the pipe.{cut_off}",
            cut_off=cut_off,
        ),
    )


def _only_leaks(facts: _Sides) -> bool:
    """Whether the pipe is fed for its leakage alone: it stood at its target from the start."""
    target = facts.run.samples[-1].pressure("equalizing_reservoir")
    stands = facts.run.samples[0].pressure("brake_pipe")
    return facts.setup.leakage > 0 and target <= stands + STEADY_UNDER


def _pipe_vent(facts: _Sides) -> Told:
    if facts.now.move.handle == "emergency":
        return Told(
            what="The brake valve opens the brake pipe to atmosphere",
            why=say("Emergency opens it straight and wide, cut in or cut out."),
        )
    return Told(
        what="The locomotive's vent valve opens",
        why=say("The fall from the train has reached it; it vents the pipe and passes it on."),
    )


def _train_pipe(facts: _Sides) -> Told:
    cars = facts.setup.cars
    passed = next(used.content for used in facts.run.used if used.passage == "train-pipe")
    if facts.now.vented:
        return Told(
            what="Air of the head runs back into the train",
            why=say("The pipe is open back there: the fall has reached this end."),
        )
    if passed > 0.0 and _only_leaks(facts):
        return Told(
            what="Air runs back along the train",
            why=say(
                "Every car leaks a little, and all of it comes from the head: the rear is lowest."
            ),
        )
    if passed > 0.0:
        return Told(
            what="Air runs back along the train",
            why=say(
                "{cars} cars of pipe, and the cars' reservoirs, take it in against friction: the "
                "rear rises last.",
                cars=cars,
            ),
        )
    return Told(
        what="Air runs forward along the train",
        why=say(
            "The air of {cars} cars must come to the head against friction: the rear falls last.",
            cars=cars,
        ),
    )


def _train_vent(facts: _Sides) -> Told:
    where = {
        "emergency-from-train": "A parted hose opens the brake pipe in the train",
        "emergency-from-rear": "The end-of-train device opens the brake pipe",
    }.get(facts.now.move.event, "The cars' vent valves open one after the other")
    return Told(
        what=where,
        why=say(
            "Each vehicle's vent valve feels the fall, opens and passes it on along the train."
        ),
    )


def _leakage(facts: _Sides) -> Told:
    return Told(
        what="Leakage draws on the brake pipe",
        why=say(
            "{leakage} as read with the valve cut out, at the setting.",
            leakage=Value(facts.setup.leakage, "psi/min", 1),
        ),
    )


def _control_feed(facts: _Sides) -> Told:
    return Told(
        what="The control valve applies",
        why=say(
            "The brake pipe has fallen under the {shut} that counts in the control reservoir; it "
            "asks for {times} times that fall in pipe 16, up to the limit.",
            shut=psi(_reference(facts)),
            times=plain(facts.now.equipment.multiplier),
        ),
    )


def _control_exhaust(facts: _Sides) -> Told:
    if facts.now.move.bail_off == "held":
        why = say("Pipe 13 holds the automatic application off: pipe 16 goes to atmosphere.")
    elif _end(facts, "pipe_16") >= SHOWN:
        why = say("Pipe 16 had come over what is asked of it; that much goes to atmosphere.")
    elif facts.now.equipment.release_type == "direct":
        why = say(
            "The brake pipe has risen far enough to throw a direct-release valve over: all of "
            "pipe 16 goes to atmosphere."
        )
    else:
        why = say("The brake pipe rises, and pipe 16 follows it down in proportion.")
    return Told(what="The control valve releases pipe 16", why=why)


def _control_bail(facts: _Sides) -> Told:
    return Told(
        what="The control valve lets the control reservoir down to the brake pipe",
        why=say("From now on only what comes off further counts on this locomotive."),
    )


def _emergency_feed(facts: _Sides) -> Told:
    by_handle = facts.now.move.handle == "emergency" and facts.now.equipment.unit == "lead"
    where = (
        "In emergency position the brake valve puts main-reservoir air into pipe 12; it goes on"
        if by_handle
        else "The brake pipe is so low that main-reservoir air goes on"
    )
    return Told(
        what="The emergency limiting valve feeds pipe 16",
        why=say(where + " to pipe 16 up to {limit}.", limit=psi(_limit(facts))),
    )


def _independent(facts: _Sides) -> Told:
    rising = _end(facts, "pipe_20") > facts.run.samples[0].pressure("pipe_20")
    return Told(
        what=f"The independent valve {'fills' if rising else 'empties'} pipe 20",
        why=say("Its handle asks for {asked}.", asked=psi(_end(facts, "pipe_20"))),
    )


def _relay_feed(facts: _Sides) -> Told:
    winner = _winner(facts)
    if winner == "neither":
        return Told(
            what="The relay valve fills the cylinders",
            why=say("For a moment there is a pilot on it."),
        )
    ratio = (
        facts.now.equipment.relay_ratio_independent
        if winner == "pipe 20"
        else facts.now.equipment.relay_ratio_automatic
    )
    return Told(
        what="The relay valve fills the cylinders",
        why=say(
            "{winner} passes the double check valve and is the pilot; the relay gives {as_much} "
            "from the main reservoir.",
            winner=at_begin(winner),
            as_much="as much" if ratio == 1.0 else f"{plain(ratio)} times as much",
        ),
    )


def _relay_exhaust(facts: _Sides) -> Told:
    return Told(
        what="The relay valve empties the cylinders",
        why=say("Its pilot has fallen: what the cylinders hold above it goes to atmosphere."),
    )


def _off(facts: _Sides) -> float:
    return asked_off(facts.now.equipment, facts.now.move)


def _charged(facts: _Sides) -> float:
    equipment = facts.now.equipment
    return min(equipment.brake_pipe_setting, equipment.main_reservoir)


def _position(facts: _Sides) -> str:
    return "release" if facts.now.move.handle == "release" else "this position"


def _reference(facts: _Sides) -> float:
    """The pressure the control valve counts from [psi]."""
    return facts.run.at(facts.one.started).pressure("control_reservoir")


def _end(facts: _Sides, place: str) -> float:
    return facts.run.samples[-1].pressure(place)


def _felt(pressure: float) -> float:
    """A pilot too low to move a piston is none [psi]."""
    return pressure if pressure >= SHOWN else 0.0


def _limit(facts: _Sides) -> float:
    """What the emergency limiting valve lets into pipe 16 [psi]."""
    return facts.now.equipment.emergency_limit / facts.now.equipment.relay_ratio_automatic


def _winner(facts: _Sides) -> str:
    """The pipe whose air is the pilot while the relay valve is at work, and after it."""
    equipment = facts.now.equipment
    sample = facts.run.at(facts.one.stopped)
    _, winner = relay(
        pipe_16=_felt(sample.pressure("pipe_16")),
        pipe_20=_felt(sample.pressure("pipe_20")),
        ratio_automatic=equipment.relay_ratio_automatic,
        ratio_independent=equipment.relay_ratio_independent,
        supply=sample.pressure("main_reservoir"),
    )
    return winner


# From here a time is said in minutes; below this it has tenths. [s]
MINUTES_FROM = 120.0
TENTHS_BELOW = 10.0


def seconds(amount: float) -> Value:
    """A time since the move, in minutes once seconds say too much."""
    if amount >= MINUTES_FROM:
        return Value(amount / 60.0, "min", 1)
    return Value(amount, "s", 1 if amount < TENTHS_BELOW else 0)
