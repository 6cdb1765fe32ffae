"""The locomotive in the place of the train model's brake valve: one step of all its air.

It is a `Relay` of the train model: the same law feeds and exhausts the head cell. Where the train
model moves its reservoirs, all of the locomotive moves. SI, absolute pressures, contents in Pa·m³.

Within a step the passages act in the order in which one sets the other going. Every flow is at the
pressures at hand, and never past what is asked nor past equal pressures, so that a long step cannot
overshoot; a step of the train longer than `LONGEST_STEP` is taken in parts.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import ceil

from calculators.base.units import CUBIC_INCH, PSI
from calculators.equipment.locomotive import RELEASING_RISE, BailOff, CutOff, Handle
from calculators.equipment.running.figures import Setup
from calculators.equipment.running.places import ATMOSPHERE as TO_ATMOSPHERE
from calculators.equipment.running.places import (
    AUXILIARY,
    BRAKE_PIPE,
    CONTROL,
    CYLINDER,
    CYLINDER_2,
    EQUALIZING,
    FIFTY_THREE,
    MAIN,
    NUMBER_OF,
    PASSAGES,
    PILOT,
    PLACES,
    REGULATED,
    SIXTEEN,
    THIRTEEN,
    TWELVE,
    TWENTY,
)
from calculators.equipment.train.stepping.border import hole, kelvin
from calculators.equipment.train.stepping.flows import factor
from calculators.equipment.train.stepping.relays import NOTHING, Line, Relay, blown_down
from calculators.equipment.train.stepping.state import State

LONGEST_STEP = 0.1
"""Of the locomotive's own air. [s]"""

CUT_OFF_OPENS = 25.0 * PSI
"""Air behind the cut-off valve below which it feeds no pipe. ARMY-224, about 25 psi."""
ACTUATES_AT = 15.0 * PSI
"""In pipe 13, from which a bail-off acts. Nominal, from memory."""
LEAVES_RELEASE = 0.4 * PSI
"""Fall of the brake pipe that takes the control valve out of release. Nominal, from memory."""
OVERSHOOT = 1.0 * PSI
"""The same while its control reservoir still stands over the pipe: what a part-way rise of the pipe
overshoots by is no new set. Nominal, from memory."""
RISE = RELEASING_RISE * PSI
BAND = 0.02 * PSI
"""Difference that opens a self-lapping valve; it shuts when there is none. Nominal."""
EMPTY = 0.01 * PSI
"""In the equalizing reservoir: a penalty has run out. A hole's own tail ends there soon."""

_CHARGE, _EXHAUST, _VENT = (
    NUMBER_OF[n] for n in ("handle-charge", "handle-exhaust", "handle-vent")
)


@dataclass(slots=True)
class Locomotive(Relay):
    """Everything of one locomotive that changes while it runs."""

    setup: Setup = field(kw_only=True)
    pressure: list[float] = field(kw_only=True)
    """By place; the brake pipe's is that of the head cell."""
    volume: list[float] = field(kw_only=True)
    passing: list[float] = field(kw_only=True)
    """Conductance by passage, scaled as the set-up says. [m³/s]"""
    leaking: tuple[tuple[str, str, float], ...] = field(kw_only=True)

    stands: Handle = "release"
    """The automatic handle."""
    reduction: float = 0.0
    """Where it stands in the service zone. [Pa]"""
    regulated: float = field(kw_only=True)
    """Setting of the regulating valve. [Pa abs]"""
    cut_off: CutOff = "freight"
    independent: float = 0.0
    """What its handle asks for. [Pa]"""
    bail_off: BailOff = "none"
    dynamic: bool = False
    penalty: bool = False

    atmosphere: float = field(kw_only=True)
    felt: float = field(kw_only=True)
    """Brake pipe as the control valve feels it: with all of a step done, fed and drawn. [Pa abs]"""

    applied: bool = False
    """The control valve has left release."""
    lowest: float = 0.0
    """Brake pipe since it left release. [Pa abs]"""
    highest: float = 0.0
    """Brake pipe since it went to release. [Pa abs]"""
    letting_back: bool = False
    """A release opened the control reservoir to a pipe that stood lower."""
    feeding: list[bool] = field(default_factory=lambda: [False] * len(PASSAGES))
    acknowledged: bool = False
    """The handle has been in emergency since one came from the train."""
    moved: list[float] = field(default_factory=lambda: [0.0] * len(PASSAGES))
    """Content by passage since it was last taken."""
    leaked: float = 0.0

    # --- What the train model asks ------------------------------------------------------------

    def copy(self) -> Locomotive:
        """One that goes on by itself."""
        return replace(
            self, pressure=self.pressure[:], feeding=self.feeding[:], moved=self.moved[:]
        )

    def content(self) -> float:
        """All air of the locomotive but that in the brake pipe."""
        p, V = self.pressure, self.volume
        own = sum(p[place] * V[place] for place in range(MAIN + 1, len(PLACES)))
        own -= p[BRAKE_PIPE] * V[BRAKE_PIPE]
        # The train's relay has drawn on `main` since the locomotive last moved.
        own += self.main * self.figures.reservoir_volume
        return own if self.leads else own + p[MAIN] * V[MAIN]

    def sense(self, pipe: float) -> None:
        """Take the pipe as a whole step has left it: within one, what is drawn is not yet fed."""
        self.felt = pipe
        Relay.sense(self, pipe)

    @property
    def leads(self) -> bool:
        """Whether this unit's own handles are in control."""
        return self.setup.equipment.unit == "lead"

    def feel_emergency(self) -> None:
        """An emergency has come along the pipe: pipe 53 is charged and shuts the cut-off."""
        self.charging_cut_off = True
        self.acknowledged = self.stands == "emergency"

    def release(self) -> None:
        """Handle to release, by the train model's own name."""
        self.put("release", 0.0)

    def service(self, reduction: float) -> None:
        """Handle in the service zone, by the train model's own name. [Pa]."""
        self.put("service", reduction)

    def emergency(self) -> None:
        """Handle to emergency, by the train model's own name."""
        self.put("emergency", 0.0)

    def cut(self, cut_in: bool) -> None:
        """Turn the cut-off selector, by the train model's own name."""
        self.cut_off = "freight" if cut_in else "out"

    def put(self, handle: Handle, reduction: float) -> None:
        """Put the automatic handle somewhere; ``reduction`` counts in the service zone. [Pa]."""
        if self.setup.holds("handle"):
            return
        self.stands, self.reduction = handle, reduction
        if handle == "emergency":
            self.acknowledged = True
        elif handle == "release" and self.acknowledged:
            self.charging_cut_off = self.acknowledged = False
        self.handle = "emergency" if handle == "emergency" else "service"

    def lines(self, p: float, step: float, *, atmosphere: float) -> list[Line]:
        """Flow into the pipe, by the law of the train model's relay and what holds it."""
        if self.handle != "emergency":
            rising = self.equalizing > p
            if rising and self.equalizing - atmosphere < CUT_OFF_OPENS:
                return NOTHING
            if rising and (
                self.setup.holds("pipe_relay_feed") or self.setup.holds("charging_cut_off")
            ):
                return NOTHING
            if not rising and self.setup.holds("pipe_relay_exhaust"):
                return NOTHING
        return Relay.lines(self, p, step, atmosphere=atmosphere)

    def move_reservoirs(self, state: State, step: float) -> None:
        """Move all of the locomotive's air on by a step of the train."""
        p = self.pressure
        p[BRAKE_PIPE] = state.pressure[self.cell]
        self.cut_in = self.cut_off != "out" or not self.leads
        self.move_cut_off(step)
        parts = ceil(step / LONGEST_STEP - 1e-9)
        for _ in range(parts):
            self._step(state, step / parts)
        state.pressure[self.cell] = p[BRAKE_PIPE]

    # --- One step -----------------------------------------------------------------------------

    def _step(self, state: State, dt: float) -> None:
        p = self.pressure
        self.pump(dt)
        if self.leads:
            p[MAIN] = self.main
        elif self.setup.equipment.unit == "trailing":
            self._pump_own(dt)
        p[EQUALIZING] = self.equalizing
        self._handle(state, dt)
        self._pilots(state, dt)
        self._control(state, dt)
        self._cylinders(state, dt)
        self._leak(state, dt)
        self.equalizing = p[EQUALIZING]
        if self.leads:
            self.main = p[MAIN]

    def _pump_own(self, dt: float) -> None:
        """A trailing unit has a compressor of its own."""
        f = self.figures
        missing = (f.compressor_stops - self.pressure[MAIN]) * self.volume[MAIN]
        content = min(max(0.0, missing), f.compressor * dt)
        self.pressure[MAIN] += content / self.volume[MAIN]
        self.pumped += content

    def _handles_air(self) -> float:
        """Main reservoir of the unit whose handles are in control."""
        return self.pressure[MAIN] if self.leads else self.main

    def _take_handles_air(self, content: float) -> None:
        if self.leads:
            self.pressure[MAIN] -= content / self.volume[MAIN]
        else:
            self.main -= content / self.figures.reservoir_volume

    def asked(self, atmosphere: float) -> float:
        """Where the handle's place takes the equalizing reservoir. [Pa abs]."""
        if self.penalty:
            return atmosphere
        match self.stands:
            case "release":
                off = 0.0
            case "service":
                off = self.reduction
            case "minimum-reduction":
                off = self.setup.equipment.minimum_reduction * PSI
            case "suppression":
                off = self.setup.equipment.suppression_reduction * PSI
            case _:
                return atmosphere
        return max(atmosphere, self.regulated - off)

    def _handle(self, state: State, dt: float) -> None:
        """The handle's valve, the regulating valve and the safety control on the reservoir."""
        A = self.atmosphere
        p, f = self.pressure, self.figures
        stands = p[EQUALIZING]
        target = self.asked(A)
        if self.penalty and self.stands in ("suppression", "handle-off") and stands - A < EMPTY:
            self.penalty = False
        if stands > target:
            vents = self.stands == "emergency"
            lag = f.emergency_lag if vents else f.service_lag
            share = self._scale(_VENT if vents else _EXHAUST)
            new = max(target, blown_down(stands, dt * share, lag=lag, atmosphere=A))
            self._out(state, EQUALIZING, stands - new, _VENT if vents else _EXHAUST)
            return
        rises = (self.stands == "release" and not self.penalty) or (
            self.cut_off == "passenger" and self.stands not in ("handle-off", "emergency")
        )
        supply = self._handles_air()
        if not rises or supply <= stands:
            return
        # The regulating valve sets no more than the main reservoir holds.
        rate = f.charging_rate * self._scale(_CHARGE) * factor(min(1.0, stands / supply))
        content = min(rate * dt, target - stands) * self.volume[EQUALIZING]
        source = self.volume[MAIN] if self.leads else f.reservoir_volume
        even = (supply - stands) / (1.0 / self.volume[EQUALIZING] + 1.0 / source)
        content = min(content, even)
        p[EQUALIZING] += content / self.volume[EQUALIZING]
        self._take_handles_air(content)
        self.moved[_CHARGE] += content

    def _scale(self, passage: int) -> float:
        return self.passing[passage]

    def _pilots(self, state: State, dt: float) -> None:
        """Pipes 13, 12, 53 and 20."""
        A = self.atmosphere
        equipment = self.setup.equipment
        dead = equipment.unit == "dead"
        pressed = self.bail_off == "held" and not dead
        self._follow(state, dt, THIRTEEN, pressed, "actuating")
        self._follow(state, dt, TWELVE, self.stands == "emergency" and not dead, "pipe-12")
        self._follow(state, dt, FIFTY_THREE, self.charging_cut_off and not dead, "pipe-53")
        asked = A + self.independent
        if dead or self.setup.holds("independent"):
            asked = A
        p = self.pressure
        if p[TWENTY] > asked:
            self._drain(state, dt, TWENTY, asked, NUMBER_OF["independent-exhaust"])
        else:
            self._feed_by_handle(dt, TWENTY, asked, NUMBER_OF["independent-feed"])

    def _follow(self, state: State, dt: float, place: int, on: bool, name: str) -> None:
        """A pipe that stands at main-reservoir pressure or empty."""
        A = self.atmosphere
        if on:
            self._feed_by_handle(dt, place, self._handles_air(), NUMBER_OF[f"{name}-feed"])
        elif self.pressure[place] > A:
            self._drain(state, dt, place, A, NUMBER_OF[f"{name}-exhaust"])

    def actuated(self) -> bool:
        """Whether the bail-off acts on the control valve."""
        A = self.atmosphere
        held = self.setup.holds("bail_off")
        if held:
            return held == "pressed"
        return self.pressure[THIRTEEN] - A >= ACTUATES_AT

    def _nullified(self) -> bool:
        """Whether bail-off or dynamic brake takes the automatic application away here."""
        if self.setup.equipment.unit == "dead":
            return False
        if self.actuated():
            return True
        held = self.setup.holds("dynamic_interlock")
        if held:
            return held == "on"
        drops = self.stands == "emergency" and self.setup.equipment.emergency_drops_dynamic
        return self.dynamic and not drops

    def _control(self, state: State, dt: float) -> None:
        """The control valve weighs its control reservoir against the pipe and sets pipe 16."""
        A = self.atmosphere
        p, equipment = self.pressure, self.setup.equipment
        cut_out = self.setup.holds("control_valve") == "cut-out"
        if not cut_out:
            if self.actuated() and equipment.unit != "dead" and p[CONTROL] > p[BRAKE_PIPE]:
                self._drain(state, dt, CONTROL, p[BRAKE_PIPE], NUMBER_OF["control-bail"])
            self._shift()
            self._recharge(dt)
        ratio = equipment.relay_ratio_automatic
        by_handle = self.stands == "emergency" and equipment.unit != "dead"
        low = self.felt - A < equipment.emergency_threshold * PSI
        service = equipment.service_limit * PSI
        limit = (
            equipment.emergency_limit / ratio * PSI
            if self.stands == "emergency" or low
            else service
        )
        demand = equipment.multiplier * (p[CONTROL] - self.felt)
        asked = min(max(0.0, demand), limit) if self.applied and not cut_out else 0.0
        if self.stands == "emergency" and not cut_out:
            asked = limit
        if self._nullified():
            asked = 0.0
        target = A + asked
        if p[SIXTEEN] > target:
            self._lap("control-exhaust", p[SIXTEEN] - target)
            if self.feeding[NUMBER_OF["control-exhaust"]]:
                self._drain(state, dt, SIXTEEN, target, NUMBER_OF["control-exhaust"])
            self.feeding[NUMBER_OF["control-feed"]] = False
            return
        self.feeding[NUMBER_OF["control-exhaust"]] = False
        self._lap("control-feed", target - p[SIXTEEN])
        if not self.feeding[NUMBER_OF["control-feed"]]:
            return
        if (by_handle or asked > service) and equipment.unit != "dead":
            self._pass(dt, MAIN, SIXTEEN, target, NUMBER_OF["emergency-feed"])
        if equipment.unit == "dead":
            target = min(target, p[MAIN])
        self._pass(dt, AUXILIARY, SIXTEEN, min(target, A + service), NUMBER_OF["control-feed"])

    def _shift(self) -> None:
        """Whether the control valve stands in release or has left it, by the pipe alone."""
        p = self.pressure
        pipe = self.felt
        if self.applied:
            self.lowest = min(self.lowest, pipe)
            back = pipe >= p[CONTROL]
            if self.setup.equipment.release_type == "direct" and pipe - self.lowest > RISE:
                # A control reservoir over what the pipe can come to is not got rid of by a rise,
                # as far as is known; how direct release meets an overcharge is from memory.
                back = back or p[CONTROL] <= self.regulated + LEAVES_RELEASE
            if back:
                self.applied = False
                self.highest = pipe
                self.letting_back = p[CONTROL] > pipe
            return
        self.highest = max(self.highest, pipe)
        fall = OVERSHOOT if self.letting_back else LEAVES_RELEASE
        if self.highest - pipe > fall or (
            not self.letting_back and p[CONTROL] - pipe > LEAVES_RELEASE
        ):
            self.applied = True
            self.lowest = pipe

    def _recharge(self, dt: float) -> None:
        """Control reservoir in release, and the valve's own reservoir through its check."""
        p = self.pressure
        if not self.applied:
            if p[BRAKE_PIPE] > p[CONTROL]:
                self.letting_back = False
                self._pass(dt, BRAKE_PIPE, CONTROL, p[BRAKE_PIPE], NUMBER_OF["control-charge"])
            elif self.letting_back:
                self._pass(dt, CONTROL, BRAKE_PIPE, p[CONTROL], NUMBER_OF["control-back"])
        if p[BRAKE_PIPE] > p[AUXILIARY]:
            self._pass(dt, BRAKE_PIPE, AUXILIARY, p[BRAKE_PIPE], NUMBER_OF["auxiliary-charge"])

    def winner(self) -> int:
        """The pipe that passes the double check valve."""
        A = self.atmosphere
        held = self.setup.holds("double_check")
        if held:
            return SIXTEEN if held == "pipe 16" else TWENTY
        p, equipment = self.pressure, self.setup.equipment
        sixteen = equipment.relay_ratio_automatic * (p[SIXTEEN] - A)
        twenty = equipment.relay_ratio_independent * (p[TWENTY] - A)
        return TWENTY if twenty > sixteen else SIXTEEN

    def _cylinders(self, state: State, dt: float) -> None:
        """The relay brings the cylinders to its ratio times the pilot, never above its supply."""
        A = self.atmosphere
        p, equipment = self.pressure, self.setup.equipment
        if equipment.unit == "dead":
            top = A + equipment.dead_engine_setting * PSI
            if p[BRAKE_PIPE] > p[MAIN] and p[MAIN] < top:
                self._pass(dt, BRAKE_PIPE, MAIN, top, NUMBER_OF["dead-engine"])
        pilot = self.winner()
        ratio = (
            equipment.relay_ratio_automatic
            if pilot == SIXTEEN
            else equipment.relay_ratio_independent
        )
        target = A + ratio * (p[pilot] - A)
        for place, feed, exhaust in (
            (CYLINDER, "relay-feed", "relay-exhaust"),
            (CYLINDER_2, "relay-feed-2", "relay-exhaust-2"),
        ):
            if place == CYLINDER_2 and self.setup.holds("truck_2"):
                continue
            if p[place] > target:
                self.feeding[NUMBER_OF[feed]] = False
                self._lap(exhaust, p[place] - target)
                if self.feeding[NUMBER_OF[exhaust]]:
                    self._drain(state, dt, place, target, NUMBER_OF[exhaust])
            else:
                self.feeding[NUMBER_OF[exhaust]] = False
                self._lap(feed, target - p[place])
                if self.feeding[NUMBER_OF[feed]]:
                    self._pass(dt, MAIN, place, target, NUMBER_OF[feed])

    def _lap(self, passage: str, difference: float) -> None:
        """Open a self-lapping valve's passage once the difference is felt; shut it without one."""
        number = NUMBER_OF[passage]
        self.feeding[number] = difference > (0.0 if self.feeding[number] else BAND)

    def _leak(self, state: State, dt: float) -> None:
        """Air through holes that should not be there."""
        if not self.leaking:
            return
        A = self.atmosphere
        p, V = self.pressure, self.volume
        for source, sink, conductance in self.leaking:
            place = self.winner() if source == PILOT else MAIN if source == REGULATED else None
            from_place = PLACES.index(source) if place is None else place
            high = min(p[MAIN], self.regulated) if source == REGULATED else p[from_place]
            if sink == TO_ATMOSPHERE:
                if high > A:
                    content = conductance * high * factor(A / high) * dt
                    content = min(content, (high - A) * V[from_place])
                    p[from_place] -= content / V[from_place]
                    state.vented += content
                    self.leaked += content
                continue
            to = PLACES.index(sink)
            if source in (REGULATED, PILOT) and p[to] >= high:
                continue
            if p[to] > high:
                from_place, to = to, from_place
                high = p[from_place]
            content = conductance * high * factor(p[to] / high) * dt
            content = min(content, (high - p[to]) / (1.0 / V[from_place] + 1.0 / V[to]))
            p[from_place] -= content / V[from_place]
            p[to] += content / V[to]
            self.leaked += content

    # --- Passing air --------------------------------------------------------------------------

    def _out(self, state: State, place: int, fall: float, passage: int) -> None:
        content = fall * self.volume[place]
        self.pressure[place] -= fall
        state.vented += content
        self.moved[passage] += content

    def _drain(self, state: State, dt: float, place: int, target: float, passage: int) -> None:
        """Let a place down to a pressure through its hole to the atmosphere."""
        A = self.atmosphere
        high = self.pressure[place]
        floor = target if target > A else A
        fall = self.passing[passage] * high * factor(A / high) * dt / self.volume[place]
        if fall > high - floor or high - floor < 0.002 * PSI:
            fall = high - floor
        if fall > 0.0:
            self._out(state, place, fall, passage)

    def _pass(self, dt: float, source: int, sink: int, target: float, passage: int) -> None:
        """Let air from one place into another, up to a pressure there or to equal pressures."""
        p, V = self.pressure, self.volume
        high, low = p[source], p[sink]
        if low >= high or low >= target:
            return
        content = self.passing[passage] * high * factor(low / high) * dt
        even = (high - low) / (1.0 / V[source] + 1.0 / V[sink])
        content = min(content, even, (target - low) * V[sink])
        p[source] = high - content / V[source]
        p[sink] = low + content / V[sink]
        self.moved[passage] += content

    def _feed_by_handle(self, dt: float, place: int, target: float, passage: int) -> None:
        """Air of the handles' main reservoir into a pipe, up to a pressure there."""
        high, low = self._handles_air(), self.pressure[place]
        if low >= target or low >= high:
            return
        source = self.volume[MAIN] if self.leads else self.figures.reservoir_volume
        V = self.volume[place]
        content = self.passing[passage] * high * factor(low / high) * dt
        content = min(content, (high - low) / (1.0 / V + 1.0 / source), (target - low) * V)
        self.pressure[place] = low + content / V
        self._take_handles_air(content)
        self.moved[passage] += content


def build(setup: Setup, state: State, plain: Relay) -> Locomotive:
    """The locomotive of a set-up in the place of the train model's own brake valve."""
    equipment, holes, volumes = setup.equipment, setup.holes, setup.volumes
    A = state.grid.atmosphere
    kelvins = kelvin(setup.temperature)
    pipe = state.pressure[plain.cell]
    by_name = {
        "handle-charge": None,
        "handle-exhaust": None,
        "handle-vent": None,
        "actuating-feed": holes.pipe_13,
        "actuating-exhaust": holes.pipe_13,
        "pipe-12-feed": holes.pipe_12,
        "pipe-12-exhaust": holes.pipe_12,
        "pipe-53-feed": holes.pipe_53,
        "pipe-53-exhaust": holes.pipe_53,
        "control-charge": holes.control_reservoir,
        "control-back": holes.control_reservoir,
        "control-bail": holes.bail_off,
        "auxiliary-charge": holes.auxiliary,
        "emergency-feed": holes.limiting,
        "control-feed": holes.pipe_16,
        "control-exhaust": holes.pipe_16,
        "independent-feed": holes.pipe_20,
        "independent-exhaust": holes.pipe_20,
        "relay-feed": holes.truck,
        "relay-exhaust": holes.truck,
        "relay-feed-2": holes.truck,
        "relay-exhaust-2": holes.truck,
        "dead-engine": holes.dead_engine,
    }
    scaled = dict(setup.change.scaled)
    passing = [
        scaled.get(name, 1.0) * (1.0 if size is None else hole(size, temperature=kelvins))
        for name, size in by_name.items()
    ]
    truck = volumes.cylinders * volumes.cylinder / 2.0
    cubic_inches = {
        EQUALIZING: volumes.equalizing_reservoir,
        CONTROL: volumes.control_reservoir,
        AUXILIARY: equipment.own_reservoir,
        SIXTEEN: equipment.pipe_16_volume,
        TWENTY: volumes.pipe_20,
        THIRTEEN: volumes.pipe_13,
        TWELVE: volumes.pipe_12,
        FIFTY_THREE: volumes.pipe_53,
        CYLINDER: truck,
        CYLINDER_2: truck,
    }
    volume = [cubic_inches.get(place, 0.0) * CUBIC_INCH for place in range(len(PLACES))]
    volume[MAIN] = plain.figures.reservoir_volume
    volume[BRAKE_PIPE] = state.grid.volume[plain.cell]
    pressure = [A] * len(PLACES)
    pressure[MAIN] = plain.main
    if equipment.unit == "dead":
        pressure[MAIN] = A + min(equipment.dead_engine_setting * PSI, pipe - A)
    pressure[EQUALIZING] = pressure[BRAKE_PIPE] = pressure[CONTROL] = pressure[AUXILIARY] = pipe
    if setup.starting_pressure is None or setup.in_release:
        pressure[EQUALIZING] = max(pipe, min(plain.figures.setting, plain.main))
    return Locomotive(
        figures=plain.figures,
        cell=plain.cell,
        detector=plain.detector,
        equalizing=pressure[EQUALIZING],
        main=plain.main,
        handle="service",
        cut_off_opening=1.0,
        setup=setup,
        pressure=pressure,
        volume=volume,
        passing=passing,
        leaking=tuple(
            (leak.source, leak.sink, hole(leak.hole, temperature=kelvins))
            for leak in setup.change.leaks
        ),
        regulated=plain.figures.setting,
        cut_off=equipment.cut_off,
        highest=pipe,
        felt=pipe,
        lowest=pipe,
        atmosphere=A,
    )
