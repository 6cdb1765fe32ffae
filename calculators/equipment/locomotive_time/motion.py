"""One step of the locomotive's air: every valve looks at its pressures and passes what it may.

Pressures are absolute psi in a list by place, contents psi times cubic inches. Within a step the
passages are taken in the order in which they act on each other, so that what is downstream
answers in the same step.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from calculators.air.orifice import elliptic_factor
from calculators.base.units import CUBIC_FOOT, CUBIC_INCH
from calculators.equipment.locomotive import (
    RELEASING_RISE,
    AtRest,
    Command,
    Equipment,
    automatic,
    brake_pipe_following,
    equalizing_reservoir,
    independent_pressure,
    relay,
)
from calculators.equipment.locomotive_time import figures
from calculators.equipment.locomotive_time.figures import Setup, passing
from calculators.equipment.locomotive_time.passages import (
    BRAKE_PIPE,
    CONTROL,
    CYLINDER,
    EQUALIZING,
    MAIN,
    NUMBER_OF,
    PASSAGES,
    SIXTEEN,
    THIRTEEN,
    TWENTY,
)
from calculators.equipment.locomotive_time.train_pipe import FINEST, TrainPipe, leaked
from calculators.equipment.train.tables import BRAKE_VALVE, FREIGHT_VALVE

# Pressures are compared as a gauge could at best: binary dust must not decide.
_DIGITS = 9

_DUST = 1e-4

# Passages that never close for good; what they still move is judged by the pressures instead.
_ENDLESS = frozenset({"leakage", "pipe-feed", "train-pipe", "compressor"})


def start_pressures(
    setup: Setup, command: Command | None, rest: AtRest | None
) -> tuple[float, ...]:
    """Gauge pressures by place in a state at rest, or with everything but the supply empty."""
    equipment = setup.equipment
    if rest is None or command is None:
        return (equipment.main_reservoir, *([0.0] * 7))
    bailed = command.bail_off != "none" and equipment.unit != "dead"
    held = command.bail_off == "held" and equipment.unit != "dead"
    return (
        rest.supply,
        rest.equalizing_reservoir,
        rest.brake_pipe,
        bailed_off_to(equipment, command, rest.brake_pipe) if bailed else rest.control_reservoir,
        rest.pipe_16,
        rest.pipe_20,
        rest.supply if held else 0.0,
        rest.brake_cylinder,
    )


def bailed_off_to(equipment: Equipment, command: Command, brake_pipe: float) -> float:
    """Where a bail-off leaves the control reservoir: the brake pipe of that moment [psi]."""
    at = command.reduction_at_bail_off
    return brake_pipe if at is None else max(brake_pipe, equipment.brake_pipe_setting - at)


class Motion:
    """The locomotive on its way from one state at rest to the next."""

    def __init__(
        self, setup: Setup, rest: AtRest | None, before: Command | None, command: Command
    ) -> None:
        self.setup = setup
        self.command = command
        self.equipment = setup.equipment
        A = setup.atmosphere
        gauges = list(start_pressures(setup, before, rest))
        if before is not None and self.equipment.unit != "lead":
            # The lead unit's reservoir moves the pipe; this unit's own is not in use.
            gauges[EQUALIZING] = equalizing_reservoir(self.equipment, before)
        self.pressure = [gauge + A for gauge in gauges]
        self.volume = (
            setup.main_reservoir_volume,
            setup.equalizing_volume,
            setup.head_volume,
            figures.CONTROL_RESERVOIR_VOLUME,
            self.equipment.pipe_16_volume,
            figures.PIPE_20_VOLUME,
            figures.PIPE_13_VOLUME,
            setup.cylinders * setup.cylinder_volume,
        )
        self.seconds = 0.0
        self.train = TrainPipe(
            setup, rest, vented=command.vented, from_head=command.handle == "emergency"
        )
        self.moved = [0.0] * len(PASSAGES)
        self._used: dict[int, list[float]] = {}
        self._open = [False] * len(PASSAGES)
        self._asked: dict[int, float] = {}
        self.out = 0.0
        self.brought_in = 0.0
        self._lowest = gauges[BRAKE_PIPE]
        self._was_held = before is not None and before.bail_off == "held"
        self._empty = rest is None
        self.endless = _ENDLESS

    def gauges(self) -> tuple[float, ...]:
        """Gauge pressures by place; a unit not in control shows no equalizing reservoir."""
        shown = [p - self.setup.atmosphere for p in self.pressure]
        if self.equipment.unit != "lead":
            shown[EQUALIZING] = 0.0
        return tuple(shown)

    def content(self) -> float:
        """All air of the locomotive and the pipe behind it [psi cu in]."""
        own = sum(p * V for p, V in zip(self.pressure, self.volume, strict=True))
        return own + self.train.content() + self.train.taken_by_cars

    def passages_used(self) -> Iterator[tuple[str, float, float, float]]:
        """Name, first and last moment, air passed; in the order of opening."""
        order = sorted(self._used, key=lambda number: (self._used[number][0], number))
        for number in order:
            first, last, content = self._used[number]
            yield PASSAGES[number].name, first, last, content

    # --- One step ---------------------------------------------------------------------------

    def step(self, dt: float) -> None:
        """Move all air on by a step."""
        self.moved = [0.0] * len(PASSAGES)
        self._pump(dt)
        self._handle(dt)
        self._vent(dt)
        self._follow(dt)
        self._actuate(dt)
        self._control(dt)
        self._independent(dt)
        self._relay(dt)
        self.seconds += dt

    def _gauge(self, place: int) -> float:
        return round(self.pressure[place] - self.setup.atmosphere, _DIGITS)

    def _pump(self, dt: float) -> None:
        """The compressor brings the main reservoir back to its figure."""
        A, V = self.setup.atmosphere, self.volume[MAIN]
        missing = (self._supply_figure() + A - self.pressure[MAIN]) * V
        if missing <= 0.0:
            return
        delivery = self.setup.compressor_delivery / 60.0 * CUBIC_FOOT / CUBIC_INCH * A
        # A dead unit's reservoir is held by the brake pipe through the dead-engine device.
        content = missing if self.equipment.unit == "dead" else min(missing, delivery * dt)
        self.pressure[MAIN] += content / V
        self.brought_in += content
        self._note("compressor", content, dt)

    def _supply_figure(self) -> float:
        equipment = self.equipment
        if equipment.unit == "dead":
            charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
            return min(equipment.dead_engine_setting, charged)
        return equipment.main_reservoir

    def _handle(self, dt: float) -> None:
        """The handle's valve charges the equalizing reservoir or lets it down."""
        target = equalizing_reservoir(self.equipment, self.command)
        V = self.setup.equalizing_volume
        if self._gauge(EQUALIZING) > target:
            if self.command.handle == "emergency":
                self._drain("handle-vent", EQUALIZING, target, V / BRAKE_VALVE.emergency_lag, dt)
            else:
                self._drain("handle-exhaust", EQUALIZING, target, V / figures.SERVICE_LAG, dt)
        else:
            whole = self.equipment.main_reservoir + self.setup.atmosphere
            hole = BRAKE_VALVE.charging_rate * V / whole
            self._fill("handle-charge", self._handles_supply(), EQUALIZING, target, hole, dt)

    def _handles_supply(self) -> int | None:
        """Where the air of the handles comes from: the lead unit has a main reservoir of its own."""
        return MAIN if self.equipment.unit == "lead" else None

    def _vent(self, dt: float) -> None:
        """Emergency: the brake valve, and the locomotive's own vent valve, open the pipe."""
        hole = 0.0
        if self.command.handle == "emergency":
            hole += passing(BRAKE_VALVE.emergency_hole)
        if self.command.vented != "nowhere" and self.train.reaches(self.seconds):
            hole += passing(FREIGHT_VALVE.vent_hole)
        if hole:
            self._drain("pipe-vent", BRAKE_PIPE, 0.0, hole, dt)

    def _follow(self, dt: float) -> None:
        """The brake pipe follows the equalizing reservoir where the brake valve is cut in.

        What leaks and blows is taken out first; then the pipe is solved with the brake valve.
        """
        self._lose(dt)
        p, V = self.pressure[BRAKE_PIPE], self.volume[BRAKE_PIPE]
        name, feed, target = self._pipe_relay()
        new, taken = self.train.settle(p, V, self.seconds, dt, feed=feed, target=target)
        if not self.train.parts and abs(new - target) < FINEST and feed:
            new = target
        self.pressure[BRAKE_PIPE] = new
        self._note("train-pipe", taken, dt)
        passed = taken + (new - p) * V
        # Where the train itself brings the head past the target within a step, the relay has turned
        # over: no air ever goes from the pipe back into the main reservoir.
        if name and passed < 0.0:
            self.out -= passed
            self._note("pipe-exhaust", -passed, dt)
        elif name and passed > 0.0:
            if self.equipment.unit == "lead":
                self.pressure[MAIN] -= passed / self.volume[MAIN]
            else:
                self.brought_in += passed
            self._note("pipe-feed", passed, dt)
        self.train.quick_service(self.pressure[BRAKE_PIPE], dt)
        self.train.cars_breathe(dt)

    def _pipe_relay(self) -> tuple[str, float, float]:
        """The brake valve's relay: its open passage, its flow per psi, its absolute target."""
        A = self.setup.atmosphere
        out = self.equipment.cut_off == "out" and self.equipment.unit == "lead"
        if out or self.command.handle == "emergency" or self.command.vented != "nowhere":
            return "", 0.0, A
        er, bp = self._gauge(EQUALIZING), self._gauge(BRAKE_PIPE)
        lead = self.equipment.unit == "lead"
        supply = self._gauge(MAIN) if lead else self.equipment.main_reservoir
        target = brake_pipe_following(equalizing_reservoir=er, brake_pipe=bp, supply=supply)
        name = "pipe-exhaust" if target < bp else "pipe-feed"
        # The rear of a train may still be off where the head has come to its target.
        off = max(abs(target - bp), self.train.stillness(bp + A) if target == er else 0.0)
        if not self._opens(NUMBER_OF[name], off, target, figures.PIPE_RELAY_STARTS):
            return "", 0.0, A
        # Full flow at the full opening and above; in proportion to the difference below.
        per_psi = max(abs(target - bp), BRAKE_VALVE.full_opening)
        if name == "pipe-exhaust":
            flow = passing(BRAKE_VALVE.exhaust_hole) * (bp + A) * elliptic_factor(A / (bp + A))
        else:
            hole = passing(BRAKE_VALVE.supply_hole)
            flow = hole * (supply + A) * elliptic_factor(min(1.0, (bp + A) / (supply + A)))
        return name, flow / per_psi, target + A

    def _lose(self, dt: float) -> None:
        """Air out of leaks and of the vent valves of an emergency."""
        share = self._leak_share()
        fallen = leaked(self.pressure[BRAKE_PIPE], share, dt, atmosphere=self.setup.atmosphere)
        self.pressure[BRAKE_PIPE] -= fallen
        lost = fallen * self.volume[BRAKE_PIPE] + self.train.leak(share, dt)
        self.out += lost
        self._note("leakage", lost, dt)
        blown = self.train.vent(self.seconds, dt)
        self.out += blown
        self._note("train-vent", blown, dt)

    def _leak_share(self) -> float:
        """Share of the pipe's air that leaks away in a second, as read alone at the setting."""
        setting = self.equipment.brake_pipe_setting + self.setup.atmosphere
        return self.setup.leakage / 60.0 / setting

    def _actuate(self, dt: float) -> None:
        """Pipe 13 holds main-reservoir air while the independent handle is pressed."""
        hole = passing(figures.PIPE_13_HOLE)
        if self.command.bail_off == "held" and self.equipment.unit != "dead":
            target = self._gauge(MAIN)
            self._fill("actuating-feed", self._handles_supply(), THIRTEEN, target, hole, dt)
        else:
            self._drain("actuating-exhaust", THIRTEEN, 0.0, hole, dt)

    def _effective(self) -> Command:
        """The command as far as pipe 13 has carried the bail-off."""
        acts = self._gauge(THIRTEEN) >= figures.ACTUATES_AT
        if self.command.bail_off == "held" and not acts and self.equipment.unit != "dead":
            return replace(self.command, bail_off="none")
        if acts and self._was_held:
            return replace(self.command, bail_off="held")
        return self.command

    def _control(self, dt: float) -> None:
        """The control valve weighs control reservoir against brake pipe and sets pipe 16."""
        command = self._effective()
        bp = self._gauge(BRAKE_PIPE)
        self._lowest = min(self._lowest, bp)
        released = (
            command.earlier_reduction > 0
            and command.handle != "emergency"
            and command.vented == "nowhere"
            and round(bp - self._lowest, _DIGITS) > RELEASING_RISE
        )
        reference = self._reference(command, bp, released, dt)
        asked = automatic(
            self.equipment,
            command,
            control_reservoir=reference,
            brake_pipe=bp,
            released=released,
            supply=self._supply_figure(),
        )
        target = asked.pipe_16
        hole = passing(figures.PIPE_16_HOLE)
        start = figures.CONTROL_VALVE_STARTS
        if self._gauge(SIXTEEN) > target:
            self._drain("control-exhaust", SIXTEEN, target, hole, dt, start=start)
            return
        # What the service limiting valve does not pass comes by the emergency limiting valve.
        beyond = command.handle == "emergency" or target > self.equipment.service_limit
        if beyond and self.equipment.unit != "dead":
            limiting = passing(figures.LIMITING_HOLE)
            self._fill("emergency-feed", MAIN, SIXTEEN, target, limiting, dt)
            target = min(target, self.equipment.service_limit)
        self._fill("control-feed", None, SIXTEEN, target, hole, dt, start=start)

    def _reference(self, command: Command, bp: float, released: bool, dt: float) -> float:
        """Move the control reservoir; returns the charged pressure that counts [psi]."""
        equipment = self.equipment
        charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
        counts = charged if command.control_reservoir is None else command.control_reservoir
        stands = self._gauge(CONTROL)
        if command.bail_off != "none" and equipment.unit != "dead":
            floor = bailed_off_to(equipment, command, bp)
            if stands > floor:
                self._drain("control-bail", CONTROL, floor, passing(figures.BAIL_OFF_HOLE), dt)
        if bp > stands and (released or self._empty or command.handle == "release"):
            hole = passing(figures.CONTROL_RESERVOIR_HOLE)
            self._fill("control-charge", BRAKE_PIPE, CONTROL, min(bp, counts), hole, dt)
        # A valve that was empty asks for nothing before its own reservoir is charged.
        return self._gauge(CONTROL) if self._empty else counts

    def _independent(self, dt: float) -> None:
        """The independent handle sets pipe 20."""
        target = independent_pressure(self.equipment, self.command, supply=self._supply_figure())
        hole = passing(figures.PIPE_20_HOLE)
        if self._gauge(TWENTY) > target:
            self._drain("independent-exhaust", TWENTY, target, hole, dt)
        else:
            self._fill("independent-feed", self._handles_supply(), TWENTY, target, hole, dt)

    def _relay(self, dt: float) -> None:
        """The relay valve brings the cylinders to its ratio times the pilot that wins."""
        target, _ = relay(
            pipe_16=max(0.0, self._gauge(SIXTEEN)),
            pipe_20=max(0.0, self._gauge(TWENTY)),
            ratio_automatic=self.equipment.relay_ratio_automatic,
            ratio_independent=self.equipment.relay_ratio_independent,
            supply=self._gauge(MAIN),
        )
        hole = passing(figures.RELAY_HOLE)
        start = figures.RELAY_STARTS
        if self._gauge(CYLINDER) > target:
            self._drain("relay-exhaust", CYLINDER, target, hole, dt, start=start)
        else:
            self._fill("relay-feed", MAIN, CYLINDER, target, hole, dt, start=start)

    # --- Passing air ------------------------------------------------------------------------

    def _drain(
        self, name: str, source: int, target: float, hole: float, dt: float, *, start: float = 0.0
    ) -> None:
        """Let a place down to a gauge pressure through a hole to the atmosphere."""
        A, V = self.setup.atmosphere, self.volume[source]
        p = self.pressure[source]
        above = p - A - target
        if not self._opens(NUMBER_OF[name], above, target, start):
            return
        whole = above * V
        flow = hole * p * elliptic_factor(min(1.0, A / p)) * dt
        content = whole if above < FINEST else min(whole, flow)
        self.pressure[source] -= content / V
        self.out += content
        self._note(name, content, dt)

    def _fill(
        self,
        name: str,
        source: int | None,
        sink: int,
        target: float,
        hole: float,
        dt: float,
        *,
        start: float = 0.0,
    ) -> None:
        """Bring a place up to a gauge pressure through a hole from another place.

        Without a source the air comes from a supply that is not followed: the control valve's own
        reservoir, or the lead unit of a train that this unit trails in.
        """
        A, V = self.setup.atmosphere, self.volume[sink]
        p = self.pressure[sink]
        under = target + A - p
        if not self._opens(NUMBER_OF[name], under, target, start):
            return
        supply = self.equipment.main_reservoir + A if source is None else self.pressure[source]
        flow = hole * supply * elliptic_factor(min(1.0, p / supply)) * dt
        whole = under * V
        if source is not None:
            V_source = self.volume[source]
            whole = min(whole, max(0.0, (supply - p) / (1.0 / V + 1.0 / V_source)))
        content = whole if under < FINEST else min(whole, flow)
        self.pressure[sink] += content / V
        if source is None:
            self.brought_in += content
        else:
            self.pressure[source] -= content / self.volume[source]
        self._note(name, content, dt)

    def _opens(self, number: int, difference: float, asked: float, start: float) -> bool:
        """Whether a valve passes air: it starts against its friction and then follows on.

        Once nothing asks for more it gives the rest too: friction delays, it does not decide
        what stands in the end.
        """
        steady = abs(self._asked.get(number, asked + 1.0) - asked) < 1e-9
        self._asked[number] = asked
        if difference <= 0.0:
            self._open[number] = self._open[number] and not steady
            return False
        self._open[number] = self._open[number] or difference >= start or steady
        return self._open[number]

    def _note(self, name: str, content: float, dt: float) -> None:
        """Keep what a passage let through; dust of the arithmetic is no movement."""
        if abs(content) < _DUST:
            return
        number = NUMBER_OF[name]
        self.moved[number] += content
        known = self._used.setdefault(number, [self.seconds, self.seconds, 0.0])
        known[1] = self.seconds + dt
        known[2] += content
