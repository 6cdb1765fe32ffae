"""What every part and every line of a sheet does at one moment, read from the run.

Positions are the squares of a valve's symbol: ``feed``, ``lap`` and ``exhaust`` for a three-way
valve, ``open`` and ``shut`` for a two-way valve, ``a``, ``b`` and ``neither`` for the double check
valve, ``out`` and ``in`` for the piston of a cylinder.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from calculators.base.results import Phrase, psi, say
from calculators.circuits.description import Carries, Sheet
from calculators.circuits.moves import Standing
from calculators.equipment.locomotive import CUT_OFF_OPENS, relay
from calculators.equipment.running import Setup
from calculators.equipment.running.following import WAYS, Sample

# A pipe below this holds no air worth drawing. [psi]
EMPTY_BELOW = 0.5
# A flow below this moves no gauge. [psi cu in/s]
STILL_BELOW = 1e-3
_GOES_ON = ("leakage", "pipe-feed", "train-pipe")
PISTON_MOVES_AT = 2.5
STATELESS = frozenset(
    {"main_reservoir", "equalizing_reservoir", "auxiliary_reservoir", "control_reservoir"}
)
"""Parts that only hold air."""
FULL = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """One component at a moment: the square it stands in, its words, whether it blows."""

    position: str = ""
    words: Phrase | None = None
    blows: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A sheet at a moment: states by component, flow (1, 0, -1) and emptiness by joint.

    ``carries`` names joints that carry another pipe's air just now; ``fed`` is the air that goes
    into the brake pipe [psi cu in/s].
    """

    seconds: float
    parts: Mapping[str, PartState]
    flows: Mapping[str, int]
    empty: Mapping[str, bool]
    carries: Mapping[str, Carries]
    pressures: Mapping[str, float]
    fed: float


def moment(
    sheet: Sheet, setup: Setup, now: Standing, sample: Sample, *, at_rest: bool = False
) -> Moment:
    """Read the state of a sheet from a sample of the run.

    Where all is ``at_rest`` what still trickles moves no gauge and is not shown; leakage and what
    feeds it go on.
    """
    reader = _Reader(setup, now, sample, at_rest=at_rest)
    pressures = reader.pressures()
    return Moment(
        seconds=sample.seconds,
        parts={component.id: reader.part(component.id) for component in sheet.components},
        flows={joint.id: reader.flow(joint.passages) for joint in sheet.joints},
        empty={joint.id: pressures.get(joint.place, 0.0) < EMPTY_BELOW for joint in sheet.joints},
        carries=reader.carries(),
        pressures=pressures,
        fed=reader.fed(),
    )


class _Reader:
    """Reads one sample of a run."""

    def __init__(self, setup: Setup, now: Standing, sample: Sample, *, at_rest: bool) -> None:
        self._setup = setup
        self._equipment = now.equipment
        self._now = now
        self._sample = sample
        going_on = _GOES_ON if setup.leakage > 0.0 else ()
        self._moves = {
            name: flow
            for name, flow in zip(WAYS, sample.flows, strict=True)
            if abs(flow) > STILL_BELOW and (not at_rest or name in going_on)
        }

    def flow(self, passages: Mapping[str, int]) -> int:
        """Which way air runs in a line: along its route, against it, or not."""
        running = sum(
            sign * self._moves[name] for name, sign in passages.items() if name in self._moves
        )
        return (running > STILL_BELOW) - (running < -STILL_BELOW)

    def pressures(self) -> dict[str, float]:
        """Gauge pressures of all places that a line or a reading can name [psi]."""
        sample, equipment = self._sample, self._equipment
        main = sample.pressure("main_reservoir")
        brake_pipe = sample.pressure("brake_pipe")
        pilot = self._pilot()[0]
        found = {
            "main_reservoir": main,
            "equalizing_reservoir": self._equalizing(),
            "brake_pipe": brake_pipe,
            "control_reservoir": sample.pressure("control_reservoir"),
            "pipe_16": sample.pressure("pipe_16"),
            "pipe_20": sample.pressure("pipe_20"),
            "pipe_13": sample.pressure("pipe_13"),
            "brake_cylinder": sample.pressure("brake_cylinder"),
            "pilot": pilot,
            "regulated": min(equipment.brake_pipe_setting, main),
            "behind_cut_off": (brake_pipe if self._cut_off()[0] else self._equalizing()),
            "auxiliary_reservoir": sample.pressure("auxiliary_reservoir"),
            "pipe_12": main if self._by_low_pipe() else sample.pressure("pipe_12"),
        }
        if sample.rear is not None:
            found["rear"] = sample.rear
        return found

    def _equalizing(self) -> float:
        """The reservoir of this unit's own brake valve; only the unit in control has it in use."""
        if self._equipment.unit != "lead":
            return 0.0
        return self._sample.pressure("equalizing_reservoir")

    def fed(self) -> float:
        """Air that the brake valve feeds into the pipe [psi cu in/s]."""
        return self._moves.get("pipe-feed", 0.0)

    def carries(self) -> dict[str, Carries]:
        """The pilot's line carries whichever pipe won."""
        return {"pilot": "pipe_20"} if self._pilot()[1] == "pipe 20" else {}

    def part(self, id: str) -> PartState:
        """State of one component.

        Raises
        ------
        LookupError
            If nothing says what such a component does.
        """
        if id in STATELESS:
            return PartState()
        reader = getattr(self, f"_{id}", None)
        if reader is None:
            raise LookupError(f"nothing says what {id} does at a moment")
        state = reader()
        assert isinstance(state, PartState)
        return state

    def _three_way(
        self,
        feed: tuple[str, ...],
        exhaust: tuple[str, ...],
        words: tuple[str, str, str],
        *,
        empties: str = "",
    ) -> PartState:
        """A valve that feeds, laps or exhausts; with ``empties`` asked for no air it stays open."""
        if any(name in self._moves for name in exhaust):
            return PartState(position="exhaust", words=say(words[2]), blows=True)
        if any(name in self._moves for name in feed):
            return PartState(position="feed", words=say(words[0]))
        if empties and self._sample.pressure(empties) < EMPTY_BELOW:
            return PartState(position="exhaust", words=say("released"))
        return PartState(position="lap", words=say(words[1]))

    def _regulating_valve(self) -> PartState:
        return PartState(
            position="open" if "handle-charge" in self._moves else "shut",
            words=say("set at {setting}", setting=psi(self._equipment.brake_pipe_setting)),
        )

    def _handle_valve(self) -> PartState:
        words = ("charging", "lap", "letting down")
        return self._three_way(("handle-charge",), ("handle-exhaust", "handle-vent"), words)

    def _pipe_relay(self) -> PartState:
        return self._three_way(("pipe-feed",), ("pipe-exhaust",), ("feeding", "lap", "exhausting"))

    def _cut_off(self) -> tuple[bool, Phrase]:
        if self._equipment.cut_off == "out":
            return False, say("OUT: shut")
        if self._now.vented:
            return False, say("shut by 53")
        if self._now.move.handle == "emergency":
            return False, say("shut")
        behind = self._sample.pressure("equalizing_reservoir")
        if behind < CUT_OFF_OPENS and behind > self._sample.pressure("brake_pipe"):
            return False, say("< {opens}", opens=psi(CUT_OFF_OPENS))
        return True, say("IN: open")

    def _cut_off_valve(self) -> PartState:
        is_open, words = self._cut_off()
        return PartState(position="open" if is_open else "shut", words=words)

    def _vent_valve(self) -> PartState:
        asked = self._now.move.handle == "emergency" or self._now.vented
        blows = "pipe-vent" in self._moves
        opened = blows or (asked and self._sample.pressure("brake_pipe") < EMPTY_BELOW)
        words = "blowing" if blows else "open" if opened else "shut"
        return PartState(position="open" if opened else "shut", words=say(words), blows=blows)

    def _independent_valve(self) -> PartState:
        words = say("at {asked}", asked=psi(self._now.move.independent))
        return PartState(
            position="open" if "independent-feed" in self._moves else "shut",
            words=words,
            blows="independent-exhaust" in self._moves,
        )

    def _actuating_valve(self) -> PartState:
        held = self._now.move.bail_off == "held"
        return PartState(
            position="open" if held else "shut",
            words=say("pressed" if held else "not pressed"),
            blows="actuating-exhaust" in self._moves,
        )

    def _train(self) -> PartState:
        return PartState(blows="train-vent" in self._moves)

    def _lead_unit(self) -> PartState:
        words = {
            "release": "handle in release",
            "minimum-reduction": "minimum reduction",
            "service": "handle in service",
            "suppression": "handle in suppression",
            "handle-off": "handle off",
            "emergency": "handle in emergency",
        }[self._now.move.handle]
        return PartState(words=say(words))

    def _dead_engine_device(self) -> PartState:
        words = say("feeds up to {setting}", setting=psi(self._equipment.dead_engine_setting))
        return PartState(position="open", words=words)

    def _control_valve(self) -> PartState:
        words = ("applying", "lap", "releasing")
        exhaust = ("control-exhaust", "control-bail")
        return self._three_way(("control-feed",), exhaust, words, empties="pipe_16")

    def _limiting_valve(self) -> PartState:
        cap = self._equipment.service_limit
        held = self._sample.pressure("pipe_16") >= cap - FULL
        words = "holds at {limit}" if held else "open, set at {limit}"
        return PartState(
            position="shut" if held else "open", words=Phrase(words, {"limit": psi(cap)})
        )

    def _has_emergency_air(self) -> bool:
        """Whether main-reservoir air stands at the emergency limiting valve."""
        return self._now.move.handle == "emergency" or self._by_low_pipe()

    def _by_low_pipe(self) -> bool:
        """Whether that air has come there because the brake pipe is low, not by the handle."""
        if self._now.move.handle == "emergency":
            return False
        return "emergency-feed" in self._moves or self._emergency_limit_holds()

    def _emergency_limiting_valve(self) -> PartState:
        limit = psi(self._emergency_limit())
        if "emergency-feed" in self._moves:
            return PartState(position="open", words=say("open to {limit}", limit=limit))
        if self._emergency_limit_holds():
            return PartState(position="shut", words=say("holds at {limit}", limit=limit))
        return PartState(position="shut", words=say("shut"))

    def _emergency_limit(self) -> float:
        """What the emergency limiting valve lets into pipe 16 [psi]."""
        return self._equipment.emergency_limit / self._equipment.relay_ratio_automatic

    def _emergency_limit_holds(self) -> bool:
        """Whether pipe 16 stands at that limit, by air that the valve has passed."""
        stands = self._sample.pressure("pipe_16")
        by_handle = self._now.move.handle == "emergency"
        beyond = by_handle or stands > self._equipment.service_limit + FULL
        return beyond and stands >= self._emergency_limit() - FULL

    def _pilot(self) -> tuple[float, str]:
        equipment, sample = self._equipment, self._sample
        pipe_16 = max(0.0, round(sample.pressure("pipe_16"), 6))
        pipe_20 = max(0.0, round(sample.pressure("pipe_20"), 6))
        _, winner = relay(
            pipe_16=pipe_16,
            pipe_20=pipe_20,
            ratio_automatic=equipment.relay_ratio_automatic,
            ratio_independent=equipment.relay_ratio_independent,
            supply=sample.pressure("main_reservoir"),
        )
        return {"pipe 16": pipe_16, "pipe 20": pipe_20, "neither": 0.0}[winner], winner

    def _double_check(self) -> PartState:
        winner = self._pilot()[1]
        position = {"pipe 16": "a", "pipe 20": "b", "neither": "neither"}[winner]
        words = "no air on either side" if winner == "neither" else f"{winner} passes"
        return PartState(position=position, words=say(words))

    def _relay_valve(self) -> PartState:
        words = ("filling", "lap", "emptying")
        return self._three_way(("relay-feed",), ("relay-exhaust",), words, empties="brake_cylinder")

    def _brake_cylinder(self) -> PartState:
        out = self._sample.pressure("brake_cylinder") >= PISTON_MOVES_AT
        return PartState(position="out" if out else "in")
